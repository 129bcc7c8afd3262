package bot

import (
	"context"
	"slices"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// newcomerSessions is how many logged sessions make a newcomer one of the club.
const newcomerSessions = 3

const textAsWritten = "Three sessions logged. From the next session on you get it as written. Reply: level easier, to stay at the easier one."

// settlesIn reports whether a newcomer has logged enough sessions, once their first result of one more is written.
func (b *Bot) settlesIn(ctx context.Context, st *state, out outcome) (bool, error) {
	if !st.member.Newcomer || out.answer.Care == "stop" {
		return false, nil
	}
	first := slices.ContainsFunc(out.changes, func(c change) bool {
		i := -1
		if c.new != nil {
			i = st.on(c.new.Date)
		}
		return i >= 0 && len(st.days[i].records) == 0
	})
	if !first {
		return false, nil
	}
	return b.hasLogged(ctx, st.member.ID, out.changes)
}

// hasLogged counts the sessions of which a result stands in the member's ledger, with changes made: a part mended,
// logged twice or taken away again counts for nothing.
func (b *Bot) hasLogged(ctx context.Context, id string, changes []change) (bool, error) {
	entries, err := b.ledger(ctx, id)
	if err != nil {
		return false, err
	}
	for _, c := range changes {
		entries = append(entries, c.entry)
	}
	dates := map[content.Date]bool{}
	for _, r := range leaderboard.Current(entries) {
		dates[r.Date] = true
	}
	return len(dates) >= newcomerSessions, nil
}

// settleIn ends being a newcomer after the session posted to them last, as the answer has told them.
func (b *Bot) settleIn(ctx context.Context, st *state, now time.Time) error {
	no := false
	p := roster.Patch{Newcomer: &no, NewUntil: st.today(now)}
	if len(st.days) > 0 {
		p.NewUntil = st.days[0].date
	}
	_, err := b.roster.Update(ctx, now, st.member.ID, p)
	b.states.drop(st.member.ID)
	return err
}

// settleAgain is for a message that was answered before: whether the answer told of the third session and nothing came
// of it, because everything stopped in between.
func (b *Bot) settleAgain(ctx context.Context, st *state, now time.Time) error {
	if !st.member.Newcomer {
		return nil
	}
	if enough, err := b.hasLogged(ctx, st.member.ID, nil); err != nil || !enough {
		return err
	}
	return b.settleIn(ctx, st, now)
}
