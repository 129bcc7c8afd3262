package bot

import (
	"context"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// newcomerSessions is how many logged sessions make a newcomer one of the club.
const newcomerSessions = 3

const textAsWritten = "Three sessions logged. From the next session on you get it as written. Reply: level easier, to stay at the easier one."

// settlesIn reports whether a newcomer has logged enough sessions, with what this message logs. It counts what stands in
// their ledger, so a part mended, logged twice or taken away again counts for nothing.
func (b *Bot) settlesIn(ctx context.Context, st *state, out outcome) (bool, error) {
	if !st.member.Newcomer || out.answer.Care == "stop" {
		return false, nil
	}
	entries, err := b.ledger(ctx, st.member.ID)
	if err != nil {
		return false, err
	}
	for _, c := range out.changes {
		entries = append(entries, c.entry)
	}
	dates := map[content.Date]bool{}
	for _, r := range leaderboard.Current(entries) {
		dates[r.Date] = true
	}
	return len(dates) >= newcomerSessions, nil
}

// settleIn ends being a newcomer after the session posted to them last, as the answer has told them. Should it fail, the
// next answer tells it again.
func (b *Bot) settleIn(ctx context.Context, st *state, now time.Time) {
	no := false
	p := roster.Patch{Newcomer: &no, NewUntil: st.today(now)}
	if len(st.days) > 0 {
		p.NewUntil = st.days[0].date
	}
	if _, err := b.roster.Update(ctx, now, st.member.ID, p); err != nil {
		b.log.Error().Err(err).Str("member", st.member.ID).Msg("a newcomer's level could not be changed: it is tried again at their next message")
	}
	b.states.drop(st.member.ID)
}
