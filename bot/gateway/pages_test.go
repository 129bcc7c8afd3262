package gateway

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// deskClub is a fakeClub with a morning to read. Everybody in it is invented.
type deskClub struct {
	*fakeClub
	mu      sync.Mutex
	mended  []string
	warning string
}

const wickedName = `<b onclick="x()">Bo</b> & "Co"`

const sheetText = `session: Ledge and landing
kit: none

Warm-up:
10 wall slide

A. 3 sets
12 push-up

B. 3 rounds for time, cap 12:00
12 air squat
12 push-up
`

func (d *deskClub) Report(_ context.Context, date content.Date) (bot.Report, error) {
	if date != testDate {
		return bot.Report{}, &bot.Problem{Code: "not_found", Text: "There is no sheet for that date."}
	}
	half, reps := 7.5, int64(40)
	bo := bot.Person{Member: "bo", Name: wickedName, Division: "women"}
	ada := bot.Person{Member: "ada", Name: "Ada Invented", Division: "women"}
	row := bot.ResultRow{Person: ada, Date: date, Part: "B", Show: "14:32", Marked: true, Late: true,
		Result: content.Result{Kind: content.KindTime, TimeMS: 872000, Version: content.Scaled, Effort: &half, Reps: &reps}}
	return bot.Report{Date: date, Title: "Ledge and landing", Sent: 9,
		Answered: []bot.Attendance{{Person: ada, Results: []bot.ResultRow{row}, Note: "legs <i>heavy</i>"}},
		Missing:  []bot.Person{bo}, Paused: []bot.Person{{Member: "cy", Name: "Cy Invented"}}, Waiting: []bot.Person{ada},
		Concerns: []bot.Concern{{Person: ada, Care: "check", Said: "knee sore", At: testTime},
			{Person: bo, Care: "stop", Said: "chest feels tight", At: testTime, Held: true}},
		Attention: []leaderboard.Notice{{Member: "bo", Name: wickedName, Rule: leaderboard.RuleHurt, Reason: "wrote of a warning sign", Because: "Wed 25 Nov"},
			{Member: "cy", Name: "Cy Invented", Rule: leaderboard.RuleQuiet, Reason: "no result for 3 scheduled days", Because: "Mon 23 Nov, Tue 24 Nov, Wed 25 Nov"},
			{Member: "ada", Name: "Ada Invented", Rule: leaderboard.RuleLight, Reason: "as written with effort 6 or less twice",
				Because: "effort 5 on Tue 24 Nov, effort 6 on Wed 25 Nov", Offer: "you may offer a harder line; the bot never does"},
			{Member: "di", Name: "Di Invented", Rule: leaderboard.RuleFastest, Reason: "in the fastest fifth of at least 10 three times running", Because: "2 of 12 women, B on Wed 25 Nov"}},
		Questions: []bot.Question{{Person: bo, ID: "q1", Said: "how high a stair?", At: testTime}}}, nil
}

func (d *deskClub) Board(_ context.Context, date content.Date, part string, q leaderboard.Query) (leaderboard.Page, error) {
	if !q.Coach && q.Around == "" {
		return leaderboard.Page{}, &bot.Problem{Code: "invalid", Text: "the coach's board was not asked for"}
	}
	block := func(v content.Version, names ...string) leaderboard.Block {
		b := leaderboard.Block{Division: "women", Version: v}
		for i, n := range names {
			b.Entries = append(b.Entries, leaderboard.Line{Rank: i + 1, Name: n, Result: "14:32", Version: v, Way: "towel row", Load: "12 kg"})
		}
		return b
	}
	return leaderboard.Page{Date: date, Part: part, Kind: content.KindTime, Boards: []leaderboard.Block{
		block(content.AsWritten, "Ada Invented", "Di Invented"), block(content.Scaled, wickedName)}}, nil
}

func (d *deskClub) Correct(_ context.Context, by, id string, date content.Date, part, member, reply, why string) (bot.ResultRow, error) {
	if reply == "banana" {
		return bot.ResultRow{}, &bot.Problem{Code: "invalid", Text: "That is not a result of part B."}
	}
	d.mend("correct", by, date.String(), part, member, reply, why)
	return bot.ResultRow{}, nil
}

func (d *deskClub) RemoveResult(_ context.Context, by, id string, date content.Date, part, member, why string) error {
	d.mend("remove", by, date.String(), part, member, why)
	return nil
}

func (d *deskClub) mend(words ...string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.mended = append(d.mended, strings.Join(words, " "))
}

func (d *deskClub) PutSheet(ctx context.Context, date content.Date, text []byte, o bot.PutOptions) (bot.PutResult, error) {
	_, problems := content.Read(content.Builtin(), date.String()+".txt", text)
	if errs := content.Errors(problems); len(errs) > 0 {
		return bot.PutResult{Errors: errs}, nil
	}
	if strings.Contains(string(text), "Other kind") && !o.Force {
		return bot.PutResult{Conflict: []bot.PartConflict{{Part: "B", Was: content.KindTime, Now: content.KindReps, Results: 4}}}, nil
	}
	res, err := d.fakeClub.PutSheet(ctx, date, text, o)
	res.NoFit = []bot.NoFit{{Part: "A", Movement: "push-up", Members: []string{"bo"}}}
	return res, err
}

func (d *deskClub) Health(context.Context) (Health, error) {
	return Health{Warning: d.warning}, nil
}

// pageRig is a rig whose club has a morning, and a browser without scripts that holds a cookie.
type pageRig struct {
	*rig
	desk   *deskClub
	client *http.Client
}

func startPages(t testing.TB) *pageRig {
	t.Helper()
	p := &pageRig{}
	p.rig = start(t, func(o *Options) {
		c := o.Clubs["lantern"]
		p.desk = &deskClub{fakeClub: c.Bot.(*fakeClub)}
		c.Bot, c.Store = p.desk, p.desk
		o.Clubs["lantern"] = c
		o.Now = func() time.Time { return testTime.Add(24 * time.Hour) } // the morning after testDate
	})
	p.fake.set(func() {
		m := p.fake.members["bo"]
		m.Name = wickedName
		p.fake.members["bo"] = m
		p.fake.sheets[testDate] = bot.StoredSheet{Date: testDate, Text: sheetText, Version: "v0", Sent: true}
		p.fake.invites["lantern.c0ach"] = "maren"
	})
	p.client = &http.Client{Transport: &http.Transport{}, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	t.Cleanup(p.client.CloseIdleConnections)
	return p
}

// get opens a page with the cookie of token.
func (p *pageRig) get(path, token string) (*http.Response, string) {
	p.t.Helper()
	return p.send("GET", path, token, "", nil)
}

// post sends a form from the club's own page.
func (p *pageRig) post(path, token string, form url.Values) (*http.Response, string) {
	p.t.Helper()
	return p.send("POST", path, token, "http://"+p.addr, form)
}

func (p *pageRig) send(method, path, token, origin string, form url.Values) (*http.Response, string) {
	p.t.Helper()
	req, err := http.NewRequest(method, "http://"+p.addr+path, strings.NewReader(form.Encode()))
	if err != nil {
		p.t.Fatal(err)
	}
	if method == "POST" {
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if origin != "" {
		req.Header.Set("Origin", origin)
	}
	if token != "" {
		name := cookieName("lantern", roster.RoleMember)
		if token == p.coach {
			name = cookieName("lantern", roster.RoleCoach)
		}
		req.AddCookie(&http.Cookie{Name: name, Value: token})
	}
	resp, err := p.client.Do(req)
	if err != nil {
		p.t.Fatal(err)
	}
	defer func() { _ = resp.Body.Close() }()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		p.t.Fatal(err)
	}
	return resp, string(b)
}

// inOrder fails unless the words stand in the page one after the other.
func inOrder(t *testing.T, page string, words ...string) {
	t.Helper()
	at := 0
	for _, w := range words {
		i := strings.Index(page[at:], w)
		if i < 0 {
			t.Errorf("%q does not stand after what precedes it in:\n%s", w, page)
			return
		}
		at += i + len(w)
	}
}

func TestOnlyCoachesSeeTheCoachsPages(t *testing.T) {
	p := startPages(t)
	for _, path := range []string{"/coach", "/coach/day", "/coach/day/2026-11-25", "/coach/sheet", "/coach/sheet/2026-11-25", "/coach/standings", "/coach/standings.csv?division=women", "/coach/members"} {
		for name, token := range map[string]string{"nobody": "", "a member": p.ada, "a stranger": "lantern.guess", "another club": "other.secret"} {
			resp, page := p.get(path, token)
			if resp.StatusCode != http.StatusUnauthorized {
				t.Errorf("%s gets %d at %s, want 401", name, resp.StatusCode, path)
			}
			if !strings.Contains(page, "Coach link") || strings.Contains(page, "Ada Invented") {
				t.Errorf("%s does not stand at the door of %s", name, path)
			}
		}
		if resp, _ := p.get(path, p.coach); resp.StatusCode >= 400 && path != "/coach/day" {
			t.Errorf("the coach gets %d at %s", resp.StatusCode, path)
		}
	}
}

func TestFormsOfOtherSitesAreRefused(t *testing.T) {
	p := startPages(t)
	for _, path := range []string{"/coach/tell", "/coach/lift", "/coach/result", "/coach/sheet/2026-11-25", "/coach/check?date=2026-11-25", "/coach/members", "/coach/members/bo/invite"} {
		for _, origin := range []string{"", "null", "https://elsewhere.example"} {
			resp, _ := p.send("POST", path, p.coach, origin, url.Values{"text": {sheetText}, "do": {"publish"}, "names": {"Eve"}, "member": {"bo"}})
			if resp.StatusCode != http.StatusForbidden {
				t.Errorf("%s from origin %q: %d, want 403", path, origin, resp.StatusCode)
			}
		}
	}
	p.desk.mu.Lock()
	defer p.desk.mu.Unlock()
	if len(p.desk.mended) > 0 || len(p.fake.told) > 0 || len(p.fake.members) != 3 {
		t.Error("something was done all the same")
	}
}

func TestMorningPage(t *testing.T) {
	p := startPages(t)
	p.desk.warning = "This store is volatile: what is confirmed may be lost."
	resp, page := p.get("/coach", p.coach) // yesterday, by the club's clock
	if resp.StatusCode != http.StatusOK {
		t.Fatalf("status %d: %s", resp.StatusCode, page)
	}
	inOrder(t, page, "This store is volatile", "Wednesday 25 November 2026", "Ledge and landing", "Who hurts", "warning sign", "chest feels tight",
		"Ada Invented", "knee sore", "Questions", "how high a stair?", "Who did what", "14:32", "scaled", "effort 7.5", "late", "please check",
		"on no board", "legs &lt;i&gt;heavy", "Missing", "Paused", "Cy Invented", "Version not told yet", "Boards", "women", "as written", "Di Invented", "towel row", "12 kg", "women", "scaled")
	if strings.Contains(page, "<b onclick") {
		t.Error("a name became HTML")
	}
	if csp := resp.Header.Get("Content-Security-Policy"); !strings.Contains(csp, "default-src 'none'") {
		t.Errorf("the policy is %q", csp)
	}
	if strings.Count(page, `class="board"`) != 1 {
		t.Error("only part B is scored: there is one board")
	}
}

func TestMorningOfADayWithoutASheet(t *testing.T) {
	p := startPages(t)
	resp, page := p.get("/coach/day/2026-11-20", p.coach)
	if resp.StatusCode != http.StatusOK || !strings.Contains(page, "No session on this date") {
		t.Errorf("status %d: %s", resp.StatusCode, page)
	}
	for path, want := range map[string]int{"/coach/day/2026-02-30": 404, "/coach/day/soon": 404, "/coach/day?date=x": 404, "/coach/sheet/x": 404, "/coach/nothing": 404} {
		if resp, _ := p.get(path, p.coach); resp.StatusCode != want {
			t.Errorf("%s: %d, want %d", path, resp.StatusCode, want)
		}
	}
	resp, _ = p.get("/coach/day?date=2026-11-25", p.coach)
	if got := resp.Header.Get("Location"); resp.StatusCode != http.StatusSeeOther || got != "/coach/day/2026-11-25" {
		t.Errorf("%d to %q", resp.StatusCode, got)
	}
}

func TestResultsAreMendedWithAReason(t *testing.T) {
	p := startPages(t)
	form := func(do, reply, why string) url.Values {
		return url.Values{"id": {"f1"}, "date": {"2026-11-25"}, "part": {"B"}, "member": {"ada"}, "reply": {reply}, "why": {why}, "do": {do}}
	}
	for _, tt := range []struct {
		name   string
		form   url.Values
		status int
		page   string // what a refusal says
	}{
		{"correct", form("correct", "14:23 scaled", "typing slip"), 303, ""},
		{"remove", form("remove", "", "wrong day"), 303, ""},
		{"no reason", form("correct", "14:23", "  "), 422, "Say why"},
		{"no value", form("correct", "", "slip"), 422, "Say what the result should be"},
		{"not a result", form("correct", "banana", "slip"), 422, "That is not a result of part B."},
		{"no button", form("", "14:23", "slip"), 422, "press Correct or Remove"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			resp, page := p.post("/coach/result", p.coach, tt.form)
			if resp.StatusCode != tt.status || !strings.Contains(page, tt.page) {
				t.Errorf("%d, want %d: %s", resp.StatusCode, tt.status, page)
			}
		})
	}
	p.desk.mu.Lock()
	got := strings.Join(p.desk.mended, "\n")
	p.desk.mu.Unlock()
	if want := "correct maren 2026-11-25 B ada 14:23 scaled typing slip\nremove maren 2026-11-25 B ada wrong day"; got != want {
		t.Errorf("mended:\n%s\nwant:\n%s", got, want)
	}
	if resp, page := p.get("/coach/day/2026-11-25?done=corrected", p.coach); resp.StatusCode != 200 || !strings.Contains(page, "The result is corrected") {
		t.Error("the page does not say what was done")
	}
	if _, page := p.get("/coach/day/2026-11-25?done=%3Cscript%3E", p.coach); strings.Contains(page, "role=\"status\"") {
		t.Error("the page says what an address tells it to")
	}
}

func TestTellingAMember(t *testing.T) {
	p := startPages(t)
	form := url.Values{"id": {"f1"}, "member": {"bo"}, "date": {"2026-11-25"}, "text": {"the lowest one\r\nis fine"}}
	for range 2 { // pressed twice
		resp, page := p.post("/coach/tell", p.coach, form)
		if resp.StatusCode != http.StatusSeeOther || resp.Header.Get("Location") != "/coach/day/2026-11-25?done=told" {
			t.Fatalf("%d to %q: %s", resp.StatusCode, resp.Header.Get("Location"), page)
		}
	}
	p.fake.set(func() {
		if got := p.fake.mail["bo"]; len(got) != 1 || got[0].Text != "the lowest one\nis fine" {
			t.Errorf("bo's mail: %v", got)
		}
	})
	form.Set("member", "nobody")
	if resp, _ := p.post("/coach/tell", p.coach, form); resp.StatusCode != http.StatusNotFound {
		t.Errorf("to nobody: %d, want 404", resp.StatusCode)
	}
	if resp, _ := p.post("/coach/tell", p.coach, url.Values{"member": {"bo"}, "text": {" "}}); resp.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("nothing: %d, want 422", resp.StatusCode)
	}
}

func TestSheetEditorWithoutAScript(t *testing.T) {
	p := startPages(t)
	if resp, _ := p.get("/coach/sheet", p.coach); resp.Header.Get("Location") != "/coach/sheet/2026-11-27" {
		t.Errorf("the sheet that is written next is %q, want tomorrow's", resp.Header.Get("Location"))
	}
	_, page := p.get("/coach/sheet/2026-11-25", p.coach)
	inOrder(t, page, "This sheet has gone out", "session: Ledge and landing", "Line by line", "As a member reads it", "LEDGE AND LANDING")
	bad := strings.Replace(sheetText, "12 air squat", "12 aer sqwat", 1)
	for _, tt := range []struct {
		name, do, text, force string
		status                int
		words                 []string
		stored, draft         bool
	}{
		{"check", "check", bad, "", 200, []string{"to mend before", "12 aer sqwat", "Error, line 11", "Nothing to show"}, false, false},
		{"publish with errors", "publish", bad, "", 422, []string{"was not stored", "12 aer sqwat", "Error, line 11"}, false, false},
		{"draft", "draft", sheetText, "", 200, []string{"Stored as a draft", "no way of doing", "push-up: <span dir=\"auto\">&lt;b onclick"}, true, true},
		{"publish", "publish", sheetText, "", 200, []string{"Published.", "LEDGE AND LANDING"}, true, false},
		{"send now", "send", sheetText, "", 200, []string{"Published and sent to 2 members"}, true, false},
		{"other kind", "publish", sheetText + "# Other kind\n", "", 409, []string{"Part B has 4 results logged as time and would be logged as reps", "Store it all the same"}, false, false},
		{"forced", "publish", sheetText + "# Other kind\n", "1", 200, []string{"Published."}, true, false},
		{"no button", "burn", sheetText, "", 422, []string{"not one of the sheet"}, false, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			date := content.Date{Year: 2026, Month: 12, Day: 1}
			p.fake.set(func() { delete(p.fake.sheets, date) })
			resp, page := p.post("/coach/sheet/2026-12-01", p.coach, url.Values{"do": {tt.do}, "force": {tt.force},
				"text": {strings.ReplaceAll(tt.text, "\n", "\r\n")}})
			if resp.StatusCode != tt.status {
				t.Errorf("status %d, want %d: %s", resp.StatusCode, tt.status, page)
			}
			inOrder(t, page, tt.words[:1]...)
			for _, w := range tt.words {
				if !strings.Contains(page, w) {
					t.Errorf("%q is not on the page:\n%s", w, page)
				}
			}
			p.fake.set(func() {
				s, ok := p.fake.sheets[date]
				if ok != tt.stored || s.Draft != tt.draft || ok && s.Text != tt.text {
					t.Errorf("stored %v, draft %v: %q", ok, s.Draft, s.Text)
				}
			})
		})
	}
}

func TestASheetThatCouldNotBeStoredIsNotLost(t *testing.T) {
	p := startPages(t)
	p.srv.clubs["lantern"].Bot = &downDesk{p.desk}
	resp, page := p.post("/coach/sheet/2026-12-01", p.coach, url.Values{"do": {"publish"}, "text": {sheetText}})
	if resp.StatusCode < 500 || !strings.Contains(page, "session: Ledge and landing") || !strings.Contains(page, "Not done:") {
		t.Errorf("status %d: %s", resp.StatusCode, page)
	}
}

// downDesk is a club whose store is away.
type downDesk struct{ *deskClub }

func (*downDesk) PutSheet(context.Context, content.Date, []byte, bot.PutOptions) (bot.PutResult, error) {
	return bot.PutResult{}, errAway
}

func TestCheckAddress(t *testing.T) {
	p := startPages(t)
	check := func(text string) (int, map[string]any) {
		req, err := http.NewRequest("POST", "http://"+p.addr+"/coach/check?date=2026-12-01", strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Origin", "http://"+p.addr)
		req.AddCookie(&http.Cookie{Name: cookieName("lantern", roster.RoleCoach), Value: p.coach})
		resp, err := p.client.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = resp.Body.Close() }()
		var v map[string]any
		_ = json.NewDecoder(resp.Body).Decode(&v)
		return resp.StatusCode, v
	}
	code, v := check(strings.Replace(sheetText, "12 air squat", "12 aer sqwat", 1))
	problems, _ := v["problems"].([]any)
	if code != 200 || len(problems) == 0 || v["errors"] == 0.0 || v["preview"] != "" {
		t.Fatalf("%d %v", code, v)
	}
	first := problems[0].(map[string]any)
	if first["line"] != 11.0 || first["warning"] != false || first["message"] == "" {
		t.Errorf("the first problem is %v, want an error at line 11", first)
	}
	code, v = check(sheetText)
	if code != 200 || v["errors"] != 0.0 || !strings.Contains(v["preview"].(string), "LEDGE AND LANDING") || !strings.HasPrefix(v["verdict"].(string), "No errors") {
		t.Errorf("%d %v", code, v)
	}
	if code, _ = check(strings.Repeat("x\n", maxForm)); code != http.StatusRequestEntityTooLarge {
		t.Errorf("too large a sheet: %d, want 413", code)
	}
	if _, v = check(strings.Repeat("12 nothing\n", 3000)); len(v["problems"].([]any)) > maxRemarks {
		t.Errorf("%d problems told at once, want at most %d", len(v["problems"].([]any)), maxRemarks)
	}
}

func TestMembersPageAddsAndInvites(t *testing.T) {
	p := startPages(t)
	resp, page := p.post("/coach/members", p.coach, url.Values{"names": {"Eve Invented\r\n\r\n  Finn Invented  \r\n"}, "id": {"k1"}})
	if resp.StatusCode != 200 || strings.Count(page, "#join=") != 2 || !strings.Contains(page, "Added 2 members.") {
		t.Fatalf("%d: %s", resp.StatusCode, page)
	}
	inOrder(t, page, "works once", "Eve Invented", "/#join=", "Finn Invented", "/#join=", "In the club")
	if resp.Header.Get("Cache-Control") != "no-store" {
		t.Error("a page with secrets may be kept by the browser")
	}
	if resp, page = p.post("/coach/members", p.coach, url.Values{"names": {" \r\n"}}); resp.StatusCode != 422 || !strings.Contains(page, "Nobody was added") {
		t.Errorf("nobody: %d", resp.StatusCode)
	}
	if resp, _ = p.post("/coach/members", p.coach, url.Values{"names": {strings.Repeat("Gil\n", maxNames+1)}}); resp.StatusCode != 422 {
		t.Errorf("too many: %d", resp.StatusCode)
	}
	resp, page = p.post("/coach/members/bo/invite", p.coach, url.Values{"revoke": {"1"}})
	if resp.StatusCode != 200 || strings.Count(page, "#join=") != 1 || !strings.Contains(page, "signed out") {
		t.Errorf("a lost phone: %d: %s", resp.StatusCode, page)
	}
	if _, err := p.fake.Authenticate(context.Background(), p.bo); err == nil {
		t.Error("the lost phone is still signed in")
	}
	if resp, _ = p.post("/coach/members/nobody/invite", p.coach, nil); resp.StatusCode != 404 {
		t.Errorf("nobody's link: %d", resp.StatusCode)
	}
}

func TestCoachLinkPastedWithoutAScript(t *testing.T) {
	p := startPages(t)
	if resp, page := p.post("/coach/enter", "", url.Values{"link": {"lantern.wrong"}}); resp.StatusCode != 401 || !strings.Contains(page, "not known") {
		t.Errorf("a wrong link: %d: %s", resp.StatusCode, page)
	}
	if resp, _ := p.send("POST", "/coach/enter", "", "https://elsewhere.example", url.Values{"link": {"lantern.c0ach"}}); resp.StatusCode != 401 || len(resp.Cookies()) > 0 {
		t.Error("another site signed the browser in")
	}
	resp, _ := p.post("/coach/enter", "", url.Values{"link": {" http://x/coach#join=lantern.c0ach "}})
	if resp.StatusCode != http.StatusSeeOther || len(resp.Cookies()) != 1 || resp.Cookies()[0].Name != "tallybell_lantern_coach" || !resp.Cookies()[0].HttpOnly {
		t.Fatalf("%d, cookies %v", resp.StatusCode, resp.Cookies())
	}
}

func TestMemberPageIsTheSameForEveryone(t *testing.T) {
	p := startPages(t)
	_, one := p.get("/", p.ada)
	resp, two := p.get("/", "")
	if one != two || !strings.Contains(one, "Lantern Hall Strength Club") {
		t.Error("the page that phones keep differs between members")
	}
	if !strings.Contains(resp.Header.Get("Content-Security-Policy"), "script-src 'self'") || resp.Header.Get("Referrer-Policy") != "no-referrer" {
		t.Errorf("headers %v", resp.Header)
	}
	if resp, _ := p.get("/assets/member.js", ""); resp.StatusCode != 200 {
		t.Errorf("the script: %d", resp.StatusCode)
	}
}
