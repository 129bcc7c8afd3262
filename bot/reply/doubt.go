package reply

import "strings"

// isIntended reports a version that is told of what was meant, is to come, was another day's or another's: "wanted rx",
// "rx next week", "scaled last time", "hubby scaled".
func (r *reader) isIntended(c *clause, i int) bool {
	k := r.behindSmallWords(c, i)
	if b := r.at(k); b.kind == aWord {
		switch b.s {
		case "want", "wanted", "wanting", "hope", "hoping", "hoped", "trying", "tried", "aiming", "aimed",
			"planning", "wish", "wished", "will", "gonna", "i'll", "maybe", "attempted", "supposed", "soon":
			return true
		case "try":
			switch t := r.at(k - 1); r.words(t.from, t.to) {
			case "first", "second", "third", "1st", "2nd", "3rd":
				return false // "1st try rx" was one
			}
			return true
		case "hubby", "husband", "wife", "partner", "he", "she":
			return !r.at(k-1).word("with") && !r.at(k-1).word("and")
		}
		if r.isOtherTime(k-1) && (r.at(k-1).s == "next" || !r.isComparing(k-2)) {
			return true
		}
	}
	n := r.at(i + 1)
	return n.word("next") || r.isOtherTime(i+1) && !r.toldOf(i+3) || n.word("soon") || n.word("one") && r.at(i+2).word("day")
}

// toldOf reports that what is said of another time at atom i is a value: "last time was 15:10".
func (r *reader) toldOf(i int) bool {
	for k := i; k < i+3; k++ {
		if a := r.at(k); !a.word("was") && !a.word("is") && !a.sign(':') && !a.sign('(') && !a.sign('-') && !a.sign('=') {
			return a.value()
		}
	}
	return false
}

// behindSmallWords returns the atom before i, small words that only join passed over: "wanted to go rx".
func (r *reader) behindSmallWords(c *clause, i int) int {
	k := i - 1
	for steps := 0; k > c.from && steps < 4 && r.as[k].kind == aWord && isSmallWord(r.as[k].s); steps++ {
		k--
	}
	return k
}

func isSmallWord(s string) bool {
	switch s {
	case "i", "was", "were", "it", "that's", "thats", "that", "this", "be", "been", "have", "had", "has", "to", "the", "than", "of", "a", "go", "do", "did", "does",
		"is", "for", "at", "my", "going", "doing", "done", "counts", "count", "as":
		return true
	}
	return false
}

// isComparing reports that the words up to atom i compare with what follows: "more than", "vs 15:10".
func (r *reader) isComparing(i int) bool {
	for r.at(i).value() || r.at(i).sign('+') || r.at(i).sign('/') || r.at(i).sign(',') && !r.at(i+1).gap || r.at(i).word("my") || r.at(i).word("the") {
		i--
	}
	switch a := r.at(i); a.s {
	case "than", "from", "on", "vs", "versus", "since", "as", "like", "over", "to", "beat", "unlike", "of":
		return a.kind == aWord
	}
	return false
}

// isOtherTime reports "next time", "last week" at atom i.
func (r *reader) isOtherTime(i int) bool {
	if !r.at(i).word("next") && !r.at(i).word("last") {
		return false
	}
	switch t := r.at(i + 1); t.s {
	case "time", "week", "month", "year", "session":
		return true
	case "one":
		return r.at(i).word("next")
	default:
		return t.kind == aDay
	}
}

// isDoubted reports words before or behind a version that leave open whether it was so: "not sure if rx", "barely
// scaled", "could have scaled", "rx would kill me".
func (r *reader) isDoubted(c *clause, i int) bool {
	k := r.behindSmallWords(c, i)
	for _, k := range [...]int{k, i - 1, i - 2} {
		if b, n := r.at(k), r.at(k+1); b.kind == aWord && k >= c.from {
			switch b.s {
			case "if", "whether", "unless", "unsure", "hardly", "barely", "less", "below", "instead", "rather", "could", "might", "may", "would",
				"should", "should've", "shouldve", "could've", "couldve", "tempted", "refused", "towards", "toward", "closer", "idea", "probably":
				return k >= r.behindSmallWords(c, i)
			case "far":
				return n.word("from")
			case "used", "up":
				return n.word("to") && k >= r.behindSmallWords(c, i)
			}
		}
	}
	if b := r.at(i - 1); (b.word("to") || b.word("had")) && r.isAlmost(i-2) {
		return true // almost had to scale
	}
	n, m := r.at(i+1), r.at(i+2)
	if n.word("is") || n.word("was") {
		n, m = m, r.at(i+3)
	}
	switch n.s {
	case "too":
		return m.word("heavy") || m.word("hard") || m.word("tough") || m.word("difficult")
	case "would":
		return m.word("kill") || (m.word("be") || m.word("have")) && !r.at(i+3).value()
	case "or":
		return m.word("not") || m.kind == aVersion
	}
	return false
}

// isAlmost reports "almost had" or "nearly had" that ends at atom i.
func (r *reader) isAlmost(i int) bool {
	if r.at(i).word("had") {
		i--
	}
	a := r.at(i)
	return a.kind == aHedge && (a.s == "almost" || a.s == "nearly")
}

// isPartly reports words beside "as written" that say how much of it was: partly rx, pretty much rx, rx-ish, 90% rx,
// first round rx, rx until round 3.
func (r *reader) isPartly(i int) bool {
	b, n := r.at(i-1), r.at(i+1)
	switch b.s {
	case "partly", "partially", "semi", "half", "kinda", "sorta", "started", "starting":
		return b.kind == aWord
	case "#":
		t := r.words(b.from, b.to)
		return strings.HasSuffix(t, "%") && !r.at(i-2).word("at") && (r.at(i-2).word("not") || t != "100%")
	case "round":
		return r.at(i-2).word("first") || r.at(i-2).word("last") || r.at(i-2).word("one")
	case "much", "less", "to", "of":
		p := r.at(i - 2)
		return b.word("much") && p.word("pretty") || b.word("less") && p.word("or") || b.word("to") && p.word("close") ||
			b.word("of") && (p.word("kind") || p.word("sort"))
	}
	if b.kind == aInt && r.at(i-2).word("round") || r.onlySome(i) {
		return true
	}
	m := r.at(i + 2)
	switch n.s {
	case "more", "kind", "sort":
		return m.word("or") || m.word("of")
	case "kinda", "sorta", "initially", "ish":
		return n.kind == aWord
	case "most":
		return m.word("of") || m.kind == aEnd
	case "until", "till":
		return m.word("round") || m.word("the")
	case "to", "at":
		return m.word("start") || m.word("begin") || m.word("first")
	case "for":
		if m.word("the") {
			m = r.at(i + 3)
			if m.word("first") && r.at(i+4).word("time") {
				return false
			}
		}
		return m.word("most") || m.word("some") || m.word("half") || m.word("first")
	}
	return (n.sign('-') && !n.gap || n.sign('(')) && m.word("ish")
}

// onlySome reports "only the push-ups" right before atom i.
func (r *reader) onlySome(i int) bool {
	for k := i - 1; k >= i-5 && (r.at(k).kind == aWord || r.at(k).sign('-')); k-- {
		if r.at(k).word("only") {
			return r.namesAny(k+1) || r.at(k+1).word("the") && r.namesAny(k+2)
		}
	}
	return false
}
