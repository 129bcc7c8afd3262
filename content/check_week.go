package content

import "fmt"

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
// list for each session, in the order given; lists may be nil. Of several sessions of one date the first counts.
func CheckWeek(lib *Library, days []Session) [][]Problem {
	balances := make([]DayBalance, len(days))
	byDate := map[Date]int{}
	for i, s := range days {
		balances[i] = Balance(lib, s)
		if _, had := byDate[s.Date]; !had {
			byDate[s.Date] = i
		}
	}
	out := make([][]Problem, len(days))
	for i, s := range days {
		before, ok := byDate[s.Date.AddDays(-1)]
		if !ok || s.Date.IsZero() || byDate[s.Date] != i {
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

// SameDates warns of sheets of the same date, at both, and names the other. Each of them is sound by itself and may be
// kept for comparison, so it is no error; but a club keeps one session a date, so the week counts the first alone.
// names and texts are the sheets' files, days their sessions, in one order; a session without a date is left out.
func SameDates(names []string, texts [][]byte, days []Session) [][]Problem {
	out := make([][]Problem, len(days))
	first := map[Date]int{}
	for i, s := range days {
		if s.Date.IsZero() {
			continue
		}
		k, had := first[s.Date]
		if !had {
			first[s.Date] = i
			continue
		}
		tell := func(at int, message string) {
			line, column := datePlace(texts[at])
			out[at] = append(out[at], Problem{Line: line, Column: column, Warning: true, Message: message})
		}
		tell(k, fmt.Sprintf("%s is the date of %s too; the week counts this sheet, the first, alone", s.Date, names[i]))
		tell(i, fmt.Sprintf("%s is the date of %s too; the week counts that sheet, the first, alone", s.Date, names[k]))
	}
	return out
}

// datePlace returns where a sheet's date stands, or its start when the file's name tells the date.
func datePlace(text []byte) (line, column int) {
	for _, l := range scan(string(text), func(piece, string) {}) {
		if key, value, ok := keyed(l.piece); ok && !l.comment && key.is("date") {
			return value.line, value.col
		}
	}
	return 1, 1
}
