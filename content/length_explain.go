package content

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// LengthLine is one piece of a session's estimated length, and what it is reckoned from.
type LengthLine struct {
	Part      string        // the part's letter; warm-up, cool-down, changes or choice for the rest
	How       string        // what it is reckoned from, in words
	Low, High time.Duration // from and to, whole seconds
	Counts    bool          // adds to the whole; of parts to choose from only the choice does
}

// String writes a line as "A: 3 stations of 1:00: 3:00".
func (l LengthLine) String() string { return l.Part + ": " + l.How + ": " + l.span() }

func (l LengthLine) span() string {
	if l.Low == l.High {
		return clockText(l.Low)
	}
	return clockText(l.Low) + "-" + clockText(l.High)
}

// Assumptions explains EstimateSession: a line for the warm-up, each part, the choice, the changes between parts and
// the cool-down. The lines that count add up to the estimate, but for rounding to seconds.
func Assumptions(s Session, lib *Library) []LengthLine {
	var out []LengthLine
	add := func(part, how string, e span, counts bool) {
		low, high := e.durations()
		out = append(out, LengthLine{part, how, low, high, counts})
	}
	loose := func(part string, ms []Movement) {
		if len(ms) > 0 {
			add(part, looseHow(ms, lib), loosening(ms, lib), true)
		}
	}
	loose("warm-up", s.WarmUp)
	choice, among := span{math.Inf(1), 0}, []string{}
	done := 0
	for _, p := range s.Parts {
		e, how := estimate(p, lib), partHow(p, lib)
		switch {
		case isOneOf(p.Letter, s.Choose):
			choice, among = span{min(choice.low, e.low), max(choice.high, e.high)}, append(among, p.Letter)
			add(p.Letter, how+", one of those to choose from", e, false)
		case p.Optional:
			add(p.Letter, how+", or nothing as it is optional", span{0, e.high}, true)
		default:
			add(p.Letter, how, e, true)
			done++
		}
	}
	if len(among) > 0 {
		add("choice", "one of "+strings.Join(among, ", ")+", the shortest to the longest", choice, true)
		done++
	}
	if n := float64(done - 1); n > 0 {
		add("changes", fmt.Sprintf("%s between parts, %s each", counted(done-1, "change"), secondsText(partChangeLow, partChangeHigh)),
			span{partChangeLow, partChangeHigh}.times(n), true)
	}
	loose("cool-down", s.CoolDown)
	return out
}

// LengthText writes the estimate of a session and, below it, the lines that it is made of.
func LengthText(s Session, lib *Library) string {
	var b strings.Builder
	low, high := EstimateSession(s, lib)
	fmt.Fprintf(&b, "about %s-%s", clockText(low), clockText(high))
	if s.Length > 0 {
		fmt.Fprintf(&b, ", at most %s wanted", clockText(s.Length))
	}
	b.WriteByte('\n')
	for _, l := range Assumptions(s, lib) {
		b.WriteString("  " + l.String() + "\n")
	}
	return b.String()
}

// partHow tells what a part's estimate is made of.
func partHow(p Part, lib *Library) string {
	round := roundHow(p, lib)
	switch p.Scheme {
	case AMRAP, Every, Farthest:
		return "its clock"
	case Stations:
		how := counted(max(p.Stations, len(p.Movements)), "station") + " of " + clockText(p.Work)
		if p.Rest > 0 {
			how += " and rest " + clockText(p.Rest)
		}
		if p.Through > 1 {
			how += ", " + itoa(p.Through) + " times through"
		}
		return how
	case Rounds, Ladder:
		return forTimeHow(p, round)
	case Sets:
		return setsHow(p, round)
	case Heaviest:
		rest := secondsText(heavyRestLow, heavyRestHigh) + " (none told)"
		if p.Rest > 0 {
			rest = clockText(p.Rest)
		}
		return fmt.Sprintf("%d-%d sets of %s, rest %s between", heavyLow, heavyHigh, round, rest)
	case MostReps:
		return "one unbroken set of " + secondsText(mostLow, mostHigh)
	case LongestHold:
		return "one hold of " + secondsText(holdLow, holdHigh)
	}
	return "once through " + round
}

func forTimeHow(p Part, round string) string {
	how := counted(p.RoundCount(), "round") + " of " + round
	if p.Scheme == Ladder {
		rungs := make([]string, len(p.Rungs))
		for i, r := range p.Rungs {
			rungs[i] = itoa(r)
		}
		how = strings.Join(rungs, "-") + " of " + round
	}
	if rest := p.Rest + p.RestAfter; rest > 0 && p.RoundCount() > 1 {
		how += ", rest " + clockText(rest) + " between rounds"
	}
	how += fmt.Sprintf(", up to %g times as long when it tires", tiringHigh)
	if p.Cap > 0 {
		how += ", the cap of " + clockText(p.Cap) + " at most"
	}
	return how
}

func setsHow(p Part, round string) string {
	n := max(p.Sets, 1)
	how, pauses := counted(n, "set")+" of "+round, n-1
	if p.Order == Each {
		how, pauses = counted(n, "set")+" each of "+round, n*len(p.Movements)-1
	}
	if pauses < 1 {
		return how
	}
	rest := secondsText(restLow, restHigh) + " (none told)"
	if told := p.Rest + p.RestAfter; told > 0 {
		rest = clockText(told)
	}
	return how + ", rest " + rest + " after each of " + counted(pauses, "set")
}

// roundHow lists the movements of a part with their paces.
func roundHow(p Part, lib *Library) string {
	var names []string
	for _, m := range p.Movements {
		if m.Amount.Kind == AmountNone && p.Scheme == Heaviest {
			m.Amount = Amount{Kind: AmountReps, Low: int64(p.SetReps), High: int64(p.SetReps)}
		}
		rung := m.Amount.Kind == AmountNone && p.Scheme == Ladder
		names = append(names, movementHow(m, rung, lib))
	}
	how := strings.Join(names, ", ")
	switch {
	case len(names) < 2:
	case p.RestBetween > 0:
		how += ", rest " + clockText(p.RestBetween) + " between"
	default:
		how += fmt.Sprintf(", up to %g s to change", changeHigh)
	}
	return how
}

// movementHow is a movement with its amount and what one rep, metre or set of it is taken to last.
func movementHow(m Movement, rung bool, lib *Library) string {
	name := m.Name
	if text := amountText(m.Amount); text != "" {
		name = text + " " + name
	}
	rep, metre, byTempo := paces(m, lib)
	kind := m.Amount.Kind
	if rung {
		kind = AmountReps
	}
	switch kind {
	case AmountReps:
		by := ""
		if byTempo {
			by = " by its tempo"
		}
		return fmt.Sprintf("%s (%s s a rep%s)", name, paceText(rep), by)
	case AmountTime:
		return name
	case AmountDistance:
		return fmt.Sprintf("%s (%s s a metre)", name, paceText(metre))
	case AmountCalories:
		return fmt.Sprintf("%s (%s s a calorie)", name, paceText(span{calLow, calHigh}))
	}
	return fmt.Sprintf("%s (%s s a set)", name, paceText(span{maxLow, maxHigh}))
}

// looseHow lists a warm-up or cool-down with its paces.
func looseHow(ms []Movement, lib *Library) string {
	var names []string
	for _, m := range ms {
		if m.Amount.Kind == AmountNone {
			names = append(names, fmt.Sprintf("%s (%s s)", m.Name, paceText(span{loosenLow, loosenHigh})))
			continue
		}
		names = append(names, movementHow(m, false, lib))
	}
	return "once through " + strings.Join(names, ", ") + fmt.Sprintf(", up to %g s to change", changeHigh)
}

// paceText writes seconds from-to.
func paceText(s span) string {
	f := func(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) }
	if s.low == s.high {
		return f(s.low)
	}
	return f(s.low) + "-" + f(s.high)
}

// secondsText writes seconds as clock times, from-to.
func secondsText(low, high float64) string {
	return clockText(seconds(low)) + "-" + clockText(seconds(high))
}
