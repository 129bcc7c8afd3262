package schedule

import (
	"slices"
	"strings"
	"testing"
	"time"

	"tallybell/content"
)

// TestChanges holds the changes of 2026 and 2027 as IANA tzdb 2026c has them (and 2025b; compiled from source), each
// with the local times from and to.
func TestChanges(t *testing.T) {
	for _, c := range []struct {
		zone string
		want []string // instant, wall clock before, wall clock after
	}{
		{"Europe/Berlin", []string{"2026-03-29T01:00Z 02:00 03:00", "2026-10-25T01:00Z 03:00 02:00", "2027-03-28T01:00Z 02:00 03:00", "2027-10-31T01:00Z 03:00 02:00"}},
		{"Europe/London", []string{"2026-03-29T01:00Z 01:00 02:00", "2026-10-25T01:00Z 02:00 01:00", "2027-03-28T01:00Z 01:00 02:00", "2027-10-31T01:00Z 02:00 01:00"}},
		{"America/New_York", []string{"2026-03-08T07:00Z 02:00 03:00", "2026-11-01T06:00Z 02:00 01:00", "2027-03-14T07:00Z 02:00 03:00", "2027-11-07T06:00Z 02:00 01:00"}},
		{"Australia/Sydney", []string{"2026-04-04T16:00Z 03:00 02:00", "2026-10-03T16:00Z 02:00 03:00", "2027-04-03T16:00Z 03:00 02:00", "2027-10-02T16:00Z 02:00 03:00"}},
		{"Africa/Cairo", []string{"2026-04-23T22:00Z 00:00 01:00", "2026-10-29T21:00Z 00:00 23:00", "2027-04-29T22:00Z 00:00 01:00", "2027-10-28T21:00Z 00:00 23:00"}},
		{"America/Santiago", []string{"2026-04-05T03:00Z 00:00 23:00", "2026-09-06T04:00Z 00:00 01:00", "2027-04-04T03:00Z 00:00 23:00", "2027-09-05T04:00Z 00:00 01:00"}},
		{"Asia/Beirut", []string{"2026-03-28T22:00Z 00:00 01:00", "2026-10-24T21:00Z 00:00 23:00", "2027-03-27T22:00Z 00:00 01:00", "2027-10-30T21:00Z 00:00 23:00"}},
		{"America/Havana", []string{"2026-03-08T05:00Z 00:00 01:00", "2026-11-01T05:00Z 01:00 00:00", "2027-03-14T05:00Z 00:00 01:00", "2027-11-07T05:00Z 01:00 00:00"}},
		{"Australia/Lord_Howe", []string{"2026-04-04T15:00Z 02:00 01:30", "2026-10-03T15:30Z 02:00 02:30", "2027-04-03T15:00Z 02:00 01:30", "2027-10-02T15:30Z 02:00 02:30"}},
		{"Pacific/Chatham", []string{"2026-04-04T14:00Z 03:45 02:45", "2026-09-26T14:00Z 02:45 03:45", "2027-04-03T14:00Z 03:45 02:45", "2027-09-25T14:00Z 02:45 03:45"}},
		{"Atlantic/Azores", []string{"2026-03-29T01:00Z 00:00 01:00", "2026-10-25T01:00Z 01:00 00:00", "2027-03-28T01:00Z 00:00 01:00", "2027-10-31T01:00Z 01:00 00:00"}},
		{"America/Nuuk", []string{"2026-03-29T01:00Z 23:00 00:00", "2026-10-25T01:00Z 00:00 23:00", "2027-03-28T01:00Z 23:00 00:00", "2027-10-31T01:00Z 00:00 23:00"}},
		{"Antarctica/Troll", []string{"2026-03-29T01:00Z 01:00 03:00", "2026-10-25T01:00Z 03:00 01:00", "2027-03-28T01:00Z 01:00 03:00", "2027-10-31T01:00Z 03:00 01:00"}},
		{"Europe/Dublin", []string{"2026-03-29T01:00Z 01:00 02:00", "2026-10-25T01:00Z 02:00 01:00", "2027-03-28T01:00Z 01:00 02:00", "2027-10-31T01:00Z 02:00 01:00"}},
	} {
		t.Run(c.zone, func(t *testing.T) {
			if c.zone == "America/Havana" && content.ZoneRelease() >= "2026f" {
				c.want = []string{c.want[0], c.want[3]} // Cuba's later decision: no change from March 2026 to November 2027
			}
			var got []string
			for _, ch := range Changes(zone(t, c.zone), instant(t, "2026-01-01T00:00:00Z"), instant(t, "2028-01-01T00:00:00Z")) {
				got = append(got, ch.At.Format("2006-01-02T15:04Z ")+ch.From().Format("15:04 ")+ch.To().Format("15:04"))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("got  %q\nwant %q", got, c.want)
			}
		})
	}
	for _, name := range strings.Fields(`Asia/Tokyo Asia/Kolkata Asia/Kathmandu Australia/Eucla America/Phoenix America/Sao_Paulo
		America/Asuncion Asia/Amman Asia/Riyadh Asia/Dubai Asia/Singapore America/Bogota Africa/Lagos Asia/Karachi
		Pacific/Marquesas Pacific/Kiritimati Pacific/Pago_Pago`) {
		if got := Changes(zone(t, name), instant(t, "2026-01-01T00:00:00Z"), instant(t, "2028-01-01T00:00:00Z")); len(got) > 0 {
			t.Errorf("%s has changes %v, want none in 2026 and 2027", name, got)
		}
	}
}

// TestDayLengths: the time between the first instants of a date and of the next (IANA tzdb 2026c).
func TestDayLengths(t *testing.T) {
	for _, c := range []struct{ zone, date, want string }{
		{"Europe/Berlin", "2026-03-29", "23h"}, {"Europe/Berlin", "2026-10-25", "25h"}, {"Europe/Berlin", "2026-10-26", "24h"},
		{"Africa/Cairo", "2026-04-24", "23h"}, {"Africa/Cairo", "2026-10-29", "25h"},
		{"America/Santiago", "2026-09-06", "23h"}, {"America/Santiago", "2026-04-04", "25h"},
		{"Australia/Lord_Howe", "2026-10-04", "23h30m"}, {"Australia/Lord_Howe", "2026-04-05", "24h30m"},
		{"America/New_York", "2026-03-08", "23h"}, {"America/New_York", "2026-11-01", "25h"},
	} {
		z, d := zone(t, c.zone), date(t, c.date)
		start, _ := InstantOf(z, content.Clock{}, d)
		end, _ := InstantOf(z, content.Clock{}, d.AddDays(1))
		if want, _ := time.ParseDuration(c.want); end.Sub(start) != want {
			t.Errorf("%s %s has %v, want %v", c.zone, c.date, end.Sub(start), want)
		}
	}
}

func TestTouches(t *testing.T) {
	z := zone(t, "America/Nuuk")
	cs := Changes(z, instant(t, "2026-03-01T00:00:00Z"), instant(t, "2026-04-01T00:00:00Z"))
	if len(cs) != 1 {
		t.Fatalf("changes: %v", cs)
	}
	for d, want := range map[string]bool{"2026-03-27": false, "2026-03-28": true, "2026-03-29": false} {
		if got := cs[0].Touches(date(t, d)); got != want {
			t.Errorf("the gap from 23:00 to 24:00 on the 28th touches %s: %v, want %v", d, got, want)
		}
	}
}

// TestRecentChanges: the zones whose rules changed in 2026 are right (IANA tzdb NEWS, 2026a to 2026f) in the data that
// the binary carries, and what older data gets wrong is told, never silent.
func TestRecentChanges(t *testing.T) {
	if content.ZoneRelease() < "2026f" {
		t.Errorf("the zone data in use is %s; the binary carries 2026f", content.ZoneData())
	}
	for _, c := range recentChanges() {
		at := instant(t, c.at)
		for _, name := range strings.Fields(c.zones) {
			if _, east := at.In(zone(t, name)).Zone(); time.Duration(east)*time.Second != c.offset {
				t.Errorf("%s at %s is %ds from UTC, want %v (%s)", name, c.at, east, c.offset, c.version)
			}
		}
	}
	if old := OutdatedZones(); len(old) > 0 {
		t.Errorf("told as outdated: %q", old)
	}
	// A zone by that name whose clock is what older data has: winter time that is no more.
	old := time.FixedZone("America/Vancouver", -8*60*60)
	if note := OutdatedZone(old); !strings.Contains(note, "2026b") || !strings.Contains(note, "ZONEINFO") {
		t.Errorf("outdated data is told as %q", note)
	}
	if note := OutdatedZone(zone(t, "Asia/Tokyo")); note != "" {
		t.Errorf("Asia/Tokyo: %s", note)
	}
}

// TestRecentInstants: 2026-11-25T12:00Z in the zones whose rules changed after 2025c (IANA tzdb 2026c).
func TestRecentInstants(t *testing.T) {
	for name, want := range map[string]string{"Africa/Casablanca": "12:00 +0000", "Africa/El_Aaiun": "12:00 +0000",
		"America/Vancouver": "05:00 -0700", "America/Edmonton": "06:00 -0600"} {
		if got := instant(t, "2026-11-25T12:00:00Z").In(zone(t, name)).Format("15:04 -0700"); got != want {
			t.Errorf("%s reads %s, want %s", name, got, want)
		}
	}
	for zoneName, at := range map[string]string{"Africa/Casablanca": "2026-09-20T01:00:00Z", "Europe/Chisinau": "2026-03-29T01:00:00Z"} {
		c := Changes(zone(t, zoneName), instant(t, at).Add(-24*time.Hour), instant(t, at).Add(24*time.Hour))
		if len(c) != 1 || !c[0].At.Equal(instant(t, at)) {
			t.Errorf("%s changes at %v, want %s", zoneName, c, at)
		}
	}
}
