package content

import (
	"slices"
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
	if mixesLetters(seg) {
		plain, _, _ := latinised(seg)
		return "write plain letters, for example " + clipped(plain) + lookalikeHint(seg)
	}
	words := strings.Fields(strings.ToLower(seg))
	number := strings.ContainsAny(seg, "0123456789")
	switch {
	case hasFigures(words) || number && hasTempo(words):
		return "for a tempo write for example tempo 3-1-1-0"
	case number && words[0] == "rest":
		return "a rest stands in the part's line, for example A. 3 sets, rest 1:30"
	case number && len(words) >= 2 && isReserve(words):
		return "for a reserve write one number, for example 2 in reserve"
	case number && isSides(words):
		return "for sides write for example 8 each side"
	case strings.Trim(seg, "0123456789.") == "":
		return "say of what: 20 kg, 10 each side or 2 in reserve; a decimal takes a point, as in 20.5 kg"
	}
	last := words[len(words)-1]
	switch name, near := c.nearKit(seg); {
	case near:
		return "for a load write " + name
	case number && hasWeight(words):
		return loadMeant(seg)
	case number && slices.Contains(words, "percent"):
		return "for a percentage write for example 80% of A"
	case !number && len(words) == 2 && loadUnits[last] != "":
		return "for a load write figures, for example 20 " + loadUnits[last]
	}
	return ""
}

// loadMeant tells how a weight is written that stands among other words, or in another unit.
func loadMeant(seg string) string {
	for i := 0; i < len(seg); i++ {
		v, _, n := readNumber(seg[i:])
		if n == 0 {
			continue
		}
		gap := blanks(seg[i+n:])
		if unit, ok := loadUnits[strings.ToLower(leadingWord(seg[i+n+gap:]))]; ok && v > 0 {
			if low := strings.TrimRightFunc(seg[:i], isDash); low != seg[:i] && low != "" && isDigit(low[len(low)-1]) {
				return "for a load write the least that counts, for example " + low[strings.LastIndexByte(low, ' ')+1:] + " " + unit
			}
			return "for a load write it alone between commas, for example " + seg[i:i+n] + " " + unit
		}
		i += n - 1
	}
	return "for a load write kg or lb, for example 20 kg"
}

// near reports whether a word is within so many slips of another.
func near(word, other string, slips int) bool {
	return len(word) <= 2*len(other) && EditDistance(word, other) <= slips
}

// isSides reports whether words tell sides in another way than N each side: 5/side, 5 e/s, 5 left 5 right, each leg 5.
func isSides(words []string) bool {
	text := strings.TrimLeft(strings.Join(words, " "), "0123456789 ")
	switch text {
	case "each", "/side", "/leg", "/arm", "e/s", "es", "p/s", "ps", "a side", "both sides":
		return true
	}
	if strings.Contains(text, "left") && strings.Contains(text, "right") {
		return true
	}
	for i := 0; i+1 < len(words); i++ {
		each := near(words[i], "each", 1) || words[i] == "per"
		side := near(words[i+1], "side", 1) || near(words[i+1], "sides", 1) || near(words[i+1], "leg", 0) || near(words[i+1], "arm", 0)
		if each && side && (i <= 1 && isDigit(words[0][0]) && i+2 == len(words) || i == 0 && len(words) == 3 && isDigit(words[2][0])) {
			return true
		}
	}
	return false
}

// isReserve reports whether words tell reps in reserve in another way than N in reserve.
func isReserve(words []string) bool {
	last := words[len(words)-1]
	return len(words) >= 3 && isDigit(words[0][0]) && near(last, "reserve", 2) || words[0] == "rir" && isDigit(last[0])
}

// hasTempo reports whether a word at either end is tempo, or a slip of it.
func hasTempo(words []string) bool {
	return near(words[0], "tempo", 2) || near(words[len(words)-1], "tempo", 1)
}

// hasFigures reports whether a word is three or four figures parted by hyphens or strokes, as a tempo is, or four
// figures alone.
func hasFigures(words []string) bool {
	for _, w := range words {
		if !strings.ContainsFunc(w, isDash) && strings.Count(w, "/") < 2 && !(len(words) == 1 && len(w) == 4) {
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
	"кг": true, "kg's": true, "kgs.": true,
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
	name, figures := seg, ""
	if i := strings.IndexAny(seg, "0123456789"); i >= 0 {
		name, figures = seg[:i], strings.TrimRight(seg[i:], ". kglbs")
	}
	name = strings.TrimSpace(name)
	if len(name) < 6 || len(name) > 24 {
		return "", false
	}
	for _, k := range c.lib.SuggestKit(name, 1) {
		if EditDistance(strings.ToLower(name), k) > 2 {
			continue
		}
		if figures != "" && strings.Trim(figures, "0123456789.") == "" {
			if i := strings.IndexByte(figures, '.'); i >= 0 { // no more decimals than are kept
				figures = figures[:min(len(figures), i+3)]
			}
			k += " " + figures + " kg"
		}
		return k, true
	}
	return "", false
}
