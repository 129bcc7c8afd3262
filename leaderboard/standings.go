package leaderboard

import (
	"cmp"
	"slices"
)

// Rules of the Racing Rules of Sailing, 2025-2028, Appendix A, that a score or a broken tie can rest on.
const (
	RulePlace   = "A4"   // the points of a place
	RuleAbsent  = "A5.2" // no result: entries in the series + 1
	RuleCame    = "A5.3" // no result, but came that day: those who came + 1
	RuleShared  = "A7"   // a shared place
	RuleAverage = "A9"   // a paused day: the average of the other days
	RuleBest    = "A8.1" // a tie broken by the counting scores, best to worst
	RuleLast    = "A8.2" // a tie broken by the last race, then the one before it
	TieShared   = "shared"
)

// Series is several races of one board, scored by low points.
type Series struct {
	Entries  []string // everyone scored, each once
	Races    []Race   // from first to last
	Discards int      // worst scores left out; fewer than the scored races
	UseCame  bool     // A5.3 instead of A5.2
}

// Race is one board of a series. A race in which nobody has a rank is not scored.
type Race struct {
	Ranks  map[string]int    // standard competition ranks
	Board  map[string]string // the board that each rank is of; nil when they are all of one
	Came   []string          // came that day without a rank; counts only with UseCame
	Paused []string          // excused: scored by the average of their other days
	Fixed  []string          // whose score may not be excluded (rule 90.3(b))
}

// SeriesScore is one member's score in one race.
type SeriesScore struct {
	Points   Points `json:"points"`
	Excluded bool   `json:"excluded"`
	Rule     string `json:"rule"` // the rule that gave the points
}

// StandingsRow is one member's line in the standings.
type StandingsRow struct {
	Rank   int           `json:"rank"`
	Name   string        `json:"name"`
	Total  Points        `json:"total"`  // without the excluded scores
	Scores []SeriesScore `json:"scores"` // one for each scored race, in the series' order
	Tie    string        `json:"tie"`    // the rule that broke a tie in the total, TieShared, or "" when there was none
}

// DefaultDiscards returns the discards of a club that says nothing: one for every four races.
func DefaultDiscards(races int) int { return races / 4 }

// Scored returns the races that are scored: those in which somebody has a rank.
func (s Series) Scored() []Race {
	var out []Race
	for _, r := range s.Races {
		if len(r.Ranks) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// Standings scores a series by the low point system: Racing Rules of Sailing, 2025-2028, Appendix A. The lowest total
// is first (A2.2); ties are broken by A8.1, then A8.2, and what that leaves tied shares the rank, listed in the order
// of Entries.
func Standings(s Series) []StandingsRow {
	races := prepare(s)
	rows := make([]StandingsRow, len(s.Entries))
	for i, name := range s.Entries {
		rows[i] = scoreMember(s, races, name)
	}
	counting := make(map[string][]Points, len(rows))
	for _, r := range rows {
		counting[r.Name] = bestToWorst(r.Scores)
	}
	compare := func(a, b *StandingsRow) (int, string) {
		if c := cmp.Compare(a.Total, b.Total); c != 0 {
			return c, ""
		}
		if c := slices.Compare(counting[a.Name], counting[b.Name]); c != 0 {
			return c, RuleBest
		}
		if c := compareLast(a.Scores, b.Scores); c != 0 {
			return c, RuleLast
		}
		return 0, TieShared
	}
	slices.SortStableFunc(rows, func(a, b StandingsRow) int { c, _ := compare(&a, &b); return c })
	for i := range rows {
		rows[i].Rank = i + 1
		if i == 0 {
			continue
		}
		c, how := compare(&rows[i-1], &rows[i])
		if c == 0 {
			rows[i].Rank = rows[i-1].Rank
		}
		rows[i-1].Tie = deeper(rows[i-1].Tie, how)
		rows[i].Tie = how
	}
	return rows
}

// deeper returns the later of two steps of breaking a tie.
func deeper(a, b string) string {
	steps := []string{"", RuleBest, RuleLast, TieShared}
	return steps[max(slices.Index(steps, a), slices.Index(steps, b))]
}

// scoreMember scores one member in every race and excludes their worst (A2.1).
func scoreMember(s Series, races []preparedRace, name string) StandingsRow {
	row := StandingsRow{Name: name, Scores: make([]SeriesScore, len(races))}
	var others []Points
	fixed := make([]bool, len(races))
	for i, r := range races {
		fixed[i] = r.fixed[name]
		row.Scores[i] = raceScore(s, r, name)
		if row.Scores[i].Rule != RuleAverage {
			others = append(others, row.Scores[i].Points)
		}
	}
	for i := range row.Scores {
		if row.Scores[i].Rule != RuleAverage {
			continue
		}
		if p, ok := averagePoints(others); ok {
			row.Scores[i].Points = p
		} else {
			row.Scores[i] = SeriesScore{Points: absentPoints(len(s.Entries)), Rule: RuleAbsent}
		}
	}
	for _, i := range worst(row.Scores, fixed, s.Discards) {
		row.Scores[i].Excluded = true
	}
	for _, sc := range row.Scores {
		if !sc.Excluded {
			row.Total += sc.Points
		}
	}
	return row
}

// place is a rank on one of a race's boards.
type place struct {
	board string
	rank  int
}

// preparedRace is a race with what scoring looks up.
type preparedRace struct {
	ranks               map[string]int
	sharing             map[place]int // how many share each place
	board               map[string]string
	came, paused, fixed map[string]bool
	present             int // who has a rank or came
}

func prepare(s Series) []preparedRace {
	var out []preparedRace
	for _, r := range s.Scored() {
		p := preparedRace{ranks: r.Ranks, board: r.Board, sharing: map[place]int{}, came: set(r.Came), paused: set(r.Paused),
			fixed: set(r.Fixed), present: len(r.Ranks)}
		for name, rank := range r.Ranks {
			p.sharing[place{r.Board[name], rank}]++
		}
		for name := range p.came {
			if _, ranked := r.Ranks[name]; !ranked {
				p.present++
			}
		}
		out = append(out, p)
	}
	return out
}

func set(names []string) map[string]bool {
	out := make(map[string]bool, len(names))
	for _, n := range names {
		out[n] = true
	}
	return out
}

// raceScore scores one member in one race; a paused day has its rule and no points yet.
func raceScore(s Series, r preparedRace, name string) SeriesScore {
	rank, ok := r.ranks[name]
	sharing := r.sharing[place{r.board[name], rank}]
	switch {
	case ok && sharing > 1:
		return SeriesScore{Points: placePoints(rank, sharing), Rule: RuleShared}
	case ok:
		return SeriesScore{Points: placePoints(rank, 1), Rule: RulePlace}
	case r.paused[name]:
		return SeriesScore{Rule: RuleAverage}
	case s.UseCame && r.came[name]:
		return SeriesScore{Points: cameOnlyPoints(r.present), Rule: RuleCame}
	}
	return SeriesScore{Points: absentPoints(len(s.Entries)), Rule: RuleAbsent}
}

// bestToWorst lists the scores that count, best first (A8.1: no excluded scores are used).
func bestToWorst(scores []SeriesScore) []Points {
	var out []Points
	for _, s := range scores {
		if !s.Excluded {
			out = append(out, s.Points)
		}
	}
	slices.Sort(out)
	return out
}

// compareLast compares the scores of the last race, then of the one before it, and so on, excluded ones as well (A8.2).
func compareLast(a, b []SeriesScore) int {
	for i := min(len(a), len(b)) - 1; i >= 0; i-- {
		if c := cmp.Compare(a[i].Points, b[i].Points); c != 0 {
			return c
		}
	}
	return 0
}
