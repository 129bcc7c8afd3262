package leaderboard

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"tallybell/leaderboard/store"
)

// LedgerStore is what a rebuild needs of the store.
type LedgerStore interface {
	Boards(ctx context.Context, date string) ([]store.Board, error)
	BoardRange(ctx context.Context, b store.Board, low, high int64, limit int) ([]store.Place, int64, error)
	Members(ctx context.Context) (map[string][]byte, error)
	Tops(ctx context.Context, members []string) ([]int64, error)
	Ledger(ctx context.Context, member string) ([]store.LedgerEntry, error)
	ResultDates(ctx context.Context) ([]string, error)
	Results(ctx context.Context, date string) (map[store.Field][]byte, error)
	Restand(ctx context.Context, now time.Time, member string, top int64, results []store.ResultWrite, moves store.Moves) (store.Said, error)
}

// rebuildRounds is how often a rebuild looks again at members whose results changed while it looked.
const rebuildRounds = 5

// Rebuild stands every member's results again from their ledger, while the club goes on: afterwards results and boards
// are what the ledgers say. It returns what it found wrong, in words, and mended. A member who logs something
// meanwhile is looked at again; now is the store's clock.
func Rebuild(ctx context.Context, s LedgerStore, now func() time.Time) ([]string, error) {
	var found []string
	profiles, err := s.Members(ctx)
	if err != nil {
		return nil, fmt.Errorf("rebuild: %w", err)
	}
	left := slices.Sorted(maps.Keys(profiles))
	for round := range rebuildRounds {
		r := rebuild{store: s, now: now, found: &found}
		again, err := r.round(ctx, left, round == 0)
		if err != nil {
			return found, fmt.Errorf("rebuild: %w", err)
		}
		if len(again) == 0 {
			return found, nil
		}
		left = again
	}
	return found, fmt.Errorf("rebuild: %d members kept changing: start it again when it is quieter", len(left))
}

// rebuild is one round. A member's top is read before anything else of theirs, so that a write which rests on it
// changes nothing that was not seen.
type rebuild struct {
	store LedgerStore
	now   func() time.Time
	found *[]string
	tops  map[string]int64
	held  map[string]*holding
}

// holding is all that the store holds of one member.
type holding struct {
	results map[store.Field][]byte
	places  []store.Place
}

// round sets members right and returns those who have to be looked at again; in the first round also those whom only
// results or boards know.
func (r *rebuild) round(ctx context.Context, members []string, first bool) ([]string, error) {
	tops, err := r.store.Tops(ctx, members)
	if err != nil {
		return nil, err
	}
	r.tops = make(map[string]int64, len(members))
	for i, m := range members {
		r.tops[m] = tops[i]
	}
	ledgers := make(map[string][]LedgerEntry, len(members))
	dates := map[string]bool{}
	for _, m := range members {
		if ledgers[m], err = r.ledger(ctx, m, dates); err != nil {
			return nil, err
		}
	}
	if err := r.survey(ctx, dates); err != nil {
		return nil, err
	}
	var again []string
	for _, m := range members {
		done, err := r.restand(ctx, m, ledgers[m])
		if err != nil {
			return nil, err
		}
		if !done {
			again = append(again, m)
		}
	}
	if first {
		for _, m := range slices.Sorted(maps.Keys(r.held)) {
			if _, known := r.tops[m]; !known {
				again = append(again, m)
			}
		}
	}
	return again, nil
}

// ledger reads a member's ledger and adds the dates that it speaks of.
func (r *rebuild) ledger(ctx context.Context, member string, dates map[string]bool) ([]LedgerEntry, error) {
	stored, err := r.store.Ledger(ctx, member)
	if err != nil {
		return nil, err
	}
	out := make([]LedgerEntry, 0, len(stored))
	for _, e := range stored {
		entry, err := ReadLedgerEntry(e.Entry)
		if err != nil {
			return nil, fmt.Errorf("entry %d-%d of %s: %w", e.N, e.I, member, err)
		}
		for _, rec := range []*Record{entry.Old, entry.New} {
			if rec == nil {
				continue
			}
			if rec.Member != member {
				return nil, fmt.Errorf("entry %d-%d of %s is about %s", e.N, e.I, member, rec.Member)
			}
			dates[rec.Date.String()] = true
		}
		out = append(out, entry)
	}
	return out, nil
}

// survey reads every result and every board of the dates that have results, and of the given ones.
func (r *rebuild) survey(ctx context.Context, dates map[string]bool) error {
	stored, err := r.store.ResultDates(ctx)
	if err != nil {
		return err
	}
	for _, d := range stored {
		dates[d] = true
	}
	r.held = map[string]*holding{}
	for _, d := range slices.Sorted(maps.Keys(dates)) {
		results, err := r.store.Results(ctx, d)
		if err != nil {
			return err
		}
		for f, record := range results {
			if isResult(f) {
				r.of(f.Member).results[f] = record
			}
		}
		boards, err := r.store.Boards(ctx, d)
		if err != nil {
			return err
		}
		for _, b := range boards {
			if err := r.surveyBoard(ctx, b); err != nil {
				return err
			}
		}
	}
	return nil
}

func (r *rebuild) surveyBoard(ctx context.Context, b store.Board) error {
	low, high := Bounds(All)
	places, _, err := r.store.BoardRange(ctx, b, low, high, 0)
	if err != nil {
		return err
	}
	for _, p := range places {
		_, member, err := store.ParseSetMember(p.SetMember)
		if err != nil {
			return fmt.Errorf("%s: %w", boardName(b), err)
		}
		r.of(member).places = append(r.of(member).places, p)
	}
	return nil
}

func (r *rebuild) of(member string) *holding {
	h := r.held[member]
	if h == nil {
		h = &holding{results: map[store.Field][]byte{}}
		r.held[member] = h
	}
	return h
}

// restandPart is how many changes one call makes at most.
const restandPart = 500

// restand sets one member right; false when something of theirs has changed since it was read.
func (r *rebuild) restand(ctx context.Context, member string, ledger []LedgerEntry) (bool, error) {
	held := r.of(member)
	rep, err := Restand(Current(ledger), held.results, held.places)
	if err != nil {
		return false, err
	}
	top := r.tops[member]
	for _, part := range rep.parts(restandPart) {
		said, err := r.store.Restand(ctx, r.now(), member, top, part.Results, part.Moves)
		switch {
		case err != nil:
			return false, err
		case said.Outcome == store.Stale:
			return false, nil
		case said.Outcome != store.Done:
			return false, errors.New("the store took a repair for a message")
		}
		top = said.N
	}
	*r.found = append(*r.found, rep.Found...)
	return true, nil
}
