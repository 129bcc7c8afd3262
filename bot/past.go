package bot

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"tallybell/content"
	"tallybell/leaderboard"
)

// pastDay is one date as the store holds it, read once for all that is told of it.
type pastDay struct {
	date    content.Date
	sheet   content.Session
	written bool // there is a published sheet
	records []leaderboard.Record
	notes   map[string]dayNotes // by member
}

// past reads some dates: a round trip for the list of dates with results, and two for each of them that has something.
// It is the same for ten members and for ten thousand.
func (b *Bot) past(ctx context.Context, dates []content.Date) (map[content.Date]*pastDay, error) {
	raw, err := b.club.ResultDates(ctx)
	if err != nil {
		return nil, err
	}
	has := map[string]bool{}
	for _, r := range raw {
		has[r] = true
	}
	out := map[content.Date]*pastDay{}
	for _, d := range dates {
		if out[d] == nil {
			out[d] = &pastDay{date: d, notes: map[string]dayNotes{}}
		}
	}
	return out, atOnce(ctx, slices.Collect(maps.Values(out)), func(ctx context.Context, day *pastDay) error {
		if has[day.date.String()] {
			if err := b.readResults(ctx, day); err != nil {
				return err
			}
		}
		if len(day.records) == 0 && len(day.notes) == 0 && len(b.posts.buckets(day.date)) == 0 && day.date != dates[0] {
			return nil // nobody was sent a sheet of that date
		}
		return b.readSheet(ctx, day)
	})
}

// readers is how many days are read at once: one is decoded while the store gives out another.
const readers = 4

// atOnce does something with each of a list, a few at a time, and returns the errors joined.
func atOnce[T any](ctx context.Context, list []T, do func(ctx context.Context, x T) error) error {
	errs := make([]error, readers)
	var next atomic.Int64
	var wg sync.WaitGroup
	for w := range readers {
		wg.Go(func() {
			for errs[w] == nil {
				i := int(next.Add(1)) - 1
				if i >= len(list) {
					return
				}
				errs[w] = do(ctx, list[i])
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

func (b *Bot) readSheet(ctx context.Context, day *pastDay) error {
	s, err := b.Session(ctx, day.date)
	if p := asProblem(err); p != nil && p.Code == "not_found" {
		return nil
	}
	day.sheet, day.written = s, err == nil
	return err
}

// readResults reads the records and the notes of a date, in an order that does not change.
func (b *Bot) readResults(ctx context.Context, day *pastDay) error {
	raw, err := b.club.Results(ctx, day.date.String())
	if err != nil {
		return err
	}
	day.records = make([]leaderboard.Record, 0, len(raw))
	for f, v := range raw {
		if f.Kind == kindNotes {
			var n dayNotes
			if err := json.Unmarshal(v, &n); err != nil {
				return fmt.Errorf("notes of %s: %w", day.date, err)
			}
			n.Member = f.Member
			day.notes[f.Member] = n
			continue
		}
		r, err := leaderboard.ReadRecord(v)
		if err != nil {
			return err
		}
		day.records = append(day.records, r)
	}
	slices.SortFunc(day.records, func(x, y leaderboard.Record) int {
		return cmp.Or(cmp.Compare(x.Part, y.Part), cmp.Compare(x.Member, y.Member), cmp.Compare(x.Kind, y.Kind))
	})
	return nil
}

// daysBack returns a date and the n-1 before it, latest first.
func daysBack(d content.Date, n int) []content.Date {
	out := make([]content.Date, n)
	for i := range out {
		out[i] = d.AddDays(-i)
	}
	return out
}

// clubZone is the zone of the club's own dates.
func (b *Bot) clubZone() *time.Location {
	z, err := content.LoadZone(b.Club().Zone)
	if err != nil {
		return time.UTC
	}
	return z
}

// clubToday is the date that the club's clock shows.
func (b *Bot) clubToday() content.Date { return content.DateOf(b.clock.Now().In(b.clubZone())) }
