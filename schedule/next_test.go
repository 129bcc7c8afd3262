package schedule

import (
	"os"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := LoadZone(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func date(t testing.TB, s string) content.Date {
	t.Helper()
	d, err := content.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func clock(t testing.TB, s string) content.Clock {
	t.Helper()
	c, err := content.ParseClock(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func instant(t testing.TB, s string) time.Time {
	t.Helper()
	i, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

// TestInstantOf has dates on which clocks change. The changes are those of IANA tzdb 2026c; where the clock skips the
// send time the rule is ours: the first instant after the gap. RFC 5545 section 3.3.5 would keep the offset of before
// the gap, which is later by what of the gap had passed (Berlin 02:30 on 29 March: 01:30Z); for times at the start of
// a gap both agree.
func TestInstantOf(t *testing.T) {
	for _, c := range []struct{ what, zone, at, date, want string }{
		{"an ordinary day", "Europe/Berlin", "06:00", "2026-03-28", "2026-03-28T05:00:00Z"},
		{"the day of the gap, after it", "Europe/Berlin", "06:00", "2026-03-29", "2026-03-29T04:00:00Z"},
		{"the day of the overlap, after it", "Europe/Berlin", "06:00", "2026-10-25", "2026-10-25T05:00:00Z"},
		{"in the gap", "Europe/Berlin", "02:30", "2026-03-29", "2026-03-29T01:00:00Z"},
		{"at the start of the gap", "Europe/Berlin", "02:00", "2026-03-29", "2026-03-29T01:00:00Z"},
		{"at the end of the gap", "Europe/Berlin", "03:00", "2026-03-29", "2026-03-29T01:00:00Z"},
		{"a minute before the gap", "Europe/Berlin", "01:59", "2026-03-29", "2026-03-29T00:59:00Z"},
		{"a time that happens twice", "Europe/Berlin", "02:30", "2026-10-25", "2026-10-25T00:30:00Z"},
		{"the start of the overlap", "Europe/Berlin", "02:00", "2026-10-25", "2026-10-25T00:00:00Z"},
		{"the end of the overlap", "Europe/Berlin", "03:00", "2026-10-25", "2026-10-25T02:00:00Z"},
		{"London, in the gap", "Europe/London", "01:30", "2026-03-29", "2026-03-29T01:00:00Z"},
		{"London, twice", "Europe/London", "01:30", "2026-10-25", "2026-10-25T00:30:00Z"},
		{"New York, in the gap", "America/New_York", "02:30", "2026-03-08", "2026-03-08T07:00:00Z"},
		{"New York, twice", "America/New_York", "01:30", "2026-11-01", "2026-11-01T05:30:00Z"},
		{"New York 2007, in the gap", "America/New_York", "02:30", "2007-03-11", "2007-03-11T07:00:00Z"},
		{"New York 2007, twice (RFC 5545 3.3.5)", "America/New_York", "01:30", "2007-11-04", "2007-11-04T05:30:00Z"},
		{"a day that begins at 01:00, Cairo", "Africa/Cairo", "00:00", "2026-04-24", "2026-04-23T22:00:00Z"},
		{"a day that begins at 01:00, Cairo at 00:30", "Africa/Cairo", "00:30", "2026-04-24", "2026-04-23T22:00:00Z"},
		{"Cairo, an evening that happens twice", "Africa/Cairo", "23:30", "2026-10-29", "2026-10-29T20:30:00Z"},
		{"Cairo, the midnight after it", "Africa/Cairo", "00:00", "2026-10-30", "2026-10-29T22:00:00Z"},
		{"a day that begins at 01:00, Santiago", "America/Santiago", "00:00", "2026-09-06", "2026-09-06T04:00:00Z"},
		{"Santiago, twice", "America/Santiago", "23:15", "2026-04-04", "2026-04-05T02:15:00Z"},
		{"a day that begins at 01:00, Beirut", "Asia/Beirut", "00:00", "2026-03-29", "2026-03-28T22:00:00Z"},
		{"a day that begins at 01:00, Havana", "America/Havana", "00:30", "2026-03-08", "2026-03-08T05:00:00Z"},
		{"a half-hour gap", "Australia/Lord_Howe", "02:15", "2026-10-04", "2026-10-03T15:30:00Z"},
		{"the end of a half-hour gap", "Australia/Lord_Howe", "02:30", "2026-10-04", "2026-10-03T15:30:00Z"},
		{"a half-hour overlap", "Australia/Lord_Howe", "01:45", "2026-04-05", "2026-04-04T14:45:00Z"},
		{"after a half-hour overlap", "Australia/Lord_Howe", "02:00", "2026-04-05", "2026-04-04T15:30:00Z"},
		{"Chatham, in the gap", "Pacific/Chatham", "03:00", "2026-09-27", "2026-09-26T14:00:00Z"},
		{"Chatham, twice", "Pacific/Chatham", "03:15", "2026-04-05", "2026-04-04T13:30:00Z"},
		{"a two-hour gap", "Antarctica/Troll", "02:00", "2026-03-29", "2026-03-29T01:00:00Z"},
		{"a two-hour overlap", "Antarctica/Troll", "01:30", "2026-10-25", "2026-10-24T23:30:00Z"},
		{"a gap that ends in the next date keeps its date", "America/Nuuk", "23:30", "2026-03-28", "2026-03-29T01:00:00Z"},
		{"and the next date has its own", "America/Nuuk", "23:30", "2026-03-29", "2026-03-30T00:30:00Z"},
		{"Nuuk, twice", "America/Nuuk", "23:30", "2026-10-24", "2026-10-25T00:30:00Z"},
		{"Azores, a day that begins at 01:00", "Atlantic/Azores", "00:00", "2026-03-29", "2026-03-29T01:00:00Z"},
		{"Azores, a midnight that happens twice", "Atlantic/Azores", "00:00", "2026-10-25", "2026-10-25T00:00:00Z"},
		{"an overlap over midnight, the evening", "America/St_Johns", "23:30", "2006-10-28", "2006-10-29T02:00:00Z"},
		{"an overlap over midnight, the minute that comes again", "America/St_Johns", "00:00", "2006-10-29", "2006-10-29T02:30:00Z"},
		{"an overlap over midnight, the morning", "America/St_Johns", "00:30", "2006-10-29", "2006-10-29T04:00:00Z"},
		{"the day before Samoa's missing one", "Pacific/Apia", "23:59", "2011-12-29", "2011-12-30T09:59:00Z"},
		{"Samoa's missing day", "Pacific/Apia", "06:00", "2011-12-30", ""},
		{"the day after", "Pacific/Apia", "00:00", "2011-12-31", "2011-12-30T10:00:00Z"},
		{"Kwajalein's missing day", "Pacific/Kwajalein", "12:00", "1993-08-21", ""},
		{"Sao Paulo 2017", "America/Sao_Paulo", "00:00", "2017-10-15", "2017-10-15T03:00:00Z"},
		{"Sao Paulo 2018, the hour that other software loses", "America/Sao_Paulo", "01:00", "2018-11-04", "2018-11-04T03:00:00Z"},
		{"a gap of a quarter of an hour", "Asia/Kathmandu", "00:05", "1986-01-01", "1985-12-31T18:30:00Z"},
		{"Pyongyang's gap up to midnight", "Asia/Pyongyang", "23:45", "2018-05-04", "2018-05-04T15:00:00Z"},
		{"Caracas", "America/Caracas", "02:45", "2016-05-01", "2016-05-01T07:00:00Z"},
		{"a label that changes without the clock", "Asia/Amman", "01:00", "2022-10-28", "2022-10-27T22:00:00Z"},
		{"a zone without changes", "Asia/Kolkata", "06:30", "2026-11-25", "2026-11-25T01:00:00Z"},
		{"three quarters of an hour", "Australia/Eucla", "06:45", "2026-11-25", "2026-11-24T22:00:00Z"},
		{"the first zone of a date", "Pacific/Kiritimati", "00:00", "2026-11-25", "2026-11-24T10:00:00Z"},
		{"the last zone of a date", "Pacific/Pago_Pago", "23:59", "2026-11-25", "2026-11-26T10:59:00Z"},
		{"the last day of a leap year", "Africa/Cairo", "00:00", "2041-01-01", "2040-12-31T22:00:00Z"},
		{"the last day of a leap year, by a rule in force for long", "America/New_York", "21:00", "2028-12-31", "2029-01-01T02:00:00Z"},
		{"UTC", "UTC", "06:30", "2024-02-29", "2024-02-29T06:30:00Z"},
	} {
		t.Run(c.what, func(t *testing.T) {
			got, ok := InstantOf(zone(t, c.zone), clock(t, c.at), date(t, c.date))
			if ok != (c.want != "") {
				t.Fatalf("there is an instant: %v (%v)", ok, got)
			}
			if ok && !got.Equal(instant(t, c.want)) {
				t.Errorf("got %s, want %s", got.UTC().Format(time.RFC3339), c.want)
			}
		})
	}
}

func TestNextIsStrictlyLater(t *testing.T) {
	z := zone(t, "Europe/Berlin")
	at := clock(t, "02:30")
	first := instant(t, "2026-03-29T01:00:00Z")
	if got, d := Next(z, at, first.Add(-time.Nanosecond)); !got.Equal(first) || d != date(t, "2026-03-29") {
		t.Errorf("just before: %v of %v", got, d)
	}
	if got, d := Next(z, at, first); !got.Equal(instant(t, "2026-03-30T00:30:00Z")) || d != date(t, "2026-03-30") {
		t.Errorf("at the instant itself: %v of %v", got, d)
	}
	got, d := Next(zone(t, "America/Nuuk"), clock(t, "23:30"), instant(t, "2026-03-28T12:00:00Z"))
	if want := instant(t, "2026-03-29T01:00:00Z"); !got.Equal(want) || d != date(t, "2026-03-28") {
		t.Errorf("a gap at the end of a day: %v of %v, want %v of the 28th", got, d, want)
	}
	got, d = Next(zone(t, "Pacific/Apia"), clock(t, "06:00"), instant(t, "2011-12-29T16:00:00Z"))
	if want := instant(t, "2011-12-30T16:00:00Z"); !got.Equal(want) || d != date(t, "2011-12-31") {
		t.Errorf("a missing day: %v of %v, want %v of the 31st", got, d, want)
	}
}

// TestOncePerDate has the send times that the cron library (v3.0.1) loses or doubles; each must come once a date.
func TestOncePerDate(t *testing.T) {
	for _, c := range []struct {
		zone, from, to string
		at             []string
	}{
		{"Europe/Berlin", "2026-03-27", "2026-03-31", []string{"02:00", "02:30", "02:59", "03:00", "01:30"}},
		{"Europe/Berlin", "2026-10-23", "2026-10-27", []string{"02:00", "02:30", "02:59", "03:00"}},
		{"Africa/Cairo", "2026-04-22", "2026-04-26", []string{"00:00", "00:30", "08:00"}},
		{"Africa/Cairo", "2026-10-27", "2026-10-31", []string{"23:00", "23:30", "00:00"}},
		{"Australia/Lord_Howe", "2026-10-02", "2026-10-06", []string{"02:00", "02:15", "02:45", "09:00", "03:00", "23:00", "00:00"}},
		{"Australia/Lord_Howe", "2026-04-03", "2026-04-07", []string{"01:45", "01:15", "02:00", "09:00", "23:00", "00:00"}},
		{"America/Santiago", "2026-09-04", "2026-09-08", []string{"00:00"}},
		{"Asia/Beirut", "2026-03-27", "2026-03-31", []string{"00:00"}},
		{"America/Havana", "2026-03-06", "2026-03-10", []string{"00:00"}},
		{"America/Havana", "2025-10-31", "2025-11-04", []string{"00:30"}},
		{"America/New_York", "2025-03-07", "2025-03-11", []string{"02:30"}},
		{"America/New_York", "2025-10-31", "2025-11-04", []string{"01:30"}},
		{"America/Sao_Paulo", "2018-11-02", "2018-11-06", []string{"00:00", "01:00"}},
	} {
		z := zone(t, c.zone)
		for _, at := range c.at {
			last, d := Next(z, clock(t, at), wall(date(t, c.from), content.Clock{}).Add(-36*time.Hour))
			for last.Before(wall(date(t, c.to), content.Clock{})) {
				next, nd := Next(z, clock(t, at), last)
				if !next.After(last) || nd != d.AddDays(1) {
					t.Errorf("%s %s: after %v of %v comes %v of %v", c.zone, at, last, d, next, nd)
				}
				last, d = next, nd
			}
		}
	}
}

// allZones reads the names of all zones.
func allZones(t testing.TB) []string {
	t.Helper()
	text, err := os.ReadFile("../content/zonenames.txt")
	if err != nil {
		t.Fatal(err)
	}
	names := strings.Fields(string(text))
	if len(names) < 400 {
		t.Fatalf("only %d zones", len(names))
	}
	return names
}

// TestInstantAgainstMinutes looks at every minute around a date and takes the first that fits the rule.
func TestInstantAgainstMinutes(t *testing.T) {
	names := allZones(t)
	rapid.Check(t, func(r *rapid.T) {
		z := zone(t, rapid.SampledFrom(names).Draw(r, "zone"))
		at := content.Clock{Hour: rapid.IntRange(0, 23).Draw(r, "hour"), Minute: rapid.IntRange(0, 59).Draw(r, "minute")}
		d := content.Date{Year: 1973, Month: 1, Day: 1}.AddDays(rapid.IntRange(0, 65*365).Draw(r, "day"))
		// Clocks change on few days: look for one near.
		if cs := Changes(z, wall(d, at), wall(d, at).AddDate(0, 8, 0)); len(cs) > 0 && rapid.Bool().Draw(r, "on a change") {
			d = content.DateOf(cs[0].At.In(z)).AddDays(rapid.IntRange(-1, 1).Draw(r, "off"))
		}
		want, shown := firstMinute(z, at, d)
		got, ok := InstantOf(z, at, d)
		if ok != shown || ok && !got.Equal(want) {
			r.Fatalf("%s %s %s: got %v %v, minute by minute %v %v", z, at, d, got, ok, want, shown)
		}
	})
}

func firstMinute(z *time.Location, at content.Clock, d content.Date) (first time.Time, shown bool) {
	var fits, after time.Time
	next := d.AddDays(1)
	for t := wall(d, content.Clock{}).Add(-reach); t.Before(wall(next, content.Clock{}).Add(reach)); t = t.Add(time.Minute) {
		local := t.In(z)
		on, now := content.DateOf(local), local.Hour()*60+local.Minute()
		shown = shown || on == d
		if on == d && now >= at.Minutes() && fits.IsZero() {
			fits = t
		}
		if (on == d && now >= at.Minutes() || !on.Before(next)) && after.IsZero() {
			after = t
		}
	}
	if fits.IsZero() {
		return after, shown
	}
	return fits, shown
}

// TestYearsInOrder: over years each date has one instant, in order; a date is left out only where no clock shows it.
func TestYearsInOrder(t *testing.T) {
	names := allZones(t)
	rapid.Check(t, func(r *rapid.T) {
		z := zone(t, rapid.SampledFrom(names).Draw(r, "zone"))
		at := content.Clock{Hour: rapid.IntRange(0, 23).Draw(r, "hour"), Minute: rapid.IntRange(0, 59).Draw(r, "minute")}
		year := rapid.IntRange(1970, 2045).Draw(r, "year")
		last, d := Next(z, at, time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC))
		for last.Year() < year+2 {
			next, nd := Next(z, at, last)
			if !next.After(last) {
				r.Fatalf("%s %s: %v is not after %v", z, at, next, last)
			}
			for skipped := d.AddDays(1); skipped != nd; skipped = skipped.AddDays(1) {
				if !skipped.Before(nd) {
					r.Fatalf("%s %s: %v comes after %v", z, at, nd, d)
				}
				if _, shown := firstMinute(z, at, skipped); shown {
					r.Fatalf("%s %s: no instant for %v", z, at, skipped)
				}
			}
			last, d = next, nd
		}
	})
}
