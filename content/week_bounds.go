package content

import (
	"fmt"
	"math"
	"strings"
)

// Bound is what a club wants a number of its weeks to lie between.
type Bound struct {
	Name         string  // of the number, as in boundNames
	Low, High    float64 // both included; 0 and +Inf where the bound is open
	Line, Column int     // where it stands in the bounds file
}

// ParseBounds reads a club's bounds, a line each: the number's name, a colon, and 9-15, at least 9, at most 3, or one
// number. Blank lines and lines that start with # mean nothing. All problems are returned in one pass.
func ParseBounds(text []byte) (bounds []Bound, problems []Problem) {
	tell := func(at piece, format string, args ...any) {
		problems = append(problems, Problem{Line: at.line, Column: at.col, Message: fmt.Sprintf(format, args...)})
	}
	if len(text) > MaxSheet {
		tell(piece{"", 1, 1}, "the bounds are larger than 256 KiB: they are a page of text")
		return nil, problems
	}
	first := map[string]int{}
	for _, l := range scan(string(text), func(at piece, m string) { tell(at, "%s", m) }) {
		if l.comment || l.broken {
			continue
		}
		i := strings.IndexByte(l.s, ':')
		if i < 0 {
			tell(l.piece, "expected a line such as row sets: 9-15; found %s", shown(l.s))
			continue
		}
		key, value := l.to(i).trim(), l.from(i+1).trim()
		n, known := findWeekNumber(key.s)
		if !known {
			tell(key, "unknown number %s%s", shown(key.s), boundHint(key.s))
			continue
		}
		if line, twice := first[n.name]; twice {
			tell(key, "%s is bounded twice, first in line %d", n.name, line)
			continue
		}
		first[n.name] = key.line
		low, high, wrong := boundRange(value.s, n.unit)
		if wrong != "" {
			tell(value, "%s", wrong)
			continue
		}
		bounds = append(bounds, Bound{n.name, low, high, key.line, key.col})
	}
	return bounds, Sorted(problems)
}

// boundHint suggests a number's name: the nearest, or the forms that there are.
func boundHint(name string) string {
	if hint := didYouMean(name, BoundNames()); hint != "" {
		return hint
	}
	return lookalikeHint(name) + "; known are PATTERN or MUSCLE with sets or reps, PATTERN days running, push to pull sets or reps, " +
		"squat to hinge sets or reps, single-leg share, sessions, days running, minutes a day"
}

// boundRange reads 9-15, at least 9, at most 3, or one number, with the unit where there is one.
func boundRange(s, unit string) (low, high float64, wrong string) {
	const example = "write for example 9-15, at least 9 or at most 3"
	v := piece{s, 1, 1}
	if s == "" {
		return 0, 0, "the bound is missing: " + example
	}
	least, isLeast := v.after("at", "least")
	most, isMost := v.after("at", "most")
	switch {
	case isLeast:
		v = least
	case isMost:
		v = most
	}
	x, _, n := readNumber(v.s)
	if n == 0 {
		return 0, 0, shown(s) + " is no bound" + lookalikeHint(s) + ": " + example
	}
	rest := v.from(n)
	y := x
	if g := rangeGap(rest.s); g > 0 && !isLeast && !isMost {
		var k int
		if y, _, k = readNumber(rest.s[g:]); k == 0 {
			return 0, 0, shown(s) + " is no bound: " + example
		}
		rest = rest.from(g + k)
	}
	if rest = rest.trim(); rest.s != "" && !(unit == "%" && rest.s == "%") && !(unit == "min" && rest.is("min", "minutes")) {
		return 0, 0, "unexpected " + shown(rest.s) + " after a bound: " + example
	}
	switch {
	case x > y:
		return 0, 0, shown(s) + ": a range goes from the smaller to the larger, for example 9-15"
	case y > maxCount*1000:
		return 0, 0, shown(s) + " is too many: a bound is at most 10000"
	}
	low, high = float64(x)/1000, float64(y)/1000
	switch {
	case isLeast:
		high = math.Inf(1)
	case isMost:
		low = 0
	}
	return low, high, ""
}

// text writes a bound in its plain form.
func (b Bound) text() string {
	n, _ := findWeekNumber(b.Name)
	unit := n.unit
	if unit != "" {
		unit = " " + unit
	}
	switch {
	case math.IsInf(b.High, 1):
		return "at least " + boundNumber(b.Low) + unit
	case b.Low == 0:
		return "at most " + boundNumber(b.High) + unit
	case b.Low == b.High:
		return boundNumber(b.Low) + unit
	}
	return boundNumber(b.Low) + "-" + boundNumber(b.High) + unit
}

// boundNumber writes a number of a bound, or a value beside it, with at most three decimals.
func boundNumber(v float64) string {
	if math.IsInf(v, 1) {
		return "something to nothing"
	}
	return decimalText(int64(math.Round(v * 1000)))
}

// Outside warns of each week and number that lies outside a club's bounds, at the bound's line. A week of rest days
// alone is held to sessions only.
func Outside(bounds []Bound, weeks []Week) []Problem {
	var out []Problem
	for i := range weeks {
		for _, b := range bounds {
			for _, message := range b.outside(&weeks[i]) {
				out = append(out, Problem{Line: b.Line, Column: b.Column, Warning: true, Message: message})
			}
		}
	}
	return out
}

func (b Bound) outside(w *Week) (messages []string) {
	n, known := findWeekNumber(b.Name)
	if !known || w.Sessions == 0 && b.Name != "sessions" {
		return nil
	}
	const slack = 1e-9 // shares of parts to choose from do not add up exactly
	for _, x := range n.values(w) {
		if x.v >= b.Low-slack && x.v <= b.High+slack {
			continue
		}
		unit := ""
		if n.unit != "" && !math.IsInf(x.v, 1) {
			unit = " " + n.unit
		}
		messages = append(messages, fmt.Sprintf("week of %s, %s: %s %s%s%s, the club wants %s",
			w.Start, counted(w.Sessions, "session"), n.name, shortNumber(x.v, n.unit), unit, x.what, b.text()))
	}
	return messages
}

// shortNumber writes a value beside a bound: minutes with one decimal, others with two.
func shortNumber(v float64, unit string) string {
	if unit == "min" {
		return tallied(v)
	}
	if math.IsInf(v, 1) {
		return boundNumber(v)
	}
	return boundNumber(math.Round(v*100) / 100)
}
