package content

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Find returns the movement with that name or alias. Case, plural, accents, hyphens and spaces are ignored, a pack
// or rucksack is a backpack, and one arm or leg is a single one. "alternating" and "bodyweight" may be left out.
func (l *Library) Find(name string) (*Entry, bool) {
	if e, ok := l.byName[name]; ok {
		return e, true
	}
	if e, ok := l.byKey[nameKey(name)]; ok {
		return e, true
	}
	words := nameWords(name)
	if len(words) < 2 {
		return nil, false
	}
	rest := strings.Join(words[1:], "")
	switch words[0] {
	case "bodyweight", "regular", "standard", "normal", "strict", "basic":
		e, ok := l.byKey[rest]
		if ok && e.NeedsKit() && words[0] == "bodyweight" {
			return nil, false
		}
		return e, ok
	case "body":
		if words[1] == "weight" {
			return l.Find("bodyweight " + strings.Join(words[2:], " "))
		}
	case "alternating", "alternate", "alt":
		e, ok := l.byKey[rest]
		if ok && e.Sides == Alternating {
			return e, true
		}
	}
	return nil, false
}

// FindKit returns the canonical name of kit by its name or alias.
func (l *Library) FindKit(name string) (string, bool) {
	k, ok := l.kitKey[nameKey(name)]
	return k, ok
}

// Suggest returns up to n names of movements that are near to name, nearest first; empty when nothing is near.
func (l *Library) Suggest(name string, n int) []string { return nearest(name, l.names, n) }

// SuggestKit returns up to n names of kit that are near to name, nearest first; empty when nothing is near.
func (l *Library) SuggestKit(name string, n int) []string { return nearest(name, l.kitNames, n) }

// namedAs is one way to name a thing, as it is compared, and the thing's own name.
type namedAs struct {
	key     []rune
	words   []string
	hasWord map[string]bool
	letters [32]int8 // how often each letter occurs, letters of other scripts thrown together
	name    string
}

func newNamedAs(as, name string) namedAs {
	n := namedAs{words: nameWords(as), hasWord: map[string]bool{}, name: name}
	n.key = []rune(strings.Join(n.words, ""))
	for _, w := range n.words {
		n.hasWord[w] = true
	}
	for _, r := range n.key[:min(len(n.key), longestName)] {
		n.letters[r%32]++
	}
	return n
}

// leastEdits is a lower bound of the edit distance: letters that one has and the other lacks.
func leastEdits(a, b namedAs) int {
	more, less := 0, 0
	for i := range a.letters {
		if d := int(a.letters[i] - b.letters[i]); d > 0 {
			more += d
		} else {
			less -= d
		}
	}
	return max(more, less)
}

// longestName bounds what is compared: no name is that long, and edit distance costs the product of the lengths.
const longestName = 60

// nearest ranks names by how far they are from what was asked, in edits a letter; a name that shares whole words
// with it counts as nearer. Names further than a third of their letters are left out.
func nearest(asked string, all []namedAs, n int) []string {
	if n <= 0 || len(asked) > 4*longestName {
		return []string{}
	}
	mine := newNamedAs(asked, "")
	if len(mine.key) == 0 || len(mine.key) > longestName {
		return []string{}
	}
	best := map[string]float64{}
	for _, c := range all {
		if far, ok := farness(mine, c); ok {
			if old, had := best[c.name]; !had || far < old {
				best[c.name] = far
			}
		}
	}
	names := make([]string, 0, len(best))
	for name := range best {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(best[a], best[b]), cmp.Compare(len(a), len(b)), strings.Compare(a, b))
	})
	return names[:min(n, len(names))]
}

// farness returns how far a candidate is from what was asked, 0 the same and 1 nothing in common, and whether that
// is near.
func farness(asked, c namedAs) (far float64, near bool) {
	far = 1
	longer := max(len(asked.key), len(c.key))
	if leastEdits(asked, c) <= max(1, longer/3) {
		edits := EditDistance(string(asked.key), string(c.key))
		far = float64(edits) / float64(longer)
		near = 3*edits <= longer || edits == 1 && longer <= 4
	}
	shared := 0
	for _, w := range asked.words {
		if len(w) > 2 && c.hasWord[w] {
			shared++
		}
	}
	if part := float64(shared) / float64(max(len(asked.words), len(c.words))); part >= 0.5 {
		far, near = min(far, 0.6*(1-part)+0.15), true
	}
	return far, near
}

// nameKey is what names are compared by: words in the singular, run together.
func nameKey(name string) string { return strings.Join(nameWords(name), "") }

// nameWords returns the words of a name in lower case, without accents, in the singular, with the usual other words
// for the same thing made one.
func nameWords(name string) []string {
	var plain strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(name)) {
		switch {
		case unicode.Is(unicode.Mn, r), r == '\'', r == '’':
		case unicode.IsLetter(r), unicode.IsDigit(r):
			plain.WriteRune(r)
		case r == '&':
			plain.WriteString(" and ")
		default:
			plain.WriteByte(' ')
		}
	}
	words := strings.Fields(plain.String())
	for i, w := range words {
		w = singular(w)
		if same, ok := sameWord[w]; ok {
			w = same
		}
		words[i] = w
	}
	return words
}

// sameWord makes one of words that mean the same in a movement's name.
var sameWord = map[string]string{
	"pack": "backpack", "rucksack": "backpack", "ruck": "backpack", "knapsack": "backpack", "daypack": "backpack",
	"one": "single", "1": "single", "armed": "arm", "legged": "leg", "handed": "hand", "2": "two",
	"lateral": "side", "sideway": "side", "broomstick": "broom",
}

// oddPlurals are plurals that no rule gives.
var oddPlurals = map[string]string{"calves": "calf", "feet": "foot", "knives": "knife", "halves": "half", "men": "man", "women": "woman"}

// singular strips a plural ending from a lower-case word. Words in -ss, -us and -is are left as they are.
func singular(w string) string {
	if s, ok := oddPlurals[w]; ok {
		return s
	}
	switch {
	case len(w) < 4 && w != "ups", strings.HasSuffix(w, "ss"), strings.HasSuffix(w, "us"), strings.HasSuffix(w, "is"):
		return w
	case strings.HasSuffix(w, "ies") && len(w) > 4:
		return w[:len(w)-3] + "y"
	case strings.HasSuffix(w, "sses"), strings.HasSuffix(w, "ches"), strings.HasSuffix(w, "shes"), strings.HasSuffix(w, "xes"):
		return w[:len(w)-2]
	case strings.HasSuffix(w, "s"):
		return w[:len(w)-1]
	}
	return w
}
