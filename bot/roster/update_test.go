package roster

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

func bucket(s string) content.Bucket {
	b, err := content.ParseBucket(s)
	if err != nil {
		panic(err)
	}
	return b
}

// written is a dated list as "DATE ZONE@HH:MM", with "pause" for the zero bucket.
func written(list []DatedBucket) string {
	var out []string
	for _, d := range list {
		b := d.Bucket.String()
		if b == "" {
			b = "pause"
		}
		out = append(out, d.From.String()+" "+b)
	}
	return strings.Join(out, ", ")
}

func listOf(s string) []DatedBucket {
	var out []DatedBucket
	for e := range strings.SplitSeq(s, ", ") {
		d, b, _ := strings.Cut(e, " ")
		if b == "pause" {
			b = ""
		}
		out = append(out, DatedBucket{day(d), bucket(b)})
	}
	return out
}

func TestMoved(t *testing.T) {
	const home, east, west = "Europe/London@06:30", "Asia/Tokyo@06:30", "America/New_York@06:30"
	for _, c := range []struct{ what, list, to, earliest, posted, want string }{
		{"today's has gone out: from tomorrow", "2026-11-01 " + home, east, "2026-11-25", home + " 2026-11-25", "2026-11-01 " + home + ", 2026-11-26 " + east},
		{"today's has not: from today", "2026-11-01 " + home, west, "2026-11-25", home + " 2026-11-24", "2026-11-01 " + home + ", 2026-11-25 " + west},
		{"the new bucket is ahead", "2026-11-01 " + home, east, "2026-11-25", home + " 2026-11-25, " + east + " 2026-11-26", "2026-11-01 " + home + ", 2026-11-27 " + east},
		{"no sheets for days", "2026-11-01 " + home, west, "2026-11-25", home + " 2026-11-20", "2026-11-01 " + home + ", 2026-11-25 " + west},
		{"never anything posted", "2026-11-25 " + home, west, "2026-11-25", "", "2026-11-25 " + west},
		{"a pause after today's", "2026-11-01 " + home, "", "2026-11-25", home + " 2026-11-25", "2026-11-01 " + home + ", 2026-11-26 pause"},
		{"a pause taken back the same day", "2026-11-01 " + home + ", 2026-11-26 pause", home, "2026-11-25", home + " 2026-11-25", "2026-11-01 " + home},
		{"a resume when others have had today's begins with it", "2026-11-01 " + home + ", 2026-11-20 pause", home, "2026-11-25", home + " 2026-11-25", "2026-11-01 " + home + ", 2026-11-20 pause, 2026-11-25 " + home},
		{"a resume on a day that was had before the pause", "2026-11-01 " + home + ", 2026-11-26 pause", east, "2026-11-25", home + " 2026-11-25, " + east + " 2026-11-25", "2026-11-01 " + home + ", 2026-11-26 " + east},
		{"a resume before the send time", "2026-11-01 " + home + ", 2026-11-20 pause", home, "2026-11-25", home + " 2026-11-24", "2026-11-01 " + home + ", 2026-11-20 pause, 2026-11-25 " + home},
		{"a change of a change that has not begun", "2026-11-01 " + home + ", 2026-11-26 " + east, west, "2026-11-25", home + " 2026-11-25, " + west + " 2026-11-24", "2026-11-01 " + home + ", 2026-11-26 " + west},
		{"a change that has begun stays", "2026-11-01 " + home + ", 2026-11-26 " + east, west, "2026-11-25", home + " 2026-11-24, " + east + " 2026-11-26", "2026-11-01 " + home + ", 2026-11-26 " + east + ", 2026-11-27 " + west},
		{"nor what a bucket posted of dates that are not to be its own", "2026-11-01 " + home + ", 2026-11-26 " + east, west, "2026-11-25", home + " 2026-11-30", "2026-11-01 " + home + ", 2026-11-26 " + west},
		{"what the old bucket posted after it was left does not count", "2026-11-01 " + home + ", 2026-11-20 " + east, west, "2026-11-25", home + " 2026-11-30, " + east + " 2026-11-24", "2026-11-01 " + home + ", 2026-11-20 " + east + ", 2026-11-25 " + west},
	} {
		t.Run(c.what, func(t *testing.T) {
			posted := latest{}
			for e := range strings.SplitSeq(c.posted, ", ") {
				if b, d, ok := strings.Cut(e, " "); ok {
					posted[bucket(b)] = day(d)
				}
			}
			got, asked := moved(listOf(c.list), bucket(c.to), day(c.earliest), posted)
			if written(got) != c.want {
				t.Errorf("got  %s\nwant %s", written(got), c.want)
			}
			if c.to != "" && !slices.Contains(asked, bucket(c.to)) {
				t.Errorf("the new bucket is not among the conditions %v", asked)
			}
		})
	}
}

// TestTravel moves a member about while every bucket posts each date at its instant: of each date the member sees one
// session, never two, and none is lost but dates that the new zone does not reach again.
func TestTravel(t *testing.T) {
	zones := []string{"Pacific/Kiritimati", "Asia/Tokyo", "Europe/London", "America/New_York", "Pacific/Pago_Pago"}
	rapid.Check(t, func(rt *rapid.T) {
		f := newFake()
		r := newRoster(t, f)
		now := at(t, "2026-11-25T12:00:00Z")
		m, _ := join(t, r, now, NewMember{Name: "Ada", Zone: rapid.SampledFrom(zones).Draw(rt, "home")})
		first := m.JoinedOn
		posts := map[content.Bucket]map[content.Date]bool{}
		for range rapid.IntRange(2, 12).Draw(rt, "steps") {
			now = now.Add(time.Duration(rapid.IntRange(1, 30*60).Draw(rt, "minutes")) * time.Minute)
			for _, zone := range zones { // each bucket posts what is due, others' as well
				for _, hour := range []int{6, 20} {
					b := content.Bucket{Zone: zone, At: content.Clock{Hour: hour}}
					local := now.In(mustZone(zone))
					upTo := content.DateOf(local)
					if local.Hour() < hour {
						upTo = upTo.AddDays(-1)
					}
					if posts[b] == nil {
						posts[b] = map[content.Date]bool{}
					}
					for d := first.AddDays(-2); !upTo.Before(d); d = d.AddDays(1) {
						posts[b][d] = true
					}
					f.set("buckets", b.String(), upTo.String())
				}
			}
			zone, hour := rapid.SampledFrom(zones).Draw(rt, "zone"), rapid.SampledFrom([]string{"06:00", "20:00"}).Draw(rt, "hour")
			p := Patch{Zone: &zone, SendAt: &hour}
			if rapid.IntRange(0, 3).Draw(rt, "pause") == 0 {
				paused := rapid.Bool().Draw(rt, "paused")
				p.Paused = &paused
			}
			before, _ := r.Get(m.ID)
			after, err := r.Update(t.Context(), now, m.ID, p)
			if err != nil {
				rt.Fatal(err)
			}
			for d := first; d.Before(first.AddDays(40)); d = d.AddDays(1) {
				was, is := before.BucketOn(d), after.BucketOn(d)
				if had := posts[was][d]; had && was != is {
					rt.Fatalf("%s was posted to %s and now belongs to %s: %s", d, was, is, written(after.Buckets))
				}
				if was != is && posts[is][d] && !was.IsZero() { // whoever comes back from a pause begins with today's
					rt.Fatalf("%s moves to %s, which posted it before: %s", d, is, written(after.Buckets))
				}
			}
			for i, e := range after.Buckets {
				if i > 0 && (!after.Buckets[i-1].From.Before(e.From) || after.Buckets[i-1].Bucket == e.Bucket) {
					rt.Fatalf("not a dated list: %s", written(after.Buckets))
				}
			}
		}
	})
}

func mustZone(name string) *time.Location {
	z, err := content.LoadZone(name)
	if err != nil {
		panic(err)
	}
	return z
}

// TestUpdateChecksWhatWasPosted: a post that comes between the decision and the write makes it decide again.
func TestUpdateChecksWhatWasPosted(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-25T06:29:00Z")
	m, _ := join(t, r, now, NewMember{Name: "Ada"})
	f.before = func() { f.set("buckets", "Europe/London@06:30", "2026-11-25") }
	hour := "07:00"
	m, err := r.Update(t.Context(), now, m.ID, Patch{SendAt: &hour})
	if want := "2026-11-25 Europe/London@06:30, 2026-11-26 Europe/London@07:00"; err != nil || written(m.Buckets) != want {
		t.Errorf("got %s (%v), want %s", written(m.Buckets), err, want)
	}
}

// TestGoingWestOverTheDateLine: the new zone's date is earlier, and nobody has had its session.
func TestGoingWestOverTheDateLine(t *testing.T) {
	r := newRoster(t, newFake())
	m, _ := join(t, r, at(t, "2026-11-20T12:00:00Z"), NewMember{Name: "Ada", Zone: "Pacific/Kiritimati"})
	zone := "Pacific/Pago_Pago"
	m, err := r.Update(t.Context(), at(t, "2026-11-25T10:30:00Z"), m.ID, Patch{Zone: &zone})
	if want := "2026-11-21 Pacific/Kiritimati@06:30, 2026-11-24 Pacific/Pago_Pago@06:30"; err != nil || written(m.Buckets) != want {
		t.Errorf("got %s (%v), want %s", written(m.Buckets), err, want)
	}
}

func TestPauseAndResume(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	yes, no := true, false
	added, err := r.Add(t.Context(), at(t, "2026-11-20T12:00:00Z"), []NewMember{{Name: "Ada"}}, "")
	if err != nil {
		t.Fatal(err)
	}
	var invalid InvalidError
	if _, err := r.Update(t.Context(), at(t, "2026-11-20T12:00:00Z"), added[0].ID, Patch{Paused: &yes}); !errors.As(err, &invalid) {
		t.Errorf("a pause before joining: %v", err)
	}
	m, _, err := r.Join(t.Context(), at(t, "2026-11-20T12:00:00Z"), added[0].Invite, "")
	if err != nil {
		t.Fatal(err)
	}
	f.set("buckets", "Europe/London@06:30", "2026-11-21")
	if m, err = r.Update(t.Context(), at(t, "2026-11-21T12:00:00Z"), m.ID, Patch{Paused: &yes}); err != nil {
		t.Fatal(err)
	}
	for d, want := range map[string]bool{"2026-11-19": false, "2026-11-20": false, "2026-11-21": false, "2026-11-22": true, "2026-12-22": true} {
		if got := m.PausedOn(day(d)); got != want {
			t.Errorf("paused on %s: %v, want %v", d, got, want)
		}
	}
	hour := "08:00"
	if m, err = r.Update(t.Context(), at(t, "2026-11-23T12:00:00Z"), m.ID, Patch{SendAt: &hour}); err != nil || !m.PausedOn(day("2026-11-24")) {
		t.Errorf("another hour does not end a pause: %s (%v)", written(m.Buckets), err)
	}
	m, err = r.Update(t.Context(), at(t, "2026-11-25T07:00:00Z"), m.ID, Patch{Paused: &no})
	if want := "2026-11-20 Europe/London@06:30, 2026-11-22 pause, 2026-11-25 Europe/London@08:00"; err != nil || written(m.Buckets) != want {
		t.Errorf("resumed: %s (%v), want %s", written(m.Buckets), err, want)
	}
}

func TestUpdateFields(t *testing.T) {
	r := newRoster(t, newFake())
	now := at(t, "2026-11-25T12:00:00Z")
	m, _ := join(t, r, now, NewMember{Name: "Ada", Zone: "Asia/Tokyo"})
	var p Patch
	text := `{"name":"Ada Q","division":"open","birth_year":1980,"zone":"","send_at":"","kit":["backpack"],"level":"harder","levels":{"Hinge":"easier"},
		"limits":["Quiet"],"units":"lb","on_boards":true,"usual":"scaled","no_ranks":true,"remind":true}`
	if err := json.Unmarshal([]byte(text), &p); err != nil {
		t.Fatal(err)
	}
	got, err := r.Update(t.Context(), now, m.ID, p)
	if err != nil {
		t.Fatal(err)
	}
	if got.Name != "Ada Q" || got.Division != "open" || got.BirthYear != 1980 || got.Zone != "Europe/London" || got.SendAt.String() != "06:30" ||
		got.Level != "harder" || got.Levels["hinge"] != "easier" || !slices.Equal(got.Limits, []string{"quiet"}) || got.Units != "lb" ||
		!got.OnBoards || got.Usual != content.Scaled || got.UsualOn != day("2026-11-25") || !got.NoRanks || !got.Remind || got.Newcomer {
		t.Errorf("got %+v", got)
	}
	same, err := r.Update(t.Context(), now, m.ID, Patch{})
	if err != nil || fmt.Sprint(same) != fmt.Sprint(got) {
		t.Errorf("an empty patch: %+v, %v", same, err)
	}
	bad := content.Version("easy")
	var invalid InvalidError
	if _, err := r.Update(t.Context(), now, m.ID, Patch{Usual: &bad}); !errors.As(err, &invalid) || invalid[0].Field != "usual" {
		t.Errorf("a wrong version: %v", err)
	}
}

func TestBuckets(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-01T12:00:00Z")
	a, _ := join(t, r, now, NewMember{Name: "Ada"})
	join(t, r, now.Add(24*time.Hour), NewMember{Name: "Ben"})
	if _, err := r.Add(t.Context(), now, []NewMember{{Name: "Cy", Zone: "Asia/Tokyo"}}, ""); err != nil {
		t.Fatal(err) // never joins
	}
	if got := written(r.Buckets(now)); got != "2026-11-01 Europe/London@06:30" {
		t.Errorf("two in one bucket: %s", got)
	}
	zone := "Asia/Tokyo"
	f.set("buckets", "Europe/London@06:30", "2026-11-10")
	if _, err := r.Update(t.Context(), at(t, "2026-11-10T12:00:00Z"), a.ID, Patch{Zone: &zone}); err != nil {
		t.Fatal(err)
	}
	for _, m := range r.All() {
		if m.Name == "Ben" {
			if err := r.Remove(t.Context(), at(t, "2026-11-11T12:00:00Z"), m.ID); err != nil {
				t.Fatal(err)
			}
		}
	}
	const both = "2026-11-11 Asia/Tokyo@06:30, 2026-11-01 Europe/London@06:30"
	for on, want := range map[string]string{"2026-11-12": both, "2026-11-25": both, "2026-11-27": "2026-11-11 Asia/Tokyo@06:30"} {
		if got := written(r.Buckets(at(t, on+"T12:00:00Z"))); got != want {
			t.Errorf("on %s: %s, want %s", on, got, want)
		}
	}
}

// TestAPauseEndsByItself: a pause with an end is two entries of the dated list; resume takes the second one's place,
// and another hour keeps the end.
func TestAPauseEndsByItself(t *testing.T) {
	fake := newFake()
	r := newRoster(t, fake)
	yes, no, hour := true, false, "08:00"
	m, _ := join(t, r, at(t, "2026-11-20T12:00:00Z"), NewMember{Name: "Ada"})
	fake.set("buckets", m.BucketOn(day("2026-11-20")).String(), "2026-11-20")
	until := func(d string) Patch { return Patch{Paused: &yes, Until: day(d)} }
	for _, step := range []struct {
		when string
		p    Patch
		want string
	}{
		{"2026-11-20T13:00:00Z", until("2026-11-24"), "2026-11-20 Europe/London@06:30, 2026-11-21 pause, 2026-11-24 Europe/London@06:30"},
		{"2026-11-20T13:00:00Z", until("2026-11-24"), "2026-11-20 Europe/London@06:30, 2026-11-21 pause, 2026-11-24 Europe/London@06:30"},
		{"2026-11-22T13:00:00Z", until("2026-11-27"), "2026-11-20 Europe/London@06:30, 2026-11-21 pause, 2026-11-27 Europe/London@06:30"},
		{"2026-11-22T13:00:00Z", Patch{SendAt: &hour}, "2026-11-20 Europe/London@06:30, 2026-11-21 pause, 2026-11-27 Europe/London@08:00"},
		{"2026-11-22T13:00:00Z", Patch{Paused: &yes}, "2026-11-20 Europe/London@06:30, 2026-11-21 pause"},
		{"2026-11-22T13:00:00Z", until("2026-11-27"), "2026-11-20 Europe/London@06:30, 2026-11-21 pause, 2026-11-27 Europe/London@08:00"},
		{"2026-11-23T13:00:00Z", Patch{Paused: &no}, "2026-11-20 Europe/London@06:30, 2026-11-21 pause, 2026-11-23 Europe/London@08:00"},
	} {
		var err error
		if m, err = r.Update(t.Context(), at(t, step.when), m.ID, step.p); err != nil || written(m.Buckets) != step.want {
			t.Fatalf("%s: %s (%v), want %s", step.when, written(m.Buckets), err, step.want)
		}
	}
	for _, p := range []Patch{until("2026-11-23"), {Until: day("2026-12-01")}, {Paused: &no, Until: day("2026-12-01")}} {
		var invalid InvalidError
		if _, err := r.Update(t.Context(), at(t, "2026-11-23T13:00:00Z"), m.ID, p); !errors.As(err, &invalid) {
			t.Errorf("%+v: %v, want it refused", p, err)
		}
	}
	if got := m.PauseEnds(day("2026-11-22")); got != day("2026-11-23") {
		t.Errorf("the pause ends on %s", got)
	}
	if got := m.PauseEnds(day("2026-11-23")); !got.IsZero() {
		t.Errorf("a pause that is over ends on %s", got)
	}
}

// TestAPauseThatGoesOn: a move during a pause neither takes what was the member's before it, nor puts its end off.
func TestAPauseThatGoesOn(t *testing.T) {
	yes := true
	f := newFake()
	r := newRoster(t, f)
	m, _ := join(t, r, at(t, "2026-11-20T12:00:00Z"), NewMember{Name: "Ada", Zone: "Pacific/Kiritimati"})
	f.set("buckets", "Pacific/Kiritimati@06:30", "2026-11-24") // the server was down: the 25th has not gone out yet
	m, err := r.Update(t.Context(), at(t, "2026-11-25T10:30:00Z"), m.ID, Patch{Paused: &yes, Until: day("2026-12-01")})
	if want := "2026-11-21 Pacific/Kiritimati@06:30, 2026-11-26 pause, 2026-12-01 Pacific/Kiritimati@06:30"; err != nil || written(m.Buckets) != want {
		t.Fatalf("got %s (%v), want %s", written(m.Buckets), err, want)
	}
	west := "Pacific/Pago_Pago" // there it is the 25th still
	m, err = r.Update(t.Context(), at(t, "2026-11-26T09:00:00Z"), m.ID, Patch{Zone: &west})
	if want := "2026-11-21 Pacific/Kiritimati@06:30, 2026-11-26 pause, 2026-12-01 Pacific/Pago_Pago@06:30"; err != nil || written(m.Buckets) != want {
		t.Errorf("a move west: %s (%v), want %s", written(m.Buckets), err, want)
	}
	east := "Pacific/Apia" // its other members have had the session of the day on which the pause ends
	f.set("buckets", "Pacific/Apia@06:30", "2026-12-01")
	m, err = r.Update(t.Context(), at(t, "2026-11-30T20:00:00Z"), m.ID, Patch{Zone: &east})
	if want := "2026-11-21 Pacific/Kiritimati@06:30, 2026-11-26 pause, 2026-12-01 Pacific/Apia@06:30"; err != nil || written(m.Buckets) != want {
		t.Errorf("a move east: %s (%v), want %s", written(m.Buckets), err, want)
	}
}
