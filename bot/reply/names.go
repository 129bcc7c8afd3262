package reply

import (
	"strings"

	"tallybell/content"
)

// movementNames are the ways in which the movements of one part can be named, as words.
type movementNames struct {
	part  *content.Part
	names [][]nameWords // by movement
}

// nameWords is one name: its words, and at which of them a shorter form may begin ("push-up" of "hand-release push-up",
// never "up").
type nameWords struct {
	words []string
	start []bool
}

func wordsOfName(name string) nameWords {
	var n nameWords
	for _, w := range strings.Fields(strings.ToLower(name)) {
		for k, piece := range strings.Split(w, "-") {
			if piece != "" {
				n.words = append(n.words, piece)
				n.start = append(n.start, k == 0)
			}
		}
	}
	return n
}

// namesOf returns the names of a part's movements, made once a reading.
func (r *reader) namesOf(p *content.Part) *movementNames {
	for k := range r.names {
		if r.names[k].part == p {
			return &r.names[k]
		}
	}
	m := movementNames{part: p}
	for _, mv := range p.Movements {
		m.names = append(m.names, r.namesFor(mv.Name))
	}
	r.names = append(r.names, m)
	return &r.names[len(r.names)-1]
}

// namesFor returns a name and its aliases.
func (r *reader) namesFor(name string) []nameWords {
	out := []nameWords{wordsOfName(name)}
	if r.in.Library == nil {
		return out
	}
	if e, ok := r.in.Library.Find(name); ok {
		out = append(out, wordsOfName(e.Name))
		for _, a := range e.Aliases {
			out = append(out, wordsOfName(a))
		}
	}
	return out
}

// movementAt reads the name of one of the part's movements at atom i: whole, the end of it, or one telling word of it,
// singular or plural. It returns the movement and the atom after the name; -1 when none or several are meant.
func (r *reader) movementAt(p *content.Part, i int) (movement, end int) {
	if r.at(i).kind != aWord || r.at(i).bad {
		return -1, i
	}
	names := r.namesOf(p)
	best, bestEnd, several := -1, i, false
	for k, list := range names.names {
		longest := i
		for _, n := range list {
			longest = max(longest, r.matchName(n, i))
		}
		switch {
		case longest > bestEnd:
			best, bestEnd, several = k, longest, false
		case longest == bestEnd && longest > i && best >= 0:
			several = true
		}
	}
	if several || best < 0 {
		return -1, i
	}
	return best, bestEnd
}

// matchName returns the atom after the longest part of the name that stands at atom i; i when none does.
func (r *reader) matchName(n nameWords, i int) int {
	best := i
	for s := range n.words {
		if n.start[s] {
			if end := r.matchWords(n.words[s:], i); end > best {
				best = end
			}
		}
		if len(n.words[s]) >= 4 && sameStem(r.at(i).s, n.words[s]) && best == i {
			best = i + 1
		}
	}
	return best
}

// matchWords matches all the words at atom i, hyphens or blanks or nothing between them.
func (r *reader) matchWords(words []string, i int) int {
	for k := 0; k < len(words); k++ {
		if k > 0 && r.at(i).sign('-') && !r.at(i).gap {
			i++
		}
		a := r.at(i)
		if a.kind != aWord && a.kind != aCap && a.kind != aStop {
			return 0
		}
		switch {
		case sameStem(a.s, words[k]):
		case k+1 < len(words) && len(a.s) >= len(words[k])+len(words[k+1]) && strings.HasPrefix(a.s, words[k]) && sameStem(a.s[len(words[k]):], words[k+1]):
			k++
		default:
			return 0
		}
		i++
	}
	return i
}

// sameStem compares two words in lower case, plural or not.
func sameStem(a, b string) bool { return a == b || stem(a) == stem(b) }

func stem(s string) string {
	n := len(s)
	switch {
	case n > 3 && strings.HasSuffix(s, "'s"):
		return s[:n-2]
	case n > 4 && (strings.HasSuffix(s, "ches") || strings.HasSuffix(s, "shes") || strings.HasSuffix(s, "sses") || strings.HasSuffix(s, "xes")):
		return s[:n-2]
	case n > 4 && strings.HasSuffix(s, "ies"):
		return s[:n-3] + "y"
	case n > 2 && s[n-1] == 's' && s[n-2] != 's':
		return s[:n-1]
	}
	return s
}
