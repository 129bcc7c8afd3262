package content

import (
	"strings"
	"unicode"
)

// mistypes warns of free words that look like a load, a tempo, sides or a reserve with a slip in it.
func (c *checker) mistypes(at spot, line int, words string) {
	if words == "" {
		return
	}
	what, n := at.what, at.n
	for i, seg := range strings.Split(words, ", ") {
		if len(seg) > 80 {
			continue
		}
		if meant := c.meant(seg); meant != "" {
			at.what, at.n = what+" words", n<<8+i
			c.warn(at, line, "%s is read as words; %s", shown(seg), meant)
		}
	}
}

// meant tells what words may have been meant to be, and how that is written; "" when they are plain words.
func (c *checker) meant(seg string) string {
	words := strings.Fields(strings.ToLower(seg))
	number := strings.ContainsAny(seg, "0123456789")
	switch {
	case hasFigures(words) || number && near(words[0], "tempo", 2):
		return "for a tempo write for example tempo 3-1-1-0"
	case number && len(words) >= 3 && isDigit(seg[0]) && near(words[len(words)-1], "reserve", 2):
		return "for a reserve write one number, for example 2 in reserve"
	case number && len(words) >= 2 && isDigit(seg[0]) && isSides(words):
		return "for sides write for example 8 each side"
	case number && hasWeight(words):
		return "for a load write kg or lb, for example 20 kg"
	}
	if name, ok := c.nearKit(seg); ok {
		return "for a load write " + name
	}
	return ""
}

// near reports whether a word is within so many slips of another.
func near(word, other string, slips int) bool {
	return len(word) <= 2*len(other) && EditDistance(word, other) <= slips
}

func isSides(words []string) bool {
	last, before := words[len(words)-1], words[len(words)-2]
	return near(before, "each", 1) && (near(last, "side", 1) || near(last, "sides", 1))
}

// hasFigures reports whether a word is three or four figures parted by hyphens, as a tempo is.
func hasFigures(words []string) bool {
	for _, w := range words {
		if !strings.ContainsFunc(w, isDash) {
			continue
		}
		if _, ok := tempoText(w); ok {
			return true
		}
	}
	return false
}

// weightWords are units of weight that a load is not written in, and slips of those that it is.
var weightWords = map[string]bool{
	"stone": true, "stones": true, "st": true, "k": true, "kgs": true, "kg": true, "gk": true, "kq": true, "kilo": true,
	"kilos": true, "lb": true, "lbs": true, "ib": true, "ibs": true, "pound": true, "pounds": true, "g": true, "gr": true,
	"gram": true, "grams": true, "#": true, "kgg": true, "kkg": true, "lbd": true, "oz": true, "ounces": true, "pood": true,
}

// hasWeight reports whether a number is followed by a unit of weight, or by a word that is nearly one.
func hasWeight(words []string) bool {
	after := false // the word before was a number
	for _, w := range words {
		i := strings.LastIndexAny(w, "0123456789") + 1
		unit := strings.TrimRightFunc(w[i:], func(r rune) bool { return unicode.IsPunct(r) && r != '#' })
		if i > 0 && unit == "" {
			after = true
			continue
		}
		if (i > 0 || after) && (weightWords[unit] || near(unit, "stone", 1) || near(unit, "kilos", 1) || near(unit, "pounds", 1)) {
			return true
		}
		after = false
	}
	return false
}

// nearKit finds kit whose name is a slip of the keyboard away, and what weighs.
func (c *checker) nearKit(seg string) (string, bool) {
	name := strings.TrimRight(seg, "0123456789. kglbs")
	if len(name) < 6 || len(name) > 24 {
		return "", false
	}
	for _, k := range c.lib.SuggestKit(name, 1) {
		if EditDistance(strings.ToLower(name), k) <= 2 {
			return k, true
		}
	}
	return "", false
}
