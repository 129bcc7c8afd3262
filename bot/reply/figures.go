package reply

import (
	"math/bits"
	"strings"

	"tallybell/content"
)

// figure is a number as typed: whole part, decimals, and the sign between them.
type figure struct {
	n       int64
	frac    string
	point   byte // '.' or ',', 0 for a whole number
	end     int  // the token after it; 0: there is no figure
	spelled bool
}

// figureAt reads a number at token i, with decimals after a point. A comma is no decimal point here.
func (b *builder) figureAt(i int) figure {
	t := b.tok(i)
	if t.kind != numToken || t.n < 0 {
		return figure{}
	}
	f := figure{n: t.n, end: i + 1, spelled: t.spelled}
	if !t.spelled && b.tight(i+1, '.') && b.tightNum(i+2) {
		f.frac, f.point, f.end = b.tok(i+2).s, '.', i+3
	}
	if t.spelled && b.tok(i+1).s == "point" {
		for end := i + 2; b.tok(end).spelled && b.tok(end).n < 10; end++ {
			f.frac, f.point, f.end = f.frac+string('0'+byte(b.tok(end).n)), '.', end+1 // two point four
		}
	}
	return f
}

// number makes the atom that starts with a figure; it returns i when the figure is no number (the first of 12.1.2027,
// a run of too many digits, 2nd).
func (b *builder) number(i int) int {
	if end := b.isoDate(i); end > 0 {
		return end
	}
	if end := b.colonTime(i); end > 0 {
		return end
	}
	if end := b.primeTime(i); end > 0 {
		return end
	}
	f := b.figureAt(i)
	if t := b.tok(i); f.end == 0 || !t.spelled && (len(t.s) > 3 && t.s[0] == '0' || len(t.s) > 6) {
		return b.unreadable(i) // too long, or a telephone's
	}
	if end := b.pointedTime(i, f); end > 0 {
		return end
	}
	if b.tight(f.end, '.') && b.tightNum(f.end+1) || b.tight(f.end, '%') {
		return b.unreadable(i)
	}
	if end := b.outOfTen(i, f); end > 0 {
		return end
	}
	if end := b.duration(i); end > 0 {
		return end
	}
	if end := b.quantity(i, f); end > 0 {
		return end
	}
	if end := b.spelledTime(i); end > 0 {
		return end
	}
	if !b.mayTouch(f.end) {
		return b.unreadable(i)
	}
	if isOtherUnit(b.tok(f.end).s) {
		return b.add(atom{kind: aWord, s: "#", bad: true}, i, f.end)
	}
	a := atom{kind: aInt, n: f.n, spelled: f.spelled}
	if f.point != 0 {
		a.kind, a.frac, a.c = aDecimal, f.frac, f.point
	}
	return b.add(a, i, f.end)
}

// unreadable makes one word of a figure and all that touches it.
func (b *builder) unreadable(i int) int {
	end := i + 1
	for end < len(b.ts) && !b.ts[end].gap && (b.ts[end].kind == numToken || b.ts[end].kind == wordToken ||
		b.ts[end].kind == punctToken && strings.IndexByte(".%", b.ts[end].c) >= 0 && !b.tok(end+1).gap && b.tok(end+1).kind == numToken || b.tight(end, '%')) {
		end++
	}
	return b.add(atom{kind: aWord, s: "#", bad: true}, i, end)
}

// mayTouch reports whether what stands at i leaves the figure before it a number: a blank, a sign, a known word.
func (b *builder) mayTouch(i int) bool {
	t := b.tok(i)
	return t.kind != wordToken || t.gap || t.is(clTouch|clDay|clThanks) || len(t.s) == 1 && t.s >= "a" && t.s <= "z" && t.s != "s" ||
		len(t.s) > 2 && b.read != nil && b.read.isNameWord(t.s)
}

// isOtherUnit reports units that no result is told in.
func isOtherUnit(s string) bool {
	switch s {
	case "stone", "stones", "st", "plate", "plates", "gram", "grams", "g", "oz", "tonnes", "bpm", "day", "days", "week", "weeks", "month", "months", "year", "years", "times", "steps", "kcal",
		"percent", "degrees", "cm", "mm", "inch", "inches", "people", "kids", "litres", "liters":
		return true
	}
	return false
}

// isoDate reads 2027-01-12, and 2027-1-12.
func (b *builder) isoDate(i int) int {
	if len(b.tok(i).s) != 4 || !b.tight(i+1, '-') || !b.tightNum(i+2) || !b.tight(i+3, '-') || !b.tightNum(i+4) ||
		len(b.tok(i+2).s) > 2 || len(b.tok(i+4).s) > 2 {
		return 0
	}
	d, err := content.ParseDate(b.tok(i).s + "-" + twoDigits(b.tok(i+2).s) + "-" + twoDigits(b.tok(i+4).s))
	a := atom{kind: aDay, s: "date", bad: err != nil}
	a.setDate(d)
	return b.add(a, i, i+5)
}

func twoDigits(s string) string {
	if len(s) == 1 {
		return "0" + s
	}
	return s
}

// unit is how many thousandths of the base unit (gram, millimetre: num/den each) a unit is.
type unit struct {
	kind     atomKind
	num, den uint64
}

// The exact units: 1 lb = 0.45359237 kg, 1 mi = 1609.344 m, 1 yd = 0.9144 m, by definition.
func unitOf(t *token) (unit, bool) {
	switch {
	case t.kind == punctToken && t.c == '#' && !t.gap, t.is(clPound):
		return unit{aLoad, 45359237, 100000}, true
	case t.kind != wordToken:
		return unit{}, false
	case t.is(clKilo):
		return unit{aLoad, 1000, 1}, true
	case t.s == "k" && t.gap || t.s == "r" && t.gap:
		return unit{}, false
	case t.is(clKilometre):
		return unit{aDistance, 1000000, 1}, true
	case t.is(clMile):
		return unit{aDistance, 1609344, 1}, true
	case t.is(clYard):
		return unit{aDistance, 9144, 10}, true
	case t.is(clMetre):
		return unit{aDistance, 1000, 1}, true
	case t.is(clReps):
		return unit{aReps, 1, 1}, true
	case t.is(clRounds):
		return unit{aRounds, 1, 1}, true
	case t.is(clSets):
		return unit{aSets, 1, 1}, true
	case t.is(clCalories):
		return unit{aCalories, 1, 1}, true
	}
	return unit{}, false
}

// most bounds whole parts before conversion, so that no product overflows.
const most = 100_000_000

// in converts the figure to base units, rounding half to even; false when it is too large or too finely divided.
func (f figure) in(u unit) (int64, bool) {
	if f.n > most || len(f.frac) > 9 {
		return 0, false
	}
	n, den := uint64(f.n), u.den
	for i := range len(f.frac) {
		n, den = n*10+uint64(f.frac[i]-'0'), den*10
	}
	hi, lo := bits.Mul64(n, u.num)
	if hi >= den {
		return 0, false
	}
	q, rest := bits.Div64(hi, lo, den)
	if 2*rest > den || 2*rest == den && q%2 == 1 {
		q++
	}
	return int64(q), true
}

// quantity reads a figure with a unit: 42.5 kg, 95#, 12 reps, 5 full rounds, 2.4 km; 42,5 kg too. "8 rpe" is an effort.
func (b *builder) quantity(i int, f figure) int {
	if f.point == 0 && !f.spelled && b.tight(i+1, ',') && b.tightNum(i+2) && !b.tight(i+3, ',') && (i == 0 || b.tok(i-1).c != ',' || b.tok(i).gap) {
		if u, ok := unitOf(b.tok(i + 3)); ok && (u.kind == aLoad || u.kind == aDistance) {
			return b.commaQuantity(i, u)
		}
	}
	at := f.end
	if w := b.tok(at); w.kind == wordToken && (w.s == "full" || w.s == "complete") && b.tok(at+1).is(clRounds) {
		at++
	}
	t := b.tok(at)
	if t.s == "rpe" && b.figureAt(at+1).end == 0 {
		return b.add(effortAtom(f), i, at+1)
	}
	u, ok := unitOf(t)
	if !ok {
		return 0
	}
	if t.s == "rd" && !t.gap && f.n%10 == 3 && f.n%100 != 13 {
		return 0 // 3rd
	}
	a := atom{kind: u.kind}
	n, fits := f.in(u)
	a.n, a.bad = n, !fits
	if f.point != 0 && u.kind != aLoad && u.kind != aDistance || b.words(at+1, "and", "a", "half") > 0 {
		a.bad = true
	}
	return b.add(a, i, at+1)
}

// commaQuantity reads 42,5 kg as 42.5 kg; with three digits after the comma it may as well be thousands.
func (b *builder) commaQuantity(i int, u unit) int {
	f := figure{n: b.tok(i).n, frac: b.tok(i + 2).s, point: ','}
	a := atom{kind: u.kind}
	n, fits := f.in(u)
	a.n, a.bad = n, !fits
	if len(f.frac) > 2 {
		a.bad = true
		suffix := " " + b.tok(i+3).s
		a.mendAs(b.tok(i).s+f.frac+suffix, b.tok(i).s+"."+f.frac+suffix)
	}
	return b.add(a, i, i+4)
}
