package bot

import (
	"strings"
	"testing"

	"tallybell/bot/reply"
)

// The sentences about health, against the contract: a warning sign's and pain's stand as they are there, each matter has
// its own, and none holds what must never be said. Source: ours, after the wording that two hospital systems' patient
// pages share (stop, rest, emergency number, doctor).
func TestSentencesOfCare(t *testing.T) {
	const warning = "Please stop training now. If it is still there, or comes back, call your local emergency number. I can't judge this, and nobody watches this chat all day. Your coach has been told. Tomorrow's session waits until you two have spoken."
	const pain = "Thanks for saying. Leave out whatever brings it on; if it is sharp, swelling or still there tomorrow, see a doctor or physio. Your coach has been told. Misread? Reply: no pain."
	if textWarning != warning || textKept != "Your result is kept." {
		t.Errorf("the warning's text is %q %q", textWarning, textKept)
	}
	if got := careText([]reply.Matter{reply.MatterPain}); got != pain {
		t.Errorf("pain's text is %q", got)
	}
	if got := careText(nil); got != pain { // stored by an earlier version
		t.Errorf("without a matter: %q", got)
	}
	seen := map[string]reply.Matter{}
	for _, m := range []reply.Matter{reply.MatterWarning, reply.MatterIncident, reply.MatterPain, reply.MatterVomiting, reply.MatterUnwell, reply.MatterPregnancy,
		reply.MatterBirth, reply.MatterOperation, reply.MatterFever, reply.MatterInfection, reply.MatterMedicine, reply.MatterHealth} {
		text := careText([]reply.Matter{m})
		if was, ok := seen[text]; ok {
			t.Errorf("%s and %s say the same: %q", was, m, text)
		}
		seen[text] = m
		for _, never := range []string{"push through", "excuse", "probably", "fine", "fail", "only", "weight", "shape", "missed", "well done", "great", "don't worry", "normal", "you have", "soon"} {
			if strings.Contains(strings.ToLower(text), never) {
				t.Errorf("%s says %q: %q", m, never, text)
			}
		}
		if !strings.Contains(text, "Your coach has been told.") || !strings.Contains(text, "Misread? Reply: ") {
			t.Errorf("%s: %q", m, text)
		}
		if notice := careNotice([]reply.Matter{m}, ""); !strings.HasPrefix(notice, "A member wrote of ") || strings.Contains(notice, "or a mishap") {
			t.Errorf("the coach is told of %s: %q", m, notice)
		}
	}
}
