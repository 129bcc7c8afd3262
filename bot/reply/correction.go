package reply

// correction finds words that say the clause replaces an earlier result: fix D, I meant, oops, sorry before the value,
// should be, *14:23, 14:23 not 14:32.
func (r *reader) correction(c *clause) {
	r.notTheOld(c)
	from := c.from
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if a.sign('*') && r.isBold(i) {
			a.used, r.at(i+2).used = true, true
			i += 2
			continue
		}
		switch {
		case a.kind == aFix && r.fixes(c, i), a.sign('*') && (r.at(i+1).value() || r.at(i+1).head) && (i == c.from || r.startsBody(c, i) || r.at(i-1).sign(',') || r.at(i-1).value()):
		default:
			continue
		}
		a.used, c.correct = true, true
		for k := i - 1; k >= c.from; k-- { // "sorry, I meant", "that should be"
			b := &r.as[k]
			pointer := a.s == "should" && (b.word("it") || b.word("that") || b.word("this"))
			if !pointer && !b.word("i") && !b.word("i've") && b.kind != aFix && !(b.sign(',') && k > c.from && r.as[k-1].kind == aFix) {
				break
			}
			b.used = true
		}
		for k := i + 1; k < c.to; k++ {
			if n := &r.as[k]; n.sign(':') || n.sign(',') || n.sign('-') || n.sign('!') || n.word("to") || n.word("my") || n.word("that") || n.word("it") || n.word("it's") || n.word("its") || n.word("be") {
				n.used = true
			} else if !n.head {
				break
			}
		}
		r.dropEarlier(c, from, i)
		from = i
	}
}

// isBold reports stars around a value or a label, which some apps make bold and which correct nothing: *14:32*, *D*.
func (r *reader) isBold(i int) bool {
	a, n := r.at(i+1), r.at(i+2)
	return !a.gap && (a.value() || a.kind == aWord && a.head) && n.sign('*') && !n.gap
}

// startsBody reports whether atom i is the first behind the label.
func (r *reader) startsBody(c *clause, i int) bool { return i == c.bodyAt }

// fixes reports whether a value, or a label, follows the word at i at once.
func (r *reader) fixes(c *clause, i int) bool {
	a := &r.as[i]
	for k := i + 1; k < c.to; k++ {
		n := &r.as[k]
		switch {
		case n.value(), n.kind == aCap, n.head && a.s != "should":
			return true
		case n.kind == aVersion, n.kind == aDone:
			return a.s != "oops" && a.s != "sorry" || k == i+1
		case n.kind == aDay, n.sign(':'), n.sign(','), n.sign('-'), n.sign('*'), n.head, n.word("to"), n.sign('!') && a.s != "sorry", n.sign('('):
		case n.is(clVague), n.word("my"), (n.word("that") || n.word("it") || n.word("it's")) && a.s != "sorry":
		default:
			return false
		}
	}
	return false
}

// dropEarlier takes the figures from an atom on before a correction in the middle of a clause out: "14:32 scaled, oops 14:23".
func (r *reader) dropEarlier(c *clause, from, at int) {
	if r.as[at].s == "should" && at > 0 && r.as[at-1].head {
		return
	}
	value := false
	for k := at + 1; k < c.to && !value; k++ {
		value = r.as[k].value()
	}
	if !value {
		return
	}
	for k := from; k < at; k++ {
		if a := &r.as[k]; a.value() {
			a.talk, a.used = true, true
		}
	}
}

// notTheOld reads "14:23 not 14:32": the old value after not.
func (r *reader) notTheOld(c *clause) {
	first, last := -1, -1
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if !a.value() {
			continue
		}
		if first < 0 {
			first = i
		}
		if a.kind == aLoad && r.at(i-1).word("not") && r.as[first].kind != aLoad {
			a.talk = true // "14:32, 14 kg not 12 kg" tells the load beside a result
			continue
		}
		if n := r.at(i - 1); last >= 0 && n.word("not") && sameShape(&r.as[last], a) {
			a.talk, a.used, n.used, c.correct = true, true, true, true
			for k := i - 2; k > last && r.as[k].sign(','); k-- {
				r.as[k].used = true
			}
			for k := i + 1; k < c.to && (r.at(k).sign('+') || r.at(k).sign('/') || r.at(k).kind == aInt) && r.as[last].kind == aInt; k++ {
				r.as[k].talk, r.as[k].used = true, true
			}
			continue
		}
		last = i
	}
}

func sameShape(a, b *atom) bool {
	count := func(k atomKind) bool { return k == aInt || k == aReps || k == aRounds }
	load := func(k atomKind) bool { return k == aInt || k == aDecimal || k == aLoad }
	return a.kind == b.kind || count(a.kind) && count(b.kind) || load(a.kind) && load(b.kind) ||
		(a.kind == aTime && b.kind == aDecimal || a.kind == aDecimal && b.kind == aTime)
}

// onlyVersion reports a clause of a version and words that point at a result: "that was scaled", "should be as written".
func (r *reader) onlyVersion(c *clause) bool { return r.versionEnd(c) > c.from }

// versionEnd returns the end of what is only a version in a clause: all of it, or up to a comma where the words before it
// point at a result ("that was scaled, knee hurt"); c.from when there is more to it.
func (r *reader) versionEnd(c *clause) int {
	told, points, piece, tried := false, false, c.from, false
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if i > c.from && a.sign(',') && told && points && !tried && r.isPieceEnd(i) {
			if tried = true; !r.moreVersions(i, c.to) {
				piece = i
			}
		}
		told = told || a.kind == aVersion
		points = points || a.kind == aFix || a.head || a.word("that") || a.word("it")
		if end := r.changedName(c, i); end > 0 {
			i = end - 1
			continue
		}
		switch {
		case a.kind == aVersion, a.kind == aFix, a.head, a.kind == aEmoji, a.kind == aSign, a.is(clThanks), a.kind == aEffort, a.kind == aDay && a.s == "today":
		case a.kind == aWord && isPointer(a.s), a.kind == aHedge && a.s == "but" && i == c.from:
		default:
			return piece
		}
	}
	return c.to
}

// moreVersions reports another version, or words that unsettle one, in the atoms.
func (r *reader) moreVersions(from, to int) bool {
	for k := from; k < to; k++ {
		if a := &r.as[k]; a.kind == aVersion || a.kind == aHedge || a.value() {
			return true
		}
	}
	return false
}

func isPointer(s string) bool {
	switch s {
	case "that", "it", "was", "is", "this", "i", "did", "all", "both", "actually", "everything", "yes", "should", "be", "one", "last", "the", "my", "result", "were", "those", "they", "and", "of", "do", "went", "time", "it's", "its", "that's", "thats", "done", "version", "option":
		return true
	}
	return false
}
