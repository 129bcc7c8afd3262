package bot

import (
	"context"
	"fmt"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// lastTimes returns, for each logged line of an answer, what the member did of the same piece before, in the same
// version: "" where a rank is told instead, or where there is nothing. It rests on what the ledger held when the answer
// was given, so a repeated message gets the same answer.
func (b *Bot) lastTimes(ctx context.Context, m roster.Member, a answer, ranks []store.Rank, own *ownLedger) ([]string, error) {
	if m.Role != roster.RoleMember || a.Care != "" || m.Held() {
		return nil, nil
	}
	var past []leaderboard.Record
	read := false
	out := make([]string, len(a.Logged))
	next := 0
	for i, l := range a.Logged {
		mine, _, after := l.ranked(ranks, next)
		next = after
		if !l.asksPast(mine, !m.NoRanks) {
			continue
		}
		if !read {
			entries, err := own.all(ctx, b, m.ID)
			if err != nil {
				return nil, err
			}
			past, read = leaderboard.Current(before(entries, a.At)), true
		}
		date := l.Date
		if date.IsZero() {
			date = a.Date
		}
		if last, ok := leaderboard.LastBefore(past, l.Piece, l.Result.Version, date); ok {
			out[i] = b.lastTime(ctx, m, last)
		}
	}
	return out, nil
}

// ownLedger is one member's ledger, read when it is first asked for: a backlog of many answers reads it once.
type ownLedger struct {
	entries []leaderboard.LedgerEntry
	read    bool
}

func (o *ownLedger) all(ctx context.Context, b *Bot, member string) ([]leaderboard.LedgerEntry, error) {
	if o.read {
		return o.entries, nil
	}
	var err error
	if o.entries, err = b.ledger(ctx, member); err != nil {
		return nil, err
	}
	o.read = true
	return o.entries, nil
}

// asksPast reports whether the line tells the member's own past: where no rank is told, and something can be compared.
func (l logged) asksPast(ranks []store.Rank, told bool) bool {
	if l.Piece == "" {
		return false
	}
	if l.Result.Kind == content.KindDone {
		return l.Result.LoadG > 0 || len(l.Result.SetReps) > 0
	}
	for _, r := range ranks {
		if told && r.Of >= rankFloor {
			return false
		}
	}
	return l.Result.Version != ""
}

// before returns the entries of a ledger that were there at an instant.
func before(entries []leaderboard.LedgerEntry, at int64) []leaderboard.LedgerEntry {
	var out []leaderboard.LedgerEntry
	for _, e := range entries {
		if e.At < at {
			out = append(out, e)
		}
	}
	return out
}

// lastTime writes "Last time: 14:50, on Monday 4 January."; without its sheet a result is shown by its kind alone.
func (b *Bot) lastTime(ctx context.Context, m roster.Member, last leaderboard.Record) string {
	p := content.Part{}
	if s, err := b.Session(ctx, last.Date); err == nil {
		if sp, ok := s.Part(last.Part); ok {
			p = *sp
		}
	}
	show := strings.TrimPrefix(leaderboard.ShowIn(p, last.Result, m.Units), "done, ")
	return fmt.Sprintf("Last time: %s, on %s.", show, dayName(last.Date))
}
