package roster

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tallybell/content"
)

func TestFitOfMembersAlike(t *testing.T) {
	d := day("2026-11-25")
	a := Member{Kit: []string{"towel", "backpack", "towel"}, Limits: []string{"quiet", "no jumping"}, Level: "as written", Units: "kg",
		Levels: map[string]string{"hinge": "as written", "squat": "harder"}}
	b := Member{Kit: []string{"backpack", "towel"}, KitTold: true, Limits: []string{"no jumping", "quiet"}, Levels: map[string]string{"squat": "harder"}}
	if fmt.Sprintf("%#v", a.FitOn(d)) != fmt.Sprintf("%#v", b.FitOn(d)) {
		t.Errorf("members alike have other fits:\n%#v\n%#v", a.FitOn(d), b.FitOn(d))
	}
	if len(a.Levels) != 2 || a.Kit[0] != "towel" {
		t.Errorf("the member was changed: %+v", a)
	}
	if got := (Member{Newcomer: true}).FitOn(d).Level; got != content.LevelEasier {
		t.Errorf("a newcomer starts at %q", got)
	}
	eased := Member{Level: "easier", Levels: map[string]string{"row": "as written"}}
	if got := eased.FitOn(d); got.Levels["row"] != "as written" {
		t.Errorf("a pattern's own level is lost: %+v", got)
	}
	none, unknown := Member{KitTold: true}, Member{}
	if none.FitOn(d).Key() == unknown.FitOn(d).Key() {
		t.Error("no kit at all and kit never told are one fit")
	}
	if got := unknown.FitOn(content.Date{}); got.Key() != (content.Fit{}).Key() {
		t.Errorf("nothing told, no date: %+v", got)
	}
}

func TestKitIsToldByAListAlone(t *testing.T) {
	r := newRoster(t, newFake())
	now := at(t, "2026-11-25T12:00:00Z")
	var list []NewMember
	text := `[{"name":"Ada"},{"name":"Ben","kit":null},{"name":"Cy","kit":[]},{"name":"Di","kit":["towel"]}]`
	if err := json.Unmarshal([]byte(text), &list); err != nil {
		t.Fatal(err)
	}
	added, err := r.Add(t.Context(), now, list, "k")
	if err != nil {
		t.Fatal(err)
	}
	for i, told := range []bool{false, false, true, true} {
		if m, _ := r.Get(added[i].ID); m.KitTold != told {
			t.Errorf("%s: told %v", m.Name, m.KitTold)
		}
	}
	list[2].Kit = nil
	if _, err := r.Add(t.Context(), now, list, "k"); !errors.Is(err, ErrKeyReused) {
		t.Errorf("no kit and kit not told are one list: %v", err)
	}
	for _, step := range []struct {
		body string
		told bool
	}{{`{}`, false}, {`{"kit":null}`, false}, {`{"kit":[]}`, true}, {`{"level":"harder"}`, true}} {
		var p Patch
		if err := json.Unmarshal([]byte(step.body), &p); err != nil {
			t.Fatal(err)
		}
		if m, err := r.Update(t.Context(), now, added[0].ID, p); err != nil || m.KitTold != step.told {
			t.Errorf("%s: told %v (%v)", step.body, m.KitTold, err)
		}
	}
}

// written as "movement>way[@date]".
func swapsOf(list []Swap) string {
	var out []string
	for _, s := range list {
		x := s.Movement + ">" + s.Way
		if !s.On.IsZero() {
			x += "@" + s.On.String()
		}
		out = append(out, x)
	}
	return strings.Join(out, " ")
}

func TestSwaps(t *testing.T) {
	r := newRoster(t, newFake())
	now := at(t, "2026-11-25T12:00:00Z")
	m, _ := join(t, r, at(t, "2026-11-01T12:00:00Z"), NewMember{Name: "Ada", Level: "as written"})
	put := func(list ...Swap) Member {
		t.Helper()
		m, err := r.Update(t.Context(), now, m.ID, Patch{Swaps: &list})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	today := day("2026-11-25")
	got := put(Swap{Movement: "Pull-ups", Way: "towel row", On: today}, Swap{Movement: "press-up", Way: "incline push up", On: content.Date{}}, Swap{Movement: "pull up", Way: "one-arm row", On: today})
	if s := swapsOf(got.Swaps); s != "push-up>incline push-up pull-up>one-arm row@2026-11-25" {
		t.Errorf("canonical, the later of two holding: %s", s)
	}
	for d, want := range map[string]string{"2026-11-24": "", "2026-11-25": "pull-up=one-arm row push-up=incline push-up", "2026-11-26": "push-up=incline push-up"} {
		f, ways := got.FitOn(day(d)), []string(nil)
		for k, v := range f.Swaps {
			ways = append(ways, k+"="+v)
		}
		slices.Sort(ways)
		if s := strings.Join(ways, " "); s != want {
			t.Errorf("on %s: %s, want %s", d, s, want)
		}
	}
	now = at(t, "2026-11-26T12:00:00Z")
	got = put(Swap{Movement: "push-up", Way: "push-up", On: day("2026-11-26")}, Swap{Movement: "push-up", Way: "incline push-up", On: content.Date{}})
	if s := swapsOf(got.Swaps); s != "push-up>incline push-up pull-up>one-arm row@2026-11-25 push-up>push-up@2026-11-26" {
		t.Errorf("yesterday's stays: %s", s)
	}
	if f := got.FitOn(day("2026-11-26")); f.Swaps["push-up"] != "push-up" {
		t.Errorf("a swap for the day rules over one for good: %v", f.Swaps)
	}
	now = at(t, "2026-12-10T12:00:00Z")
	if got = put(); swapsOf(got.Swaps) != "" {
		t.Errorf("old ones stay: %s", swapsOf(got.Swaps))
	}
	if f := got.FitOn(day("2026-12-09")); f.Swaps["push-up"] != "incline push-up" {
		t.Errorf("yesterday's session lost its swap: %+v", got)
	}
	var invalid InvalidError
	if _, err := r.Update(t.Context(), now, m.ID, Patch{Swaps: &[]Swap{{Movement: "pul-up", Way: "row over", On: today}}}); !errors.As(err, &invalid) || len(invalid) != 2 ||
		invalid[0].Field != "swaps" || !strings.Contains(invalid[0].Message, "did you mean pull-up") {
		t.Errorf("unknown movements: %v", err)
	}
}

// A change holds from today's session on, in the member's own day; earlier sessions keep what the member received.
func TestAChangeHoldsFromToday(t *testing.T) {
	r := newRoster(t, newFake())
	m, _ := join(t, r, at(t, "2026-11-20T00:30:00Z"), NewMember{Name: "Ada", Zone: "Asia/Tokyo"})
	kit, harder, limits := []string{"towel"}, "harder", []string{"quiet"}
	for _, step := range []struct {
		now string
		p   Patch
	}{
		{"2026-11-20T01:00:00Z", Patch{Kit: &[]string{}}}, // nothing was received before today
		{"2026-11-22T20:00:00Z", Patch{Kit: &kit}},        // the 23rd there
		{"2026-11-22T21:00:00Z", Patch{Limits: &limits}},
		{"2026-11-25T01:00:00Z", Patch{Level: &harder}},
	} {
		var err error
		if m, err = r.Update(t.Context(), at(t, step.now), m.ID, step.p); err != nil {
			t.Fatal(err)
		}
	}
	for d, want := range map[string]string{
		"2026-11-20": "none|easier||||", "2026-11-22": "none|easier||||", "2026-11-23": "towel|easier||quiet||", "2026-11-24": "towel|easier||quiet||",
		"2026-11-25": "towel|harder||quiet||", "2026-12-25": "towel|harder||quiet||",
	} {
		if got := m.FitOn(day(d)).Key(); got != want {
			t.Errorf("on %s: %s, want %s", d, got, want)
		}
	}
	if len(m.Past) != 2 {
		t.Errorf("past: %+v", m.Past)
	}
	raw, err := record{Member: m}.encode()
	if err != nil {
		t.Fatal(err)
	}
	again, err := decode(m.ID, []byte(raw))
	if err != nil || again.FitOn(day("2026-11-22")).Key() != m.FitOn(day("2026-11-22")).Key() {
		t.Errorf("read again: %+v, %v", again.Past, err)
	}
	units := "lb"
	if m, err = r.Update(t.Context(), at(t, "2026-12-25T01:00:00Z"), m.ID, Patch{Units: &units}); err != nil || len(m.Past) != 0 {
		t.Errorf("kept beyond its days, or units make a past of their own: %+v, %v", m.Past, err)
	}
}

func TestANewcomerIsOneUntil(t *testing.T) {
	r := newRoster(t, newFake())
	m, _ := join(t, r, at(t, "2026-11-20T08:00:00Z"), NewMember{Name: "Ada"})
	update := func(now string, p Patch) {
		t.Helper()
		var err error
		if m, err = r.Update(t.Context(), at(t, now), m.ID, p); err != nil {
			t.Fatal(err)
		}
	}
	no, written := false, "as written"
	update("2026-11-23T12:00:00Z", Patch{Newcomer: &no, NewUntil: day("2026-11-23")})
	keys := func() (out []string) {
		for d := day("2026-11-22"); d.Before(day("2026-11-27")); d = d.AddDays(1) {
			out = append(out, m.FitOn(d).Key())
		}
		return out
	}
	want := []string{"|easier||||", "|easier||||", "|||||", "|||||", "|||||"}
	if got := keys(); !slices.Equal(got, want) || m.Newcomer {
		t.Errorf("from the next session on as written: %q", got)
	}
	update("2026-11-23T13:00:00Z", Patch{Kit: &[]string{}}) // today's is still easier, and has no kit now
	want = []string{"|easier||||", "none|easier||||", "none|||||", "none|||||", "none|||||"}
	if got := keys(); !slices.Equal(got, want) {
		t.Errorf("kit told the same day: %q", got)
	}
	update("2026-11-25T13:00:00Z", Patch{Level: &written}) // changes no session, past or future
	if got := keys(); !slices.Equal(got, want) {
		t.Errorf("a level told later: %q", got)
	}
	update("2026-11-25T14:00:00Z", Patch{Kit: &[]string{"towel"}})
	want = []string{"|easier||||", "none|easier||||", "none|||||", "towel|||||", "towel|||||"}
	if got := keys(); !slices.Equal(got, want) {
		t.Errorf("kit told later: %q, past %+v", got, m.Past)
	}
}

// Whatever is changed, and whenever: no session of an earlier date changes its fit, and today's is the present one.
func TestThePastStaysAsItWas(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := newRoster(t, newFake())
		now := at(t, "2026-11-01T12:00:00Z")
		m, _ := join(t, r, now, NewMember{Name: "Ada", Level: rapid.SampledFrom([]string{"", "harder"}).Draw(rt, "level")})
		for range rapid.IntRange(1, 15).Draw(rt, "steps") {
			now = now.AddDate(0, 0, rapid.IntRange(0, 4).Draw(rt, "days"))
			today := content.DateOf(now)
			var p Patch
			switch rapid.IntRange(0, 6).Draw(rt, "what") {
			case 0:
				kit := rapid.SampledFrom([][]string{{}, {"towel"}, {"backpack", "towel"}}).Draw(rt, "kit")
				p.Kit = &kit
			case 1:
				level := rapid.SampledFrom([]string{"", "easier", "as written", "harder"}).Draw(rt, "to")
				p.Level = &level
			case 2:
				newcomer := rapid.Bool().Draw(rt, "newcomer")
				p.Newcomer = &newcomer
				if !newcomer {
					p.NewUntil = today
				}
			case 3:
				levels := rapid.SampledFrom([]map[string]string{{}, {"row": "easier"}, {"row": "as written"}}).Draw(rt, "levels")
				p.Levels = &levels
			case 4:
				limits := rapid.SampledFrom([][]string{{}, {"quiet"}}).Draw(rt, "limits")
				p.Limits = &limits
			default:
				swaps := []Swap{{Movement: "pull-up", Way: rapid.SampledFrom([]string{"towel row", "one-arm row"}).Draw(rt, "way"),
					On: rapid.SampledFrom([]content.Date{{}, today, today.AddDays(1)}).Draw(rt, "on")}}
				p.Swaps = &swaps
			}
			before := m
			var err error
			if m, err = r.Update(t.Context(), now, m.ID, p); err != nil {
				rt.Fatal(err)
			}
			for d := today.AddDays(-7); d.Before(today); d = d.AddDays(1) {
				if d.Before(m.JoinedOn) {
					continue
				}
				if was, is := before.FitOn(d).Key(), m.FitOn(d).Key(); was != is {
					rt.Fatalf("a change on %s turned %s from %s into %s: %+v", today, d, was, is, m)
				}
			}
			for i, past := range m.Past {
				if !past.Until.Before(today) || i > 0 && !m.Past[i-1].Until.Before(past.Until) {
					rt.Fatalf("not a past: %+v", m.Past)
				}
			}
			if p.Kit != nil && !slices.Equal(m.FitOn(today).Kit, m.Kit) {
				rt.Fatalf("today's session has not the kit told today: %+v", m)
			}
		}
	})
}

func BenchmarkFitOn(b *testing.B) {
	d := day("2026-11-25")
	swaps := []Swap{{Movement: "pull-up", Way: "towel row", On: content.Date{}}, {Movement: "push-up", Way: "incline push-up", On: d}}
	plain := Member{Kit: []string{"backpack", "towel"}, Limits: []string{"quiet"}, Level: "easier"}
	swapping := plain
	swapping.Swaps = swaps
	for name, m := range map[string]Member{"plain": plain, "swaps": swapping} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				m.FitOn(d)
			}
		})
	}
}
