package bot

import (
	"context"
	"fmt"

	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// records returns every result of a date.
func (b *Bot) records(ctx context.Context, date content.Date) ([]leaderboard.Record, error) {
	raw, err := b.club.Results(ctx, date.String())
	if err != nil {
		return nil, err
	}
	var out []leaderboard.Record
	for f, r := range raw {
		if f.Kind == kindNotes {
			continue
		}
		rec, err := leaderboard.ReadRecord(r)
		if err != nil {
			return nil, err
		}
		out = append(out, rec)
	}
	return out, nil
}

// ledger returns a member's ledger, in the order it was written.
func (b *Bot) ledger(ctx context.Context, id string) ([]leaderboard.LedgerEntry, error) {
	stored, err := b.club.Ledger(ctx, id)
	if err != nil {
		return nil, err
	}
	entries := make([]leaderboard.LedgerEntry, 0, len(stored))
	for _, s := range stored {
		e, err := leaderboard.ReadLedgerEntry(s.Entry)
		if err != nil {
			return nil, fmt.Errorf("ledger of a member: %w", err)
		}
		entries = append(entries, e)
	}
	return entries, nil
}

// restandMember stands all of a member's results where they belong now: their divisions, their choice to be on boards,
// the kinds of the sheets' parts. Nothing is said in the conversation; the ledger keeps it.
func (b *Bot) restandMember(ctx context.Context, id, by, why string) error {
	for range attempts {
		tops, err := b.club.Tops(ctx, []string{id})
		if err != nil {
			return err
		}
		if _, err := b.roster.Refresh(ctx); err != nil {
			return err
		}
		entries, err := b.ledger(ctx, id)
		if err != nil {
			return err
		}
		changes, err := b.restood(ctx, id, by, why, leaderboard.Current(entries))
		if err != nil {
			return err
		}
		if len(changes) == 0 {
			return nil
		}
		stale, err := b.standAgain(ctx, id, tops[0], changes)
		if err != nil || !stale {
			return err
		}
	}
	return fmt.Errorf("standing the results of a member again: %w", store.ErrStale)
}

// restood returns the changes of the results that stand elsewhere from now on.
func (b *Bot) restood(ctx context.Context, id, by, why string, records []leaderboard.Record) ([]change, error) {
	var out []change
	sheets := sheetsRead{b: b}
	for _, r := range records {
		now, moved, err := b.standsNow(ctx, &sheets, id, r)
		if err != nil {
			return nil, err
		}
		if !moved {
			continue
		}
		old := r
		out = append(out, change{old: &old, new: &now, entry: leaderboard.LedgerEntry{Kind: leaderboard.Stood, Who: by, Why: why,
			At: b.clock.Now().UnixMilli(), Old: &old, New: &now}})
	}
	return out, nil
}

// standsNow returns a member's result as it stands by their profile, the club file and the sheet of its day, and whether
// that moves it.
func (b *Bot) standsNow(ctx context.Context, sheets *sheetsRead, id string, r leaderboard.Record) (leaderboard.Record, bool, error) {
	s, ok, err := sheets.of(ctx, r.Date)
	if err != nil {
		return r, false, err
	}
	off := r.Off
	if ok {
		off = offOf(s, r)
	}
	m, _ := b.roster.Get(id)
	now, moved := leaderboard.Restood(r, divisionsOf(b.Club(), m, r.Date), off)
	return now, moved, nil
}

// sheetsRead keeps the sheets that one piece of work has looked at.
type sheetsRead struct {
	b    *Bot
	read map[content.Date]*content.Session // nil where a date has none
}

func (x *sheetsRead) of(ctx context.Context, d content.Date) (content.Session, bool, error) {
	s, had := x.read[d]
	if !had {
		now, err := x.b.Session(ctx, d)
		if p := asProblem(err); err != nil && (p == nil || p.Code != "not_found") {
			return content.Session{}, false, err
		}
		if err == nil {
			s = &now
		}
		if x.read == nil {
			x.read = map[content.Date]*content.Session{}
		}
		x.read[d] = s
	}
	if s == nil {
		return content.Session{}, false, nil
	}
	return *s, true, nil
}

// offOf returns why a result stands on no board of a session, "" when it may.
func offOf(s content.Session, r leaderboard.Record) leaderboard.Off {
	p, ok := s.Part(r.Part)
	switch {
	case r.Kind == content.KindDone:
		return leaderboard.OffUnscored
	case !ok || p.Kind() != r.Kind:
		return leaderboard.OffChangedKind
	case !p.IsScored():
		return leaderboard.OffUnscored
	}
	return ""
}

// standAgain writes changes without a message: an answer that says nothing would be a message too.
func (b *Bot) standAgain(ctx context.Context, id string, top int64, changes []change) (stale bool, err error) {
	var results []store.ResultWrite
	var moves store.Moves
	var ledger [][]byte
	for _, c := range changes {
		w, err := leaderboard.Writes(c.old, c.new)
		if err != nil {
			return false, err
		}
		m := leaderboard.Change(c.old, c.new, false)
		results, moves.Out, moves.In = append(results, w...), append(moves.Out, m.Out...), append(moves.In, m.In...)
		e, err := c.entry.Encode()
		if err != nil {
			return false, err
		}
		ledger = append(ledger, e)
	}
	quiet := answer{Kind: quietPost}
	if last, err := b.club.LastMail(ctx, id); err != nil {
		return false, err
	} else if last != nil {
		was, err := readAnswer(last.Fact)
		if err != nil {
			return false, fmt.Errorf("last answer to a member: %w", err)
		}
		quiet.Open = was.Open
	}
	b.states.drop(id)
	said, err := b.club.Say(ctx, b.clock.Now(), store.Utterance{Member: id, Top: top, ID: fmt.Sprintf("stand:%d", top),
		Digest: digest(changes[0].entry.Why), Fact: quiet.bytes(), Results: results, Moves: moves, Ledger: ledger})
	return said.Outcome == store.Stale, err
}

// quietPost is the kind of a mail entry that is never shown: it carries a change which only the ledger tells of.
const quietPost PostKind = "quiet"

// restandDate stands every member's results of a date again, after its sheet was replaced by force.
func (b *Bot) restandDate(ctx context.Context, date content.Date, why string) error {
	records, err := b.records(ctx, date)
	if err != nil {
		return err
	}
	done := map[string]bool{}
	for _, r := range records {
		if done[r.Member] {
			continue
		}
		done[r.Member] = true
		if err := b.restandMember(ctx, r.Member, "", why); err != nil {
			return err
		}
	}
	return nil
}

// Rebuild stands every member's results again from the ledgers and returns the differences it found, in words.
func (b *Bot) Rebuild(ctx context.Context) ([]string, error) {
	found, err := leaderboard.Rebuild(ctx, b.club, b.clock.Now)
	if found == nil {
		found = []string{}
	}
	return found, err
}
