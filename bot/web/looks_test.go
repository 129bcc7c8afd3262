package web_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// audit runs testdata/audit.js on the page as it stands.
func (b *tab) audit(what string) {
	b.t.Helper()
	script, err := os.ReadFile("testdata/audit.js")
	if err != nil {
		b.t.Fatal(err)
	}
	_, expression, ok := strings.Cut(string(script), "\n(() =>")
	if !ok {
		b.t.Fatal("testdata/audit.js holds no expression")
	}
	expression = "(() =>" + strings.TrimSpace(expression)
	for _, wrong := range eval[[]string](b, expression+"()") {
		b.t.Errorf("%s: %s", what, wrong)
	}
}

// busyConversation is a club with everything that the member's page can show.
func busyConversation(t *testing.T) *club {
	c := newClub(t)
	c.session("fitted", "2026-01-05")
	c.session("tests", "2026-01-06")
	c.session("ledge", today())
	c.post(map[string]any{"kind": "notice", "text": "The session of today was changed. Part C: cap 18:00 instead of 16:00."})
	c.post(map[string]any{"kind": "coach", "text": "Lovely rows yesterday. A long word: " + strings.Repeat("Donaudampfschifffahrts", 6)})
	for _, said := range []string{"C 14:32 scaled", "how high should the stair be? " + strings.Repeat("and then some more words ", 9), "C 14:32"} {
		c.set(func() { c.put(answer("x"+said, said)) })
	}
	return c
}

func TestMemberPageForEverybody(t *testing.T) {
	c := busyConversation(t)
	browser := newBrowser(t)
	b := phone(t, browser)
	b.open(c.URL + invite)
	b.until("the backlog read", `document.getElementById('log').getAttribute('aria-live') === 'polite'`)
	for _, tt := range []struct {
		name  string
		width int64
		dark  bool
		zoom  string
	}{
		{"phone light", 390, false, ""}, {"phone dark", 390, true, ""}, {"narrow", 320, false, ""}, {"narrow dark", 320, true, ""},
		{"text twice as large", 390, false, "200%"}, {"desktop dark", 1280, true, ""}, {"desktop light", 1280, false, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := &tab{t, b.ctx}
			b.do(chromedp.EmulateViewport(tt.width, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2)))
			b.dark(tt.dark)
			eval[bool](b, fmt.Sprintf(`document.documentElement.style.fontSize = %q, true`, tt.zoom))
			b.audit("end of the conversation")
			b.shot("member-" + strings.ReplaceAll(tt.name, " ", "-"))
			eval[bool](b, `document.getElementById('today').click(), true`)
			b.shot("member-session-" + strings.ReplaceAll(tt.name, " ", "-"))
			eval[bool](b, `document.querySelectorAll('details').forEach(d => d.open = true), true`)
			b.audit("everything unfolded")
			eval[bool](b, `document.querySelectorAll('details').forEach(d => d.open = false), true`)
		})
	}
}

func TestEmptyAndClosedDoorsForEverybody(t *testing.T) {
	c := newClub(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + "/")
	b.says("Open the link")
	b.audit("no link")
	b.shot("member-door")
	b.open(c.URL + "/assets/bell.svg")
	b.open(c.URL + invite)
	b.says("Nothing here yet")
	b.audit("no session yet")
	b.shot("member-empty")
	b.dark(true)
	b.shot("member-empty-dark")
	c.session("rest", today())
	b.says("Walk somewhere you like")
	b.audit("a rest day")
	b.shot("member-rest-dark")
}

// Bad contrast, a nameless control and a page too wide must be found, or the audit proves nothing.
func TestTheAuditFindsFaults(t *testing.T) {
	c := busyConversation(t)
	b := phone(t, newBrowser(t))
	b.open(c.URL + invite)
	b.says("Lovely rows")
	eval[bool](b, `(() => {
		document.querySelector('.words').style.color = '#aaa';
		document.querySelector('#say button[type=submit]').textContent = '';
		document.querySelector('.entry').style.width = '900px';
		document.querySelector('main').prepend(document.createElement('h1'), document.createElement('input'));
		return true;
	})()`)
	script, err := os.ReadFile("testdata/audit.js")
	if err != nil {
		t.Fatal(err)
	}
	_, expression, _ := strings.Cut(string(script), "\n(() =>")
	found := strings.Join(eval[[]string](b, "(() =>"+strings.TrimSpace(expression)+"()"), "\n")
	for _, want := range []string{"contrast ", "no name: <button", "no name: <input", "the page is ", "first headings"} {
		if !strings.Contains(found, want) {
			t.Errorf("the audit did not find %q; it found:\n%s", want, found)
		}
	}
}

func TestPureRulesOfTheScripts(t *testing.T) {
	c := newClub(t)
	b := desktop(t, newBrowser(t))
	b.open(c.URL + "/")
	for _, tt := range []struct{ what, module, expression, want string }{
		{"a cursor of more digits is later", "pace.js", `m.later('1000', '999')`, "true"},
		{"equal cursors are not later", "pace.js", `m.later('7', '7')`, "false"},
		{"cursors beyond exact numbers", "pace.js", `m.later('9007199254740993', '9007199254740992')`, "true"},
		{"any cursor is later than none", "pace.js", `m.later('1', '')`, "true"},
		{"the first wait is between half and all of a second", "pace.js", `[m.wait(0, 0), m.wait(0, 0.999999)]`, "[500,1000]"},
		{"no wait is longer than half a minute", "pace.js", `[m.wait(50, 0), m.wait(50, 0.999999)]`, "[15000,30000]"},
		{"a server that asks for time gets more", "pace.js", `m.waitAfterClose(1013, 0, 0) > m.wait(0, 0.99)`, "true"},
		{"a server going away spreads its members", "pace.js", `[m.waitAfterClose(1001, 0, 0), m.waitAfterClose(1001, 0, 1)]`, "[500,4000]"},
		{"a link", "pace.js", `m.invitation('#join=lantern.AbC-_9')`, `"lantern.AbC-_9"`},
		{"no link", "pace.js", `[m.invitation('#session'), m.invitation(''), m.invitation('#join=<b>')]`, `["","",""]`},
		{"32 bytes of key", "pace.js", `m.randomKey(32).length`, "43"},
		{"keys differ", "pace.js", `m.randomKey(32) !== m.randomKey(32)`, "true"},
		{"an id of up to 64 characters", "pace.js", `m.randomKey(18).length`, "24"},
		{"bytes of a text", "pace.js", `m.bytes('é€😀')`, "9"},
		{"a date", "pace.js", `m.longDate('2027-02-01')`, `"Monday 1 February"`},
		{"no date", "pace.js", `[m.longDate(''), m.longDate('soon')]`, `["","soon"]`},
		{"ordinals", "pace.js", `[1,2,3,4,11,12,13,21,101,111].map(m.ordinal)`, `["1st","2nd","3rd","4th","11th","12th","13th","21st","101st","111th"]`},
		{"a line with sides", "card.js", `m.split('16 step-ups, 8 each side', '16')`, `["16","step-ups","8 each side"]`},
		{"a range", "card.js", `m.split('8-12 push-ups', '8-12')`, `["8-12","push-ups",""]`},
		{"a ladder", "card.js", `m.split('16-12-8-4 push-ups', '')`, `["16-12-8-4","push-ups",""]`},
		{"no amount", "card.js", `m.split('side plank', '')`, `["","side plank",""]`},
		{"a distance", "card.js", `m.split('200 m run', '200 m')`, `["200 m","run",""]`},
		{"a time", "log.js", `m.clock(872000)`, `"14:32"`},
		{"a long time", "log.js", `m.clock(3735400)`, `"1:02:15.4"`},
		{"a short hold", "log.js", `m.clock(45050)`, `"0:45.05"`},
		{"figures", "log.js", `[{kind:'time',finished:false,reps:74},{kind:'reps',rounds:5,extra:12,reps:222},{kind:'reps',reps:78},{kind:'load',load_g:42500},{kind:'distance',distance_mm:2400000},{kind:'hold',time_ms:95000},'as told'].map(m.figure)`,
			`["74 reps","5 + 12","78 reps","42.5 kg","2400 m","1:35","as told"]`},
		{"remarks do not overlap", "editor.js", `m.place([0, 10, 100], [30, 30, 30], 4)`, "[0,34,100]"},
		{"the caret goes to the column in code points", "editor.js", `m.offset('ab\n😀cd\nef', 2, 3)`, "6"},
		{"a line beyond the end", "editor.js", `m.offset('ab', 5, 1)`, "2"},
		{"a column beyond the line", "editor.js", `m.offset('ab\ncd', 1, 9)`, "2"},
	} {
		t.Run(tt.what, func(t *testing.T) {
			b := &tab{t, b.ctx}
			got := eval[string](b, fmt.Sprintf(`import('/assets/%s').then(m => JSON.stringify(%s))`, tt.module, tt.expression))
			if got != tt.want {
				t.Errorf("%s is %s, want %s", tt.expression, got, tt.want)
			}
		})
	}
}

// An outbox is given a storage that fails, and one that is shared with another member.
func TestOutbox(t *testing.T) {
	c := newClub(t)
	b := desktop(t, newBrowser(t))
	b.open(c.URL + "/")
	for _, tt := range []struct{ what, script, want string }{
		{"keeps the order", `const o = new m.Outbox(localStorage, 'a'); o.add('x', d); o.add('y', d); return new m.Outbox(localStorage, 'a').items().map(i => i.text)`, `["x","y"]`},
		{"is one member's", `return new m.Outbox(localStorage, 'b').items()`, `[]`},
		{"gives back what it removes", `const o = new m.Outbox(localStorage, 'a'); return [o.remove(o.items()[0].id).text, o.remove('none'), o.items().length]`, `["x",null,1]`},
		{"leaves nothing behind", `const o = new m.Outbox(localStorage, 'a'); o.remove(o.items()[0].id); return localStorage.getItem('tallybell.outbox.a')`, `null`},
		{"passes over what is held", `const o = new m.Outbox(localStorage, 'c'); const i = o.add('x', d); o.add('y', d); o.mark(i.id, {held: 'too long'}); return [o.next().text, o.items().length]`, `["y",2]`},
		{"works with a full disk", `const full = {getItem: () => null, removeItem() {}, setItem() { throw new Error('full'); }}; const o = new m.Outbox(full, 'a'); const i = o.add('x', d); o.add('y', d); o.mark(i.id, {tried: true}); o.remove(i.id); return [i.saved, o.items().map(i => i.text)]`, `[false,["y"]]`},
		{"begins anew when its storage holds nonsense", `localStorage.setItem('tallybell.outbox.d', '{nonsense'); return new m.Outbox(localStorage, 'd').items()`, `[]`},
	} {
		t.Run(tt.what, func(t *testing.T) {
			b := &tab{t, b.ctx}
			got := eval[string](b, `import('/assets/outbox.js').then(m => { const d = new Date(); return (() => { `+tt.script+` })(); }).then(v => JSON.stringify(v))`)
			if got != tt.want {
				t.Errorf("got %s, want %s", got, tt.want)
			}
		})
	}
}
