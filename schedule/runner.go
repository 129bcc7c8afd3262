package schedule

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"sync/atomic"
	"time"

	"github.com/robfig/cron/v3"
	"github.com/rs/zerolog"

	"tallybell/content"
)

// InUse is a bucket that is scheduled, and the first date that anybody belongs to it (zero: any).
type InUse struct {
	Bucket Bucket
	From   content.Date
}

// Book is what the runner reads: who is to be sent what, and what has been sent.
type Book interface {
	// Buckets returns those in use at now, or left within 14 days.
	Buckets(ctx context.Context, now time.Time) ([]InUse, error)
	// Sheets returns the dates with a published sheet, in any order.
	Sheets(ctx context.Context) ([]content.Date, error)
	// Posted returns the buckets that the session of date d has gone out to.
	Posted(ctx context.Context, d content.Date) (map[Bucket]bool, error)
}

// Sender puts the session of due.Date into the conversation of a bucket. A session that is there already is no error:
// several replicas run the same schedule.
type Sender interface {
	Send(ctx context.Context, b Bucket, due Sending) error
}

// Options are what a Runner is made of.
type Options struct {
	Book   Book
	Sender Sender
	Now    func() time.Time // the store's clock
	Policy Policy
	Daily  func() []Daily // the club's own timed things, asked at each tick; nil is none
	Log    zerolog.Logger
}

// Runner sends what is due at every whole UTC minute. The wall clock alone decides what is due, so a minute that was
// slept through is made up at the next one.
type Runner struct {
	opts   Options
	cron   *cron.Cron
	ctx    context.Context // ends when the runner must drop what it is doing
	cancel context.CancelFunc
	busy   atomic.Bool
	turn   chan struct{} // held by the one Tick at work
	memo   memo          // guarded by turn
}

// New returns a runner that does nothing until Start.
func New(opts Options) (*Runner, error) {
	if opts.Book == nil || opts.Sender == nil || opts.Now == nil {
		return nil, errors.New("schedule: a runner needs a book, a sender and a clock")
	}
	if opts.Policy == (Policy{}) {
		opts.Policy = DefaultPolicy()
	}
	r := &Runner{opts: opts, turn: make(chan struct{}, 1), memo: newMemo()}
	r.ctx, r.cancel = context.WithCancel(context.Background())
	// The library recovers no panic by itself, and its own skipping never runs again after one: both are ours.
	r.cron = cron.New(cron.WithLocation(time.UTC), cron.WithChain(r.recovering), cron.WithLogger(cronLog{opts.Log}))
	r.cron.Schedule(everyMinute{}, cron.FuncJob(r.minute))
	return r, nil
}

// Start begins to tick, once at once for what was missed and then each whole UTC minute, in goroutines that Stop ends.
func (r *Runner) Start() {
	r.cron.Schedule(&once{}, cron.FuncJob(r.minute))
	r.cron.Start()
}

// Stop ends the ticking and waits for a tick at work; when ctx ends first, that tick is cut short. A stopped runner
// stays stopped.
func (r *Runner) Stop(ctx context.Context) error {
	defer r.cancel()
	done := r.cron.Stop().Done()
	select {
	case <-done:
		return nil
	case <-ctx.Done():
		r.cancel()
		<-done
		return fmt.Errorf("stopping the schedule: %w", ctx.Err())
	}
}

// minute is one tick of cron. A tick that finds the last one at work leaves it to it.
func (r *Runner) minute() {
	if !r.busy.CompareAndSwap(false, true) {
		r.opts.Log.Warn().Msg("schedule: the last tick is still at work, this one is left out")
		return
	}
	defer r.busy.Store(false)
	if err := r.Tick(r.ctx, r.opts.Now()); err != nil {
		r.opts.Log.Error().Err(err).Msg("schedule: not everything that is due was sent, the next tick tries again")
	}
}

// recovering keeps a panic of a job from ending the process.
func (r *Runner) recovering(j cron.Job) cron.Job {
	return cron.FuncJob(func() {
		defer func() {
			if p := recover(); p != nil {
				r.opts.Log.Error().Interface("panic", p).Bytes("stack", debug.Stack()).Msg("schedule: a tick failed")
			}
		}()
		j.Run()
	})
}

// Tick sends all that is due at now, then does what is due of the club's own timed things. It goes on after one that
// fails and returns all errors joined.
func (r *Runner) Tick(ctx context.Context, now time.Time) error {
	select {
	case r.turn <- struct{}{}:
		defer func() { <-r.turn }()
	case <-ctx.Done():
		return ctx.Err()
	}
	return errors.Join(r.sendDue(ctx, now), r.daily(ctx, now))
}

// sendDue sends the sessions that are due to every bucket.
func (r *Runner) sendDue(ctx context.Context, now time.Time) error {
	buckets, err := r.opts.Book.Buckets(ctx, now)
	if err != nil {
		return fmt.Errorf("reading the buckets: %w", err)
	}
	sheets, err := r.opts.Book.Sheets(ctx)
	if err != nil {
		return fmt.Errorf("reading the dates with a sheet: %w", err)
	}
	t := tick{Runner: r, now: now, posted: map[content.Date]map[Bucket]bool{}}
	t.sheets = r.memo.begin(now, sheets, r.opts.Policy.LookBack)
	var errs []error
	for _, b := range buckets {
		if ctx.Err() != nil {
			return errors.Join(append(errs, ctx.Err())...)
		}
		if err := t.guarded(ctx, b); err != nil {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

// guarded sends what is due to one bucket; a panic holds up no other bucket.
func (t *tick) guarded(ctx context.Context, b InUse) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("bucket %s: panic: %v\n%s", b.Bucket, p, debug.Stack())
		}
	}()
	return t.bucket(ctx, b)
}

// tick is one run over all buckets.
type tick struct {
	*Runner
	now    time.Time
	sheets []content.Date
	posted map[content.Date]map[Bucket]bool // read when first asked
}

// bucket sends what is due to one bucket.
func (t *tick) bucket(ctx context.Context, b InUse) error {
	if b.Bucket.IsZero() || t.memo.quiet(b, t.now) {
		return nil
	}
	z, err := t.memo.zone(b.Bucket.Zone)
	if err != nil {
		return fmt.Errorf("bucket %s: %w", b.Bucket, err)
	}
	var readErr error
	due, next := t.opts.Policy.Due(t.now, z, b.Bucket.At, t.sheets, func(d content.Date) bool {
		if d.Before(b.From) {
			return true
		}
		had, err := t.had(ctx, b.Bucket, d)
		readErr = errors.Join(readErr, err)
		return had || err != nil // what cannot be read is left for the next tick
	})
	for _, d := range due {
		if err := t.send(ctx, b.Bucket, d); err != nil {
			readErr = errors.Join(readErr, err)
		}
	}
	if readErr == nil && len(due) == 0 {
		t.memo.rest(b, next)
	}
	return readErr
}

func (t *tick) had(ctx context.Context, b Bucket, d content.Date) (bool, error) {
	set, read := t.posted[d]
	if !read {
		var err error
		if set, err = t.opts.Book.Posted(ctx, d); err != nil {
			return false, fmt.Errorf("reading what was posted for %s: %w", d, err)
		}
		t.posted[d] = set
	}
	return set[b], nil
}

func (t *tick) send(ctx context.Context, b Bucket, d Sending) error {
	if err := t.opts.Sender.Send(ctx, b, d); err != nil {
		return fmt.Errorf("sending the session of %s to %s: %w", d.Date, b, err)
	}
	t.opts.Log.Info().Str("date", d.Date.String()).Str("bucket", b.String()).Str("mode", string(d.Mode)).
		Str("reason", d.Reason).Time("instant", d.Instant).Msg("schedule: session sent")
	return nil
}
