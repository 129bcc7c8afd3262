package bot

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"tallybell/content"
	"tallybell/leaderboard"
)

// boardWeek is the argument of board that asks for the standings of the last days.
const boardWeek = "WEEK"

// weekDays is how many days those are, today included.
const weekDays = 7

// aroundStanding is how many lines stand around a member's own in standings.
const aroundStanding = 3

// showWeek shows the standings of the last seven days in the member's divisions.
func (b *Bot) showWeek(ctx context.Context, q requested, a *answer) error {
	to := q.st.today(q.now)
	club, m := b.Club(), q.st.member
	divisions := leaderboard.Divisions(club.AllDivisions(), m.Division, m.BirthYear, to)
	if len(divisions) == 0 {
		divisions = club.AllDivisions()
	}
	return b.tellStandings(ctx, a, to.AddDays(1-weekDays), to, divisions, boardLines, m.ID)
}

// tellStandings puts the standings of some divisions into an answer: the first lines of each, and those around who asks.
func (b *Bot) tellStandings(ctx context.Context, a *answer, from, to content.Date, divisions []string, limit int, who string) error {
	for _, d := range divisions {
		s, err := b.Standings(ctx, StandingsQuery{From: from, To: to, Division: d})
		if err != nil {
			return tellOr(a, err)
		}
		a.Standing = append(a.Standing, s.lines(limit, who)...)
	}
	if len(a.Standing) == 0 {
		return say(a, fmt.Sprintf(textNoStandings, dayName(from), dayName(to)))
	}
	return nil
}

// lines are the standings as lines of an answer; nil when nobody stands there.
func (s Standings) lines(limit int, who string) []standing {
	if len(s.Rows) == 0 {
		return nil
	}
	head := fmt.Sprintf(textStandings, s.Division, dayRange(s.From, s.To), raceCount(len(s.Races)))
	if s.Version != "" && s.Version != leaderboard.All {
		head += ", " + versionWords(s.Version)
	}
	if s.Discards > 0 {
		head += fmt.Sprintf(textLeftOut, s.Discards)
	}
	out := []standing{{Head: head}}
	for i, at := range s.Shown(limit, who) {
		r := s.Rows[at]
		line := standing{Rank: int64(r.Rank), Member: r.Member, Show: pointsWords(r.Total)}
		if i == limit {
			line.Head = textAround
		}
		out = append(out, line)
	}
	return out
}

// Shown returns the places of the first lines, then of those around a member that lie beyond.
func (s Standings) Shown(limit int, who string) []int {
	var out []int
	for i := range s.Rows[:min(limit, len(s.Rows))] {
		out = append(out, i)
	}
	own := slices.IndexFunc(s.Rows, func(r StandingsLine) bool { return r.Member == who })
	if own < len(out) {
		return out
	}
	from := max(0, own-(aroundStanding+1)/2)
	to := min(from+aroundStanding, len(s.Rows)-1)
	from = max(0, to-aroundStanding)
	for i := max(from, len(out)); i <= to; i++ {
		out = append(out, i)
	}
	return out
}

func raceCount(n int) string {
	if n == 1 {
		return "1 race"
	}
	return fmt.Sprintf("%d races", n)
}

func pointsWords(p leaderboard.Points) string {
	if p == leaderboard.WholePoints(1) {
		return "1 point"
	}
	return p.String() + " points"
}

// dayRange returns "26 January to 1 February", or the one day.
func dayRange(from, to content.Date) string {
	if from == to {
		return shortDay(from)
	}
	return shortDay(from) + " to " + shortDay(to)
}

// shortDay returns "1 February".
func shortDay(d content.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("2 January")
}

// coachStandings answers "standings", "standings 2027-01-01 2027-01-31" and the same with a division behind.
func (b *Bot) coachStandings(ctx context.Context, q coached, a *answer) error {
	words := strings.Fields(q.rest)
	to := q.today
	from := to.AddDays(1 - weekDays)
	if len(words) > 0 {
		d, problem := coachDate(words[0], q.today)
		if problem != "" {
			return say(a, problem)
		}
		from, words = d, words[1:]
		if len(words) > 0 {
			d, problem := coachDate(words[0], q.today)
			if problem != "" {
				return say(a, problem)
			}
			to, words = d, words[1:]
		}
	}
	divisions := b.Club().AllDivisions()
	if len(words) > 0 {
		divisions = []string{strings.Join(words, " ")}
	}
	return b.tellStandings(ctx, a, from, to, divisions, coachBoardLines, "")
}
