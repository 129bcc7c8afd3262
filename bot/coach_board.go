package bot

import (
	"context"
	"strings"

	"tallybell/leaderboard"
)

// coachBoardLines is how many lines of each block the coach is shown in chat.
const coachBoardLines = 20

// coachBoard shows the boards of a day, or of one part of it: "board", "board D", "board yesterday D"; "board week" is
// the standings of the last seven days.
func (b *Bot) coachBoard(ctx context.Context, q coached, a *answer) error {
	if strings.EqualFold(q.rest, boardWeek) {
		q.rest = ""
		return b.coachStandings(ctx, q, a)
	}
	date, part := q.today, ""
	for _, w := range strings.Fields(q.rest) {
		if len(w) == 1 {
			part = strings.ToUpper(w)
			continue
		}
		d, problem := coachDate(w, q.today)
		if problem != "" {
			return say(a, problem)
		}
		date = d
	}
	s, err := b.Session(ctx, date)
	if err != nil {
		return tellOr(a, err)
	}
	found := false
	for _, p := range s.Parts {
		if part != "" && p.Letter != part {
			continue
		}
		if found = true; !p.IsScored() {
			continue
		}
		page, err := b.Board(ctx, date, p.Letter, leaderboard.Query{Limit: coachBoardLines, Joint: b.Club().JointRanks})
		if err != nil {
			return tellOr(a, err)
		}
		a.Standing = append(a.Standing, boardStanding(p.Letter, page, "")...)
	}
	switch {
	case !found:
		return tellOr(a, noPart(date, part))
	case len(a.Standing) == 0:
		return say(a, "Nobody stands on a board of "+dayName(date)+" yet.")
	}
	return nil
}
