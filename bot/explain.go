package bot

import (
	"context"
	"fmt"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// Explain says where a member's result of a part stands and why, for the coach. A *Problem with code not_found when there
// is no such part, member or result.
func (b *Bot) Explain(ctx context.Context, date content.Date, part, member, units string) (leaderboard.Explained, error) {
	none := leaderboard.Explained{}
	s, err := b.Session(ctx, date)
	if err != nil {
		return none, err
	}
	sheet, ok := s.Part(part)
	if !ok {
		return none, noPart(date, part)
	}
	m, ok := b.roster.Get(member)
	if !ok {
		return none, &Problem{Code: "not_found", Text: "There is no such member."}
	}
	records, err := b.records(ctx, date)
	if err != nil {
		return none, err
	}
	for _, r := range records {
		if r.Member != member || r.Part != part {
			continue
		}
		fitted := *sheet
		if version, err := b.current(ctx, date); err != nil {
			return none, err
		} else if f, err := b.fitted(ctx, date, version, m.FitOn(date)); err != nil {
			return none, err
		} else if p, ok := f.Session.Part(part); ok {
			fitted = *p
		}
		e, err := b.boards().Explain(ctx, *sheet, fitted, r, units, b.whyOff(m, date))
		e.Name = b.roster.Shown(member)
		return e, err
	}
	return none, &Problem{Code: "not_found", Text: fmt.Sprintf("There is no result of %s for %s of %s.", b.roster.Shown(member), part, date)}
}

// whyOff says why a member stands on no board of a date, "" when they do.
func (b *Bot) whyOff(m roster.Member, date content.Date) string {
	switch {
	case m.NoScores:
		return "the member chose to log without scores"
	case !m.OnBoards:
		return "the member has not chosen to stand on boards"
	case len(divisionsOf(b.Club(), m, date)) == 0:
		return "the member is in none of the club's divisions"
	}
	return "it was logged before the member stood on boards, and has not been stood again"
}
