package schedule

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rs/zerolog"

	"tallybell/content"
)

// club is a book and a sender in memory: what was sent is posted, once a bucket and date.
type club struct {
	mu      sync.Mutex
	buckets []InUse
	sheets  []content.Date
	posted  map[content.Date]map[Bucket]bool
	sent    []string // "INSTANT bucket date mode", in order
	now     func() time.Time
	fail    func(b Bucket, d Sending) error // before sending; may panic
	reads   int                             // of Posted
}

func newClub(now func() time.Time, sheets []content.Date, buckets ...string) *club {
	c := &club{sheets: sheets, posted: map[content.Date]map[Bucket]bool{}, now: now}
	for _, s := range buckets {
		b, err := content.ParseBucket(s)
		if err != nil {
			panic(err)
		}
		c.buckets = append(c.buckets, InUse{Bucket: b})
	}
	return c
}

func (c *club) Buckets(context.Context, time.Time) ([]InUse, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.buckets), nil
}

func (c *club) Sheets(context.Context) ([]content.Date, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.sheets), nil
}

func (c *club) Posted(_ context.Context, d content.Date) (map[Bucket]bool, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.reads++
	out := map[Bucket]bool{}
	for b := range c.posted[d] {
		out[b] = true
	}
	return out, nil
}

func (c *club) Send(ctx context.Context, b Bucket, d Sending) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if c.fail != nil {
		if err := c.fail(b, d); err != nil {
			return err
		}
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.posted[d.Date][b] {
		return nil // another replica was first
	}
	if c.posted[d.Date] == nil {
		c.posted[d.Date] = map[Bucket]bool{}
	}
	c.posted[d.Date][b] = true
	c.sent = append(c.sent, fmt.Sprintf("%s %s %s %s", c.now().UTC().Format("2006-01-02T15:04Z"), b, d.Date, d.Mode))
	return nil
}

func (c *club) sentNow() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return slices.Clone(c.sent)
}

func (c *club) runner(t testing.TB, log *bytes.Buffer) *Runner {
	t.Helper()
	l := zerolog.Nop()
	if log != nil {
		l = zerolog.New(zerolog.SyncWriter(log))
	}
	r, err := New(Options{Book: c, Sender: c, Now: c.now, Log: l})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func dates(t testing.TB, from string, n int) []content.Date {
	var out []content.Date
	for i := range n {
		out = append(out, date(t, from).AddDays(i))
	}
	return out
}

// TestRunnerOverClockChanges runs two replicas over the days on which clocks change; each session goes out once, at
// its instant.
func TestRunnerOverClockChanges(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(instant(t, "2026-03-27T12:00:30Z")))
		c := newClub(time.Now, dates(t, "2026-03-28", 3), "Europe/Berlin@02:30", "America/Nuuk@23:30", "Asia/Beirut@00:00")
		one, two := c.runner(t, nil), c.runner(t, nil)
		one.Start()
		two.Start()
		time.Sleep(4 * 24 * time.Hour)
		synctest.Wait()
		for _, r := range []*Runner{one, two} {
			if err := r.Stop(t.Context()); err != nil {
				t.Error(err)
			}
		}
		want := []string{
			"2026-03-27T22:00Z Asia/Beirut@00:00 2026-03-28 regular",
			"2026-03-28T01:30Z Europe/Berlin@02:30 2026-03-28 regular",
			"2026-03-28T22:00Z Asia/Beirut@00:00 2026-03-29 regular",
			"2026-03-29T01:00Z America/Nuuk@23:30 2026-03-28 regular",
			"2026-03-29T01:00Z Europe/Berlin@02:30 2026-03-29 regular",
			"2026-03-29T21:00Z Asia/Beirut@00:00 2026-03-30 regular",
			"2026-03-30T00:30Z America/Nuuk@23:30 2026-03-29 regular",
			"2026-03-30T00:30Z Europe/Berlin@02:30 2026-03-30 regular",
			"2026-03-31T00:30Z America/Nuuk@23:30 2026-03-30 regular",
		}
		got := slices.Sorted(slices.Values(c.sent))
		if !slices.Equal(got, want) {
			t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
	})
}

// TestRunnerMakesUp starts after the send time, as after a restart or a laptop's sleep.
func TestRunnerMakesUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(instant(t, "2026-11-25T09:00:10Z")))
		c := newClub(time.Now, dates(t, "2026-11-24", 2), "UTC@06:30")
		r := c.runner(t, nil)
		r.Start()
		time.Sleep(time.Second)
		synctest.Wait()
		if err := r.Stop(t.Context()); err != nil {
			t.Error(err)
		}
		want := []string{"2026-11-25T09:00Z UTC@06:30 2026-11-24 silent", "2026-11-25T09:00Z UTC@06:30 2026-11-25 late"}
		if got := c.sentNow(); !slices.Equal(got, want) {
			t.Errorf("at once: %q, want %q", got, want)
		}
	})
}

func TestRunnerSurvivesAPanic(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(instant(t, "2026-11-25T06:29:30Z")))
		c := newClub(time.Now, dates(t, "2026-11-25", 1), "UTC@06:30")
		tries := 0
		c.fail = func(Bucket, Sending) error {
			if tries++; tries == 1 {
				panic("a broken sheet")
			}
			return nil
		}
		var log bytes.Buffer
		r := c.runner(t, &log)
		r.Start()
		time.Sleep(2 * time.Minute)
		synctest.Wait()
		if err := r.Stop(t.Context()); err != nil {
			t.Error(err)
		}
		if got := c.sentNow(); len(got) != 1 || !strings.HasPrefix(got[0], "2026-11-25T06:31Z") {
			t.Errorf("after the panic: %q, want it sent a minute later", got)
		}
		if !strings.Contains(log.String(), "a broken sheet") {
			t.Errorf("the panic is not in the log: %s", log.String())
		}
	})
}

// TestRunnerStopCutsShort: a send that hangs is cut short when the time to stop is over.
func TestRunnerStopCutsShort(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(instant(t, "2026-11-25T06:29:30Z")))
		c := newClub(time.Now, dates(t, "2026-11-25", 1), "UTC@06:30")
		r := c.runner(t, nil)
		c.fail = func(Bucket, Sending) error { <-r.ctx.Done(); return r.ctx.Err() }
		r.Start()
		time.Sleep(3 * time.Minute) // later ticks find the first at work
		ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
		defer cancel()
		if err := r.Stop(ctx); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("Stop: %v, want the deadline", err)
		}
		if got := c.sentNow(); len(got) > 0 {
			t.Errorf("sent %q", got)
		}
	})
}

func TestTick(t *testing.T) {
	now := instant(t, "2026-11-25T06:30:00Z")
	c := newClub(func() time.Time { return now }, dates(t, "2026-11-25", 1), "UTC@06:30", "Mars/Base@06:30", "UTC@06:15", "UTC@18:00")
	r := c.runner(t, nil)
	broken := errors.New("no room")
	c.fail = func(b Bucket, _ Sending) error {
		if b.At.Minute == 15 {
			return broken
		}
		return nil
	}
	err := r.Tick(t.Context(), now)
	if !errors.Is(err, broken) || !strings.Contains(err.Error(), "Mars/Base") {
		t.Errorf("Tick: %v, want both what failed and the unknown zone", err)
	}
	if got := c.sentNow(); len(got) != 1 || !strings.Contains(got[0], "UTC@06:30") {
		t.Fatalf("sent %q, want the one that is due and works", got)
	}
	c.fail = nil
	if err := r.Tick(t.Context(), now.Add(time.Minute)); err == nil {
		t.Error("the unknown zone is told once only")
	}
	if got := c.sentNow(); len(got) != 2 || !strings.Contains(got[1], "UTC@06:15") {
		t.Errorf("sent %q, want what failed tried again", got)
	}
	// A sheet published after the send time, and one taken in for a rest day.
	c.sheets = append(c.sheets, date(t, "2026-11-24"))
	_ = r.Tick(t.Context(), now.Add(2*time.Minute))
	if got := c.sentNow(); len(got) != 5 {
		t.Errorf("sent %q, want the new sheet for all three", got)
	}
}

func TestTickLeavesOutDatesBeforeAnybodyBelonged(t *testing.T) {
	now := instant(t, "2026-11-25T07:00:00Z")
	c := newClub(func() time.Time { return now }, dates(t, "2026-11-20", 6), "UTC@06:30")
	c.buckets[0].From = date(t, "2026-11-25")
	if err := c.runner(t, nil).Tick(t.Context(), now); err != nil {
		t.Fatal(err)
	}
	if got := c.sentNow(); len(got) != 1 || !strings.Contains(got[0], "2026-11-25 late") {
		t.Errorf("sent %q, want today's alone", got)
	}
}

// TestQuietBucketsReadNothing: a bucket at rest costs no reads, and wakes at its instant.
func TestQuietBucketsReadNothing(t *testing.T) {
	now := instant(t, "2026-11-25T07:00:00Z")
	c := newClub(func() time.Time { return now }, dates(t, "2026-11-25", 2), "UTC@06:30")
	r := c.runner(t, nil)
	for range 3 {
		if err := r.Tick(t.Context(), now); err != nil {
			t.Fatal(err)
		}
		now = now.Add(time.Minute)
	}
	before := c.reads
	for now.Before(instant(t, "2026-11-25T23:59:00Z")) {
		if err := r.Tick(t.Context(), now); err != nil {
			t.Fatal(err)
		}
		now = now.Add(time.Minute)
	}
	if c.reads != before {
		t.Errorf("%d reads while nothing was due", c.reads-before)
	}
	for now.Before(instant(t, "2026-11-26T06:31:00Z")) {
		if err := r.Tick(t.Context(), now); err != nil {
			t.Fatal(err)
		}
		now = now.Add(time.Minute)
	}
	if got := c.sentNow(); len(got) != 2 || !strings.HasPrefix(got[1], "2026-11-26T06:30Z") {
		t.Errorf("sent %q", got)
	}
}

// BenchmarkTick is a minute of a club: the work grows with its buckets, never with its members, so a million members
// in 400 zones are the 400 buckets. Of the 60,000 ms that a minute has, ms/min are spent.
func BenchmarkTick(b *testing.B) {
	names := allZones(b)
	for _, buckets := range []int{400, 10_000} {
		b.Run(fmt.Sprint(buckets, " buckets"), func(b *testing.B) {
			now := instant(b, "2026-11-25T00:00:00Z")
			c := newClub(func() time.Time { return now }, dates(b, "2026-11-11", 18))
			for i := range buckets {
				at := content.Clock{Hour: i / len(names), Minute: i % 60}
				c.buckets = append(c.buckets, InUse{Bucket: Bucket{Zone: names[i%len(names)], At: at}})
			}
			r := c.runner(b, nil)
			for range 2 { // what was missed goes out, then all are at rest
				if err := r.Tick(b.Context(), now); err != nil {
					b.Fatal(err)
				}
			}
			b.ResetTimer()
			for b.Loop() {
				now = now.Add(time.Minute)
				if err := r.Tick(b.Context(), now); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/min")
		})
	}
}
