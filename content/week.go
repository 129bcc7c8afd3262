package content

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// WeekText reports the balance of sessions, a block for each calendar week (Monday to Sunday), in order of date.
// Sessions without a date are left out.
func WeekText(lib *Library, days []Session) string {
	weeks := map[Date][]DayBalance{}
	var starts []Date
	for _, s := range days {
		if s.Date.IsZero() {
			continue
		}
		start := s.Date.AddDays(-(int(s.Date.Weekday()) + 6) % 7)
		if _, known := weeks[start]; !known {
			starts = append(starts, start)
		}
		weeks[start] = append(weeks[start], Balance(lib, s))
	}
	slices.SortFunc(starts, Date.Compare)
	var b strings.Builder
	for i, start := range starts {
		if i > 0 {
			b.WriteByte('\n')
		}
		week := weeks[start]
		slices.SortStableFunc(week, func(x, y DayBalance) int { return x.Date.Compare(y.Date) })
		weekBlock(&b, start, week)
	}
	return b.String()
}

func weekBlock(b *strings.Builder, start Date, days []DayBalance) {
	patterns, muscles := map[Pattern]Tally{}, map[string]Tally{}
	sessions := 0
	for _, d := range days {
		if !d.Rest {
			sessions++
		}
		for p, t := range d.Patterns {
			patterns[p] = patterns[p].plus(t)
		}
		for m, t := range d.Muscles {
			muscles[m] = muscles[m].plus(t)
		}
	}
	fmt.Fprintf(b, "Week of %s: %s, %s in a row at most\n", start, counted(sessions, "session"), counted(daysInARow(days), "day"))
	for _, d := range days {
		minutes := "rest"
		if !d.Rest {
			minutes = minutesText(d.Low, d.High)
		}
		fmt.Fprintf(b, "  %s %s  %s\n", d.Date.Weekday().String()[:3], d.Date, minutes)
	}
	fmt.Fprintf(b, "  %-28s %5s %6s\n", "by pattern", "sets", "reps")
	for _, p := range Patterns() {
		if t := patterns[p]; t.Sets > 0 {
			tallyLine(b, string(p), t)
		}
	}
	fmt.Fprintf(b, "  %-28s %5s %6s\n", "by main muscle", "sets", "reps")
	names := make([]string, 0, len(muscles))
	for m := range muscles {
		names = append(names, m)
	}
	slices.SortFunc(names, func(x, y string) int {
		return cmp.Or(cmp.Compare(muscles[y].Sets, muscles[x].Sets), strings.Compare(x, y))
	})
	for _, m := range names {
		tallyLine(b, m, muscles[m])
	}
	ratioLine(b, "push to pull", patterns, []Pattern{PatternPush, PatternOverhead}, []Pattern{PatternRow, PatternPull})
	ratioLine(b, "squat to hinge", patterns, []Pattern{PatternSquat, PatternSplit}, []Pattern{PatternHinge, PatternBridge})
	b.WriteString("  one-sided reps count half; AMRAPs and stations are reckoned from usual paces\n")
}

func tallyLine(b *strings.Builder, name string, t Tally) {
	fmt.Fprintf(b, "  %-28s %5.0f %6.0f\n", name, math.Round(t.Sets), math.Round(t.Reps))
}

// ratioLine compares the reps of two groups of patterns.
func ratioLine(b *strings.Builder, name string, all map[Pattern]Tally, one, other []Pattern) {
	sum := func(ps []Pattern) (t Tally) {
		for _, p := range ps {
			t = t.plus(all[p])
		}
		return t
	}
	x, y := sum(one), sum(other)
	ratio := "no ratio"
	if x.Reps > 0 && y.Reps > 0 {
		ratio = fmt.Sprintf("%.1f to 1", x.Reps/y.Reps)
	}
	fmt.Fprintf(b, "  %s: %.0f to %.0f reps, %.0f to %.0f sets (%s)\n", name, math.Round(x.Reps), math.Round(y.Reps), math.Round(x.Sets), math.Round(y.Sets), ratio)
}

// daysInARow is the longest run of training days.
func daysInARow(days []DayBalance) int {
	longest, run := 0, 0
	var last Date
	for _, d := range days {
		switch {
		case d.Rest || d.Date == last:
			if d.Rest {
				run = 0
			}
			continue
		case !last.IsZero() && d.Date.DaysSince(last) == 1:
			run++
		default:
			run = 1
		}
		last = d.Date
		longest = max(longest, run)
	}
	return longest
}
