package content

import (
	"math"
	"slices"
	"strings"
	"sync"
)

// weekNumber is a number of a week that may be bounded: its values, one for the week or one for each day. A value
// that the week cannot have, such as a ratio of nothing to nothing, is left out.
type weekNumber struct {
	name   string
	unit   string // %, min or ""
	values func(w *Week) []weekValue
}

type weekValue struct {
	v    float64
	what string // which it is, where there may be several
}

// weekNumbers lists every number that may be bounded.
var weekNumbers = sync.OnceValue(func() []weekNumber {
	one := func(v float64) []weekValue { return []weekValue{{v: v}} }
	ns := []weekNumber{
		{"sessions", "", func(w *Week) []weekValue { return one(float64(w.Sessions)) }},
		{"days running", "", func(w *Week) []weekValue { return one(float64(w.Running)) }},
		{"minutes a day", "min", minutesOfDays},
		{"push to pull sets", "", func(w *Week) []weekValue { return quotient(w.Push.Sets, w.Pull.Sets) }},
		{"push to pull reps", "", func(w *Week) []weekValue { return quotient(w.Push.Reps, w.Pull.Reps) }},
		{"squat to hinge sets", "", func(w *Week) []weekValue { return quotient(w.Squat.Sets, w.Hinge.Sets) }},
		{"squat to hinge reps", "", func(w *Week) []weekValue { return quotient(w.Squat.Reps, w.Hinge.Reps) }},
		{"single-leg share", "%", func(w *Week) []weekValue { return quotient(100*w.SingleLeg.Sets, w.Lower.Sets) }},
	}
	for _, p := range Patterns() {
		ns = append(ns,
			weekNumber{string(p) + " sets", "", func(w *Week) []weekValue { return one(w.Patterns[p].Sets) }},
			weekNumber{string(p) + " reps", "", func(w *Week) []weekValue { return one(w.Patterns[p].Reps) }},
			weekNumber{string(p) + " days running", "", func(w *Week) []weekValue { return one(float64(w.Patterns[p].Running)) }})
	}
	for _, m := range entryMuscles {
		ns = append(ns,
			weekNumber{m + " sets", "", func(w *Week) []weekValue { return one(w.Muscles[m].Fractional().Sets) }},
			weekNumber{m + " reps", "", func(w *Week) []weekValue { return one(w.Muscles[m].Fractional().Reps) }})
	}
	return ns
})

// minutesOfDays is the middle of each day's estimate, as the warning of a session's length takes it.
func minutesOfDays(w *Week) []weekValue {
	var out []weekValue
	for _, d := range w.Days {
		if !d.Rest {
			out = append(out, weekValue{(d.Low + d.High).Minutes() / 2, " on " + d.Date.String()})
		}
	}
	return out
}

// quotient is one over the other: nothing for nothing to nothing, and without bound for something to nothing.
func quotient(x, y float64) []weekValue {
	switch {
	case y > 0:
		return []weekValue{{v: x / y}}
	case x > 0:
		return []weekValue{{v: math.Inf(1)}}
	}
	return nil
}

// BoundNames lists the numbers of a week that a bounds file may name.
func BoundNames() []string {
	var names []string
	for _, n := range weekNumbers() {
		names = append(names, n.name)
	}
	return names
}

func findWeekNumber(name string) (weekNumber, bool) {
	name = strings.ToLower(strings.Join(strings.Fields(name), " "))
	ns := weekNumbers()
	i := slices.IndexFunc(ns, func(n weekNumber) bool { return n.name == name })
	if i < 0 {
		return weekNumber{}, false
	}
	return ns[i], true
}
