package schedule

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"time"

	"tallybell/content"
)

// Daily is something of a club's own that is done once a local date at a local time: the coach's report, reminders,
// the weekly summary, the sweep. Do must be safe to repeat: it is done again after a restart and by every replica, so
// whatever it writes needs an id of its date.
type Daily struct {
	Name   string // for the log; with the zone what the runner remembers it by
	At     content.Clock
	Zones  []string      // done for each, by that zone's clock; names that are not known are left out
	Within time.Duration // how late it may still be done; what is missed for longer is left out. 0 is until the next
	Do     func(ctx context.Context, t Turn) error
}

// Turn is one time that something Daily is done.
type Turn struct {
	Zone    *time.Location
	Date    content.Date // nominal
	Instant time.Time    // when it was to be
	Now     time.Time
}

// Latest returns the last send instant that is not after now, and its date: what Next is to the future.
func Latest(z *time.Location, at content.Clock, now time.Time) (time.Time, content.Date) {
	// After a gap at the end of a day yesterday's instant may be later than the start of today.
	for d := content.DateOf(now.In(z)).AddDays(1); ; d = d.AddDays(-1) {
		if t, ok := InstantOf(z, at, d); ok && !t.After(now) {
			return t, d
		}
	}
}

// DailyDue returns the turn of d that is due at now in a zone, false when that date's was done or is too long ago.
func (d Daily) DailyDue(z *time.Location, now time.Time, done content.Date) (Turn, bool) {
	instant, date := Latest(z, d.At, now)
	if !done.IsZero() && !done.Before(date) || d.Within > 0 && now.Sub(instant) > d.Within {
		return Turn{}, false
	}
	return Turn{Zone: z, Date: date, Instant: instant, Now: now}, true
}

// dailyKey is what a Daily is remembered by.
type dailyKey struct{ name, zone string }

// daily does what is due of the club's own things. One that fails, or panics, is told, holds up no other and is tried
// again at the next tick.
func (r *Runner) daily(ctx context.Context, now time.Time) error {
	if r.opts.Daily == nil {
		return nil
	}
	var errs []error
	for _, d := range r.opts.Daily() {
		for _, name := range d.Zones {
			z, err := r.memo.zone(name)
			if err != nil || ctx.Err() != nil {
				continue
			}
			key := dailyKey{d.Name, name}
			if now.Before(r.memo.dailyAfter[key]) && r.memo.dailyAt[key] == d.At {
				continue
			}
			turn, due := d.DailyDue(z, now, r.memo.dailyDone[key])
			if due {
				if err := doDaily(ctx, d, turn); err != nil {
					errs = append(errs, fmt.Errorf("%s of %s in %s: %w", d.Name, turn.Date, name, err))
					continue
				}
				r.memo.dailyDone[key] = turn.Date
				r.opts.Log.Debug().Str("daily", d.Name).Str("zone", name).Str("date", turn.Date.String()).
					Time("instant", turn.Instant).Msg("schedule: done")
			}
			r.memo.dailyAt[key] = d.At
			r.memo.dailyAfter[key], _ = Next(z, d.At, now)
		}
	}
	return errors.Join(errs...)
}

func doDaily(ctx context.Context, d Daily, t Turn) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	return d.Do(ctx, t)
}
