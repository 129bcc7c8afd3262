package content

import (
	"strings"
)

// reworded tells how to write a movement's line whose parts are all known but not in their places, or returns "".
func (p *parser) reworded(name piece) string {
	if p.quiet || len(name.s) > 80 || len(p.wordings) >= suggestionBudget {
		return ""
	}
	words := name.fields()
	if words[0].is("rest") {
		return "a rest stands in the part's line, for example A. 3 sets, rest 1:30"
	}
	if len(words) > 1 && words[0].is("ea", "ea.", "each", "e/s", "/side", "/leg") {
		if e, ok := p.lib.Find(words[1].s + name.s[byteOf(name.s, words[1].col-name.col)+len(words[1].s):]); ok {
			return "sides come after a comma: " + e.Name + ", 8 each side"
		}
	}
	for n := len(words) - 1; n > 0; n-- {
		cut := byteOf(name.s, words[n].col-name.col)
		e, ok := p.lib.Find(strings.TrimRight(name.s[:cut], " (@-–"))
		if !ok {
			continue
		}
		tail := name.s[cut:]
		if a, taken, wrong := amountAtEnd(tail); wrong == "" && taken == len(tail) {
			return "the amount comes first: " + amountText(a) + " " + e.Name
		}
		return "further words come after a comma: " + e.Name + ", " + clipped(strings.Trim(tail, "()@ "))
	}
	return ""
}

// amountAtEnd reads an amount that may begin with a sign such as x.
func amountAtEnd(s string) (Amount, int, string) {
	skip := len(s) - len(strings.TrimLeft(s, "xX×"))
	if skip >= len(s) || !isDigit(s[skip]) {
		return Amount{}, 0, "no amount"
	}
	a, n, wrong := amountAt(s[skip:])
	if a.Kind == AmountPercent {
		return a, 0, "no amount"
	}
	return a, n + skip, wrong
}

// schemeReworded tells how a scheme is written that is known by another form: 5x5, or rungs alone. It returns "" for
// any other.
func schemeReworded(s string) string {
	_, _, n := readNumber(s)
	if n == 0 || n > 5 {
		return ""
	}
	rest := strings.TrimLeft(s[n:], " ")
	if strings.EqualFold(rest, "rft") {
		return "write " + s[:n] + " rounds for time"
	}
	if x := strings.TrimLeft(rest, "xX×"); x != rest {
		if _, _, k := readNumber(strings.TrimLeft(x, " ")); k > 0 && k < 6 {
			x = strings.TrimLeft(x, " ")
			return "write " + s[:n] + " sets, and below it the movement: " + x[:k] + " push-up"
		}
	}
	if plain := strings.TrimFunc(s, func(r rune) bool { return isDash(r) || r < 0x80 && isDigit(byte(r)) || r == ' ' }); plain == "" && strings.ContainsFunc(s, isDash) {
		return "did you mean " + clipped(s) + " for time?"
	}
	return ""
}
