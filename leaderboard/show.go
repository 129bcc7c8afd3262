package leaderboard

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tallybell/content"
)

// Show returns a result of p as people read it, loads in kilograms: "14:32", "cap at 74 reps",
// "5 rounds + 12 (72 reps)", "78 reps", "42.5 kg", "1:35", "2.4 km", "done".
func Show(p content.Part, r content.Result) string { return ShowIn(p, r, "kg") }

// ShowIn is Show with loads in units, kg or lb.
func ShowIn(p content.Part, r content.Result, units string) string {
	switch r.Kind {
	case content.KindTime:
		return showTime(p, r)
	case content.KindReps:
		return showReps(p, r)
	case content.KindLoad:
		return showLoad(r.LoadG, units)
	case content.KindHold:
		return ShowClock(r.TimeMS)
	case content.KindDistance:
		return showDistance(r.DistanceMM)
	}
	return showDone(r, units)
}

func showTime(p content.Part, r content.Result) string {
	switch {
	case r.IsFinished():
		return ShowClock(r.TimeMS)
	case r.Reps == nil:
		return "not finished"
	case p.Cap > 0:
		return "cap at " + count(*r.Reps, "rep")
	}
	return "not finished, " + count(*r.Reps, "rep")
}

// showReps shows an AMRAP by its rounds, when it has rounds, and everything else by its total.
func showReps(p content.Part, r content.Result) string {
	reps := r.RepCount()
	if p.Scheme != content.AMRAP {
		return count(reps, "rep")
	}
	var rounds, extra int64
	switch round := p.RepsARound(); {
	case r.Rounds != nil && r.Extra != nil:
		rounds, extra = *r.Rounds, *r.Extra
	case round > 0:
		rounds, extra = reps/round, reps%round
	default:
		return count(reps, "rep")
	}
	if extra == 0 {
		return fmt.Sprintf("%s (%s)", count(rounds, "round"), count(reps, "rep"))
	}
	return fmt.Sprintf("%s + %d (%s)", count(rounds, "round"), extra, count(reps, "rep"))
}

// showDone shows sets and load where they were told: "done, 12/10/9 at 14 kg".
func showDone(r content.Result, units string) string {
	var b strings.Builder
	b.WriteString("done")
	separator := ", "
	for _, n := range r.SetReps {
		b.WriteString(separator + strconv.FormatInt(n, 10))
		separator = "/"
	}
	if r.LoadG > 0 {
		b.WriteString(" at " + showLoad(r.LoadG, units))
	}
	return b.String()
}

// ShowClock returns milliseconds as M:SS, or H:MM:SS from an hour on, with as many decimals as it needs.
func ShowClock(ms int64) string {
	sign := ""
	if ms < 0 {
		sign, ms = "-", -ms
	}
	s, part := ms/1000, ms%1000
	out := fmt.Sprintf("%d:%02d", s/60, s%60)
	if s >= 3600 {
		out = fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	if part != 0 {
		out += strings.TrimRight(fmt.Sprintf(".%03d", part), "0")
	}
	return sign + out
}

// gramsAPound is exact by definition (NIST SP 811, appendix B).
const gramsAPound = 453.59237

func showLoad(g int64, units string) string {
	if units == "lb" {
		return decimals(LoadIn(g, units), 1) + " lb"
	}
	return decimals(LoadIn(g, units), 3) + " kg"
}

// LoadIn turns grams into pounds where units is lb, else into kilograms.
func LoadIn(g int64, units string) float64 {
	if units == "lb" {
		return float64(g) / gramsAPound
	}
	return float64(g) / 1000
}

// showDistance shows metres below a kilometre, to the centimetre, and kilometres from there on, to the metre.
func showDistance(mm int64) string {
	if mm < 1_000_000 {
		return decimals(float64(mm)/1000, 2) + " m"
	}
	return decimals(float64(mm)/1_000_000, 3) + " km"
}

// decimals returns x with at most n decimals, without zeros at the end.
func decimals(x float64, n int) string {
	scale := math.Pow10(n)
	return strconv.FormatFloat(math.Round(x*scale)/scale, 'f', -1, 64)
}

// count returns "1 rep", "2 reps".
func count(n int64, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return strconv.FormatInt(n, 10) + " " + thing + "s"
}

// Beside returns what stands beside a record's result: the way done and the load used, "" when neither is told.
func Beside(r Record, units string) string {
	var parts []string
	if r.Way != "" {
		parts = append(parts, r.Way)
	}
	if r.Result.LoadG > 0 && r.Kind != content.KindLoad && r.Kind != content.KindDone {
		parts = append(parts, showLoad(r.Result.LoadG, units))
	}
	return strings.Join(parts, ", ")
}

// ShowStep tells how a result differs from an earlier one of the same kind: "0:22 faster", "6 reps more", "2.5 kg less",
// "the same". It is "" where the two cannot be set against each other, as a finished piece and an unfinished one.
func ShowStep(earlier, later content.Result, units string) string {
	a, aDone, ok := value(earlier)
	b, bDone, ok2 := value(later)
	if later.Kind == content.KindDone && earlier.Kind == content.KindDone {
		a, b = earlier.LoadG, later.LoadG
		ok, ok2 = a > 0, b > 0
	}
	if !ok || !ok2 || earlier.Kind != later.Kind || aDone != bDone {
		return ""
	}
	by, more, less := "", " more", " less"
	far := max(a-b, b-a)
	switch {
	case far == 0:
		return "the same"
	case later.Kind == content.KindTime && bDone:
		by, more, less = ShowClock(far), " slower", " faster"
	case later.Kind == content.KindTime, later.Kind == content.KindReps:
		by = count(far, "rep")
	case later.Kind == content.KindHold:
		by, more, less = ShowClock(far), " longer", " shorter"
	case later.Kind == content.KindDistance:
		by, more, less = showDistance(far), " farther", " less far"
	default:
		by = showLoad(far, units)
	}
	if b > a {
		return by + more
	}
	return by + less
}

// ShowLoad returns grams as people read them, in kg or lb.
func ShowLoad(g int64, units string) string { return showLoad(g, units) }
