package reply

import "strings"

// isIntended reports a version that is told of what was meant, is to come, was another day's or another's: "wanted rx",
// "rx next week", "scaled last time", "hubby scaled".
func (r *reader) isIntended(c *clause, i int) bool {
	for k := i - 1; k >= c.from && k >= i-4 && r.as[k].kind == aWord; k-- {
		switch r.as[k].s {
		case "want", "wanted", "wanting", "hope", "hoping", "hoped", "trying", "tried", "aiming", "aimed",
			"planning", "wish", "wished", "will", "gonna", "i'll", "maybe", "attempted", "supposed", "soon",
			"hubby", "husband", "wife", "partner", "he", "she":
			return true
		case "next", "last":
			if r.isOtherTime(k) && (r.as[k].s == "next" || !r.isComparing(k-1)) {
				return true
			}
		}
	}
	n := r.at(i + 1)
	return r.isOtherTime(i+1) || n.word("soon") || n.word("one") && r.at(i+2).word("day")
}

// isComparing reports a word that compares with what follows: "more than last time rx".
func (r *reader) isComparing(i int) bool {
	a := r.at(i)
	if a.word("my") || a.word("the") {
		a = r.at(i - 1)
	}
	switch a.s {
	case "than", "from", "on", "vs", "versus", "since", "as", "like", "over", "to", "beat", "unlike", "of":
		return a.kind == aWord
	}
	return a.talk
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
	for k := i - 1; k >= c.from && k >= i-3 && r.as[k].kind == aWord; k-- {
		n := r.at(k + 1)
		switch r.as[k].s {
		case "if", "whether", "unless", "unsure", "hardly", "barely", "less", "below", "instead", "rather", "could", "might", "may", "would",
			"should", "should've", "shouldve", "could've", "couldve", "thought", "thinking", "tempted", "refused", "towards", "toward", "closer", "idea", "probably":
			return true
		case "sure":
			if r.at(k - 1).is(clNegation) {
				return true
			}
		case "far":
			if n.word("from") {
				return true
			}
		case "used", "going", "up":
			if n.word("to") {
				return true
			}
		}
	}
	if b := r.at(i - 1); (b.word("to") || b.word("had")) && r.isAlmost(i-2) {
		return true // almost had to scale
	}
	n := r.at(i + 1)
	if n.word("is") || n.word("was") {
		n = r.at(i + 2)
	}
	return n.word("too") || n.word("would") || n.word("or") && (r.at(i+2).word("not") || r.at(i+2).kind == aVersion)
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
	case "kinda", "sorta", "until", "till", "most", "initially", "ish":
		return n.kind == aWord
	case "to", "at":
		return m.word("start") || m.word("begin") || m.word("first")
	case "for":
		if m.word("the") {
			m = r.at(i + 3)
		}
		return m.word("most") || m.word("some") || m.word("half") || m.word("first")
	}
	return (n.sign('-') && !n.gap || n.sign('(')) && m.word("ish")
}

// onlySome reports "only the push-ups" right before atom i.
func (r *reader) onlySome(i int) bool {
	for k := i - 1; k >= i-5 && (r.at(k).kind == aWord || r.at(k).sign('-')); k-- {
		if r.at(k).word("only") && k < i-1 {
			return true
		}
	}
	return false
}
