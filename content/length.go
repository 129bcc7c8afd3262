package content

import (
	"math"
	"time"
)

// What is reckoned where a sheet does not tell it. These are easy defaults of ours, not measurements.
const (
	restLow, restHigh     = 30.0, 90.0  // seconds after a set, when the part tells no rest
	changeHigh            = 5.0         // seconds at most to change from one movement to the next; none at least
	maxLow, maxHigh       = 15.0, 60.0  // one set of "max", of a percentage, or without an amount
	metreLow, metreHigh   = 0.3, 1.5    // one metre of a movement that the library gives no pace for
	calLow, calHigh       = 3.0, 6.0    // one calorie on a machine
	heavyLow, heavyHigh   = 4, 7        // sets on the way to the heaviest
	heavyRestLow          = 90.0        // seconds between those
	heavyRestHigh         = 180.0       //
	holdLow, holdHigh     = 30.0, 300.0 // the longest hold
	mostLow, mostHigh     = 20.0, 180.0 // one unbroken set of most reps
	tiringHigh            = 1.35        // a piece for time slows down by up to this
	partChangeLow         = 30.0        // seconds between parts
	partChangeHigh        = 120.0       //
	loosenLow, loosenHigh = 20.0, 60.0  // a warm-up or cool-down line without an amount
)

// span is a duration in seconds, from and to.
type span struct{ low, high float64 }

func (s span) plus(t span) span     { return span{s.low + t.low, s.high + t.high} }
func (s span) times(n float64) span { return span{s.low * n, s.high * n} }
func exactly(d time.Duration) span  { return span{d.Seconds(), d.Seconds()} }
func (s span) durations() (l, h time.Duration) {
	return seconds(s.low), seconds(s.high)
}

// seconds turns a number of seconds into a whole-second duration, never longer than a day.
func seconds(s float64) time.Duration {
	return time.Duration(math.Round(min(s, 86400))) * time.Second
}

// Estimate returns about how long a part takes, from and to. Stations, AMRAP, every and farthest are exact: their
// clock. Sets take the seconds a rep (or the tempo) of the library and the rests as told; where no rest is told,
// 0:30 to 1:30 after each set. For time: the reps without a pause, up to a third slower when it tires, and never
// beyond the cap. Movements that the library does not know count as 2 to 3 seconds a rep.
func Estimate(p Part, l *Library) (low, high time.Duration) { return estimate(p, l).durations() }

func estimate(p Part, l *Library) span {
	switch p.Scheme {
	case AMRAP, Every, Farthest:
		return exactly(p.Duration)
	case Stations:
		n := max(p.Stations, len(p.Movements)) * max(p.Through, 1)
		return exactly(p.Work + p.Rest).times(float64(n))
	case Rounds, Ladder:
		return forTimeSpan(p, l)
	case Sets:
		return setsSpan(p, l)
	case Heaviest:
		work := roundSpan(p, 0, l)
		low, high := heavyRestLow, heavyRestHigh
		if p.Rest > 0 {
			low, high = p.Rest.Seconds(), p.Rest.Seconds()
		}
		return span{work.low*heavyLow + low*(heavyLow-1), work.high*heavyHigh + high*(heavyHigh-1)}
	case MostReps:
		return span{mostLow, mostHigh}
	case LongestHold:
		return span{holdLow, holdHigh}
	}
	return roundSpan(p, 0, l) // for quality: once through
}

// roundSpan is one of each movement, without rests between rounds; i is the round, for a ladder's rung.
func roundSpan(p Part, i int, l *Library) span {
	var s span
	for k, m := range p.Movements {
		if p.Scheme == Ladder && m.Amount.Kind == AmountNone && i < len(p.Rungs) {
			m.Amount = Amount{Kind: AmountReps, Low: int64(p.Rungs[i]), High: int64(p.Rungs[i])}
		}
		if p.Scheme == Heaviest && m.Amount.Kind == AmountNone {
			m.Amount = Amount{Kind: AmountReps, Low: int64(p.SetReps), High: int64(p.SetReps)}
		}
		s = s.plus(movementSpan(m, l))
		if k > 0 {
			s = s.plus(span{exactly(p.RestBetween).low, max(changeHigh, p.RestBetween.Seconds())})
		}
	}
	return s
}

func forTimeSpan(p Part, l *Library) span {
	var s span
	for i := range p.RoundCount() {
		s = s.plus(roundSpan(p, i, l))
		if i > 0 {
			s = s.plus(exactly(p.Rest + p.RestAfter))
		}
	}
	s.high *= tiringHigh
	if p.Cap > 0 {
		s.low, s.high = min(s.low, p.Cap.Seconds()), min(s.high, p.Cap.Seconds())
	}
	return s
}

// setsSpan counts rests between sets, not after the last.
func setsSpan(p Part, l *Library) span {
	n := float64(max(p.Sets, 1))
	rest := span{restLow, restHigh}
	if told := p.Rest + p.RestAfter; told > 0 {
		rest = exactly(told)
	}
	pauses := n - 1
	if p.Order == Each {
		pauses = n*float64(len(p.Movements)) - 1
	}
	return roundSpan(p, 0, l).times(n).plus(rest.times(max(pauses, 0)))
}

// movementSpan is one set of one movement.
func movementSpan(m Movement, l *Library) span {
	rep, metre, _ := paces(m, l)
	low, high := float64(m.Amount.Low), float64(max(m.Amount.Low, m.Amount.High))
	switch m.Amount.Kind {
	case AmountReps:
		return span{low * rep.low, high * rep.high}
	case AmountTime:
		return span{low / 1000, high / 1000}
	case AmountDistance:
		return span{low / 1000 * metre.low, high / 1000 * metre.high}
	case AmountCalories:
		return span{low * calLow, high * calHigh}
	}
	return span{maxLow, maxHigh}
}

// paces returns the seconds of one rep and one metre of a movement; byTempo tells that its tempo gives the rep's.
func paces(m Movement, l *Library) (rep, metre span, byTempo bool) {
	rep, metre = span{2, 3}, span{metreLow, metreHigh}
	if e, ok := l.Find(m.Name); ok {
		rep = span{e.SecondsLow, e.SecondsHigh}
		if e.MetreHigh > 0 {
			metre = span{e.MetreLow, e.MetreHigh}
		}
	}
	if t, ok := tempoSeconds(m.Tempo); ok {
		return span{t, max(t, rep.low)}, metre, true
	}
	return rep, metre, false
}

// tempoSeconds adds up the figures of a tempo; X, as fast as can be, counts as one second.
func tempoSeconds(tempo string) (float64, bool) {
	t := 0.0
	for _, f := range splitList(tempo, "-") {
		switch {
		case f == "X" || f == "x":
			t++
		case len(f) == 1 && f[0] >= '0' && f[0] <= '9':
			t += float64(f[0] - '0')
		case len(f) == 2 && f[0] >= '0' && f[0] <= '9' && f[1] >= '0' && f[1] <= '9':
			t += float64(f[0]-'0')*10 + float64(f[1]-'0')
		default:
			return 0, false
		}
	}
	return t, t > 0
}

// EstimateSession returns about how long a whole session takes, from and to: warm-up, parts with changes between
// them, cool-down. Of parts to choose from one is done: the shortest at least, the longest at most. Optional parts
// are left out of the lower figure.
func EstimateSession(s Session, l *Library) (low, high time.Duration) {
	total := loosening(s.WarmUp, l).plus(loosening(s.CoolDown, l))
	choice := span{math.Inf(1), 0}
	done := 0
	for _, p := range s.Parts {
		e := estimate(p, l)
		switch {
		case isOneOf(p.Letter, s.Choose):
			choice = span{min(choice.low, e.low), max(choice.high, e.high)}
		case p.Optional:
			total.high += e.high
		default:
			total = total.plus(e)
			done++
		}
	}
	if !math.IsInf(choice.low, 1) {
		total = total.plus(choice)
		done++
	}
	return total.plus(span{partChangeLow, partChangeHigh}.times(float64(max(done-1, 0)))).durations()
}

// loosening is a warm-up or cool-down: once through.
func loosening(ms []Movement, l *Library) span {
	var s span
	for _, m := range ms {
		if m.Amount.Kind == AmountNone {
			s = s.plus(span{loosenLow, loosenHigh})
			continue
		}
		s = s.plus(movementSpan(m, l)).plus(span{0, changeHigh})
	}
	return s
}

func isOneOf(s string, list []string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
