package roster

import (
	"maps"
	"slices"

	"tallybell/content"
)

// Swap is a way that the member chose for a movement of the sheets. Both are canonical names.
type Swap struct {
	Movement string       `json:"movement"`     // as the coach writes it
	Way      string       `json:"way"`          // what they do instead; the movement itself is the line as written
	On       content.Date `json:"on,omitzero"`  // for the session of that date alone; zero is for good
	By       string       `json:"by,omitempty"` // the message that took a step to it: sent again, it takes no other
}

// DatedFit is what fitted a member for the sessions up to a date, without the swaps of single dates.
type DatedFit struct {
	Until content.Date `json:"until"`
	Fit   content.Fit  `json:"fit"`
}

// FitOn returns what decides how the session of date d is rendered for the member: members alike have equal fits. Past
// sessions keep the fit in which they were received. The fit shares the member's slices and maps.
func (m Member) FitOn(d content.Date) content.Fit {
	f, past := content.Fit{}, false
	for _, p := range m.Past {
		if !p.Until.Before(d) {
			f, past = p.Fit, true
			break
		}
	}
	if !past {
		f = m.fitFrom(d)
	}
	if f.Units = m.Units; f.Units == "kg" {
		f.Units = ""
	}
	shared := true
	for _, s := range m.Swaps {
		if s.On.IsZero() || s.On != d {
			continue
		}
		if shared {
			f.Swaps, shared = maps.Clone(f.Swaps), false
		}
		f.Swaps = withSwap(f.Swaps, s)
	}
	return f
}

// fitFrom returns the present fit, without units and the swaps of single dates, as it is on date d.
func (m Member) fitFrom(d content.Date) content.Fit {
	f := content.Fit{Kit: sortedSet(m.Kit), KitKnown: m.KitTold || len(m.Kit) > 0, Level: m.Level, Limits: sortedSet(m.Limits)}
	if m.Level == "" && (m.Newcomer || !m.NewUntil.IsZero() && !m.NewUntil.Before(d)) {
		f.Level = content.LevelEasier
	}
	if f.Level == content.LevelAsWritten {
		f.Level = ""
	}
	f.Levels = telling(m.Levels, f.Level)
	for _, s := range m.Swaps {
		if s.On.IsZero() {
			f.Swaps = withSwap(f.Swaps, s)
		}
	}
	return f
}

func withSwap(swaps map[string]string, s Swap) map[string]string {
	if swaps == nil {
		swaps = map[string]string{}
	}
	swaps[s.Movement] = s.Way
	return swaps
}

// telling returns the levels by pattern that differ from the level over all.
func telling(levels map[string]string, over string) map[string]string {
	idle := func(_, level string) bool {
		return level == over || level == content.LevelAsWritten && over == ""
	}
	for pattern, level := range levels {
		if idle(pattern, level) {
			levels = maps.Clone(levels)
			maps.DeleteFunc(levels, idle)
			break
		}
	}
	if len(levels) == 0 {
		return nil
	}
	return levels
}

// keepPast is for how many days past fits and swaps are kept at least: as long as late results may come.
const keepPast = 8

// remember keeps for past sessions what was, before a change on the date today, by which the present fit has changed.
func (m *Member) remember(old Member, today content.Date, lateDays int) {
	yesterday := today.AddDays(-1)
	changed := func(on content.Date) bool { return old.fitFrom(on).Key() != m.fitFrom(on).Key() }
	if m.Joined() && (changed(yesterday) || !old.NewUntil.IsZero() && changed(old.NewUntil)) {
		past := slices.Clone(m.Past)
		for _, until := range []content.Date{old.NewUntil, yesterday} {
			begun := m.JoinedOn
			if len(past) > 0 {
				begun = past[len(past)-1].Until.AddDays(1)
			}
			if !until.IsZero() && !until.Before(begun) && !yesterday.Before(until) {
				past = append(past, DatedFit{until, old.fitFrom(until)})
			}
		}
		m.Past = past
	}
	from := today.AddDays(-max(keepPast, lateDays+1))
	m.Past = without(m.Past, func(p DatedFit) bool { return p.Until.Before(from) })
	m.Swaps = without(m.Swaps, func(s Swap) bool { return !s.On.IsZero() && s.On.Before(from) })
}

// without returns a list without what drop tells; list itself stays.
func without[T any](list []T, drop func(T) bool) []T {
	if !slices.ContainsFunc(list, drop) {
		return list
	}
	out := slices.DeleteFunc(slices.Clone(list), drop)
	if len(out) == 0 {
		return nil
	}
	return out
}

// sortedSet returns xs sorted and without repeats, nil when there are none: xs itself when it is so already.
func sortedSet(xs []string) []string {
	if len(xs) == 0 {
		return nil
	}
	for i := 1; i < len(xs); i++ {
		if xs[i-1] >= xs[i] {
			out := slices.Clone(xs)
			slices.Sort(out)
			return slices.Compact(out)
		}
	}
	return xs
}
