package web_test

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
)

// tab is one browser tab of a test.
type tab struct {
	t   *testing.T
	ctx context.Context
}

// newBrowser starts a browser of its own, with an empty profile. Without one installed the test is skipped.
func newBrowser(t *testing.T) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser is not started with -short")
	}
	found := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			found = path
			break
		}
	}
	if found == "" {
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
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(found), chromedp.NoSandbox,
		chromedp.DisableGPU, chromedp.UserDataDir(dir))
	ctx, cancel := context.WithTimeout(context.Background(), 90*time.Second)
	t.Cleanup(cancel)
	ctx, stop := chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	return ctx
}

// phone opens a tab that is 390 by 844, touched and not clicked.
func phone(t *testing.T, browser context.Context) *tab {
	t.Helper()
	b := &tab{t, browser}
	b.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2)))
	return b
}

// desktop opens a tab of a wide screen, with a mouse.
func desktop(t *testing.T, browser context.Context) *tab {
	t.Helper()
	b := &tab{t, browser}
	b.do(chromedp.EmulateViewport(1280, 900))
	return b
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func (b *tab) open(url string) { b.t.Helper(); b.do(chromedp.Navigate(url)) }

func (b *tab) dark(on bool) {
	b.t.Helper()
	value := map[bool]string{true: "dark", false: "light"}[on]
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: value}}})
	if err != nil {
		b.t.Fatal(err)
	}
}

// eval returns the value of a script, awaited.
func eval[T any](b *tab, script string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v", script, err)
	}
	return v
}

// until waits for a condition of the page; a navigation on the way does not end the waiting.
func (b *tab) until(what, condition string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 20*time.Second)
	defer cancel()
	script := fmt.Sprintf(`new Promise(done => { const look = () => { let v = false; try { v = (%s); } catch {} ; v ? done(true) : setTimeout(look, 20); }; look(); })`, condition)
	for {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[bool](script, chromedp.EvalAwaitPromise))
		if err == nil {
			return
		}
		if ctx.Err() != nil || errors.Is(err, context.DeadlineExceeded) {
			b.shot("failed-" + strings.ReplaceAll(b.t.Name(), "/", "-"))
			text, _ := chromedp.Run(b.ctx, chromedp.Evaluate[string](`document.body.innerText`))
			b.t.Fatalf("waited in vain for %s (%s); the page says:\n%s", what, condition, text)
		}
	}
}

// says waits until the page shows the text.
func (b *tab) says(text string) {
	b.t.Helper()
	b.until(fmt.Sprintf("%q on the page", text), fmt.Sprintf("document.body.innerText.includes(%q)", text))
}

func (b *tab) text() string { b.t.Helper(); return eval[string](b, `document.body.innerText`) }

// count returns how many elements match.
func (b *tab) count(selector string) int {
	b.t.Helper()
	return eval[int](b, fmt.Sprintf("document.querySelectorAll(%q).length", selector))
}

func (b *tab) keys(keys string) { b.t.Helper(); b.do(chromedp.KeyEvent(keys)) }

// shot writes a picture of the page into the folder that SHOTS names, for looking at; without it nothing happens.
func (b *tab) shot(name string) {
	dir := os.Getenv("SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644)
	}
	if err != nil {
		b.t.Log("no picture:", err)
	}
}

// full is shot of the page from top to bottom.
func (b *tab) full(name string) {
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
