package schedule

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

// spoken writes what is due as "DATE mode", for comparison.
func spoken(due []Sending) string {
	var out []string
	for _, d := range due {
		out = append(out, d.Date.String()+" "+string(d.Mode))
	}
	return strings.Join(out, ", ")
}

func TestDue(t *testing.T) {
	const berlin = "Europe/Berlin"
	for _, c := range []struct{ what, zone, at, now, sheets, posted, want string }{
		{"not yet", berlin, "06:30", "2026-11-25T06:29:59+01:00", "2026-11-25", "", ""},
		{"at the instant", berlin, "06:30", "2026-11-25T06:30:00+01:00", "2026-11-25", "", "2026-11-25 regular"},
		{"15 minutes later it is on time", berlin, "06:30", "2026-11-25T06:45:00+01:00", "2026-11-25", "", "2026-11-25 regular"},
		{"a second more is late", berlin, "06:30", "2026-11-25T06:45:01+01:00", "2026-11-25", "", "2026-11-25 late"},
		{"late until the evening limit", berlin, "06:30", "2026-11-25T19:59:59+01:00", "2026-11-25", "", "2026-11-25 late"},
		{"silent from the evening limit", berlin, "06:30", "2026-11-25T20:00:00+01:00", "2026-11-25", "", "2026-11-25 silent"},
		{"silent once the date is over", berlin, "06:30", "2026-11-26T00:00:00+01:00", "2026-11-25", "", "2026-11-25 silent"},
		{"yesterday's silent, today's regular", berlin, "06:30", "2026-11-26T06:30:00+01:00", "2026-11-26 2026-11-25", "", "2026-11-25 silent, 2026-11-26 regular"},
		{"posted is not due", berlin, "06:30", "2026-11-26T06:30:00+01:00", "2026-11-25 2026-11-26", "2026-11-25", "2026-11-26 regular"},
		{"no sheet, no post", berlin, "06:30", "2026-11-25T06:30:00+01:00", "2026-11-24 2026-11-26", "2026-11-24", ""},
		{"a date named twice is due once", berlin, "06:30", "2026-11-25T06:30:00+01:00", "2026-11-25 2026-11-25", "", "2026-11-25 regular"},
		{"on time late in the evening", berlin, "21:00", "2026-11-25T21:10:00+01:00", "2026-11-25", "", "2026-11-25 regular"},
		{"late in the evening, missed", berlin, "21:00", "2026-11-25T21:20:00+01:00", "2026-11-25", "", "2026-11-25 silent"},
		{"on time though the date has turned", berlin, "23:55", "2026-11-26T00:05:00+01:00", "2026-11-25", "", "2026-11-25 regular"},
		{"a gap that ends in the next date is on time", "America/Nuuk", "23:30", "2026-03-29T01:00:00Z", "2026-03-28", "", "2026-03-28 regular"},
		{"and silent when missed", "America/Nuuk", "23:30", "2026-03-29T01:16:00Z", "2026-03-28", "", "2026-03-28 silent"},
		{"in a gap", berlin, "02:30", "2026-03-29T01:00:00Z", "2026-03-29", "", "2026-03-29 regular"},
		{"the hour that comes again is late, not a second send", berlin, "02:30", "2026-10-25T01:30:00Z", "2026-10-25", "2026-10-25", ""},
		{"14 days back is made up", berlin, "06:30", "2026-11-25T06:00:00+01:00", "2026-11-11", "", "2026-11-11 silent"},
		{"15 days back is not", berlin, "06:30", "2026-11-25T06:00:00+01:00", "2026-11-10", "", ""},
		{"a missing date has none", "Pacific/Apia", "06:00", "2011-12-31T12:00:00+14:00", "2011-12-30", "", ""},
		{"still the day for the member, not for UTC", "Pacific/Kiritimati", "06:00", "2026-11-24T18:00:00Z", "2026-11-25", "", "2026-11-25 late"},
		{"an unknown zone has none", "Mars/Base", "06:00", "2026-11-25T06:30:00Z", "2026-11-25", "", ""},
		{"a pause has none", "", "06:00", "2026-11-25T06:30:00Z", "2026-11-25", "", ""},
	} {
		t.Run(c.what, func(t *testing.T) {
			var sheets []content.Date
			for _, s := range strings.Fields(c.sheets) {
				sheets = append(sheets, date(t, s))
			}
			due := Due(instant(t, c.now), Bucket{Zone: c.zone, At: clock(t, c.at)}, sheets, func(d content.Date) bool {
				return strings.Contains(c.posted, d.String())
			})
			if got := spoken(due); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
			for _, d := range due {
				if d.Reason == "" || d.Instant.IsZero() || d.Instant.After(instant(t, c.now)) {
					t.Errorf("reason %q, instant %v", d.Reason, d.Instant)
				}
			}
		})
	}
}

func TestEveningLimitIsTheClubs(t *testing.T) {
	p := DefaultPolicy()
	p.EveningLimit = content.Clock{Hour: 18, Minute: 30}
	never := func(content.Date) bool { return false }
	for now, want := range map[string]Mode{"18:29": Late, "18:30": Silent} {
		due, _ := p.Due(instant(t, "2026-11-25T"+now+":00Z"), time.UTC, clock(t, "06:30"), []content.Date{date(t, "2026-11-25")}, never)
		if len(due) != 1 || due[0].Mode != want {
			t.Errorf("at %s: %+v, want %s", now, due, want)
		}
	}
}

func TestDueTellsWhatComesNext(t *testing.T) {
	never := func(content.Date) bool { return false }
	sheets := []content.Date{date(t, "2026-11-28"), date(t, "2026-11-27"), date(t, "2026-11-25")}
	due, next := DefaultPolicy().Due(instant(t, "2026-11-25T07:00:00Z"), time.UTC, clock(t, "06:30"), sheets, never)
	if spoken(due) != "2026-11-25 late" || !next.Equal(instant(t, "2026-11-27T06:30:00Z")) {
		t.Errorf("due %q, next %v", spoken(due), next)
	}
	if _, next := DefaultPolicy().Due(instant(t, "2026-11-29T07:00:00Z"), time.UTC, clock(t, "06:30"), sheets, never); !next.IsZero() {
		t.Errorf("nothing comes, but next is %v", next)
	}
}

// TestEachDateOnce walks a clock with stops of any length over some weeks, as restarts and sleep make them, and posts
// what is due: every date with a sheet is posted once, and never before its instant.
func TestEachDateOnce(t *testing.T) {
	names := allZones(t)
	rapid.Check(t, func(r *rapid.T) {
		b := Bucket{Zone: rapid.SampledFrom(names).Draw(r, "zone"), At: content.Clock{
			Hour: rapid.IntRange(0, 23).Draw(r, "hour"), Minute: rapid.IntRange(0, 59).Draw(r, "minute")}}
		z := zone(t, b.Zone)
		start := content.Date{Year: 2026, Month: 1, Day: 1}.AddDays(rapid.IntRange(0, 700).Draw(r, "start"))
		var sheets []content.Date
		for i := range 12 {
			if rapid.IntRange(0, 3).Draw(r, "rest day") > 0 {
				sheets = append(sheets, start.AddDays(i))
			}
		}
		posted := map[content.Date]int{}
		now := wall(start, content.Clock{}).Add(-30 * time.Hour)
		for now.Before(wall(start.AddDays(14), content.Clock{})) {
			for _, d := range Due(now, b, sheets, func(d content.Date) bool { return posted[d] > 0 }) {
				posted[d.Date]++
				if want, _ := InstantOf(z, b.At, d.Date); now.Before(want) || !d.Instant.Equal(want) {
					r.Fatalf("%s at %v: %+v, its instant is %v", b, now, d, want)
				}
			}
			now = now.Add(time.Duration(rapid.IntRange(1, 60*40).Draw(r, "minutes")) * time.Minute)
		}
		for _, d := range sheets {
			if _, exists := InstantOf(z, b.At, d); exists != (posted[d] == 1) || posted[d] > 1 {
				r.Fatalf("%s: the session of %s was posted %d times", b, d, posted[d])
			}
		}
		if len(posted) > len(sheets) || slices.ContainsFunc(sheets, func(d content.Date) bool { return posted[d] > 1 }) {
			r.Fatalf("posted %v for sheets %v", posted, sheets)
		}
	})
}
