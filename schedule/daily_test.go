package schedule

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

// TestLatestIsBeforeNext: what was last and what comes next enclose every instant, with no date between.
func TestLatestIsBeforeNext(t *testing.T) {
	names := allZones(t)
	rapid.Check(t, func(r *rapid.T) {
		z := zone(t, rapid.SampledFrom(names).Draw(r, "zone"))
		at := content.Clock{Hour: rapid.IntRange(0, 23).Draw(r, "hour"), Minute: rapid.IntRange(0, 59).Draw(r, "minute")}
		now := time.Unix(rapid.Int64Range(0, 2_400_000_000).Draw(r, "now"), 0)
		last, d := Latest(z, at, now)
		next, nd := Next(z, at, now)
		if last.After(now) || !next.After(now) || !d.Before(nd) {
			r.Fatalf("%s %s at %v: last %v of %v, next %v of %v", z, at, now, last, d, next, nd)
		}
		if again, dd := Next(z, at, last); !again.Equal(next) || dd != nd {
			r.Fatalf("%s %s at %v: after %v of %v comes %v of %v, not %v", z, at, now, last, d, again, dd, next)
		}
	})
}

func TestDailyDue(t *testing.T) {
	berlin := zone(t, "Europe/Berlin")
	for _, c := range []struct {
		what, at, now, done string
		within              time.Duration
		want                string
	}{
		{"at its instant", "07:00", "2026-11-25T07:00:00+01:00", "2026-11-24", time.Hour, "2026-11-25"},
		{"not before", "07:00", "2026-11-25T06:59:59+01:00", "2026-11-24", time.Hour, ""},
		{"once", "07:00", "2026-11-25T07:01:00+01:00", "2026-11-25", time.Hour, ""},
		{"after a restart again, for what it does is safe to repeat", "07:00", "2026-11-25T07:59:00+01:00", "", time.Hour, "2026-11-25"},
		{"not when it is too late", "07:00", "2026-11-25T08:00:01+01:00", "2026-11-24", time.Hour, ""},
		{"as late as the next when nothing is told", "07:00", "2026-11-26T06:59:00+01:00", "2026-11-24", 0, "2026-11-25"},
		{"in a gap", "02:30", "2026-03-29T03:00:00+02:00", "2026-03-28", time.Hour, "2026-03-29"},
		{"an hour that comes again", "02:30", "2026-10-25T02:30:00+01:00", "2026-10-25", 2 * time.Hour, ""},
	} {
		var done content.Date
		if c.done != "" {
			done = date(t, c.done)
		}
		turn, due := Daily{At: clock(t, c.at), Within: c.within}.DailyDue(berlin, instant(t, c.now), done)
		got := ""
		if due {
			got = turn.Date.String()
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}

// TestRunnerDoesDaily: each date's once and at its instant, over a change of clock, a failure, a panic and a change of
// hour.
func TestRunnerDoesDaily(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(instant(t, "2026-03-27T12:00:30Z")))
		var done []string
		fail := map[string]int{"2026-03-28": 1, "2026-03-30": 2}
		at := clock(t, "07:00")
		daily := Daily{Name: "report", Zones: []string{"Europe/Berlin", "Mars/Base"}, Within: time.Hour,
			Do: func(_ context.Context, turn Turn) error {
				d := turn.Date.String()
				if fail[d]--; fail[d] == 1 {
					panic("a broken report")
				} else if fail[d] == 0 {
					return errors.New("no room")
				}
				done = append(done, fmt.Sprintf("%s at %s", d, turn.Now.UTC().Format("2006-01-02T15:04Z")))
				return nil
			}}
		c := newClub(time.Now, nil)
		var log bytes.Buffer
		r := c.runner(t, &log)
		r.opts.Daily = func() []Daily { d := daily; d.At = at; return []Daily{d} }
		r.Start()
		time.Sleep(3*24*time.Hour + 12*time.Hour)
		at = clock(t, "09:30")
		time.Sleep(24 * time.Hour)
		synctest.Wait()
		if err := r.Stop(t.Context()); err != nil {
			t.Error(err)
		}
		want := []string{"2026-03-28 at 2026-03-28T06:01Z", "2026-03-29 at 2026-03-29T05:00Z", "2026-03-30 at 2026-03-30T05:02Z",
			"2026-03-31 at 2026-03-31T07:30Z"}
		if !slices.Equal(done, want) {
			t.Errorf("done\n%s\nwant\n%s", strings.Join(done, "\n"), strings.Join(want, "\n"))
		}
		if !strings.Contains(log.String(), "a broken report") || !strings.Contains(log.String(), "no room") {
			t.Errorf("what failed is not in the log: %s", log.String())
		}
	})
}

// TestAPanicHoldsUpNobody: one bucket's panic and every other bucket is sent in the same minute.
func TestAPanicHoldsUpNobody(t *testing.T) {
	now := instant(t, "2026-11-25T06:30:00Z")
	c := newClub(func() time.Time { return now }, dates(t, "2026-11-25", 1), "UTC@06:15", "UTC@06:30")
	c.fail = func(b Bucket, _ Sending) error {
		if b.At.Minute == 15 {
			panic("a broken sheet")
		}
		return nil
	}
	err := c.runner(t, nil).Tick(t.Context(), now)
	if err == nil || !strings.Contains(err.Error(), "a broken sheet") || !strings.Contains(err.Error(), "UTC@06:15") {
		t.Errorf("told: %v", err)
	}
	if got := c.sentNow(); len(got) != 1 || !strings.Contains(got[0], "UTC@06:30") {
		t.Errorf("sent %q", got)
	}
}
