package content

import (
	"math"
	"slices"
	"time"
)

// Tally is how much of a pattern or a muscle group some days hold. Reps of movements done one side at a time count
// half, as one rep is one for each side; of timed and measured work only the sets count.
type Tally struct {
	Sets, Reps float64
}

func (t Tally) plus(u Tally) Tally         { return Tally{t.Sets + u.Sets, t.Reps + u.Reps} }
func (t Tally) times(f float64) Tally      { return Tally{t.Sets * f, t.Reps * f} }
func (t Tally) scaledReps(f float64) Tally { return Tally{t.Sets, t.Reps * f} }

// DayBalance is what one session asks for.
type DayBalance struct {
	Date      Date
	Rest      bool
	Effort    string
	Low, High time.Duration // estimated length
	Patterns  map[Pattern]Tally
	Muscles   map[string]Tally
}

// Balance reckons a session's sets and reps by pattern and by main muscle group, from its lettered parts. Parts to
// choose from count in equal shares; an AMRAP counts the rounds that its estimate gives.
func Balance(lib *Library, s Session) DayBalance {
	d := DayBalance{Date: s.Date, Rest: s.Rest, Effort: s.Effort, Patterns: map[Pattern]Tally{}, Muscles: map[string]Tally{}}
	d.Low, d.High = EstimateSession(s, lib)
	for _, p := range s.Parts {
		share := 1.0
		if slices.Contains(s.Choose, p.Letter) {
			share = 1 / float64(len(s.Choose))
		}
		for k := range p.Movements {
			e, ok := lib.Find(p.Movements[k].Name)
			if !ok {
				continue
			}
			t := movementTally(p, k, lib).times(share)
			if e.Sides == OneSide {
				t = t.scaledReps(0.5)
			}
			d.Patterns[e.Pattern] = d.Patterns[e.Pattern].plus(t)
			d.Muscles[e.Main] = d.Muscles[e.Main].plus(t)
		}
	}
	return d
}

// movementTally counts the sets and reps of one movement of a part.
func movementTally(p Part, k int, lib *Library) Tally {
	m := p.Movements[k]
	reps := 0.0
	if m.Amount.Kind == AmountReps {
		reps = float64(m.Amount.Low+m.Amount.High) / 2
	}
	sets := 1.0
	switch p.Scheme {
	case Sets:
		sets = float64(p.Sets)
	case Stations:
		sets = float64(p.Through)
		return Tally{sets, stationReps(p, m, lib) * sets}
	case Rounds:
		sets = float64(p.Rounds)
	case Ladder:
		if m.Amount.Kind == AmountNone {
			return Tally{float64(len(p.Rungs)), rungSum(p.Rungs)}
		}
		sets = float64(len(p.Rungs))
	case AMRAP:
		if round := roundSpan(p, 0, lib); round.high > 0 {
			sets = math.Round(p.Duration.Seconds() / ((round.low + round.high) / 2))
		}
	case Every:
		if p.Interval > 0 {
			sets = float64(p.Duration / p.Interval)
		}
		if n := len(p.Movements); p.Order != Together && n > 1 {
			sets = math.Ceil((sets - float64(k)) / float64(n))
		}
	case Heaviest:
		sets, reps = heavyLow, float64(p.SetReps)
	}
	sets = max(sets, 0)
	return Tally{sets, sets * reps}
}

// stationReps is what the library's pace gives in one station.
func stationReps(p Part, m Movement, lib *Library) float64 {
	if e, ok := lib.Find(m.Name); ok && e.SecondsLow+e.SecondsHigh > 0 {
		return math.Round(p.Work.Seconds() / ((e.SecondsLow + e.SecondsHigh) / 2))
	}
	return 0
}

func rungSum(rungs []int) float64 {
	t := 0
	for _, r := range rungs {
		t += r
	}
	return float64(t)
}

// hardReps and hardSets are from when on a pattern counts as hit hard in a day: our rule, no source.
const hardReps, hardSets = 60, 8

// Hard reports whether the day hits a pattern hard: 60 reps or 8 sets and more, and the day is not a light one.
// Service patterns never count.
func (d DayBalance) Hard(p Pattern) bool {
	if d.Effort == "light" || p.Service() {
		return false
	}
	t := d.Patterns[p]
	return t.Reps >= hardReps || t.Sets >= hardSets
}

// HardTwice returns the patterns that both days hit hard, in the order of Patterns, when the second day follows the
// first; nil otherwise.
func HardTwice(first, second DayBalance) []Pattern {
	if first.Date.IsZero() || second.Date.DaysSince(first.Date) != 1 {
		return nil
	}
	var out []Pattern
	for _, p := range Patterns() {
		if first.Hard(p) && second.Hard(p) {
			out = append(out, p)
		}
	}
	return out
}

// CheckWeek warns, for the session of each day, of patterns that the day before hit hard as well. The result has a
// list for each session, in the order given; lists may be nil.
func CheckWeek(lib *Library, days []Session) [][]Problem {
	balances := make([]DayBalance, len(days))
	byDate := map[Date]int{}
	for i, s := range days {
		balances[i] = Balance(lib, s)
		byDate[s.Date] = i
	}
	out := make([][]Problem, len(days))
	for i, s := range days {
		before, ok := byDate[s.Date.AddDays(-1)]
		if !ok || s.Date.IsZero() {
			continue
		}
		for _, p := range HardTwice(balances[before], balances[i]) {
			out[i] = append(out[i], Problem{Line: hardLine(lib, s, p), Column: 1, Warning: true,
				Message: string(p) + " is hit hard on two days running, " + days[before].Date.String() + " and this one; lighten one of them"})
		}
	}
	return out
}

// hardLine is the line of the first part that holds the pattern.
func hardLine(lib *Library, s Session, pattern Pattern) int {
	for _, p := range s.Parts {
		for _, m := range p.Movements {
			if e, ok := lib.Find(m.Name); ok && e.Pattern == pattern {
				return max(p.Line, 1)
			}
		}
	}
	return 1
}
