package content

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// countedHow and published stand under every week: how things are counted, and what has been published about such
// counts, each with its source. They are quoted and judge nobody's week.
const (
	countedHow = "One-sided reps count half. AMRAPs and stations are reckoned from usual paces, parts to choose from in equal shares. " +
		"Days running go on from the week before. A set counts 1 for its main muscle and 1/2 for a helping one (fractional; " +
		"direct and total beside it, after Pelland et al. 2024)."
	published = "Published, no verdict: 12-20 weekly sets a muscle is called moderate in trained young men (Baz-Valle et al. 2022); " +
		"growth from 10 weekly sets a muscle, strength from 2-3 sets twice a week (ACSM 2026, at second hand); " +
		"2-10 % more load when one or two reps beyond the number are done (ACSM 2009). None is known for push to pull or squat to hinge."
)

// WeeksText reports the balance of weeks (see Weeks), a block for each, in order of date; "" for none.
func WeeksText(weeks []Week) string {
	var b strings.Builder
	for i := range weeks {
		if i > 0 {
			b.WriteByte('\n')
		}
		weekBlock(&b, &weeks[i])
	}
	if b.Len() > 0 {
		b.WriteString("\n" + countedHow + "\n" + published + "\n")
	}
	return b.String()
}

func weekBlock(b *strings.Builder, w *Week) {
	fmt.Fprintf(b, "Week of %s: %s, %s in a row at most\n", w.Start, counted(w.Sessions, "session"), counted(w.Running, "day"))
	for _, d := range w.Days {
		took := "rest"
		if !d.Rest {
			took = minutesText(d.Low, d.High)
		}
		fmt.Fprintf(b, "%s\n", strings.TrimRight(fmt.Sprintf("  %s %s  %-10s %s", d.Date.Weekday().String()[:3], d.Date, took, d.Title), " "))
	}
	fmt.Fprintf(b, "  %-28s %6s %6s %6s %8s\n", "by pattern", "sets", "reps", "days", "running")
	for _, p := range Patterns() {
		if t, ok := w.Patterns[p]; ok {
			fmt.Fprintf(b, "  %-28s %6s %6s %6d %8d\n", p, tallied(t.Sets), tallied(math.Round(t.Reps)), t.Days, t.Running)
		}
	}
	fmt.Fprintf(b, "  %-28s %6s %6s %6s %8s %6s\n", "by muscle", "sets", "reps", "direct", "helping", "total")
	for _, name := range w.musclesBySets() {
		m := w.Muscles[name]
		f := m.Fractional()
		fmt.Fprintf(b, "  %-28s %6s %6s %6s %8s %6s\n", name, tallied(f.Sets), tallied(math.Round(f.Reps)), tallied(m.Direct.Sets),
			tallied(m.Helping.Sets), tallied(m.Total().Sets))
	}
	fmt.Fprintf(b, "  push to pull: %s\n  squat to hinge: %s\n  single-leg: %s\n", ratioText(w.Push, w.Pull), ratioText(w.Squat, w.Hinge), w.singleLegText())
}

// tallied writes a count with at most one decimal.
func tallied(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

// ratioText sets two sides against each other, by sets and by reps.
func ratioText(x, y Tally) string {
	one := func(a, b float64, what string) string {
		ratio := "no ratio"
		if a > 0 && b > 0 {
			ratio = fmt.Sprintf("%.1f to 1", a/b)
		}
		return fmt.Sprintf("%s to %s %s (%s)", tallied(a), tallied(b), what, ratio)
	}
	return one(x.Sets, y.Sets, "sets") + ", " + one(math.Round(x.Reps), math.Round(y.Reps), "reps")
}

func (w *Week) singleLegText() string {
	if w.Lower.Sets == 0 {
		return "no lower-body sets"
	}
	return fmt.Sprintf("%s of %s lower-body sets (%.0f %%)", tallied(w.SingleLeg.Sets), tallied(w.Lower.Sets), 100*w.SingleLeg.Sets/w.Lower.Sets)
}
