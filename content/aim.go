package content

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Aim is what a coach intends for a part, from Low to High (equal for a single value), in the measure of Unit:
// milliseconds for AimTime, reps, rounds, grams for AimLoad, millimetres for AimDistance.
type Aim struct {
	Unit      AimUnit
	Low, High int64
}

// AimUnit is what an Aim is measured in.
type AimUnit string

// The measures of an aim.
const (
	AimTime     AimUnit = "time"
	AimReps     AimUnit = "reps"
	AimRounds   AimUnit = "rounds"
	AimLoad     AimUnit = "load"
	AimDistance AimUnit = "distance"
)

// Intended reads the part's aim: line. ok is false when there is none or it is in free words.
func (p Part) Intended() (Aim, bool) {
	a, _, ok := readAim(p.Aim)
	if !ok || a.Low < 1 || a.High < a.Low {
		return Aim{}, false
	}
	return a, true
}

// aimText returns an aim in its canonical form: values as they are written, free words as they stand.
func aimText(s string) (text, wrong string) {
	s = strings.Join(strings.Fields(s), " ")
	a, unit, ok := readAim(s)
	switch {
	case !ok:
		return s, ""
	case a.Low < 1 || a.High < 1:
		return s, shown(s) + " is no aim: a count or a time is at least 1"
	case a.High < a.Low:
		return s, shown(s) + ": a range goes from the smaller to the larger, for example 11:00-14:00"
	}
	return a.text(unit), ""
}

// text writes an aim; unit is that of a load or a distance.
func (a Aim) text(unit string) string {
	ends := func(f func(int64) string) string {
		if a.High > a.Low {
			return f(a.Low) + "-" + f(a.High)
		}
		return f(a.Low)
	}
	whole := func(v int64) string { return strconv.FormatInt(v, 10) }
	switch a.Unit {
	case AimTime:
		return ends(func(v int64) string { return clockText(time.Duration(v) * time.Millisecond) })
	case AimReps:
		return ends(whole) + " reps"
	case AimRounds:
		return ends(whole) + " rounds"
	case AimLoad:
		return ends(func(v int64) string { return decimalText(loadThousandths(Load{Grams: v, Unit: unit})) }) + " " + unit
	}
	return ends(func(v int64) string { return decimalText(thousandthsOf(v, unit)) }) + " " + unit
}

// readAim reads a time, reps, rounds, a load or a distance, or a range of one. unit is that of a load or a distance.
func readAim(s string) (a Aim, unit string, ok bool) {
	s = strings.TrimSpace(s)
	if s == "" || !isDigit(s[0]) || len(s) > 60 {
		return a, "", false
	}
	if a, ok := aimTimes(s); ok {
		return a, "", true
	}
	low, dec, n := readNumber(s)
	if n == 0 {
		return a, "", false
	}
	high := low
	if g := rangeGap(s[n:]); g > 0 {
		v, d, k := readNumber(s[n+g:])
		high, dec, n = v, dec || d, n+g+k
	}
	word := strings.ToLower(strings.TrimSpace(s[n:]))
	switch word {
	case "rep", "reps", "round", "rounds", "rds":
		if dec {
			return a, "", false
		}
		a = Aim{AimReps, low / 1000, high / 1000}
		if word[1] != 'e' {
			a.Unit = AimRounds
		}
		return a, "", true
	case "m", "km", "mi", "yd":
		d := distanceAmount(word, low, high)
		return Aim{AimDistance, d.Low, d.High}, word, d.keepsItsText(low, high)
	}
	if unit, is := loadUnits[word]; is {
		a = Aim{AimLoad, grams(low, unit), grams(high, unit)}
		exact := loadThousandths(Load{Grams: a.Low, Unit: unit}) == low && loadThousandths(Load{Grams: a.High, Unit: unit}) == high
		return a, unit, exact
	}
	return a, "", false
}

// aimTimes reads a time or a range of times; where both ends are plain numbers before one unit, it stands for both.
func aimTimes(s string) (Aim, bool) {
	if strings.Contains(s, ":") && (strings.HasPrefix(s, "0:00") || strings.Contains(s, "-0:00")) {
		return Aim{AimTime, 0, 0}, true
	}
	a, n, wrong := amountAt(s)
	if a.Kind != AmountTime || wrong != "" && !strings.Contains(wrong, "a range goes") || strings.TrimSpace(s[n:]) != "" {
		return Aim{}, false
	}
	return Aim{AimTime, a.Low, a.High}, true
}

// decimalText writes thousandths as a decimal number without idle zeros.
func decimalText(thousandths int64) string {
	whole, part := thousandths/1000, thousandths%1000
	if part == 0 {
		return strconv.FormatInt(whole, 10)
	}
	return strings.TrimRight(fmt.Sprintf("%d.%03d", whole, part), "0")
}
