package gateway

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// window is one browser window of a test.
type window struct {
	t   *testing.T
	ctx context.Context
}

// openWindow starts a browser with an empty profile; without one installed the test is skipped.
func openWindow(t *testing.T, width, height int64) *window {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser is not started with -short")
	}
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("TALLYBELL_TEST_ALL") != "" {
			t.Fatal("no browser found; install one: apt-get install -y --no-install-recommends chromium fonts-noto-core fonts-dejavu-core")
		}
		t.Skip("no browser found; install one: apt-get install -y --no-install-recommends chromium fonts-noto-core fonts-dejavu-core")
	}
	dir, err := os.MkdirTemp("", "tallybell-browser")
	if err != nil {
		t.Fatal(err)
	}
	// The browser may still write while it stops, so its folder is removed without complaint, and last.
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(dir))
	ctx, cancel := context.WithTimeout(context.Background(), 90*time.Second)
	t.Cleanup(cancel)
	ctx, stop := chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	b := &window{t, ctx}
	b.size(width, height)
	return b
}

func (b *window) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func (b *window) size(width, height int64) {
	b.t.Helper()
	b.do(chromedp.EmulateViewport(width, height))
}

func (b *window) dark(on bool) {
	b.t.Helper()
	value := map[bool]string{true: "dark", false: "light"}[on]
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: value}}}); err != nil {
		b.t.Fatal(err)
	}
}

// ask returns the value of a script, awaited.
func ask[T any](b *window, script string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v", script, err)
	}
	return v
}

// until waits for a condition of the page; a navigation on the way does not end the waiting.
func (b *window) until(condition string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, wait)
	defer cancel()
	script := fmt.Sprintf(`new Promise(done => { const look = () => { let v = false; try { v = (%s); } catch {} ; v ? done(true) : setTimeout(look, 20); }; look(); })`, condition)
	for {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[bool](script, chromedp.EvalAwaitPromise))
		if err == nil {
			return
		}
		if ctx.Err() != nil || errors.Is(err, context.DeadlineExceeded) {
			text, _ := chromedp.Run(b.ctx, chromedp.Evaluate[string](`document.body.innerText`))
			b.t.Fatalf("waited in vain for %s; the page says:\n%s", condition, text)
		}
	}
}

// audit fails for what the pages' own audit finds: names, landmarks, contrast, width, targets.
func (b *window) audit(what string) {
	b.t.Helper()
	script, err := os.ReadFile("../web/testdata/audit.js")
	if err != nil {
		b.t.Fatal(err)
	}
	_, expression, ok := strings.Cut(string(script), "\n(() =>")
	if !ok {
		b.t.Fatal("the audit holds no expression")
	}
	for _, wrong := range ask[[]string](b, "(() =>"+strings.TrimSpace(expression)+"()") {
		b.t.Errorf("%s: %s", what, wrong)
	}
}

// shot writes a picture of the whole page into the folder that SHOTS names; without it nothing happens.
func (b *window) shot(name string) {
	dir := os.Getenv("SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644)
	}
	if err != nil {
		b.t.Log("no picture:", err)
	}
}

func (p *pageRig) url(path string) string { return "http://" + p.addr + path }

func TestCoachComesInByLinkAndReadsTheMorning(t *testing.T) {
	p := startPages(t)
	p.desk.warning = "This store is volatile: what is confirmed may be lost."
	b := openWindow(t, 1280, 900)
	b.do(chromedp.Navigate(p.url("/coach")))
	b.audit("the door")
	b.shot("coach-door")
	b.do(chromedp.Navigate(p.url("/assets/bell.svg")))
	b.do(chromedp.Navigate(p.url("/coach#join=lantern.c0ach")))
	b.until(`location.hash === '' && document.body.innerText.includes('Who hurts')`)
	for _, tt := range []struct {
		name  string
		width int64
		dark  bool
	}{{"desktop", 1280, false}, {"desktop dark", 1280, true}, {"phone", 390, false}, {"narrow dark", 320, true}} {
		b.size(tt.width, 844)
		b.dark(tt.dark)
		b.audit(tt.name)
		b.shot("coach-morning-" + strings.ReplaceAll(tt.name, " ", "-"))
	}
	// On paper there are the boards, and nothing about anybody's health.
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	if err != nil {
		t.Fatal(err)
	}
	if paper := ask[string](b, `document.body.innerText`); !strings.Contains(paper, "Di Invented") || strings.Contains(paper, "knee") || strings.Contains(paper, "chest") {
		t.Errorf("on paper:\n%s", paper)
	}
	b.shot("coach-boards-on-paper")
	b.dark(false)
	_, err = chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	if err != nil {
		t.Fatal(err)
	}
	ask[bool](b, `document.querySelectorAll('details').forEach(d => d.open = true), true`)
	b.audit("everything unfolded")
	b.shot("coach-morning-unfolded")
	// Correct a result from the page, as a browser sends it: with an Origin that the server can check.
	b.do(chromedp.SendKeys(chromedp.CSS(".result input[name=reply]"), "14:23 scaled"), chromedp.SendKeys(chromedp.CSS(".result input[name=why]"), "typing slip"),
		chromedp.Click(chromedp.CSS(".result button[value=correct]")))
	b.until(`document.body.innerText.includes('The result is corrected')`)
	p.desk.mu.Lock()
	defer p.desk.mu.Unlock()
	if len(p.desk.mended) != 1 {
		t.Errorf("mended %q", p.desk.mended)
	}
}

// signIn opens a page as the coach.
func (b *window) signIn(p *pageRig, path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(p.url("/coach#join=lantern.c0ach")))
	b.until(`document.body.innerText.includes('Who hurts')`)
	b.do(chromedp.Navigate(p.url(path)))
}

func TestEditorChecksAsTheSheetIsTyped(t *testing.T) {
	p := startPages(t)
	b := openWindow(t, 1280, 900)
	b.signIn(p, "/coach/sheet/2026-12-01")
	b.audit("an empty sheet")
	bad := strings.Replace(strings.Replace(sheetText, "12 air squat", "12 aer sqwat", 1), "cap 12:00", "cap 12:7x", 1)
	b.do(chromedp.SendKeys(chromedp.CSS("#sheet"), bad))
	b.until(`document.querySelectorAll('#remarks .bad').length >= 2 && document.getElementById('verdict').className.includes('bad')`)

	lines := ask[[]int](b, `[...document.querySelectorAll('#remarks button')].map(n => +n.dataset.line)`)
	if len(lines) < 2 || lines[0] != 10 {
		t.Fatalf("messages are told at lines %v, want them from line 10 on", lines)
	}
	// Beside their lines: a message begins where its line does, and marks it in the gutter and behind the text.
	off := ask[float64](b, `(() => {
		const line = document.querySelectorAll('#gutter span')[9].getBoundingClientRect();
		const band = document.querySelector('#bands span').getBoundingClientRect();
		const told = document.querySelector('#remarks button').getBoundingClientRect();
		return Math.max(Math.abs(line.top - told.top), Math.abs(line.top - band.top));
	})()`)
	if off > 3 {
		t.Errorf("the first message stands %.1f pixels from its line", off)
	}
	overlap := ask[bool](b, `(() => { const r = [...document.querySelectorAll('#remarks button')].map(n => n.getBoundingClientRect()); return r.some((x, i) => i > 0 && x.top < r[i - 1].bottom); })()`)
	if overlap {
		t.Error("messages lie over each other")
	}
	if got := ask[string](b, `document.querySelectorAll('#gutter span')[9].className`); got != "bad" {
		t.Errorf("line 10 is marked %q in the gutter", got)
	}
	// The text in the box and the bands behind it have the same lines.
	if got := ask[float64](b, `(() => { const s = document.getElementById('sheet'); return Math.abs(s.scrollHeight - s.clientHeight); })()`); got > 1 {
		t.Errorf("the sheet scrolls %.0f pixels in its box, so lines and marks part", got)
	}
	b.audit("a sheet with errors")
	b.shot("coach-editor-errors")
	b.size(390, 844)
	b.audit("a sheet with errors on a phone")
	b.shot("coach-editor-phone")
	b.dark(true)
	b.audit("a sheet with errors on a phone, dark")
	b.shot("coach-editor-phone-dark")
	b.size(1280, 900)
	b.dark(false)
	// A message takes the coach to its word.
	b.do(chromedp.Click(chromedp.CSS("#remarks button")))
	caret := ask[string](b, `(() => { const s = document.getElementById('sheet'); return document.activeElement.id + ' ' + s.value.slice(0, s.selectionStart).split('\n').length; })()`)
	if caret != "sheet 10" {
		t.Errorf("the caret is at %q, want the sheet's line 10", caret)
	}
	// Mended, it can be read as a member reads it, and published.
	ask[bool](b, fmt.Sprintf(`(() => { const s = document.getElementById('sheet'); s.value = %q; s.dispatchEvent(new Event('input')); return true; })()`, sheetText))
	b.until(`document.getElementById('preview').textContent.includes('LEDGE AND LANDING')`)
	if n := ask[int](b, `document.querySelectorAll('#remarks .bad').length`); n != 0 {
		t.Errorf("%d errors are left", n)
	}
	b.shot("coach-editor-good")
	b.do(chromedp.Click(chromedp.CSS("button[value=publish]")))
	b.until(`document.body.innerText.includes('Published.')`)
	p.fake.set(func() {
		for date, s := range p.fake.sheets {
			if date.Month == 12 && s.Text != sheetText {
				t.Errorf("stored %q", s.Text)
			}
		}
		if len(p.fake.sheets) != 2 {
			t.Errorf("%d sheets", len(p.fake.sheets))
		}
	})
}

func TestTypedSheetSurvivesAClosedPage(t *testing.T) {
	p := startPages(t)
	b := openWindow(t, 1280, 900)
	b.signIn(p, "/coach/sheet/2026-12-01")
	b.do(chromedp.SendKeys(chromedp.CSS("#sheet"), "session: Half written"))
	b.do(chromedp.Navigate(p.url("/coach/members")), chromedp.Navigate(p.url("/coach/sheet/2026-12-01")))
	b.until(`document.body.innerText.includes('Bring back what you typed')`)
	b.do(chromedp.Click(chromedp.CSS(".editor > button.quiet")))
	if got := ask[string](b, `document.getElementById('sheet').value`); got != "session: Half written" {
		t.Errorf("brought back %q", got)
	}
}

func TestMembersPageOnScreens(t *testing.T) {
	p := startPages(t)
	b := openWindow(t, 390, 844)
	b.signIn(p, "/coach/members")
	b.do(chromedp.SendKeys(chromedp.CSS("#names"), "Eve Invented\n"+strings.Repeat("Longname", 9)), chromedp.Click(chromedp.CSS("section[aria-labelledby=add] button.first")))
	b.until(`document.querySelectorAll('[data-copy]:not([hidden])').length === 2`)
	b.audit("links to pass on")
	b.shot("coach-members-phone")
	b.size(320, 700)
	b.dark(true)
	b.audit("links to pass on, narrow and dark")
	b.size(1280, 900)
	b.dark(false)
	b.audit("links to pass on, wide")
	b.shot("coach-members")
	b.do(chromedp.Click(chromedp.CSS("[data-copy]")))
	b.until(`document.querySelector('[data-copy]').textContent.startsWith('Copied')`)
}

// fill types into an empty field, as a script would.
func (b *window) fill(id, value string) {
	b.t.Helper()
	ask[bool](b, fmt.Sprintf(`(() => { const f = document.getElementById(%q); f.value = %q; f.dispatchEvent(new Event('input', { bubbles: true })); return true; })()`, id, value))
}

func TestPreviewAsAMemberOnScreens(t *testing.T) {
	p := startFits(t)
	b := openWindow(t, 1280, 900)
	b.signIn(p, "/coach/sheet/2026-12-01")
	b.fill("sheet", fitText)
	b.until(`document.getElementById('preview').textContent.includes('5 pull-ups')`)
	b.until(`document.querySelectorAll('#fits tr').length === 4 && document.getElementById('length').textContent.includes('the sheet says up to 10')`)
	b.until(`document.getElementById('no-fit').textContent.includes('swim')`)
	b.fill("as-kit", "bagpack")
	b.until(`document.getElementById('as-problems').textContent.includes('did you mean backpack')`)
	b.audit("kit that is not known")
	b.fill("as-kit", "none")
	b.until(`document.getElementById('as-who').textContent === 'As read by a member: no kit' && document.getElementById('preview').textContent.includes('No fit: 100 m swim')`)
	// A limit by keyboard: open the fold, go to the first box, tick it.
	ask[bool](b, `document.querySelector('#read-as summary').focus(), true`)
	b.do(chromedp.KeyEvent(kb.Enter), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(" "))
	b.until(`document.getElementById('as-who').textContent.includes('no jumping')`)
	// Enter in a field reads, and stores nothing.
	b.do(chromedp.SendKeys(chromedp.CSS("#as-member"), "Cy Invented"+kb.Enter))
	b.until(`document.getElementById('as-who').textContent === 'As read by Cy Invented'`)
	if got := ask[string](b, `location.pathname + document.getElementById('sheet').value.slice(0, 8)`); got != "/coach/sheet/2026-12-01session:" {
		t.Errorf("after Enter the page is %q", got)
	}
	// From the table: read it as the member of a fit, with the typed sheet kept.
	ask[bool](b, `[...document.querySelectorAll('[data-read]')].find(a => a.dataset.read.startsWith('Ada')).click(), true`)
	b.until(`document.getElementById('as-who').textContent === 'As read by Ada Invented' && document.getElementById('preview').textContent.includes('5 pull-ups')`)
	for _, tt := range []struct {
		name  string
		width int64
		dark  bool
	}{{"desktop", 1280, false}, {"desktop-dark", 1280, true}, {"phone", 390, false}, {"phone-dark", 390, true}, {"narrow", 320, false}} {
		b.size(tt.width, 844)
		b.dark(tt.dark)
		b.audit("preview " + tt.name)
		b.shot("coach-preview-" + tt.name)
	}
	p.fake.set(func() {
		if len(p.fake.sheets) != 1 {
			t.Error("reading as somebody stored a sheet")
		}
	})
}

func TestMembersKitIsChangedOnScreens(t *testing.T) {
	p := startFits(t)
	b := openWindow(t, 390, 844)
	b.signIn(p, "/coach/members")
	b.audit("the list of members")
	b.shot("coach-members-fits-phone")
	b.do(chromedp.Click(chromedp.CSS("a[href='/coach/members/cy']")))
	b.until(`document.querySelector('h1').textContent === 'Cy Invented' && document.readyState === 'complete'`)
	b.audit("one member")
	b.fill("kit", "towel, bagpack")
	b.do(chromedp.Click(chromedp.CSS(".person button.first")))
	b.until(`document.getElementById('kit-wrong') !== null && document.readyState === 'complete'`)
	if got := ask[string](b, `document.getElementById('kit').value + '|' + document.getElementById('kit').getAttribute('aria-describedby')`); got != "towel, bagpack|kit-hint kit-wrong" {
		t.Errorf("the field is %q", got)
	}
	for _, tt := range []struct {
		name  string
		width int64
		dark  bool
	}{{"phone", 390, false}, {"phone-dark", 390, true}, {"narrow", 320, true}, {"desktop", 1280, false}, {"desktop-dark", 1280, true}} {
		b.size(tt.width, 844)
		b.dark(tt.dark)
		b.audit("what to mend, " + tt.name)
		b.shot("coach-person-" + tt.name)
	}
	b.fill("kit", "rucksack, towel")
	b.do(chromedp.Click(chromedp.CSS("input[value=quiet]")), chromedp.Click(chromedp.CSS(".person button.first")))
	b.until(`document.body.innerText.includes('Changed.') && document.getElementById('kit').value === 'backpack, towel'`)
	if m, _ := p.fake.Get("cy"); fmt.Sprint(m.Kit, m.Limits) != "[backpack towel] [quiet no weight on wrists]" {
		t.Errorf("the member has %v and %v", m.Kit, m.Limits)
	}
}
