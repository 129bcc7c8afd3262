package e2e

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

var joinLink = regexp.MustCompile(`http://\S+#join=\S+`)

// demo starts the invented club and returns it with the member's and the coach's link.
func demo(t testing.TB, addr, data string) (p *process, memberLink, coachLink string) {
	t.Helper()
	p = start(t, "demo", "--addr", addr, "--data", data)
	var links []string
	waitFor(t, "the demo's two links", func() bool {
		links = joinLink.FindAllString(p.stdout(), -1)
		return len(links) == 2
	})
	return p, links[0], links[1]
}

// signIn uses a coach's link as a program would.
func signIn(t testing.TB, url, link string) api {
	t.Helper()
	var got struct{ Token string }
	api{t, url, ""}.want(200, "POST", "/api/join", map[string]string{"invite": link[strings.Index(link, "#join=")+len("#join="):]}, &got)
	return api{t, url, got.Token}
}

// The demo prints two links, has a week on its boards, and is the same club after a kill.
func TestDemo(t *testing.T) {
	data := filepath.Join(t.TempDir(), "demo")
	p, memberLink, link := demo(t, "127.0.0.1:0", data)
	coach := signIn(t, p.url, link)
	var members []struct {
		ID      string
		OnBoard bool `json:"on_boards"`
	}
	coach.want(200, "GET", "/api/members", nil, &members)
	on := 0
	for _, m := range members {
		if m.OnBoard {
			on++
		}
	}
	if len(members) < 24 || on < 13 {
		t.Errorf("%d members, %d of them on boards", len(members), on)
	}
	before := pastWeek(coach)
	if len(before) < 10 {
		t.Errorf("only %d boards in the past week: %v", len(before), before)
	}
	var report struct {
		Answered, Missing, Concerns, Questions []any
	}
	coach.want(200, "GET", "/api/reports/"+time.Now().In(london(t)).AddDate(0, 0, -1).Format(time.DateOnly), nil, &report)
	if len(report.Answered) == 0 || len(report.Missing) == 0 || len(report.Questions) == 0 {
		t.Errorf("yesterday: %d answered, %d missing, %d questions", len(report.Answered), len(report.Missing), len(report.Questions))
	}
	phone := signIn(t, p.url, memberLink)
	told := conversation(t, p.url, member{token: phone.token})
	p.kill()
	p, _, _ = demo(t, "127.0.0.1:0", data)
	coach.url = p.url
	after := pastWeek(coach)
	for k, v := range before {
		if after[k] != v {
			t.Errorf("%s was\n%s\nand is after a restart\n%s", k, v, after[k])
		}
	}
	if again := conversation(t, p.url, member{token: phone.token}); strings.Join(again, "\n") != strings.Join(told, "\n") {
		t.Errorf("a member's conversation was\n%s\nand is after a restart\n%s", strings.Join(told, "\n"), strings.Join(again, "\n"))
	}
	if n := strings.Count(strings.Join(told, "\n"), " session re "); n < 5 || n > 8 {
		t.Errorf("%d sessions in the conversation of a week", n)
	}
	var sent struct{ Posts int }
	coach.want(200, "POST", "/api/sessions/"+time.Now().In(london(t)).Format(time.DateOnly)+"/send", nil, &sent)
	if sent.Posts != 0 {
		t.Errorf("after a restart today's session went out again to %d groups", sent.Posts)
	}
	var diff struct{ Differences []string }
	coach.want(200, "POST", "/api/rebuild", nil, &diff)
	if len(diff.Differences) != 0 {
		t.Errorf("boards and ledgers differ: %v", diff.Differences)
	}
}

// pastWeek is each board of the past week, by date and part.
func pastWeek(coach api) map[string]string {
	coach.t.Helper()
	out := map[string]string{}
	for back := 1; back <= 7; back++ {
		date := time.Now().In(london(coach.t)).AddDate(0, 0, -back).Format(time.DateOnly)
		for _, part := range []string{"B", "C", "D"} {
			var page boardPage
			if status, _, _ := coach.call("GET", "/api/boards/"+date+"/"+part, "application/json", nil); status == 404 {
				continue // a rest day, or a session with fewer parts
			}
			coach.want(200, "GET", "/api/boards/"+date+"/"+part, nil, &page)
			if len(page.Boards) > 0 {
				out[date+part] = page.lines()
			}
		}
	}
	return out
}

func london(t testing.TB) *time.Location {
	t.Helper()
	z, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	return z
}
