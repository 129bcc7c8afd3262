package gateway

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/netip"
	"strings"
	"testing"
	"time"

	"tallybell/bot/roster"
)

// concrete fills a route's path in.
func concrete(rt route) string {
	return strings.NewReplacer("{date}", "2026-11-25", "{part}", "B", "{member}", "bo", "{id}", "bo").Replace(rt.path)
}

// sample is a body that a route takes.
func sample(rt route) string {
	switch rt.body.(type) {
	case []roster.NewMember:
		return `[{"name":"Invented Iris"}]`
	case roster.Patch:
		return `{"name":"Invented Bo"}`
	case inviteRequest:
		return `{"revoke":false}`
	case messageRequest:
		return `{"text":"well done"}`
	case correction:
		return `{"reply":"14:32","why":"typed twice"}`
	case plainText:
		return "a sheet"
	}
	return ""
}

// Who may do what: every route, by everybody.
func TestWhoMayDoWhat(t *testing.T) {
	r := start(t)
	for _, rt := range r.srv.table() {
		if rt.path == "/chat" || rt.path == "/api/join" {
			continue // tested on their own
		}
		path := concrete(rt)
		if strings.HasSuffix(path, "/B/bo") && rt.method == "DELETE" {
			path += "?why=twice"
		}
		for _, by := range []struct{ who, token string }{
			{"nobody", ""}, {"another club's member", "harbour.secret-of-bo"}, {"a forged secret", "lantern.x"}, {"no secret", "lantern"},
			{"member", r.ada}, {"coach", r.coach}} {
			t.Run(rt.method+" "+rt.path+" by "+by.who, func(t *testing.T) {
				resp, body := r.call(rt.method, path, by.token, sample(rt))
				want := 0 // anything but a refusal
				switch {
				case rt.access == open:
				case by.who != "member" && by.who != "coach":
					want = http.StatusUnauthorized
				case by.who == "member" && rt.access == forCoaches:
					want = http.StatusForbidden
				}
				if want == 0 {
					if resp.StatusCode == 401 || resp.StatusCode == 403 || resp.StatusCode >= 500 && resp.StatusCode != 501 {
						t.Errorf("%d %s", resp.StatusCode, body)
					}
					return
				}
				if resp.StatusCode != want {
					t.Errorf("%d %s, want %d", resp.StatusCode, body, want)
				}
				checkProblem(t, resp, body)
				if want == 401 && !strings.HasPrefix(resp.Header.Get("WWW-Authenticate"), "Bearer") {
					t.Errorf("WWW-Authenticate %q", resp.Header.Get("WWW-Authenticate"))
				}
			})
		}
		if rt.method == "DELETE" && rt.path == "/api/members/{id}" {
			r.fake.enrol("bo", roster.RoleMember)
		}
	}
}

// checkProblem checks that an answer is a problem document: RFC 9457, section 3.1.
func checkProblem(t *testing.T, resp *http.Response, body string) {
	t.Helper()
	if ct := resp.Header.Get("Content-Type"); ct != "application/problem+json" {
		t.Errorf("Content-Type %q", ct)
	}
	var p struct {
		Type, Title, Detail string
		Status              int
	}
	if err := json.Unmarshal([]byte(body), &p); err != nil {
		t.Fatalf("%v: %s", err, body)
	}
	if p.Type == "" || p.Title == "" || p.Detail == "" || p.Status != resp.StatusCode {
		t.Errorf("problem %s", body)
	}
}

func TestRefusals(t *testing.T) {
	r := start(t, func(o *Options) { o.Limits.Body, o.Limits.Sheet = 4096, 8192 })
	jsonType := []string{"Content-Type", "application/json"}
	for name, tc := range map[string]struct {
		method, path, body string
		header             []string
		status             int
		says               string
	}{
		"no such address":          {"GET", "/api/nothing", "", nil, 404, "nothing at this address"},
		"no such page":             {"GET", "/nothing", "", nil, 404, "nothing at this address"},
		"wrong method":             {"POST", "/api/questions", "", nil, 405, "GET, HEAD"},
		"not JSON":                 {"POST", "/api/members", `[{"name":}]`, jsonType, 400, "line 1, column"},
		"cut off":                  {"POST", "/api/members", `[{"name":"A"}`, jsonType, 400, "ends too early"},
		"empty body":               {"POST", "/api/members", ``, jsonType, 400, "empty"},
		"something follows":        {"POST", "/api/members", `[{"name":"A"}] x`, jsonType, 400, "follows"},
		"not UTF-8":                {"POST", "/api/members", "[{\"name\":\"\xff\"}]", jsonType, 400, "UTF-8"},
		"empty list":               {"POST", "/api/members", `[]`, jsonType, 422, "at least one"},
		"unknown field":            {"POST", "/api/members", `[{"name":"A","colour":"red"}]`, jsonType, 422, "colour"},
		"wrong kind of field":      {"POST", "/api/members", `[{"name":5}]`, jsonType, 422, "should be a string"},
		"an object for a list":     {"POST", "/api/members", `{"name":"A"}`, jsonType, 422, "should be a list"},
		"too large":                {"POST", "/api/members", `[{"name":"` + strings.Repeat("a", 5000) + `"}]`, jsonType, 413, "4096 bytes"},
		"sheet too large":          {"PUT", "/api/sessions/2026-11-25", strings.Repeat("a", 9000), nil, 413, "8192 bytes"},
		"multipart":                {"POST", "/api/members", `x`, []string{"Content-Type", "multipart/form-data; boundary=x"}, 415, "application/json"},
		"JSON for a sheet":         {"PUT", "/api/sessions/2026-11-25", `{}`, jsonType, 415, "text/plain"},
		"another charset":          {"PUT", "/api/sessions/2026-11-25", `x`, []string{"Content-Type", "text/plain; charset=latin1"}, 415, "UTF-8"},
		"compressed":               {"PUT", "/api/sessions/2026-11-25", `x`, []string{"Content-Encoding", "gzip"}, 415, "gzip"},
		"no such date":             {"GET", "/api/sessions/2026-02-30", "", nil, 400, "2026-02-30"},
		"a short date":             {"GET", "/api/reports/2026-1-5", "", nil, 400, "year-month-day"},
		"no sheet":                 {"GET", "/api/sessions/2030-01-01", "", nil, 404, "no sheet"},
		"publish what is not":      {"POST", "/api/sessions/2030-01-01/publish", "", nil, 404, "no sheet"},
		"bad flag":                 {"PUT", "/api/sessions/2026-11-25?draft=maybe", "x", nil, 400, "draft"},
		"part is no letter":        {"GET", "/api/boards/2026-11-25/BB", "", nil, 400, "letter"},
		"part is not there":        {"GET", "/api/boards/2026-11-25/C", "", nil, 404, "no such part"},
		"unknown version":          {"GET", "/api/boards/2026-11-25/B?version=rx", "", nil, 422, "as_written"},
		"limit is no number":       {"GET", "/api/boards/2026-11-25/B?limit=many", "", nil, 422, "1 to 1000"},
		"around in odd units":      {"GET", "/api/boards/2026-11-25/B?units=stone", "", nil, 422, "kg or lb"},
		"explained in odd units":   {"GET", "/api/boards/2026-11-25/B/ada?units=stone", "", nil, 422, "kg or lb"},
		"nothing to explain":       {"GET", "/api/boards/2026-11-25/B/bo", "", nil, 404, "no result of theirs"},
		"standings of nobody":      {"GET", "/api/standings?division=giants", "", nil, 422, "women, men"},
		"standings from someday":   {"GET", "/api/standings?division=women&from=someday", "", nil, 422, "from="},
		"standings to 30 February": {"GET", "/api/standings?division=women&to=2026-02-30", "", nil, 422, "to="},
		"standings of a version":   {"GET", "/api/standings?division=women&version=rx", "", nil, 422, "as_written, scaled or all"},
		"limit is 0":               {"GET", "/api/boards/2026-11-25/B?limit=0", "", nil, 422, "1 to 1000"},
		"correction without why":   {"PATCH", "/api/results/2026-11-25/B/bo", `{"reply":"14:32"}`, jsonType, 422, "why"},
		"correction without reply": {"PATCH", "/api/results/2026-11-25/B/bo", `{"why":"typo"}`, jsonType, 422, "reply"},
		"correction is no result":  {"PATCH", "/api/results/2026-11-25/B/bo", `{"reply":"banana","why":"typo"}`, jsonType, 422, "not a result"},
		"correction of nobody":     {"PATCH", "/api/results/2026-11-25/B/zz", `{"reply":"1:00","why":"typo"}`, jsonType, 404, "no member"},
		"removal without why":      {"DELETE", "/api/results/2026-11-25/B/bo", ``, nil, 422, "why"},
		"message without text":     {"POST", "/api/members/bo/messages", `{"text":" "}`, jsonType, 422, "text"},
		"message to nobody":        {"POST", "/api/members/zz/messages", `{"text":"x"}`, jsonType, 404, "no member"},
		"change nobody":            {"PATCH", "/api/members/zz", `{"name":"x"}`, jsonType, 404, "no member"},
		"remove nobody":            {"DELETE", "/api/members/zz", ``, nil, 404, "no member"},
		"no archive":               {"GET", "/api/export", ``, nil, 501, "export"},
	} {
		t.Run(name, func(t *testing.T) {
			resp, body := r.call(tc.method, tc.path, r.coach, tc.body, tc.header...)
			if resp.StatusCode != tc.status || !strings.Contains(body, tc.says) {
				t.Errorf("%d %s, want %d saying %q", resp.StatusCode, body, tc.status, tc.says)
			}
			checkProblem(t, resp, body)
		})
	}
	if resp, _ := r.call("POST", "/api/questions", r.coach, ""); resp.Header.Get("Allow") != "GET, HEAD" {
		t.Errorf("Allow: %q", resp.Header.Get("Allow"))
	}
}

func TestSheetErrorsAndConflicts(t *testing.T) {
	r := start(t)
	resp, body := r.call("PUT", "/api/sessions/2026-11-25", r.coach, "broken sheet")
	if resp.StatusCode != 422 || !strings.Contains(body, `"errors":[{"line":3,"column":7,"message":"not a part"}]`) {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	checkProblem(t, resp, body)
	resp, body = r.call("PUT", "/api/sessions/2026-11-25", r.coach, "other kind")
	if resp.StatusCode != 409 || !strings.Contains(body, `"conflicts":[{"part":"B","was":"reps","now":"time","results":4}]`) {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	checkProblem(t, resp, body)
	for _, path := range []string{"/api/sessions/2026-11-25?force=1", "/api/sessions/2026-11-25?draft=1&force=1"} {
		if resp, body := r.call("PUT", path, r.coach, "other kind"); resp.StatusCode != 200 || strings.TrimSpace(body) != `{"warnings":[],"no_fit":[]}` {
			t.Errorf("%s: %d %s", path, resp.StatusCode, body)
		}
	}
	resp, body = r.call("GET", "/api/sessions/2026-11-25", r.coach, "", "Accept", "application/json")
	if resp.StatusCode != 200 || strings.TrimSpace(body) != `{"date":"2026-11-25","version":"v1","draft":true,"sent":false,"text":"other kind"}` {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	if resp, body := r.call("POST", "/api/sessions/2026-11-25/publish", r.coach, ""); resp.StatusCode != 204 || body != "" {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	if resp, body := r.call("GET", "/api/sessions/2026-11-25", r.coach, ""); body != "other kind" || !strings.HasPrefix(resp.Header.Get("Content-Type"), "text/plain") {
		t.Errorf("%s %q", resp.Header.Get("Content-Type"), body)
	}
}

func TestMembersReadTheirOwnOnly(t *testing.T) {
	r := start(t)
	r.call("PUT", "/api/sessions/2026-11-25", r.coach, "the whole sheet\n# a word for the coach")
	if resp, body := r.call("GET", "/api/sessions/2026-11-25", r.ada, ""); resp.StatusCode != 404 || strings.Contains(body, "whole sheet") {
		t.Errorf("before it was sent: %d %s", resp.StatusCode, body)
	}
	for i, want := range []string{`{"posts":1,"members":2}`, `{"posts":0,"members":0}`} {
		if _, body := r.call("POST", "/api/sessions/2026-11-25/send", r.coach, ""); strings.TrimSpace(body) != want {
			t.Errorf("sending, time %d: %s", i+1, body)
		}
	}
	if _, body := r.call("GET", "/api/sessions/2026-11-25", r.ada, ""); body != "session with backpack" {
		t.Errorf("her own session: %q", body)
	}
	if _, body := r.call("GET", "/api/sessions/2026-11-25", r.ada, "", "Accept", "application/json"); !strings.Contains(body, `"text":"session with backpack"`) {
		t.Errorf("as JSON: %s", body)
	}
	_, body := r.call("GET", "/api/results/2026-11-25", r.ada, "")
	if !strings.Contains(body, `"member":"ada"`) || strings.Contains(body, `"bo"`) || strings.Contains(body, "marked") {
		t.Errorf("her own results: %s", body)
	}
	if _, body := r.call("GET", "/api/results/2026-11-25", r.coach, ""); strings.Count(body, `"member":`) != 2 || !strings.Contains(body, "marked") {
		t.Errorf("the coach's: %s", body)
	}
	if _, body := r.call("GET", "/api/me", r.ada, ""); !strings.Contains(body, `"id":"ada"`) || !strings.Contains(body, `"kit":["backpack"]`) {
		t.Errorf("settings: %s", body)
	}
	if _, body := r.call("GET", "/api/me/data", r.ada, ""); !strings.Contains(body, `"text":"session with backpack"`) || !strings.Contains(body, `"show":"14:32"`) || strings.Contains(body, `"bo"`) {
		t.Errorf("data: %s", body)
	}
}

func TestBoards(t *testing.T) {
	r := start(t)
	resp, body := r.call("GET", "/api/boards/2026-11-25/b?division=women&version=as_written&limit=20", r.ada, "")
	want := `{"date":"2026-11-25","part":"B","kind":"time","boards":[{"division":"women","version":"as_written","of":1,"entries":[{"rank":1,"member":"ada","name":"=Ada","result":"14:32","version":"as_written"}]}]}`
	if resp.StatusCode != 200 || strings.TrimSpace(body) != want {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	resp, body = r.call("GET", "/api/boards/2026-11-25/B", r.ada, "", "Accept", "text/csv")
	if ct := resp.Header.Get("Content-Type"); !strings.HasPrefix(ct, "text/csv") || !strings.Contains(body, ",'=Ada,") {
		t.Errorf("%s %s", ct, body)
	}
}

func TestJoin(t *testing.T) {
	r := start(t)
	_, body := r.call("POST", "/api/members", r.coach, `[{"name":"Invented Iris"},{"name":"Invented Jo"}]`)
	var added []roster.Invited
	if err := json.Unmarshal([]byte(body), &added); err != nil || len(added) != 2 {
		t.Fatalf("%v %s", err, body)
	}
	key := `,"key":"` + strings.Repeat("A", 43) + `"`
	join := func(invite, key string, header ...string) (*http.Response, string) {
		return r.call("POST", "/api/join", "", `{"invite":"`+invite+`"`+key+`}`, header...)
	}
	resp, first := join(added[0].Invite, key)
	var got struct {
		Member struct{ ID, Name string }
		Token  string
	}
	if err := json.Unmarshal([]byte(first), &got); err != nil || resp.StatusCode != 200 || got.Member.Name != "Invented Iris" || got.Token == "" {
		t.Fatalf("%d %s", resp.StatusCode, first)
	}
	c := resp.Cookies()
	if len(c) != 1 || c[0].Value != got.Token || !c[0].HttpOnly || c[0].SameSite != http.SameSiteStrictMode || c[0].Secure || c[0].Path != "/" {
		t.Errorf("cookie %+v", c)
	}
	if _, again := join(added[0].Invite, key); again != first {
		t.Errorf("the same key again: %s, want %s", again, first)
	}
	if resp, body := join(added[0].Invite, ""); resp.StatusCode != 409 {
		t.Errorf("used, without the key: %d %s", resp.StatusCode, body)
	}
	if resp, body := join("lantern.nothing", ""); resp.StatusCode != 404 {
		t.Errorf("unknown: %d %s", resp.StatusCode, body)
	}
	if resp, body := join("elsewhere.nothing", ""); resp.StatusCode != 404 {
		t.Errorf("another club's: %d %s", resp.StatusCode, body)
	}
	if resp, body := join(added[1].Invite, "", "Origin", "https://elsewhere.test"); resp.StatusCode != 403 {
		t.Errorf("from another site: %d %s", resp.StatusCode, body)
	}
	if resp, body := r.call("POST", "/api/join", "", `{}`); resp.StatusCode != 422 {
		t.Errorf("without an invite: %d %s", resp.StatusCode, body)
	}
	if resp, body := join(added[1].Invite, "", "Origin", "http://"+r.addr); resp.StatusCode != 200 {
		t.Errorf("from our page: %d %s", resp.StatusCode, body)
	}
}

func TestCookiesNeedOurOriginForWrites(t *testing.T) {
	r := start(t)
	cookie := "tallybell_lantern_coach=" + r.coach
	for name, tc := range map[string]struct {
		method, origin string
		status         int
	}{
		"reading needs none":      {"GET", "", 200},
		"writing from our page":   {"PATCH", "http://" + r.addr, 200},
		"writing from elsewhere":  {"PATCH", "https://elsewhere.test", 403},
		"writing from a sandbox":  {"PATCH", "null", 403},
		"writing without origin":  {"PATCH", "", 403},
		"our host, another port":  {"PATCH", "http://127.0.0.1:1", 403},
		"our host within another": {"PATCH", "http://" + r.addr + ".elsewhere.test", 403},
	} {
		t.Run(name, func(t *testing.T) {
			header := []string{"Cookie", cookie}
			if tc.origin != "" {
				header = append(header, "Origin", tc.origin)
			}
			body := ""
			if tc.method == "PATCH" {
				body = `{"name":"Invented Bo"}`
			}
			if resp, body := r.call(tc.method, "/api/members/bo", "", body, header...); resp.StatusCode != tc.status {
				t.Errorf("%d %s", resp.StatusCode, body)
			}
		})
	}
}

func TestSecureCookiesOnHTTPS(t *testing.T) {
	for name, tc := range map[string]struct {
		public, forwarded string
		trusted           bool
		secure            bool
	}{
		"plain":                     {"", "", false, false},
		"public address is https":   {"https://club.test", "", false, true},
		"https before our proxy":    {"", "https", true, true},
		"anybody may claim https":   {"", "https", false, false},
		"plain before our proxy":    {"", "http", true, false},
		"public address plain http": {"http://club.test", "", false, false},
	} {
		t.Run(name, func(t *testing.T) {
			r := start(t, func(o *Options) {
				o.PublicURL = tc.public
				if tc.trusted {
					o.TrustedProxies = []netip.Prefix{netip.MustParsePrefix("127.0.0.0/8")}
				}
			})
			r.fake.set(func() { r.fake.invites["lantern.i"] = "ada" })
			header := []string{}
			if tc.forwarded != "" {
				header = []string{"X-Forwarded-Proto", tc.forwarded}
			}
			resp, body := r.call("POST", "/api/join", "", `{"invite":"lantern.i"}`, header...)
			if c := resp.Cookies(); len(c) != 1 || c[0].Secure != tc.secure {
				t.Errorf("%s: %+v", body, c)
			}
		})
	}
}

func TestGuessingIsSlowedDown(t *testing.T) {
	r := start(t, func(o *Options) { o.Limits.Guesses = Rate{time.Hour, 5} })
	for range 20 {
		r.call("GET", "/api/me", "", "") // no token is no guess
	}
	for i := range 5 {
		if resp, _ := r.call("GET", "/api/me", fmt.Sprint("lantern.guess", i), ""); resp.StatusCode != 401 {
			t.Fatalf("guess %d: %d", i, resp.StatusCode)
		}
	}
	for _, path := range []string{"/api/me", "/api/members"} {
		resp, body := r.call("GET", path, "lantern.guess", "")
		if resp.StatusCode != 429 || resp.Header.Get("Retry-After") == "" {
			t.Errorf("%s: %d %s", path, resp.StatusCode, body)
		}
	}
	if resp, _ := r.call("POST", "/api/join", "", `{"invite":"lantern.x"}`); resp.StatusCode != 429 {
		t.Errorf("join: %d", resp.StatusCode)
	}
}

func TestMembersCallsAreLimited(t *testing.T) {
	r := start(t, func(o *Options) { o.Limits.API = Rate{time.Hour, 3} })
	for range 3 {
		r.call("GET", "/api/me", r.ada, "")
	}
	resp, body := r.call("GET", "/api/me", r.ada, "")
	if resp.StatusCode != 429 {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	checkProblem(t, resp, body)
	if resp, _ := r.call("GET", "/api/me", r.bo, ""); resp.StatusCode != 200 {
		t.Errorf("another member: %d", resp.StatusCode)
	}
}

func TestMetersForgetFullBuckets(t *testing.T) {
	m := newMeters(Rate{time.Second, 2})
	now := testTime
	for i := range crowd {
		m.take(fmt.Sprint(i), now)
	}
	m.take("new", now.Add(time.Hour))
	if n := len(m.by); n > 2 {
		t.Errorf("%d keys are held", n)
	}
	for i, tc := range []struct {
		after time.Duration
		want  bool
	}{{0, true}, {0, true}, {0, false}, {999 * time.Millisecond, false}, {time.Second, true}, {time.Second, false}} {
		if left, got := m.left("a", now.Add(tc.after)), m.take("a", now.Add(tc.after)); got != tc.want || left != tc.want {
			t.Errorf("take %d of a bucket of 2 with one more each second: %v, left before: %v", i, got, left)
		}
	}
}

func TestClientAddress(t *testing.T) {
	trusted := []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("fd00::/8")}
	for name, tc := range map[string]struct {
		remote  string
		headers []string
		trusted []netip.Prefix
		want    string
	}{
		"no proxy":                       {"192.0.2.1:5", nil, nil, "192.0.2.1"},
		"a claim without trust":          {"192.0.2.1:5", []string{"198.51.100.7"}, nil, "192.0.2.1"},
		"a claim from a stranger":        {"192.0.2.1:5", []string{"198.51.100.7"}, trusted, "192.0.2.1"},
		"through our proxy":              {"10.0.0.1:5", []string{"198.51.100.7"}, trusted, "198.51.100.7"},
		"a forged first hop":             {"10.0.0.1:5", []string{"203.0.113.9, 198.51.100.7"}, trusted, "198.51.100.7"},
		"two proxies of ours":            {"10.0.0.1:5", []string{"198.51.100.7, 10.0.0.2"}, trusted, "198.51.100.7"},
		"two headers":                    {"10.0.0.1:5", []string{"203.0.113.9", "198.51.100.7"}, trusted, "198.51.100.7"},
		"nonsense":                       {"10.0.0.1:5", []string{"198.51.100.7, unknown"}, trusted, "10.0.0.1"},
		"our proxy says nothing":         {"10.0.0.1:5", nil, trusted, "10.0.0.1"},
		"IPv4 as IPv6":                   {"[::ffff:10.0.0.1]:5", []string{"198.51.100.7"}, trusted, "198.51.100.7"},
		"IPv6":                           {"[fd00::1]:5", []string{"2001:db8::5"}, trusted, "2001:db8::5"},
		"only proxies of ours: the last": {"10.0.0.1:5", []string{"10.0.0.3, 10.0.0.2"}, trusted, "10.0.0.3"},
	} {
		r := &http.Request{RemoteAddr: tc.remote, Header: http.Header{"X-Forwarded-For": tc.headers}}
		if got := clientAddress(r, tc.trusted); got.String() != tc.want {
			t.Errorf("%s: %s, want %s", name, got, tc.want)
		}
	}
	if a, b := netip.MustParseAddr("2001:db8::1"), netip.MustParseAddr("2001:db8::ffff"); addressKey(a) != addressKey(b) {
		t.Error("one line's IPv6 addresses count as several")
	}
}

// The description lists exactly what is served, and everything it refers to is there.
func TestOpenAPIListsExactlyTheRoutes(t *testing.T) {
	r := start(t)
	_, body := r.call("GET", "/openapi.json", "", "")
	var doc struct {
		OpenAPI    string
		Paths      map[string]map[string]struct{ OperationID string }
		Components struct{ Schemas map[string]any }
	}
	if err := json.Unmarshal([]byte(body), &doc); err != nil {
		t.Fatal(err)
	}
	if doc.OpenAPI != "3.1.0" {
		t.Errorf("openapi %q", doc.OpenAPI)
	}
	want := map[string]bool{}
	for _, rt := range r.srv.table() {
		want[strings.ToLower(rt.method)+" "+rt.path] = true
	}
	ids := map[string]bool{}
	for path, item := range doc.Paths {
		for method, op := range item {
			if !want[method+" "+path] {
				t.Errorf("%s %s is described and not served", method, path)
			}
			delete(want, method+" "+path)
			if ids[op.OperationID] {
				t.Errorf("operationId %s twice", op.OperationID)
			}
			ids[op.OperationID] = true
		}
	}
	for missing := range want {
		t.Errorf("%s is served and not described", missing)
	}
	for _, ref := range refs(body) {
		if _, ok := doc.Components.Schemas[strings.TrimPrefix(ref, "#/components/schemas/")]; !ok {
			t.Errorf("%s refers to nothing", ref)
		}
	}
	// The calls of the contract.
	for _, call := range []string{"POST /api/members", "GET /api/members", "PATCH /api/members/{id}", "DELETE /api/members/{id}", "POST /api/members/{id}/invites",
		"POST /api/join", "PUT /api/sessions/{date}", "POST /api/sessions/{date}/publish", "GET /api/sessions/{date}", "POST /api/sessions/{date}/send",
		"GET /api/boards/{date}/{part}", "GET /api/results/{date}", "PATCH /api/results/{date}/{part}/{member}", "DELETE /api/results/{date}/{part}/{member}",
		"GET /api/reports/{date}", "GET /api/questions", "POST /api/members/{id}/messages", "GET /healthz", "GET /readyz", "GET /metrics", "GET /chat"} {
		method, path, _ := strings.Cut(call, " ")
		if _, ok := doc.Paths[path][strings.ToLower(method)]; !ok {
			t.Errorf("%s is missing", call)
		}
	}
}

func TestAsyncAPI(t *testing.T) {
	r := start(t)
	_, body := r.call("GET", "/asyncapi.json", "", "")
	var doc map[string]any
	if err := json.Unmarshal([]byte(body), &doc); err != nil || doc["asyncapi"] != "3.0.0" {
		t.Fatalf("%v %s", err, body)
	}
	for _, ref := range refs(body) {
		var at any = doc
		for _, step := range strings.Split(strings.TrimPrefix(ref, "#/"), "/") {
			m, _ := at.(map[string]any)
			at = m[step]
		}
		if at == nil {
			t.Errorf("%s refers to nothing", ref)
		}
	}
	for _, word := range []string{"welcome", "say", "seen", "post", "problem", "not_saved", "id_reused", "too_fast", "too_long", "bad_frame"} {
		if !strings.Contains(body, `"`+word+`"`) {
			t.Errorf("%s is not described", word)
		}
	}
}

func refs(doc string) []string {
	var out []string
	for _, part := range strings.Split(doc, `"$ref":"`)[1:] {
		ref, _, _ := strings.Cut(part, `"`)
		out = append(out, ref)
	}
	return out
}

func TestPanicsEndOneRequest(t *testing.T) {
	r := start(t)
	mux := http.NewServeMux()
	mux.HandleFunc("GET /boom", func(http.ResponseWriter, *http.Request) { panic("boom") })
	r.srv.http.Handler = r.srv.wrap(mux)
	resp, body := r.call("GET", "/boom", "", "")
	if resp.StatusCode != 500 || strings.Contains(body, "boom") {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	checkProblem(t, resp, body)
}

func TestExportCutsTheConnectionWhenItFails(t *testing.T) {
	for name, tc := range map[string]struct {
		archive fakeArchive
		broken  bool
		want    string
	}{
		"whole":               {fakeArchive{text: "{}\n{}\n"}, false, "{}\n{}\n"},
		"fails at once":       {fakeArchive{err: errAway}, false, ""},
		"fails half way down": {fakeArchive{text: strings.Repeat("{}\n", 10000), err: errAway}, true, ""},
	} {
		t.Run(name, func(t *testing.T) {
			r := start(t, func(o *Options) {
				c := o.Clubs["lantern"]
				c.Archive = tc.archive
				o.Clubs["lantern"] = c
			})
			req, _ := http.NewRequest("GET", "http://"+r.addr+"/api/export", nil)
			req.Header.Set("Authorization", "Bearer "+r.coach)
			resp, err := http.DefaultClient.Do(req)
			if err != nil {
				t.Fatal(err)
			}
			defer resp.Body.Close()
			body, err := io.ReadAll(resp.Body)
			if (err != nil) != tc.broken {
				t.Errorf("reading ended with %v", err)
			}
			if tc.want != "" && string(body) != tc.want {
				t.Errorf("%s", body)
			}
			if tc.archive.text == "" && resp.StatusCode != 500 {
				t.Errorf("status %d", resp.StatusCode)
			}
		})
	}
}
