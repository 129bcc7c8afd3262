package web_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// open a phone that has joined and reads one fitted session.
func readSession(t *testing.T, name, has string) *tab {
	t.Helper()
	c := newClub(t)
	c.fittedSession(name, today())
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says(has)
	return b
}

// What fitting did is told in words: nothing of it by a colour alone.
func TestFittedCardSaysWhatFittingDid(t *testing.T) {
	b := readSession(t, "cliff_gentle", "Upside down")
	b.says("Eased for you: counts as scaled")
	b.says("Leave out: handstand push-ups")
	b.says("No inversion")
	b.says("Rest here and write 0 for it")
	b.says("No max effort: fast squat instead of tuck jump")
	b.says("Leave this part out today")
	if got := eval[int](b, `[...document.querySelectorAll('.part')].filter(p => p.innerText.includes('Leave this part out') && p.querySelector('.answer-like')).length`); got != 0 {
		t.Error("a part that is left out asks for an answer")
	}
	b.full("card-cliff-phone")
}

// Cautions stand open at first sight, whatever else folds; how to do a movement waits for a tap or a key.
func TestCautionsStandOpenAndCuesFold(t *testing.T) {
	b := readSession(t, "bells_bar_bell", "Bells and buckets")
	b.says("Take care with the kettlebell: dry hands, clear floor to put it down on")
	b.says("shins close to the load, stop when the back rounds")
	b.says("Counts as written")
	b.says("You have a kettlebell: backpack row instead of pull-up")
	b.says("kettlebell, 12 kg (26.5 lb) or more")
	if strings.Contains(b.text(), "One rep:") {
		t.Error("how to do a movement stands open at first")
	}
	hidden := eval[int](b, `[...document.querySelectorAll('.care')].filter(n => !n.checkVisibility()).length`)
	if n := b.count(".care"); n < 4 || hidden != 0 {
		t.Errorf("%d of %d cautions are hidden", hidden, n)
	}
	// With the keyboard: to the first fold, and open it.
	eval[bool](b, `document.querySelector('details.how summary').focus(), true`)
	b.keys(kb.Enter)
	b.says("One rep:")
	b.do(chromedp.Tap(chromedp.CSS("details.how summary")))
	b.until("folded again", `!document.querySelector('details.how').open`)
}

func TestLinksOfACardOpenSafely(t *testing.T) {
	c := newClub(t)
	c.session("doors", today())
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("Doors and towels")
	got := eval[string](b, `[...document.querySelectorAll('.session a[href^=http]')].map(a => [a.href, a.rel, a.target].join(' ')).join(',')`)
	if got != "https://example.org/pull noreferrer noopener _blank" {
		t.Errorf("the links are %q", got)
	}
}

// The card leaves out nothing that the text says of cautions, those of other ways included: each stands on the page, in
// full, with nothing opened. What is folded is not part of a page's inner text.
func TestEveryCautionOfTheTextIsOnTheCard(t *testing.T) {
	for _, name := range []string{"ledge_pack_chair", "bells_bar_bell", "lanterns_quiet", "cliff_gentle", "percent_nothing"} {
		t.Run(name, func(t *testing.T) {
			c := newClub(t)
			c.fittedSession(name, today())
			b := phone(t, newBrowser(t))
			b.open(c.URL + invite)
			b.says("You need")
			page := strings.Join(strings.Fields(b.text()), " ")
			text := c.line[0]["text"].(string)
			for _, line := range strings.Split(text, "\n") {
				line = strings.TrimSpace(line)
				for _, mark := range []string{"Take care: ", "Test first: "} {
					if care, ok := strings.CutPrefix(line, mark); ok && !strings.Contains(page, care) {
						t.Errorf("the page leaves out %q", care)
					}
				}
				if strings.HasPrefix(line, "Take care with") && !strings.Contains(page, line) {
					t.Errorf("the page leaves out %q", line)
				}
			}
			for _, tt := range []struct {
				name  string
				width int64
				dark  bool
			}{{"phone", 390, false}, {"phone-dark", 390, true}, {"narrow", 320, false}, {"wide", 1280, false}} {
				b.do(chromedp.EmulateViewport(tt.width, 844))
				b.dark(tt.dark)
				b.audit(tt.name)
				if os.Getenv("SHOTS") != "" {
					b.full(fmt.Sprintf("fit-%s-%s", name, tt.name))
				}
			}
		})
	}
}
