package main

import (
	"context"
	"errors"
	"time"

	"tallybell/content"
)

// tidyHour is the hour of a club's clock from which old data is removed, once a day. A server that was not running then
// does it when it starts.
const tidyHour = 3

// tidyTurn is one club's next tidying.
type tidyTurn struct {
	done  content.Date // the club's date of the last that went well
	retry time.Time    // not before this, after one that failed
}

// tidyAgain is how long after a failure the next attempt waits.
const tidyAgain = time.Hour

// due reports whether a club is to be tidied at now, and for which of its dates.
func (t tidyTurn) due(now time.Time, zone *time.Location) (content.Date, bool) {
	local := now.In(zone)
	d := content.DateOf(local)
	if local.Hour() < tidyHour {
		d = d.AddDays(-1)
	}
	return d, t.done.Before(d) && !now.Before(t.retry)
}

// tidy removes old data of every club once a day until the app stops: posts, ids and invites that nothing needs any
// more, and words about health whose days are over.
func (a *app) tidy() {
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	a.onStop("daily tidying", func(context.Context) error {
		cancel()
		<-done
		return nil
	})
	go func() {
		defer close(done)
		tick := time.NewTicker(time.Minute)
		defer tick.Stop()
		turns := make([]tidyTurn, len(a.clubs))
		for {
			for i, c := range a.clubs {
				if ctx.Err() == nil {
					turns[i] = a.tidyClub(ctx, c, turns[i], a.store.Now())
				}
			}
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
			}
		}
	}()
}

// tidyClub tidies a club if it is due at now, and returns its next turn.
func (a *app) tidyClub(ctx context.Context, c *clubParts, turn tidyTurn, now time.Time) tidyTurn {
	zone, err := content.LoadZone(c.config.Zone)
	if err != nil {
		zone = time.UTC
	}
	date, due := turn.due(now, zone)
	if !due {
		return turn
	}
	err = errors.Join(c.kept.Sweep(ctx, now), c.roster.Tidy(ctx, now), c.bot.SweepHealth(ctx, now))
	if err != nil {
		if ctx.Err() == nil {
			a.log.Error().Err(err).Str("club", c.config.ID).Msg("old data was not all removed; it is tried again in an hour")
		}
		turn.retry = now.Add(tidyAgain)
		return turn
	}
	turn.done = date
	return turn
}
