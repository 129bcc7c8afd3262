package leaderboard

import (
	"cmp"
	"fmt"
	"slices"

	"tallybell/content"
)

// Season is one division's boards over several days, to be scored as a series. Each scored part of a day is a race.
type Season struct {
	Rounds   []Round
	Discards func(races int) int // nil is DefaultDiscards
	UseCame  bool                // rule A5.3 instead of A5.2 for who came that day

	// Excused tells who is scored by the average of their other days: "paused", or "not joined yet"; "" is nobody. nil
	// excuses nobody.
	Excused func(member string, d content.Date) string
	// Came tells who gave any result on a day; it counts only with UseCame. nil is nobody.
	Came func(member string, d content.Date) bool
}

// Round is one part of a day.
type Round struct {
	Date  content.Date `json:"date"`
	Part  string       `json:"part"`
	Ranks []RoundRank  `json:"-"`

	// Choice names the parts of that day of which one was to be chosen, this one among them: whoever chose another is
	// scored by the average of their other days, as one who could not start. nil when there was no choice.
	Choice []string `json:"choice,omitempty"`
}

// RoundRank is one member's rank on one of the round's boards.
type RoundRank struct {
	Member  string
	Rank    int64
	Of      int64           // how many stand on that board
	Version content.Version // which board it is
}

// SeasonRow is one member's line in the standings of a season.
type SeasonRow struct {
	Rank   int           `json:"rank"`
	Member string        `json:"member"`
	Total  Points        `json:"total"` // without the excluded scores
	Tie    string        `json:"tie"`   // the rule that broke a tie in the total, "shared", or "" when there was none
	Scores []SeasonScore `json:"scores"`
}

// SeasonScore is one score, with all that explains it.
type SeasonScore struct {
	Points   Points          `json:"points"`
	Excluded bool            `json:"excluded"`
	Rule     string          `json:"rule"`           // of the Racing Rules of Sailing, 2025-2028, Appendix A
	Rank     int64           `json:"rank,omitempty"` // 0 without a result
	Of       int64           `json:"of,omitempty"`
	Version  content.Version `json:"version,omitempty"`
	Why      string          `json:"why"` // in words
}

// Scored returns the rounds in which somebody has a rank: the others are not scored.
func (s Season) Scored() []Round {
	return slices.DeleteFunc(slices.Clone(s.Rounds), func(r Round) bool { return len(r.Ranks) == 0 })
}

// Standings scores the season: everyone who stands on a board of it at least once, by low points (see Standings). Who
// shares a rank is listed by id.
func (s Season) Standings() []SeasonRow {
	rounds := s.Scored()
	series, ranks := s.series(rounds)
	rows := Standings(series)
	out := make([]SeasonRow, len(rows))
	for i, r := range rows {
		out[i] = SeasonRow{Rank: r.Rank, Member: r.Name, Total: r.Total, Tie: r.Tie, Scores: make([]SeasonScore, len(r.Scores))}
		for k, sc := range r.Scores {
			got := ranks[k][r.Name]
			out[i].Scores[k] = SeasonScore{Points: sc.Points, Excluded: sc.Excluded, Rule: sc.Rule, Rank: got.Rank, Of: got.Of,
				Version: got.Version, Why: why(sc, got, s.excuse(r.Name, k, rounds, ranks), len(series.Entries))}
		}
	}
	return out
}

// series turns the scored rounds into a series, and gives the ranks of each by member.
func (s Season) series(rounds []Round) (Series, []map[string]RoundRank) {
	out := Series{UseCame: s.UseCame, Races: make([]Race, len(rounds))}
	ranks := make([]map[string]RoundRank, len(rounds))
	for i, r := range rounds {
		race := Race{Ranks: map[string]int{}, Board: map[string]string{}}
		ranks[i] = make(map[string]RoundRank, len(r.Ranks))
		for _, x := range r.Ranks {
			race.Ranks[x.Member], race.Board[x.Member], ranks[i][x.Member] = int(x.Rank), string(x.Version), x
			out.Entries = append(out.Entries, x.Member)
		}
		out.Races[i] = race
	}
	slices.Sort(out.Entries)
	out.Entries = slices.Compact(out.Entries)
	for i, r := range rounds {
		race := &out.Races[i]
		for _, m := range out.Entries {
			if _, ranked := race.Ranks[m]; ranked {
				continue
			}
			if s.excuse(m, i, rounds, ranks) != "" {
				race.Paused = append(race.Paused, m)
			} else if s.Came != nil && s.Came(m, r.Date) {
				race.Came = append(race.Came, m)
			}
		}
	}
	discards := s.Discards
	if discards == nil {
		discards = DefaultDiscards
	}
	out.Discards = max(0, min(discards(len(rounds)), len(rounds)-1))
	return out, ranks
}

// excuse says why a member without a rank in round i is scored by the average of their other days; "" when they are not.
func (s Season) excuse(member string, i int, rounds []Round, ranks []map[string]RoundRank) string {
	if _, ranked := ranks[i][member]; ranked {
		return ""
	}
	for k, o := range rounds {
		if o.Date == rounds[i].Date && k != i && slices.Contains(rounds[i].Choice, o.Part) {
			if _, chose := ranks[k][member]; chose {
				return "chose " + o.Part
			}
		}
	}
	if s.Excused == nil {
		return ""
	}
	return s.Excused(member, rounds[i].Date)
}

// why says in words what gave a score.
func why(sc SeriesScore, got RoundRank, excused string, entries int) string {
	out := ""
	switch sc.Rule {
	case RulePlace:
		out = fmt.Sprintf("place %d of %d", got.Rank, got.Of)
	case RuleShared:
		out = fmt.Sprintf("place %d of %d, shared: the average of the places taken", got.Rank, got.Of)
	case RuleAverage:
		out = excused + ": the average of the other days"
	case RuleCame:
		out = "came, without a place: those who came + 1"
	default:
		out = fmt.Sprintf("no place: %d entries + 1", entries)
		if excused != "" {
			out = excused + ", and no other day to average: " + fmt.Sprintf("%d entries + 1", entries)
		}
	}
	if sc.Excluded {
		out += "; left out, one of the worst (A2.1)"
	}
	return out
}

// SortShared orders the rows that share a rank by a comparison of their members.
func SortShared(rows []SeasonRow, compare func(a, b string) int) {
	slices.SortStableFunc(rows, func(a, b SeasonRow) int {
		return cmp.Or(cmp.Compare(a.Rank, b.Rank), compare(a.Member, b.Member))
	})
}
