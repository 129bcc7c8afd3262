package e2e

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// page is one browser tab.
type page struct {
	t   *testing.T
	ctx context.Context
}

// browse starts a real browser with an empty profile.
func browse(t *testing.T) *page {
	t.Helper()
	path := needed(t, "chromium", "chromium fonts-noto-core fonts-dejavu-core")
	dir, err := os.MkdirTemp("", "tallybell-e2e-browser")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) }) // it may still write while it stops
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox,
		chromedp.DisableGPU, chromedp.UserDataDir(dir))
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	t.Cleanup(cancel)
	ctx, stop := chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	return &page{t, ctx}
}

func (p *page) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.t.Fatal(err)
	}
}

// until waits for a condition of the page, in JavaScript; a navigation meanwhile does not end the waiting.
func (p *page) until(condition string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 30*time.Second)
	defer cancel()
	script := fmt.Sprintf(`new Promise(done => { const look = () => { let v = false; try { v = (%s); } catch {} ; v ? done(true) : setTimeout(look, 20); }; look(); })`, condition)
	for {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[bool](script, chromedp.EvalAwaitPromise))
		if err == nil {
			return
		}
		if ctx.Err() != nil || errors.Is(err, context.DeadlineExceeded) {
			text, _ := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.body.innerText`))
			p.t.Fatalf("waited in vain for %s; the page says:\n%s", condition, text)
		}
	}
}

func (p *page) says(text string) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.body.innerText.includes(%q)", text))
}

func (p *page) times(text string) int {
	p.t.Helper()
	n, err := chromedp.Run(p.ctx, chromedp.Evaluate[int](fmt.Sprintf("document.getElementById('log').innerText.split(%q).length - 1", text)))
	if err != nil {
		p.t.Fatal(err)
	}
	return n
}

// picture writes the page as it stands into the folder that PICTURES names: the README's pictures are made here.
func (p *page) picture(name string) {
	dir := os.Getenv("PICTURES")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644)
	}
	if err != nil {
		p.t.Fatal(err)
	}
}

func (p *page) reply(text string) {
	p.t.Helper()
	p.do(chromedp.SendKeys(chromedp.CSS("#text"), text), chromedp.Tap(chromedp.CSS("#say button[type=submit]")))
}

// A member joins by link on a phone, replies, reloads, loses the connection and gets it back; the coach reads the
// morning and writes a sheet.
func TestBrowser(t *testing.T) {
	whole := t
	data := filepath.Join(t.TempDir(), "demo")
	server, memberLink, coachLink := demo(t, "127.0.0.1:0", data)
	addr := strings.TrimPrefix(server.url, "http://")
	// Four others answer, so that a rank is told.
	coach := signIn(t, server.url, coachLink)
	others(t, server, coach)
	t.Run("member", func(t *testing.T) {
		p := browse(t)
		p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2)))
		p.do(chromedp.Navigate(memberLink))
		p.says("Today’s session")
		p.says("split squats")
		p.says("a hand near the wall") // a caution is open without a tap
		p.until(`scrollY > 300`)       // the page goes to today's session by itself
		p.picture("session")
		p.reply("C 10:02 as written")
		p.says("C: 10:02, as written")
		p.says(" of 5 women as written")
		p.do(chromedp.Reload())
		p.says("C: 10:02, as written")
		p.until(`document.getElementById('log').getAttribute('aria-live') === 'polite' && document.getElementById('state').innerText === 'Connected'`)
		p.picture("member")
		if n := p.times("C: 10:02, as written"); n != 1 {
			t.Errorf("after reloading the answer is there %d times", n)
		}
		server.kill()
		p.reply("B 31/33/47/32 as written")
		p.says("Waiting")
		server, _, _ = demo(whole, addr, data)
		p.says("B: 143 reps, as written")
		p.do(chromedp.Reload())
		p.says("B: 143 reps, as written")
		if n := p.times("B: 143 reps, as written"); n != 1 {
			t.Errorf("sent while away, the reply was answered %d times", n)
		}
	})
	t.Run("coach", func(t *testing.T) { coachAtTheDesk(t, server, coach) })
}

// coachAtTheDesk comes in by link, reads the morning, types a sheet with a mistake, and looks at it all on a phone.
func coachAtTheDesk(t *testing.T, server *process, coach api) {
	t.Helper()
	var made struct{ Link string }
	coach.t, coach.url = t, server.url
	coach.want(200, "POST", "/api/members/coach/invites", map[string]bool{"revoke": false}, &made)
	p := browse(t)
	p.do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(made.Link))
	p.says("Boards")
	p.says("Who hurts")
	p.says("Questions")
	p.picture("coach")
	p.do(chromedp.Navigate(server.url + "/coach/sheet/" + time.Now().AddDate(0, 0, 1).Format(time.DateOnly)))
	p.says("Save as draft")
	wrong := strings.Replace(sheet, "air squat", "aer sqwat", 1)
	p.do(chromedp.SendKeys(chromedp.CSS("#sheet"), wrong))
	p.until(`document.querySelectorAll('#remarks .bad').length >= 1`)
	p.says("aer sqwat")
	p.picture("sheet")
	p.do(chromedp.Navigate(server.url + "/coach/members"))
	p.says("Ana Vardanyan")
	p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2)))
	for _, path := range []string{"/coach", "/coach/sheet", "/coach/members"} {
		p.do(chromedp.Navigate(server.url + path))
		p.says("Lantern Hall")
		p.until("document.readyState === 'complete' && innerWidth === 390 && document.documentElement.scrollWidth <= innerWidth") // nothing sticks out on a phone
	}
}

// others has four members of the demo answer today's piece.
func others(t *testing.T, p *process, coach api) {
	t.Helper()
	var members []struct{ ID, Name, Division string }
	coach.want(200, "GET", "/api/members", nil, &members)
	done := 0
	for _, m := range members {
		if m.Division != "women" || m.Name == "Ana Vardanyan" || m.Name == "Vera Mbeki-Stone" || m.Name == "Yara Lindgren-Cole" || done == 4 {
			continue
		}
		var in invited
		coach.want(200, "POST", "/api/members/"+m.ID+"/invites", map[string]bool{"revoke": false}, &in)
		var got struct{ Token string }
		api{t, p.url, ""}.want(200, "POST", "/api/join", map[string]string{"invite": in.Invite}, &got)
		c := dial(t, p.url, got.Token, "")
		f := c.say("x", fmt.Sprintf("C %d:%02d as written", 9+done, 10*done))
		if strings.Contains(string(f.Card), `"version":"as_written"`) {
			done++ // whoever was sent another way is asked first, and stands among the scaled
		}
	}
	if done != 4 {
		t.Fatalf("only %d others answered", done)
	}
}
