package web_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const invite = "/#join=lantern.s3cret"

func today() string { return time.Now().Format("2006-01-02") }

func TestMemberJoinsByLinkReadsRepliesAndReloads(t *testing.T) {
	c := newClub(t)
	c.session("ledge", today())
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("lateral step-downs")
	b.until("the secret taken out of the address", `location.hash === ''`)
	if got := eval[int](b, `Object.keys(localStorage).filter(k => k.includes('joining')).length`); got != 0 {
		t.Error("the key of joining is still kept")
	}
	c.set(func() {
		if len(c.joins) != 1 || len(c.joins[0]["key"]) != 43 {
			t.Errorf("joined with %v: want one call with 32 bytes in base64url", c.joins)
		}
	})
	b.says("Nobody’s phone rings")
	b.says("lowest stair, one hand on the rail") // a caution, without a tap
	b.says("Today’s session")
	waitFor(t, "the session told as seen", func() bool { c.mu.Lock(); defer c.mu.Unlock(); return c.seen == c.line[0]["cursor"] })
	if got := eval[string](b, `document.querySelector('#like code').textContent`); got != "A done" {
		t.Errorf("the hint under the reply box says %q, want the first part's example", got)
	}
	b.shot("phone-session")
	b.full("phone-session-full")

	b.do(chromedp.SendKeys(chromedp.CSS("#text"), "C 14:32"), chromedp.Tap(chromedp.CSS("#say button[type=submit]")))
	b.says("As written, or scaled?")
	if n := b.count(".choices button"); n != 2 {
		t.Fatalf("%d choices, want the two that the question suggests", n)
	}
	b.shot("phone-ask")
	b.do(chromedp.Tap(chromedp.CSS(".choices button:nth-child(2)")))
	b.says("3rd of 12")
	if n := b.count(".choices button"); n != 0 {
		t.Errorf("%d choices are left after the question was answered", n)
	}
	if got := c.texts(); !slices.Equal(got, []string{"C 14:32", "C 14:32 scaled"}) {
		t.Errorf("the server heard %q", got)
	}
	b.shot("phone-answer")
	b.do(chromedp.SendKeys(chromedp.CSS("#text"), "swap push-up"), chromedp.Tap(chromedp.CSS("#say button[type=submit]")))
	b.until("a choice by its label", `document.querySelector('.choices button')?.textContent === 'incline push-ups (scaled)'`)
	b.do(chromedp.Tap(chromedp.CSS(".choices button")))
	b.says("Swapped.")
	if got := c.texts(); got[len(got)-1] != "swap push-up for incline push-up" {
		t.Errorf("the server heard %q", got)
	}
	b.do(chromedp.SendKeys(chromedp.CSS("#text"), "A done"), chromedp.Tap(chromedp.CSS("#say button[type=submit]")))
	b.until("the next part as the example", `document.querySelector('#like code').textContent === 'B done'`)
	before := b.count(".entry")
	b.do(chromedp.Reload())
	b.says("3rd of 12")
	b.until("the backlog read", `document.getElementById('log').getAttribute('aria-live') === 'polite'`)
	if n := b.count(".entry"); n != before || n != 6 {
		t.Errorf("%d entries after reloading, %d before, want 6", n, before)
	}
	waitFor(t, "the last post told as seen", func() bool {
		c.mu.Lock()
		defer c.mu.Unlock()
		return c.seen == c.line[len(c.line)-1]["cursor"]
	})
	c.set(func() {
		if got := c.sinces[len(c.sinces)-1]; got != "" {
			t.Errorf("reloading asked since %q, want the last 14 days", got)
		}
	})
}

func TestUsedLinkOnASignedInPhoneJustOpens(t *testing.T) {
	c := newClub(t)
	c.session("ledge", today())
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("lateral step-downs")
	b.open(c.URL + "/assets/bell.svg")
	b.open(c.URL + invite) // the same link again, with another key: the server refuses it
	b.says("lateral step-downs")
	b.until("the secret taken out of the address", `location.hash === ''`)
	c.set(func() {
		if len(c.joins) != 2 || c.joins[0]["key"] == c.joins[1]["key"] {
			t.Errorf("joined with %v, want two calls with two keys", c.joins)
		}
	})
}

func TestBadLinkIsToldKindly(t *testing.T) {
	c := newClub(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + "/#join=lantern.wrong")
	b.says("Ask your coach for a new one.")
	b.shot("phone-badlink")
	b.open(c.URL + "/")
	b.says("Open the link that your coach gave you")
	if n := eval[int](b, `[...document.querySelectorAll('#write')].filter(n => n.offsetParent).length`); n != 0 {
		t.Error("there is a reply box before anybody has joined")
	}
}

func TestJoiningAgainWithTheSameKeyWhenTheAnswerWasLost(t *testing.T) {
	c := newClub(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + "/assets/bell.svg")
	b.open(c.URL + "/")
	b.says("Open the link")
	c.goAway(true)
	eval[bool](b, `location.hash = '#join=lantern.s3cret', true`)
	c.goAway(false) // the page reloads itself with the link
	b.says("Nothing here yet")
	c.set(func() {
		for _, j := range c.joins[1:] {
			if j["key"] != c.joins[0]["key"] {
				t.Error("the key changed between attempts")
			}
		}
	})
}

func TestNothingIsLostOrDoubledWhenTheConnectionGoes(t *testing.T) {
	c := newClub(t)
	c.session("ledge", today())
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("lateral step-downs")
	b.until("the page kept for later", `navigator.serviceWorker.controller !== null`)

	c.goAway(true)
	b.says("No connection.")
	for _, words := range []string{"A done", "C 14:32 scaled", "thanks coach"} {
		b.do(chromedp.SendKeys(chromedp.CSS("#text"), words), chromedp.Tap(chromedp.CSS("#say button[type=submit]")))
		b.says(words)
	}
	if n := b.count(".waiting"); n != 3 {
		t.Fatalf("%d entries wait to be sent, want 3", n)
	}
	b.says("Waiting to be sent")
	b.shot("phone-waiting")
	// A reload without a server: the page, the session and the words are still there.
	b.do(chromedp.Reload())
	b.says("lateral step-downs")
	b.until("the words still waiting", `document.querySelectorAll('.waiting').length === 3`)

	c.goAway(false)
	b.until("all of it answered", `document.querySelectorAll('.waiting').length === 0 && document.querySelectorAll('.entry[data-kind=answer]').length === 3`)
	if got := c.texts(); !slices.Equal(got, []string{"A done", "C 14:32 scaled", "thanks coach"}) {
		t.Errorf("the server heard %q, want each once and in order", got)
	}
	if left := eval[int](b, `Object.keys(localStorage).filter(k => k.startsWith('tallybell.outbox')).length`); left != 0 {
		t.Error("answered words are still queued")
	}
}

func TestLostAnswerIsAskedForUnderTheSameID(t *testing.T) {
	c := newClub(t)
	c.session("ledge", today())
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("lateral step-downs")
	c.set(func() { c.mute = true })
	b.do(chromedp.SendKeys(chromedp.CSS("#text"), "C 14:32 scaled"), chromedp.Tap(chromedp.CSS("#say button[type=submit]")))
	b.says("Sending …")
	waitFor(t, "the message heard", func() bool { return len(c.texts()) == 1 })
	c.set(func() { c.mute = false })
	c.cut()
	b.says("3rd of 12")
	b.until("nothing waiting", `document.querySelectorAll('.waiting').length === 0`)
	if n := b.count(".entry[data-kind=answer]"); n != 1 {
		t.Errorf("%d answers, want 1", n)
	}
	c.set(func() {
		if len(c.heard) != 1 {
			t.Errorf("heard %q", c.heard)
		}
		if since := c.sinces[len(c.sinces)-1]; since == "" {
			t.Error("the page came back without its cursor")
		}
	})
}

func TestNotSavedIsSentAgainBeforeAnythingNewer(t *testing.T) {
	c := newClub(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("Nothing here yet")
	c.set(func() { c.unsaved = 2 })
	for _, words := range []string{"first", "second"} {
		b.do(chromedp.SendKeys(chromedp.CSS("#text"), words), chromedp.Tap(chromedp.CSS("#say button[type=submit]")))
	}
	b.until("both answered", `document.querySelectorAll('.entry[data-kind=answer]').length === 2`)
	if got := c.texts(); !slices.Equal(got, []string{"first", "second"}) {
		t.Errorf("the server heard %q", got)
	}
	c.set(func() {
		if c.says != 4 {
			t.Errorf("%d messages sent, want the first three times and the second once", c.says)
		}
	})
}

func TestRefusedWordsAreGivenBackAndHoldNothingUp(t *testing.T) {
	c := newClub(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("Nothing here yet")
	send := func(words string) {
		b.do(chromedp.SendKeys(chromedp.CSS("#text"), words), chromedp.Tap(chromedp.CSS("#say button[type=submit]")))
	}
	c.set(func() { c.refuse = "too_long" })
	send("a long story")
	b.says("Please send it in two.")
	send("a short one")
	b.until("the newer words answered", `document.querySelectorAll('.entry[data-kind=answer]').length === 1`)
	b.shot("phone-refused")
	b.do(chromedp.Tap(chromedp.CSS(".waiting button")))
	if got := eval[string](b, `document.getElementById('text').value`); got != "a long story" {
		t.Errorf("the box holds %q, want the words back", got)
	}
	if n := b.count(".waiting"); n != 0 {
		t.Errorf("%d entries still wait", n)
	}
	if got := c.texts(); !slices.Equal(got, []string{"a short one"}) {
		t.Errorf("the server heard %q", got)
	}
	// Longer than a member's message may be: told before it is sent.
	eval[bool](b, `document.getElementById('text').value = 'é'.repeat(2049), document.getElementById('say').requestSubmit(), true`)
	b.says("too long to send in one message")
	if got := eval[int](b, `document.getElementById('text').value.length`); got != 2049 {
		t.Error("the words are gone from the box")
	}
}

func TestPostsComeOnceAndInOrderOverManyReconnections(t *testing.T) {
	c := newClub(t)
	c.session("ledge", today())
	b := desktop(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("lateral step-downs")
	for i, words := range []string{"one", "two", "three"} {
		if i > 0 {
			c.cut()
		}
		c.post(map[string]any{"kind": "coach", "text": "word " + words})
		b.says("word " + words)
	}
	got := eval[string](b, `[...document.querySelectorAll('.entry[data-kind=coach] .words')].map(n => n.textContent).join(',')`)
	if got != "word one,word two,word three" {
		t.Errorf("the page shows %q", got)
	}
}

func TestKeyboardOnly(t *testing.T) {
	c := newClub(t)
	c.session("ledge", today())
	b := desktop(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("lateral step-downs")
	b.until("the backlog read", `document.getElementById('log').getAttribute('aria-live') === 'polite'`)
	// The page has gone to today's session by itself, so the first stop may be there; the link is a few stops back.
	b.keys(kb.Tab)
	skip := func() bool { return eval[string](b, `document.activeElement.className`) == "skip" }
	for stops := 0; !skip(); stops++ {
		if stops == 30 {
			t.Fatalf("30 stops back there is no link to the reply box, but %q", eval[string](b, `document.activeElement.outerHTML`))
		}
		b.do(chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(8))) // shift
	}
	b.keys(kb.Enter)
	b.until("the reply box in focus", `document.activeElement.id === 'text'`)
	b.keys("C 14:32")
	b.do(chromedp.KeyEvent(kb.Enter, chromedp.KeyModifiers(8))) // shift
	b.until("a new line in the box", `document.getElementById('text').value === 'C 14:32\n'`)
	b.keys(kb.Backspace)
	b.keys(kb.Enter)
	b.says("As written, or scaled?")
	if got := eval[string](b, `document.activeElement.id`); got != "text" {
		t.Errorf("after sending, %q is in focus, want the reply box", got)
	}
	b.do(chromedp.KeyEvent(kb.Tab, chromedp.KeyModifiers(8)))
	if got := eval[string](b, `document.activeElement.textContent`); got != "C 14:32 scaled" {
		t.Fatalf("one stop back is %q, want the last choice", got)
	}
	outline := eval[string](b, `getComputedStyle(document.activeElement).outlineStyle + ' ' + getComputedStyle(document.activeElement).outlineWidth`)
	if outline != "solid 3px" {
		t.Errorf("the focus shows as %q", outline)
	}
	b.keys(kb.Enter)
	b.says("3rd of 12")
}

func TestWhatPeopleTypeIsNeverHTML(t *testing.T) {
	c := newClub(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("Nothing here yet")
	c.post(map[string]any{"kind": "coach", "text": `<img src=x onerror="document.title='owned'"> see https://club.example/x. ok`})
	c.post(map[string]any{"kind": "session", "date": today(), "text": "x", "card": map[string]any{"title": "<b>bold</b>", "parts": []any{
		map[string]any{"letter": "A", "scheme": "<i>s</i>", "movements": []any{map[string]any{"text": "12 <u>u</u>", "name": "u", "cautions": []string{"<s>c</s>"}}}, "reply": "<q>"}}}})
	b.says("<b>bold</b>")
	b.says("<s>c</s>")
	if n := eval[int](b, `document.querySelectorAll('#log img, #log .session h2 b, #log i, #log u, #log .care s, #log q').length`); n != 0 {
		t.Errorf("%d elements came out of people's words", n)
	}
	if got := eval[string](b, `document.querySelector('#log .words a').href`); got != "https://club.example/x" {
		t.Errorf("the link leads to %q", got)
	}
}

func TestACardThatCannotBeDrawnFallsBackToItsText(t *testing.T) {
	c := newClub(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("Nothing here yet")
	c.post(map[string]any{"kind": "session", "date": today(), "text": "PART A, in plain words", "card": map[string]any{"title": "T", "parts": 7}})
	b.says("PART A, in plain words")
}

func TestSignedOutPhoneSaysSo(t *testing.T) {
	c := newClub(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("Nothing here yet")
	c.set(func() { c.signedIn = func(*http.Request) bool { return false } })
	c.cut()
	b.says("This phone is signed out")
}

// What the phone kept is shown at once, and gives way to what the server tells now.
func TestTheServersTellingReplacesTheKeptCopy(t *testing.T) {
	c := newClub(t)
	for _, words := range []string{"one as first told", "two, to be forgotten", "three"} {
		c.post(map[string]any{"kind": "coach", "text": words})
	}
	c.session("ledge", today())
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("two, to be forgotten")
	b.says("lateral step-downs")
	c.set(func() {
		c.line[0]["text"] = "one as told again"
		c.line = slices.Delete(c.line, 1, 2)
		c.line[2]["card"].(map[string]any)["title"] = "Another title"
	})
	b.do(chromedp.Reload())
	b.says("one as told again")
	b.says("Another title")
	b.until("what is gone taken away", `!document.body.innerText.includes('forgotten')`)
	for _, gone := range []string{"one as first told", "Ledge and landing"} {
		if strings.Contains(b.text(), gone) {
			t.Errorf("%q is still shown", gone)
		}
	}
	if n := b.count("#session"); n != 1 {
		t.Errorf("%d elements are the session, want 1", n)
	}
	if n := b.count("#session details.older"); n != 0 {
		t.Error("the newest session is folded")
	}
	if n := b.count(".entry"); n != 3 {
		t.Errorf("%d entries, want 3", n)
	}
}

func TestOlderSessionsAreFolded(t *testing.T) {
	c := newClub(t)
	c.session("fitted", "2026-01-05")
	c.session("ledge", today())
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("lateral step-downs")
	if n := b.count("details.older"); n != 1 {
		t.Errorf("%d folded sessions, want the older one", n)
	}
	if n := b.count("#session"); n != 1 {
		t.Errorf("%d elements are the session", n)
	}
}

// waitFor waits for a condition of the server.
func waitFor(t *testing.T, what string, ok func() bool) {
	t.Helper()
	tick := time.NewTicker(10 * time.Millisecond)
	defer tick.Stop()
	end := time.NewTimer(20 * time.Second)
	defer end.Stop()
	for !ok() {
		select {
		case <-tick.C:
		case <-end.C:
			t.Fatal("waited in vain for " + what)
		}
	}
}
