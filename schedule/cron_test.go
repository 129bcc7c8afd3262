package schedule

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/robfig/cron/v3"
)

// TestWhatThePlainCronLibraryDoes holds what robfig/cron v3.0.1 was seen to do with a send time in a zone, as its own
// documentation warns ("jobs scheduled during daylight-savings leap-ahead transitions will not be run"), and what comes
// of the same question here. Its arithmetic is never used for members; when a version of it behaves otherwise, this
// test says so.
//
// cronie's cron(8) runs what a gap skipped at once after it and never runs a repeated time twice: so do we, and it
// counts only changes of less than three hours as such, we count all. RFC 5545, section 3.3.5, agrees for repeated
// times (the first) and would give a skipped time the offset of before the gap: later than ours by as much of the gap
// as had passed.
func TestWhatThePlainCronLibraryDoes(t *testing.T) {
	for _, c := range []struct {
		zone, at, from string
		theirs         []string // the days' runs after from
		ours           []string
	}{
		{"Europe/Berlin", "02:30", "2026-03-28T00:00:00Z",
			[]string{"03-28T01:30Z", "03-30T00:30Z"}, []string{"03-28T01:30Z", "03-29T01:00Z", "03-30T00:30Z"}},
		{"Europe/Berlin", "02:30", "2026-10-24T12:00:00Z",
			[]string{"10-25T00:30Z", "10-25T01:30Z", "10-26T01:30Z"}, []string{"10-25T00:30Z", "10-26T01:30Z"}},
		{"Africa/Cairo", "00:00", "2026-04-22T12:00:00Z",
			[]string{"04-22T22:00Z", "04-24T21:00Z"}, []string{"04-22T22:00Z", "04-23T22:00Z", "04-24T21:00Z"}},
		{"Africa/Cairo", "23:30", "2026-10-29T12:00:00Z",
			[]string{"10-29T20:30Z", "10-29T21:30Z"}, []string{"10-29T20:30Z", "10-30T21:30Z"}},
		{"America/Santiago", "00:00", "2026-09-05T12:00:00Z",
			[]string{"09-07T03:00Z"}, []string{"09-06T04:00Z", "09-07T03:00Z"}},
		{"Australia/Lord_Howe", "02:15", "2026-10-03T12:00:00Z",
			[]string{"10-04T15:15Z"}, []string{"10-03T15:30Z", "10-04T15:15Z"}},
		{"Australia/Lord_Howe", "01:45", "2026-04-04T12:00:00Z",
			[]string{"04-04T14:45Z", "04-04T15:15Z"}, []string{"04-04T14:45Z", "04-05T15:15Z"}},
		{"Australia/Lord_Howe", "09:00", "2026-10-03T12:00:00Z", // a time that exists, lost by the half hour
			[]string{"10-04T22:00Z"}, []string{"10-03T22:00Z", "10-04T22:00Z"}},
		{"America/New_York", "02:00", "2012-03-10T12:00:00Z", // the library's own spec_test
			[]string{"03-12T06:00Z"}, []string{"03-11T07:00Z", "03-12T06:00Z"}},
		{"America/New_York", "01:00", "2012-11-03T12:00:00Z",
			[]string{"11-04T05:00Z", "11-04T06:00Z"}, []string{"11-04T05:00Z", "11-05T06:00Z"}},
	} {
		z := zone(t, c.zone)
		at := clock(t, c.at)
		spec, err := cron.ParseStandard(fmt.Sprintf("%d %d * * *", at.Minute, at.Hour))
		if err != nil {
			t.Fatal(err)
		}
		var theirs, ours []string
		for now := instant(t, c.from).In(z); len(theirs) < len(c.theirs); {
			now = spec.Next(now)
			theirs = append(theirs, now.UTC().Format("01-02T15:04Z"))
		}
		for now := instant(t, c.from); len(ours) < len(c.ours); {
			now, _ = Next(z, at, now)
			ours = append(ours, now.UTC().Format("01-02T15:04Z"))
		}
		if !slices.Equal(theirs, c.theirs) {
			t.Errorf("%s %s: the library runs at %s, it was seen to at %s", c.zone, c.at, strings.Join(theirs, " "), strings.Join(c.theirs, " "))
		}
		if !slices.Equal(ours, c.ours) {
			t.Errorf("%s %s: goes out at %s, want %s", c.zone, c.at, strings.Join(ours, " "), strings.Join(c.ours, " "))
		}
	}
}

// TestTwoClocksMinutesApart: two replicas on one store, whose clocks differ by minutes and whose ticks mix, send each
// session once; the one ahead decides when.
func TestTwoClocksMinutesApart(t *testing.T) {
	now := instant(t, "2026-03-28T00:00:00Z")
	c := newClub(func() time.Time { return now }, dates(t, "2026-03-28", 3), "Europe/Berlin@02:30", "America/Nuuk@23:30", "Asia/Beirut@00:00")
	ahead, behind := c.runner(t, nil), c.runner(t, nil)
	for now.Before(instant(t, "2026-03-31T12:00:00Z")) {
		for _, tick := range []struct {
			r    *Runner
			skew time.Duration
		}{{behind, -4 * time.Minute}, {ahead, 3 * time.Minute}, {behind, -4 * time.Minute}} {
			if err := tick.r.Tick(t.Context(), now.Add(tick.skew)); err != nil {
				t.Fatal(err)
			}
		}
		now = now.Add(time.Minute)
	}
	count := map[string]int{}
	for _, s := range c.sentNow() {
		f := strings.Fields(s)
		count[f[1]+" "+f[2]]++
	}
	if len(count) != 9 {
		t.Errorf("sent %v, want 3 sessions to 3 buckets", count)
	}
	for what, n := range count {
		if n != 1 {
			t.Errorf("%s was sent %d times", what, n)
		}
	}
}

// TestSleptThrough: a laptop that slept over its send times, whose clock goes on from where it is, sends at the first
// tick after waking.
func TestSleptThrough(t *testing.T) {
	now := instant(t, "2026-11-25T05:00:00Z")
	c := newClub(func() time.Time { return now }, dates(t, "2026-11-25", 2), "UTC@06:30", "UTC@21:00")
	r := c.runner(t, nil)
	for _, at := range []string{"2026-11-25T05:00:00Z", "2026-11-25T18:12:00Z", "2026-11-26T20:30:00Z"} {
		now = instant(t, at)
		if err := r.Tick(t.Context(), now); err != nil {
			t.Fatal(err)
		}
	}
	want := []string{"2026-11-25T18:12Z UTC@06:30 2026-11-25 late", "2026-11-26T20:30Z UTC@06:30 2026-11-26 silent",
		"2026-11-26T20:30Z UTC@21:00 2026-11-25 silent"}
	if got := c.sentNow(); !slices.Equal(got, want) {
		t.Errorf("sent\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}
