package reply

import (
	"strings"

	"tallybell/content"
)

// longestName is how many words of a name are looked at.
const longestName = 8

// nameWords is one name: its words in lower case, and at which of them a shorter form may begin ("push-up" of
// "hand-release push-up", never "up").
type nameWords struct {
	words [longestName]string
	start [longestName]bool
	n     int
}

func wordsOfName(name string) nameWords {
	name = strings.ToLower(name)
	var n nameWords
	begin, start := 0, true
	for i := 0; i <= len(name) && n.n < longestName; i++ {
		if i < len(name) && name[i] != ' ' && name[i] != '-' {
			continue
		}
		if i > begin {
			n.words[n.n], n.start[n.n] = name[begin:i], start
			n.n++
		}
		begin, start = i+1, i < len(name) && name[i] == ' '
	}
	return n
}

// eachName calls f with a movement's name and its aliases until f returns false.
func (r *reader) eachName(name string, f func(name string) bool) {
	if !f(name) || r.in.Library == nil {
		return
	}
	if e, ok := r.in.Library.Named(name); ok {
		for _, a := range e.Aliases {
			if !f(a) {
				return
			}
		}
	}
}

// mayName reports whether a word of the name begins as the word does: all that can match do.
func mayName(name, word string) bool {
	if len(word) < 2 {
		name = strings.ToLower(name)
		return word != "" && (strings.HasPrefix(name, word+"-") || strings.Contains(name, " "+word+"-")) // V-up
	}
	for i := 0; i+1 < len(name); i++ {
		if lower(name[i]) == word[0] && lower(name[i+1]) == word[1] && (i == 0 || name[i-1] == ' ' || name[i-1] == '-') {
			return true
		}
	}
	return word == "pack" && strings.Contains(name, "backpack") || word == "single" && strings.Contains(name, "one")
}

func lower(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		return c + 'a' - 'A'
	}
	return c
}

// movementAt reads the name of one of the part's movements at atom i, as it was sent or as the sheet has it: whole, the
// end of it, or one telling word of it, singular or plural. It returns the movement and the atom after the name; -1
// when none or several are meant. Of two that match as well, the one named whole is meant ("bridges" beside a
// single-leg bridge), then the one that was sent.
func (r *reader) movementAt(fs *content.FittedSession, p *content.Part, i int) (movement, end int) {
	a := r.at(i)
	if a.kind != aWord || a.bad || len(a.s) < 2 && !(r.at(i+1).sign('-') && !r.at(i+1).gap) {
		return -1, i
	}
	sheet := written(fs, p)
	best := matchedName{movement: -1, end: i}
	several := false
	take := func(x matchedName) {
		if x.end = r.nameEnd(x.name, i); x.end == i || x.end < best.end {
			return
		}
		d := x.end - best.end
		if d == 0 {
			d = r.rank(x, i) - r.rank(best, i)
		}
		switch {
		case d > 0:
			best, several = x, false
		case d == 0 && x.movement != best.movement:
			several = true
		}
	}
	for k := range p.Movements {
		take(matchedName{k, p.Movements[k].Name, true, i})
		if sheet != nil && sheet.Movements[k].Name != p.Movements[k].Name {
			take(matchedName{k, sheet.Movements[k].Name, false, i})
		}
	}
	if several || best.movement < 0 {
		return -1, i
	}
	return best.movement, best.end
}

// matchedName is a name of a movement, as it was sent or as the sheet has it, that stands up to an atom.
type matchedName struct {
	movement int
	name     string
	sent     bool
	end      int
}

// rank orders names that match as many words at atom i.
func (r *reader) rank(m matchedName, i int) int {
	rank := 0
	if m.sent {
		rank = 1
	}
	if n := wordsOfName(m.name); r.matchWords(n.words[:n.n], i) == m.end {
		rank += 2
	}
	return rank
}

// isNameWord reports whether a word, glued to a figure, begins the name of a movement of the session: 21squats, 32pushups.
func (r *reader) isNameWord(word string) bool {
	found := false
	for k := range r.in.Session.Session.Parts {
		for m := range r.in.Session.Session.Parts[k].Movements {
			r.eachName(r.in.Session.Session.Parts[k].Movements[m].Name, func(name string) bool {
				if mayName(name, word) {
					n := wordsOfName(name)
					for s := 0; s < n.n && !found; s++ {
						found = sameStem(word, n.words[s]) && (len(n.words[s]) > 3 || n.start[s]) ||
							s+1 < n.n && sameStem(word, n.words[s]+n.words[s+1])
					}
				}
				return !found
			})
		}
	}
	return found
}

// nameEnd returns the atom after the longest form of a movement's name or aliases at atom i; i when none stands there.
func (r *reader) nameEnd(name string, i int) int {
	longest, word := i, r.at(i).s
	r.eachName(name, func(name string) bool {
		if mayName(name, word) {
			longest = max(longest, r.matchName(wordsOfName(name), i))
		}
		return true
	})
	return longest
}

// matchName returns the atom after the longest part of the name that stands at atom i; i when none does.
func (r *reader) matchName(n nameWords, i int) int {
	best := i
	for s := range n.n {
		if n.start[s] {
			if end := r.matchWords(n.words[s:n.n], i); end > best {
				best = end
			}
		}
		if len(n.words[s]) >= 4 && sameStem(r.at(i).s, n.words[s]) && best == i {
			best = i + 1
		}
	}
	return best
}

// wholeName returns the atom after a whole name, or an alias, at atom i; 0 when none stands there.
func (r *reader) wholeName(name string, i int) int {
	best := 0
	word := r.at(i).s
	r.eachName(name, func(name string) bool {
		if mayName(name, word) {
			n := wordsOfName(name)
			best = max(best, r.matchWords(n.words[:n.n], i))
		}
		return true
	})
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

// sameStem compares two words in lower case, plural or not; b is a name's: a pack is what it calls a backpack, and a
// single arm is one.
func sameStem(a, b string) bool {
	return a == b || a[:1] == b[:1] && stem(a) == stem(b) || a == "pack" && b == "backpack" || a == "single" && b == "one"
}

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
