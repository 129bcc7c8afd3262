package content

import (
	"math"
	"slices"
	"time"
)

// Tally is how much of a pattern or a muscle some days hold. Reps of movements done one side at a time count half, as
// one rep is one for each side; of timed, held and measured work only the sets count, and
// so of max and of percentages.
type Tally struct {
	Sets, Reps float64
}

func (t Tally) plus(u Tally) Tally    { return Tally{t.Sets + u.Sets, t.Reps + u.Reps} }
func (t Tally) times(f float64) Tally { return Tally{t.Sets * f, t.Reps * f} }

// MuscleTally is what a muscle gets: Direct where it does most of the work, Helping where it helps.
type MuscleTally struct {
	Direct, Helping Tally
}

func (m MuscleTally) plus(n MuscleTally) MuscleTally {
	return MuscleTally{m.Direct.plus(n.Direct), m.Helping.plus(n.Helping)}
}

// Total counts direct and helping work alike, Fractional helping work by half. The names and the half are those of
// Pelland et al. 2024 (preprint): direct sets count 1; indirect ones 1, 1/2 or 0 for total, fractional and direct.
func (m MuscleTally) Total() Tally { return m.Direct.plus(m.Helping) }

// Fractional counts helping work by half; see Total.
func (m MuscleTally) Fractional() Tally { return m.Direct.plus(m.Helping.times(0.5)) }

// DayBalance is what one session asks for.
type DayBalance struct {
	Date      Date
	Title     string
	Rest      bool
	Effort    string
	Low, High time.Duration // estimated length
	Length    []LengthLine  // what it is made of
	Patterns  map[Pattern]Tally
	Muscles   map[string]MuscleTally
	Lower     Tally // squat, split, hinge and bridge together
	SingleLeg Tally // of these, what stands or pushes on one leg at a time
}

// Balance reckons a session's sets and reps by pattern and by muscle, from its lettered parts. Parts to choose from
// count in equal shares; an AMRAP counts the rounds that its estimate gives.
func Balance(lib *Library, s Session) DayBalance {
	d := DayBalance{Date: s.Date, Title: s.Title, Rest: s.Rest, Effort: s.Effort, Length: Assumptions(s, lib),
		Patterns: map[Pattern]Tally{}, Muscles: map[string]MuscleTally{}}
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
			switch {
			case e.Hold():
				t.Reps = 0
			case e.Sides == OneSide:
				t.Reps /= 2
			}
			d.add(e, t)
		}
	}
	return d
}

// add counts what a part asks of one movement.
func (d *DayBalance) add(e *Entry, t Tally) {
	d.Patterns[e.Pattern] = d.Patterns[e.Pattern].plus(t)
	d.Muscles[e.Main] = d.Muscles[e.Main].plus(MuscleTally{Direct: t})
	for i, m := range e.Helping {
		if m != e.Main && !slices.Contains(e.Helping[:i], m) {
			d.Muscles[m] = d.Muscles[m].plus(MuscleTally{Helping: t})
		}
	}
	if e.Pattern.lower() {
		d.Lower = d.Lower.plus(t)
		if e.Pattern == PatternSplit || e.Sides == OneSide {
			d.SingleLeg = d.SingleLeg.plus(t)
		}
	}
}

// lower reports whether the pattern is one of the lower body: legs and hips, jumps apart.
func (p Pattern) lower() bool {
	return p == PatternSquat || p == PatternSplit || p == PatternHinge || p == PatternBridge
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
