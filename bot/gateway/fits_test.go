package gateway

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

// gather puts members of so many distinct fits on the hub, without sockets.
func gather(r *rig, members, distinct int) *hub {
	h := r.srv.clubs["lantern"].hub
	for i := range members {
		id := fmt.Sprint("m", i)
		r.fake.enrol(id, roster.RoleMember, fmt.Sprintf("kit %03d", i%distinct))
		h.mu.Lock()
		p := &party{member: id, place: len(h.order)}
		h.parties[id] = p
		h.order = append(h.order, p)
		h.mu.Unlock()
	}
	return h
}

func TestAPostIsRenderedOnceAFit(t *testing.T) {
	for _, distinct := range []int{40, 150} {
		r := start(t, func(o *Options) { o.Limits.Look = time.Hour })
		r.fake.set(func() { r.fake.noHints = true })
		h := gather(r, 10_000, distinct)
		h.look(t.Context())
		rendered := func() int {
			before := 0
			r.fake.set(func() { before = r.fake.renders })
			r.fake.post("a session")
			h.look(t.Context())
			after := 0
			r.fake.set(func() { after = r.fake.renders })
			return after - before
		}
		for range 2 {
			if n := rendered(); n != distinct {
				t.Errorf("10,000 members of %d fits: %d renderings", distinct, n)
			}
		}
		r.fake.set(func() { // one of them has a kit of their own for this date alone
			m := r.fake.members["m0"]
			m.Past = []roster.DatedFit{{Until: testDate, Fit: content.Fit{Kit: []string{"rope"}}}}
			r.fake.members["m0"] = m
		})
		if n := rendered(); n != distinct+1 {
			t.Errorf("one fit more: %d renderings", n)
		}
	}
}

// What is remembered of a member's fit must always be what the member's profile says.
func TestTheRememberedFitFollowsProfileAndDate(t *testing.T) {
	d := testDate
	m := roster.Member{Kit: []string{"backpack", "towel"}, Limits: []string{"quiet"}, Newcomer: true}
	var c fitCache
	check := func(what string, on content.Date) {
		t.Helper()
		fit, key := c.of(m, on)
		if want := m.FitOn(on); key != want.Key() || fit.Key() != key {
			t.Errorf("%s: %q, want %q", what, key, want.Key())
		}
	}
	check("at first", d)
	for _, step := range []struct {
		what   string
		change func()
	}{
		{"level", func() { m.Level = "harder" }},
		{"told", func() { m.Kit, m.KitTold = nil, !m.KitTold }},
		{"kit", func() { m.Kit = []string{"towel"} }},
		{"limits", func() { m.Limits = nil }},
		{"levels", func() { m.Levels = map[string]string{"row": "easier"} }},
		{"newcomer", func() { m.Newcomer, m.NewUntil = false, d }},
		{"swaps", func() { m.Swaps = []roster.Swap{{Movement: "pull-up", Way: "towel row", On: d}} }},
		{"past", func() { m.Past = []roster.DatedFit{{Until: d.AddDays(-1), Fit: content.Fit{Level: "easier"}}} }},
		{"units", func() { m.Units = "lb" }},
		{"way", func() { m.Swaps = []roster.Swap{{Movement: "pull-up", Way: "one-arm row"}} }},
	} {
		step.change()
		for _, i := range []int{2, -2, -1, 0, 1, 2} { // first the date that was asked for last
			check(step.what, d.AddDays(i))
		}
	}
	if fit, key := c.of(m, content.Date{}); key != "" || fit.Key() != (content.Fit{}).Key() {
		t.Errorf("a post without a date: %q", key)
	}
}

func BenchmarkFitCache(b *testing.B) {
	plain := roster.Member{Kit: []string{"backpack", "towel"}, Limits: []string{"quiet"}}
	dated := plain
	dated.Past = []roster.DatedFit{{Until: testDate.AddDays(-1)}}
	for name, m := range map[string]roster.Member{"plain": plain, "past": dated} {
		b.Run(name, func(b *testing.B) {
			var c fitCache
			b.ReportAllocs()
			for b.Loop() {
				c.of(m, testDate)
			}
		})
	}
}

// BenchmarkConcerned finds whom a post concerns, and their fits, among 10,000 members of 150 fits.
func BenchmarkConcerned(b *testing.B) {
	r := start(b, func(o *Options) { o.Limits.Look = time.Hour })
	r.fake.set(func() { r.fake.noHints = true })
	h := gather(r, 10_000, 150)
	f := bot.Fact{N: 5, Kind: bot.SessionPost, Date: testDate, Bucket: testBucket}
	b.ReportAllocs()
	for b.Loop() {
		if n := len(h.concerned(f)); n < 10_000 {
			b.Fatal(n)
		}
	}
}

// hall serves a real club on an embedded store.
func hall(t *testing.T) *rig {
	t.Helper()
	ctx := context.Background()
	now := func() time.Time { return testTime }
	s, err := store.Open(ctx, store.Options{AllowVolatile: true, Log: zerolog.Nop(), Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	kept, err := s.Club("lantern")
	if err != nil {
		t.Fatal(err)
	}
	people, err := roster.New(ctx, kept, roster.DefaultClub("lantern"))
	if err != nil {
		t.Fatal(err)
	}
	token := roster.NewToken("lantern")
	if _, err := people.EnsureCoach(ctx, testTime, token); err != nil {
		t.Fatal(err)
	}
	b, err := bot.New(ctx, bot.Options{Club: kept, Roster: people, Clock: clockOf(now), Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = b.Close() })
	r := &rig{t: t, coach: token}
	r.serve(Options{Clubs: map[string]Club{"lantern": {Bot: b, Roster: people}}, Log: zerolog.Nop(), Now: now,
		Limits: Limits{Look: 20 * time.Millisecond}})
	return r
}

type clockOf func() time.Time

func (c clockOf) Now() time.Time { return c() }

func (r *rig) answer(method, path, token, body string, into any) {
	r.t.Helper()
	kind := "application/json"
	if strings.HasPrefix(path, "/api/sessions") {
		kind = "text/plain"
	}
	resp, got := r.call(method, path, token, body, "Content-Type", kind)
	if resp.StatusCode != 200 {
		r.t.Fatalf("%s %s: %d %s", method, path, resp.StatusCode, got)
	}
	if err := json.Unmarshal([]byte(got), into); err != nil {
		r.t.Fatalf("%s %s: %v in %s", method, path, err, got)
	}
}

func TestNoFitAndWhatTheAPITellsOfFits(t *testing.T) {
	r := hall(t)
	var added []roster.Invited
	r.answer("POST", "/api/members", r.coach, `[{"name":"Ada","kit":[],"limits":["quiet"]},{"name":"Bo"},{"name":"Cy","kit":["towel"]}]`, &added)
	sheet := "session: Heavy\ndate: 2026-11-25\n\nA. heaviest 5\n5 deadlift\n"
	var put struct {
		NoFit []bot.NoFit `json:"no_fit"`
	}
	for _, path := range []string{"/api/sessions/2026-11-25?draft=1", "/api/sessions/2026-11-25"} {
		r.answer("PUT", path, r.coach, sheet, &put)
		if len(put.NoFit) != 1 || fmt.Sprint(put.NoFit[0]) != fmt.Sprint(bot.NoFit{Part: "A", Movement: "deadlift", Members: []string{added[0].ID, added[2].ID}}) {
			t.Errorf("%s: %+v", path, put.NoFit)
		}
	}
	if _, body := r.call("PUT", "/api/sessions/2026-11-26", r.coach, "session: Plain\ndate: 2026-11-26\n\nA. 3 sets\n8 squat\n", "Content-Type", "text/plain"); !strings.Contains(body, `"no_fit":[]`) {
		t.Errorf("nothing that does not fit: %s", body)
	}

	var ada map[string]any
	r.answer("PATCH", "/api/members/"+added[0].ID, r.coach, `{"swaps":[{"movement":"Deadlifts","way":"hip hinge"}],"levels":{"row":"easier"}}`, &ada)
	for field, want := range map[string]string{"kit_told": "true", "limits": "[quiet]", "levels": "map[row:easier]", "swaps": "[map[movement:deadlift way:hip hinge]]"} {
		if got := fmt.Sprint(ada[field]); got != want {
			t.Errorf("%s: %s, want %s", field, got, want)
		}
	}
	tokens := make([]string, 2)
	for i := range tokens {
		var joined joinAnswer
		r.answer("POST", "/api/join", "", `{"invite":"`+added[i].Invite+`"}`, &joined)
		tokens[i] = joined.Token
	}
	var me map[string]any
	r.answer("GET", "/api/me", tokens[0], "", &me)
	if fmt.Sprint(me["limits"], me["kit_told"]) != "[quiet] true" {
		t.Errorf("one's own settings: %v", me)
	}
	for _, path := range []string{"/api/me", "/api/me/data", "/api/members", "/api/members/" + added[0].ID} {
		if resp, body := r.call("GET", path, tokens[1], ""); strings.Contains(body, "quiet") {
			t.Errorf("another member reads limits at %s: %d %s", path, resp.StatusCode, body)
		}
	}
}
