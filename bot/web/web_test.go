package web_test

import (
	"flag"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"tallybell/bot/web"
)

var update = flag.Bool("update", false, "write the golden files")

func newPages(t testing.TB) *web.Pages {
	t.Helper()
	p, err := web.New()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; look at it, then run: go test ./bot/web -run %s -update\n%s", path, t.Name(), got)
	}
}

// body returns what is between <main and </main>, which is what a page says.
func body(t *testing.T, r *httptest.ResponseRecorder) string {
	t.Helper()
	_, rest, ok := strings.Cut(r.Body.String(), "<main")
	rest, _, ok2 := strings.Cut(rest, "</main>")
	if !ok || !ok2 {
		t.Fatalf("no main in %s", r.Body)
	}
	return "<main" + rest + "</main>\n"
}

func shell(here string) web.Shell {
	return web.Shell{Club: "Lantern Hall Strength Club", Title: "Morning", Here: here, Today: "2027-02-02"}
}

// wicked is a name that a page must show and never obey.
const wicked = `<script>alert("x")</script> & "Ana" 'O' ` + "\u202ereversed"

func wickedMorning() web.Morning {
	p := web.Person{ID: "m1", Name: wicked, Division: "women"}
	return web.Morning{
		Shell: shell("morning"), Date: "2027-02-01", DateText: "Monday 1 February 2027", Yesterday: "2027-02-01",
		Before: "2027-01-31", After: "2027-02-02", Session: "Ledge and landing", Sent: 3,
		Concerns: []web.Concern{
			{Person: p, Warning: true, Said: "chest feels tight <b>", At: "Mon 1 Feb, 18:05", Held: true, FormID: "f1"},
			{Person: web.Person{ID: "m2", Name: "Bo Field"}, Said: "left knee a bit sore", FormID: "f2"},
		},
		Questions: []web.Question{{Person: p, ID: "q1", Said: "is the lowest stair enough?", FormID: "f3"}},
		Attention: []web.Attention{{Title: "Quiet", Lines: []web.AttentionLine{{Person: p, Reason: "no result for 3 scheduled days",
			Because: "Fri 29 Jan, Sat 30 Jan, Mon 1 Feb"}}}, {Title: "Ready for more", Lines: []web.AttentionLine{{Person: p, Reason: "as written with effort 6 or less twice",
			Because: "effort 5 on Sat 30 Jan, effort 6 on Mon 1 Feb", Offer: "you may offer a harder line; the bot never does"}}}},
		Answered: []web.Attendance{{Person: p, Note: "felt <i>easy</i>", Results: []web.Result{
			{Person: p, Date: "2027-02-01", Part: "C", Show: "14:32", Version: "scaled", Effort: "8", Late: true, Marked: true, FormID: "f4"}}}},
		Missing: []web.Person{{ID: "m3", Name: "Cleo Marsh"}},
		Boards: []web.Board{{Part: "C", Scheme: "5 rounds for time", Blocks: []web.Block{{Division: "women", Version: "as written", Entries: []web.Entry{
			{Rank: 1, Name: wicked, Result: "13:57", Way: "200 m run", Load: "12 kg"}, {Rank: 2, Name: "Bo Field", Result: "14:32", Late: true, Marked: true}}}}},
			{Part: "D", Scheme: "AMRAP 9:00"}},
	}
}

func TestMorningPageSaysTheDayInOrder(t *testing.T) {
	w := httptest.NewRecorder()
	if err := newPages(t).Morning(w, wickedMorning()); err != nil {
		t.Fatal(err)
	}
	golden(t, "morning.html", body(t, w))
}

func TestEmptyMorningPage(t *testing.T) {
	w := httptest.NewRecorder()
	v := web.Morning{Shell: shell("morning"), Date: "2027-02-01", DateText: "Monday 1 February 2027", Yesterday: "2027-02-01", Before: "2027-01-31", After: "2027-02-02"}
	v.Warnings = []string{"This store is volatile: what is saved may be lost."}
	if err := newPages(t).Morning(w, v); err != nil {
		t.Fatal(err)
	}
	golden(t, "morning_empty.html", body(t, w))
}

func TestConcernsComeBeforeEverythingElse(t *testing.T) {
	w := httptest.NewRecorder()
	if err := newPages(t).Morning(w, wickedMorning()); err != nil {
		t.Fatal(err)
	}
	page := w.Body.String()
	last := -1
	for _, what := range []string{"Who hurts", "not a diagnosis", "Questions", "Worth a look", "Who did what", "Missing", "Boards"} {
		at := strings.Index(page, what)
		if what == "not a diagnosis" {
			at = strings.Index(page, "Nothing here is a diagnosis")
		}
		if at < last || at < 0 {
			t.Errorf("%q stands at %d, before what should precede it (%d)", what, at, last)
		}
		last = at
	}
}

func editorView() web.Editor {
	text := "session: Ledge </textarea><script>alert(1)</script>\nA. 4 sets\n12 pushup\n12 pack swing\n"
	ps := []web.Problem{{Line: 3, Column: 4, Message: `"pushup" is not known: did you mean push-up?`}, {Line: 4, Column: 1, Message: "any <pack> counts", Warning: true}, {Line: 99, Column: 1, Message: "beyond the end"}}
	v := web.Editor{Shell: shell("sheet"), Date: "2027-02-01", DateText: "Monday 1 February 2027", Before: "2027-01-31", After: "2027-02-02", Text: text, Stored: true, Draft: true}
	v.Checked.Problems = ps
	v.Checked.Errors, v.Checked.Warnings = web.Tally(ps)
	v.NoFit = []web.NoFit{{Part: "A", Movement: "pull-up", Members: []string{"Bo Field", wicked}}}
	v.Conflict = []string{"Part C has 4 results of kind time and would become reps."}
	return v
}

func TestEditorShowsMessagesAtTheirLines(t *testing.T) {
	w := httptest.NewRecorder()
	if err := newPages(t).Editor(w, http.StatusUnprocessableEntity, editorView()); err != nil {
		t.Fatal(err)
	}
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("status %d, want 422", w.Code)
	}
	golden(t, "editor.html", body(t, w))
}

func TestProblemsBeyondTheSheetStandAtItsLastLine(t *testing.T) {
	lines := editorView().Lines()
	if len(lines) != 4 {
		t.Fatalf("%d lines, want 4", len(lines))
	}
	for i, want := range []int{0, 0, 1, 2} {
		if got := len(lines[i].Problems); got != want {
			t.Errorf("line %d has %d problems, want %d", i+1, got, want)
		}
	}
	if got := (web.Editor{}).Lines(); len(got) != 1 {
		t.Errorf("an empty sheet has %d lines, want 1", len(got))
	}
}

func TestMembersPage(t *testing.T) {
	w := httptest.NewRecorder()
	v := web.Members{Shell: shell("members"), Divisions: []string{"women", "men"}, Division: "men", FormID: "f9", Names: "Dara Fenn",
		Members: []web.Member{
			{Person: web.Person{ID: "m1", Name: wicked, Division: "women"}, Joined: true, OnBoards: true, SendAt: "06:30, Europe/Paris", Kit: "backpack, towel", Level: "easier"},
			{Person: web.Person{ID: "c1", Name: "Maren Oduya"}, Coach: true, Joined: true},
			{Person: web.Person{ID: "m2", Name: "Bo Field"}},
		},
		Invites: []web.Invite{{Name: wicked, Link: "https://club.example/#join=lantern.abc"}}}
	v.Problem = "Line 2: a name has 1 to 80 characters."
	if err := newPages(t).Members(w, v); err != nil {
		t.Fatal(err)
	}
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("status %d, want 422 with a problem", w.Code)
	}
	golden(t, "members.html", body(t, w))
}

var tags = regexp.MustCompile(`(?i)<(script|i|b)>`)

func TestNothingThatPeopleTypeBecomesHTML(t *testing.T) {
	p := newPages(t)
	pages := map[string]func(http.ResponseWriter) error{
		"morning": func(w http.ResponseWriter) error { return p.Morning(w, wickedMorning()) },
		"editor":  func(w http.ResponseWriter) error { return p.Editor(w, 200, editorView()) },
		"member":  func(w http.ResponseWriter) error { return p.Member(w, web.MemberPage{Club: wicked}) },
		"door":    func(w http.ResponseWriter) error { return p.Door(w, web.Door{Club: wicked, Problem: wicked}) },
		"oops": func(w http.ResponseWriter) error {
			s := shell("")
			s.Problem, s.Title = wicked, wicked
			return p.Oops(w, 404, web.Oops{Shell: s, Back: "/coach"})
		},
	}
	for name, write := range pages {
		t.Run(name, func(t *testing.T) {
			w := httptest.NewRecorder()
			if err := write(w); err != nil {
				t.Fatal(err)
			}
			text := strings.ReplaceAll(w.Body.String(), `<b class="figure">`, "")
			for _, m := range tags.FindAllString(text, -1) {
				if m == "<b>" && name == "morning" { // the figure of a board's line
					continue
				}
				t.Errorf("%q is in the page", m)
			}
			if !strings.Contains(text, "&lt;script&gt;alert(") {
				t.Error("what was typed is not on the page")
			}
		})
	}
}

func TestPagesNeedNothingInlineAndNothingFromElsewhere(t *testing.T) {
	p := newPages(t)
	w := httptest.NewRecorder()
	for _, write := range []func() error{
		func() error { return p.Member(w, web.MemberPage{Club: "Lantern Hall"}) },
		func() error { return p.Door(w, web.Door{Club: "Lantern Hall"}) },
		func() error { return p.Morning(w, wickedMorning()) },
		func() error { return p.Editor(w, 200, editorView()) },
		func() error {
			return p.Members(w, web.Members{Shell: shell("members"), Members: []web.Member{{}}, Invites: []web.Invite{{}}})
		},
	} {
		if err := write(); err != nil {
			t.Fatal(err)
		}
	}
	page := w.Body.String()
	for _, bad := range []string{`<style`, ` style=`, ` onclick=`, ` onsubmit=`, ` onload=`, `javascript:`} {
		if strings.Contains(page, bad) {
			t.Errorf("%q is in the pages", bad)
		}
	}
	for _, m := range regexp.MustCompile(`(?:src|href|action)="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if !strings.HasPrefix(m[1], "/") && !strings.HasPrefix(m[1], "#") {
			t.Errorf("the pages refer to %q", m[1])
		}
	}
	if strings.Contains(page, "<script>") {
		t.Error("a script stands in a page")
	}
}

func TestHeaders(t *testing.T) {
	p := newPages(t)
	mux := http.NewServeMux()
	p.Routes(mux)
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) { _ = p.Member(w, web.MemberPage{}) })
	mux.HandleFunc("GET /coach", func(w http.ResponseWriter, r *http.Request) { _ = p.Morning(w, web.Morning{}) })
	for _, tt := range []struct{ path, kind, cache, referrer string }{
		{"/", "text/html; charset=utf-8", "no-cache", "no-referrer"},
		{"/coach", "text/html; charset=utf-8", "no-store", "same-origin"}, // forms must send their Origin
		{"/assets/member.js", "text/javascript; charset=utf-8", "no-cache", "no-referrer"},
		{"/assets/base.css", "text/css; charset=utf-8", "no-cache", "no-referrer"},
		{"/assets/bell.svg", "image/svg+xml", "no-cache", "no-referrer"},
		{"/assets/manifest.webmanifest", "application/manifest+json", "no-cache", "no-referrer"},
		{"/sw.js", "text/javascript; charset=utf-8", "no-cache", "no-referrer"},
	} {
		t.Run(tt.path, func(t *testing.T) {
			w := httptest.NewRecorder()
			mux.ServeHTTP(w, httptest.NewRequest("GET", tt.path, nil))
			if w.Code != 200 {
				t.Fatalf("status %d", w.Code)
			}
			csp := w.Header().Get("Content-Security-Policy")
			for _, want := range []string{"default-src 'none'", "script-src 'self';", "style-src 'self';", "connect-src 'self'", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'"} {
				if !strings.Contains(csp, want) {
					t.Errorf("the policy %q lacks %q", csp, want)
				}
			}
			if strings.Contains(csp, "unsafe") || strings.Contains(csp, "*") || strings.Contains(csp, "http") {
				t.Errorf("the policy %q is too wide", csp)
			}
			for key, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": tt.referrer, "Content-Type": tt.kind, "Cache-Control": tt.cache} {
				if got := w.Header().Get(key); got != want {
					t.Errorf("%s: %q, want %q", key, got, want)
				}
			}
		})
	}
}

func TestAssetsAreSentOnlyOnce(t *testing.T) {
	mux := http.NewServeMux()
	newPages(t).Routes(mux)
	w := httptest.NewRecorder()
	mux.ServeHTTP(w, httptest.NewRequest("GET", "/assets/member.js", nil))
	r := httptest.NewRequest("GET", "/assets/member.js", nil)
	r.Header.Set("If-None-Match", w.Header().Get("ETag"))
	w = httptest.NewRecorder()
	mux.ServeHTTP(w, r)
	if w.Code != http.StatusNotModified || w.Body.Len() > 0 {
		t.Errorf("status %d and %d bytes, want 304 and none", w.Code, w.Body.Len())
	}
	for _, path := range []string{"/assets/../web.go", "/assets/none.js", "/assets/%2e%2e%2fweb.go", "/assets/"} {
		w = httptest.NewRecorder()
		mux.ServeHTTP(w, httptest.NewRequest("GET", path, nil))
		if w.Code == http.StatusOK {
			t.Errorf("%s is served", path)
		}
	}
}

func TestTheKeptShellIsWhatTheMemberPageLoads(t *testing.T) {
	mux := http.NewServeMux()
	newPages(t).Routes(mux)
	get := func(path string) string {
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, httptest.NewRequest("GET", path, nil))
		if w.Code != 200 {
			t.Errorf("%s: status %d", path, w.Code)
		}
		return w.Body.String()
	}
	worker := get("/sw.js")
	seen := map[string]bool{}
	var load func(name string)
	load = func(name string) {
		if seen[name] {
			return
		}
		seen[name] = true
		if !strings.Contains(worker, "'/assets/"+name+"'") {
			t.Errorf("the worker does not keep %s, so the page would not open without a connection", name)
		}
		for _, m := range regexp.MustCompile(`from '\./([a-z]+\.js)'`).FindAllStringSubmatch(get("/assets/"+name), -1) {
			load(m[1])
		}
	}
	load("member.js")
	load("member.css")
	load("base.css")
	if len(seen) < 8 {
		t.Errorf("only %d files found: the imports were not followed", len(seen))
	}
}
