package content

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxHold is how much of a hold is asked for as a maximum.
const maxHold = "as long as you can"

// sayAmount writes the amount of a movement without its name and sides: "12", "1:00", "200 m", "as many as you can".
func sayAmount(a Amount) string {
	switch a.Kind {
	case AmountNone:
		return ""
	case AmountMax:
		return "as many as you can"
	case AmountPercent:
		return fmt.Sprintf("%d%% of your own result in %s", a.Low, a.Of)
	}
	return sayQuantity(a, a.Low, max(a.Low, a.High))
}

// saySides writes "8 each side" where the sheet tells sides, or where the movement works one side at a time and its
// amount splits evenly: the amount of such a movement is the sum of both sides. Else "".
func saySides(m Movement, e *Entry) string {
	a := m.Amount
	high := max(a.Low, a.High)
	switch {
	case m.PerSide > 0 && a.Kind != AmountNone:
		if a.Low == 2*m.PerSide && high%2 == 0 {
			return sayQuantity(a, a.Low/2, high/2) + " each side"
		}
		return sayQuantity(a, m.PerSide, m.PerSide) + " each side"
	case e == nil || e.Sides != OneSide || a.Low%2 != 0 || high%2 != 0:
		return ""
	case a.Kind == AmountReps, a.Kind == AmountDistance && a.Unit == "" || a.Unit == "m":
		return sayQuantity(a, a.Low/2, high/2) + " each side"
	case a.Kind == AmountTime && a.Low%2000 == 0 && high%2000 == 0:
		return sayQuantity(a, a.Low/2, high/2) + " each side"
	}
	return ""
}

// sayName writes the movement's name, in the plural where the amount counts several.
func sayName(m Movement, counted bool) string {
	a := m.Amount
	if (a.Kind == AmountReps && max(a.Low, a.High) > 1) || a.Kind == AmountMax || a.Kind == AmountPercent ||
		a.Kind == AmountNone && counted {
		return plural(m.Name)
	}
	return m.Name
}

// sayLine writes the line of a movement: amount, name, sides and the coach's free words. counted tells whether an
// amount left out would count reps.
func sayLine(m Movement, e *Entry, counted bool) string { return capital(sayPlain(m, e, counted)) }

// sayPlain is sayLine within a sentence.
func sayPlain(m Movement, e *Entry, counted bool) string {
	name := sayName(m, counted)
	line := name
	switch a := m.Amount; a.Kind {
	case AmountNone:
	case AmountMax:
		line = name + ", as many as you can"
		if e != nil && e.Hold() {
			line = m.Name + ", " + maxHold
		}
	case AmountPercent:
		line = sayAmount(a) + ": " + name
	default:
		line = sayAmount(a) + " " + name
	}
	if s := saySides(m, e); s != "" {
		line += ", " + s
	}
	if m.Words != "" {
		line += ", " + m.Words
	}
	return line
}

// sayWay writes the words before a way's line.
func sayWay(w Way) string {
	switch w.Kind {
	case Easier:
		return "Easier"
	case Harder:
		return "Harder"
	case If:
		return "With " + withArticle(w.Kit)
	}
	return "Or"
}

// withArticle writes "a towel", "an exercise ball", "stairs", "two dumbbells".
func withArticle(kit string) string {
	switch {
	case kit == "", strings.HasPrefix(kit, "two "), strings.HasSuffix(kit, "s") && !strings.HasSuffix(kit, "ss"), kit == "outdoors", kit == "tape":
		return kit
	case strings.ContainsRune("aeiou", rune(kit[0])):
		return "an " + kit
	}
	return "a " + kit
}

// neverPlural are names that count without a plural.
var neverPlural = map[string]bool{"stir the pot": true, "thread the needle": true, "walk it off": true, "cat-cow": true, "child's pose": true, "fast feet": true}

// plural returns a movement's name in the plural: the word before "over", "with", "to" and the like, else the last.
func plural(name string) string {
	if neverPlural[name] {
		return name
	}
	head, tail := name, ""
	for _, joint := range []string{" over ", " with ", " to ", " on ", " in ", " from ", " off "} {
		if i := strings.Index(name, joint); i > 0 && i < len(head) {
			head, tail = name[:i], name[i:]
		}
	}
	switch {
	case massNoun(head), strings.HasSuffix(head, "s") && !strings.HasSuffix(head, "ss"):
		return name
	case strings.HasSuffix(head, "ss"), strings.HasSuffix(head, "ch"), strings.HasSuffix(head, "sh"), strings.HasSuffix(head, "x"):
		return head + "es" + tail
	case strings.HasSuffix(head, "fly"):
		return head[:len(head)-1] + "ies" + tail
	}
	return head + "s" + tail
}

// Plural returns a movement's name in the plural: "push-ups", "step-ups over the edge".
func Plural(name string) string { return plural(name) }

// massNoun reports whether a name ends in a word that is not counted.
func massNoun(name string) bool {
	for _, w := range []string{"breathing", "boxing", "running", "rolling"} {
		if strings.HasSuffix(name, w) {
			return true
		}
	}
	return false
}

// capital writes the first letter large.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if r == utf8.RuneError {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
