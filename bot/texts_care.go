package bot

import (
	"slices"
	"strings"

	"tallybell/bot/reply"
)

// The sentences about health are fixed and calm: stop, rest, see a professional. No diagnosis, no advice on training, no
// rank beside them, and nothing of when the coach will answer.
const (
	textWarning = "Please stop training now. If it is still there, or comes back, call your local emergency number. " +
		"I can't judge this, and nobody watches this chat all day. Your coach has been told. " +
		"Tomorrow's session waits until you two have spoken."
	textPain = "Thanks for saying. Leave out whatever brings it on; if it is sharp, swelling or still there tomorrow, " +
		"see a doctor or physio. Your coach has been told. Misread? Reply: no pain."
	textKept      = "Your result is kept."
	textCoachTold = "Your coach has been told."
	textThanks    = "Thanks for telling me."
)

// careSentence is what is said about one matter that needs a check, and what the coach is told of it.
type careSentence struct {
	matter reply.Matter
	member string
	coach  string
}

// careSentences in the order in which they are said when a message speaks of several matters.
var careSentences = []careSentence{
	{reply.MatterWarning, "I can't judge this. If it is there, or comes back, stop and call your local emergency number.",
		"words near to a warning sign, or that there was none"},
	{reply.MatterIncident, "Please rest, and check whether you are hurt; if in doubt, see a doctor. " +
		"Where a piece of furniture, a door or kit gave way, do not use it again until it is made safe.", "a mishap"},
	{reply.MatterPain, "Leave out whatever brings it on; if it is sharp, swelling or still there tomorrow, see a doctor or physio.", "pain"},
	{reply.MatterVomiting, "Please stop for today and rest. If it goes on, comes back or you feel worse, call a doctor.", "nausea or vomiting"},
	{reply.MatterUnwell, "Please stop for today and rest. If it goes on or you feel worse, call a doctor.", "feeling unwell"},
	{reply.MatterFever, "Please rest until the fever is gone. If it is high, goes on or you feel worse, call a doctor.", "a fever"},
	{reply.MatterInfection, "Please rest, and ask your doctor when you can train again.", "an infection"},
	{reply.MatterPregnancy, "Please ask your midwife or doctor what suits you now before you train on.", "a pregnancy"},
	{reply.MatterBirth, "Please ask your midwife or doctor what suits you after the birth before you train on.", "a birth"},
	{reply.MatterOperation, "Please ask the people who treat you what suits you before and after the operation, before you train on.", "an operation"},
	{reply.MatterMedicine, "Please ask your doctor or pharmacist whether the medicine changes what suits you before you train on.", "medicine"},
	{reply.MatterHealth, "Please ask your doctor what suits you before you train on.", "their health"},
}

// careText is what a member is told whose message asks for a check.
func careText(about []reply.Matter) string {
	var said []string
	pain := false
	for _, s := range careSentences {
		if slices.Contains(about, s.matter) {
			said = append(said, s.member)
			pain = pain || s.matter == reply.MatterPain
		}
	}
	if len(said) == 0 || len(said) == 1 && pain {
		return textPain
	}
	back := " Misread? Reply: misread."
	if pain {
		back = " Misread? Reply: no pain."
	}
	return textThanks + " " + strings.Join(said, " ") + " " + textCoachTold + back
}

// careNotice is what the coach is told before the words of a member that ask for a check.
func careNotice(about []reply.Matter, movement string) string {
	var of []string
	for _, s := range careSentences {
		if slices.Contains(about, s.matter) {
			of = append(of, s.coach)
		}
	}
	if len(of) == 0 {
		of = []string{"pain or a mishap"}
	}
	return "A member wrote of " + listed(of) + careMovement(movement) + ":"
}

// careMovement tells the coach at what a mishap happened, when that is known.
func careMovement(movement string) string {
	switch {
	case movement == "":
		return ""
	case strings.Contains(movement, ", "):
		return " (movements: " + movement + ")"
	}
	return " (movement: " + movement + ")"
}
