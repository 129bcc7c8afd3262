package gateway

import (
	"encoding/json"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tallybell/bot"
	"tallybell/content"
)

func TestOwnResultsAreTheMembersAlone(t *testing.T) {
	p := startPages(t)
	resp, page := p.get("/me/results", "")
	if resp.StatusCode != http.StatusUnauthorized || !strings.Contains(page, "needs your link") {
		t.Errorf("nobody's page: %d\n%s", resp.StatusCode, page)
	}
	resp, page = p.get("/me/results", p.ada)
	if resp.StatusCode != http.StatusOK || resp.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("status %d, Cache-Control %q", resp.StatusCode, resp.Header.Get("Cache-Control"))
	}
	inOrder(t, page, "Your results", "What came again", "16 &lt;b&gt;air squat&lt;/b&gt;", "lower is faster", "<svg", "25 Nov 2026", "14:23", "0:27 faster",
		"By date", "towel row")
	for _, secret := range []string{"sent eased", "please check", "Estimate", "load", "<b>air squat"} {
		if strings.Contains(page, secret) {
			t.Errorf("the member's page says %q", secret)
		}
	}
	if strings.Contains(page, "style=") || strings.Contains(page, "<script") {
		t.Error("the page needs a style or a script that its policy forbids")
	}
}

func TestChartSaysWhatItShows(t *testing.T) {
	p := startPages(t)
	_, page := p.get("/me/results", p.ada)
	inOrder(t, page, "The axis begins at 13:", `aria-labelledby="chart0-t chart0-d"`, `id="chart0-t"`, `id="chart0-d"`, "14:50, as written; 28 Oct 2026: 13:40, scaled; 11 Nov 2026: cap at 74 reps, as written; 25 Nov 2026: 14:23, as written")
	for _, class := range []string{`class="dot written"`, `class="dot scaled"`, `class="dot unfinished"`} {
		if !strings.Contains(page, class) {
			t.Errorf("no %s", class)
		}
	}
	dots := regexp.MustCompile(`class="dot [a-z]+" transform="translate\(([0-9.]+) ([0-9.]+)\)"`).FindAllStringSubmatch(page, -1)
	if len(dots) != 4 {
		t.Fatalf("%d dots: %v", len(dots), dots)
	}
}

func TestCoachSeesAPersonsPast(t *testing.T) {
	p := startPages(t)
	_, page := p.get("/coach/members/ada", p.coach)
	inOrder(t, page, "Limits", "What came again", "please check", "By date", "sent eased", "Heaviest sets", "backpack squat", "60 kg × 8",
		"estimate: 74.5 kg to 76 kg", "none above 10 reps", "Training load", "Descriptive only; does not predict injury", "n/a")
	for _, word := range []string{"danger", "sweet spot", "risk"} {
		if strings.Contains(page, word) {
			t.Errorf("the page says %q", word)
		}
	}
	_, page = p.get("/coach", p.coach)
	inOrder(t, page, "Who hurts", "Questions", "Worth a look", "Hurt", "Quiet", `href="/coach/members/cy"`, "no result for 3 scheduled days", "Mon 23 Nov",
		"Ready for more <small>2</small>", "you may offer a harder line", "Who did what")
}

func TestHistoryByTheAPI(t *testing.T) {
	p := startPages(t)
	get := func(path, token string, want int) bot.History {
		t.Helper()
		req, err := http.NewRequest("GET", "http://"+p.addr+path, nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Authorization", "Bearer "+token)
		resp, err := p.client.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = resp.Body.Close() }()
		var h bot.History
		if resp.StatusCode != want {
			t.Errorf("%s: %d, want %d", path, resp.StatusCode, want)
		} else if want == http.StatusOK {
			if err := json.NewDecoder(resp.Body).Decode(&h); err != nil {
				t.Error(err)
			}
		}
		return h
	}
	own := get("/api/me/history", p.ada, http.StatusOK)
	if own.Member != "ada" || len(own.Results) != 5 || len(own.Pieces) != 1 || own.Pieces[0].Kind != content.KindTime || own.Heaviest != nil {
		t.Errorf("%+v", own)
	}
	if h := get("/api/members/ada/history", p.coach, http.StatusOK); h.Heaviest == nil {
		t.Error("the coach is told of no sets")
	}
	get("/api/members/ada/history", p.ada, http.StatusForbidden)
	get("/api/members/nobody/history", p.coach, http.StatusNotFound)
	get("/api/members/ada/load", p.coach, http.StatusOK)
	get("/api/members/ada/load", p.ada, http.StatusForbidden)
}

func TestPastOnScreens(t *testing.T) {
	p := startPages(t)
	p.fake.set(func() { p.fake.invites["lantern.m3mber"] = "ada" })
	b := openWindow(t, 390, 844)
	sizes := []struct {
		name  string
		width int64
		dark  bool
	}{{"phone", 390, false}, {"phone-dark", 390, true}, {"narrow", 320, false}, {"desktop", 1280, false}, {"desktop-dark", 1280, true}}
	b.signIn(p, "/coach/members/ada")
	ask[bool](b, `document.querySelectorAll('details').forEach(d => d.open = true), true`)
	for _, tt := range sizes {
		b.size(tt.width, 844)
		b.dark(tt.dark)
		b.audit("a person's past, " + tt.name)
		b.shot("coach-past-" + tt.name)
	}
	b.do(chromedp.Navigate(p.url("/me/results")))
	b.until(`document.body.innerText.includes('What came again')`)
	for _, tt := range sizes {
		b.size(tt.width, 844)
		b.dark(tt.dark)
		b.audit("own results, " + tt.name)
		b.shot("own-results-" + tt.name)
	}
	if got := ask[string](b, `[...document.querySelectorAll('.chart text')].map(x => getComputedStyle(x).fontSize).sort()[0]`); got == "" {
		t.Error("a chart without words")
	}
}
