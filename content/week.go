package content

import "slices"

// Week is the balance of the sessions of one calendar week, Monday to Sunday.
type Week struct {
	Start    Date         // its Monday
	Days     []DayBalance // in order of date, one a date
	Sessions int          // days that are no rest days
	Running  int          // the most training days in a row up to one of this week, earlier weeks counted in
	Patterns map[Pattern]PatternWeek
	Muscles  map[string]MuscleTally

	Push, Pull   Tally // level and overhead pushes; rows and pulls from above
	Squat, Hinge Tally // squats and single-leg work; hinges, bridges and leg curls
	Lower        Tally // the lower body: these two together
	SingleLeg    Tally // of these, single-leg work
}

// PatternWeek is what a week holds of one pattern.
type PatternWeek struct {
	Tally
	Days    int // on how many days
	Running int // the most such days in a row up to one of this week, earlier weeks counted in
}

// Weeks reckons the balance of sessions by week, in order of date. Sessions without a date are left out, and of
// several of one date all but the first.
func Weeks(lib *Library, days []Session) []Week {
	seen := map[Date]bool{}
	var all []DayBalance
	for _, s := range days {
		if s.Date.IsZero() || seen[s.Date] {
			continue
		}
		seen[s.Date] = true
		all = append(all, Balance(lib, s))
	}
	slices.SortFunc(all, func(x, y DayBalance) int { return x.Date.Compare(y.Date) })
	var weeks []Week
	run := running{patterns: map[Pattern]int{}}
	for _, d := range all {
		start := d.Date.AddDays(-(int(d.Date.Weekday()) + 6) % 7)
		if n := len(weeks); n == 0 || weeks[n-1].Start != start {
			weeks = append(weeks, Week{Start: start, Patterns: map[Pattern]PatternWeek{}, Muscles: map[string]MuscleTally{}})
		}
		run.step(d)
		weeks[len(weeks)-1].add(d, run)
	}
	return weeks
}

// running counts days in a row, of training and of each pattern.
type running struct {
	last     Date
	training int
	patterns map[Pattern]int
}

// step goes on to the next day that has a sheet.
func (r *running) step(d DayBalance) {
	if r.last.IsZero() || d.Date.DaysSince(r.last) != 1 {
		r.training = 0
		clear(r.patterns)
	}
	r.last = d.Date
	r.training++
	if d.Rest {
		r.training = 0
	}
	for _, p := range Patterns() {
		if d.Patterns[p].Sets > 0 {
			r.patterns[p]++
		} else {
			delete(r.patterns, p)
		}
	}
}

// add counts a day into its week; run is as far as the day.
func (w *Week) add(d DayBalance, run running) {
	w.Days = append(w.Days, d)
	if !d.Rest {
		w.Sessions++
	}
	w.Running = max(w.Running, run.training)
	for _, p := range Patterns() {
		t := d.Patterns[p]
		if t.Sets == 0 {
			continue
		}
		x := w.Patterns[p]
		w.Patterns[p] = PatternWeek{x.plus(t), x.Days + 1, max(x.Running, run.patterns[p])}
		switch p {
		case PatternPush, PatternOverhead:
			w.Push = w.Push.plus(t)
		case PatternRow, PatternPull:
			w.Pull = w.Pull.plus(t)
		case PatternSquat, PatternSplit:
			w.Squat = w.Squat.plus(t)
		case PatternHinge, PatternBridge:
			w.Hinge = w.Hinge.plus(t)
		}
	}
	for _, m := range entryMuscles {
		if t, ok := d.Muscles[m]; ok {
			w.Muscles[m] = w.Muscles[m].plus(t)
		}
	}
	w.Lower, w.SingleLeg = w.Lower.plus(d.Lower), w.SingleLeg.plus(d.SingleLeg)
}

// musclesBySets returns the muscles that the week holds, most fractional sets first.
func (w *Week) musclesBySets() []string {
	var names []string
	for _, m := range entryMuscles {
		if _, ok := w.Muscles[m]; ok {
			names = append(names, m)
		}
	}
	slices.SortStableFunc(names, func(x, y string) int {
		a, b := w.Muscles[x].Fractional().Sets, w.Muscles[y].Fractional().Sets
		switch {
		case a > b:
			return -1
		case a < b:
			return 1
		}
		return 0
	})
	return names
}
