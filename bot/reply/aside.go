package reply

// isAside reports a figure that is told beside a result and is none: what the member weighs, a pace, a difference to
// another day, an earlier best. live is the last figure before it that may be a result, -1 for none.
func (r *reader) isAside(c *clause, i, live int) bool {
	if r.as[i].kind == aTime {
		return r.isPace(i, live) || live >= 0 && (r.isDifference(i) || r.isEarlier(c, i, live))
	}
	return r.isMarked(i) || r.isNumbered(c, i) || r.isOwned(c, i) || r.isPerson(c, i) || r.isPulse(i, live) ||
		live >= 0 && (r.isDifference(i) || r.isEarlier(c, i, live))
}

// isMarked reports a figure with the sign of money, a degree or a number at it, and the minutes that a part is called
// by: £20, 28°, #1, "amrap 12: 5+3".
func (r *reader) isMarked(i int) bool {
	a := &r.as[i]
	if a.kind != aInt && a.kind != aDecimal {
		return false
	}
	if a.from > 0 && !a.gap {
		switch r.ts[a.from-1].s {
		case "$", "£", "€", "¥", "₹":
			return true
		case "#":
			return a.n < 10
		}
	}
	if a.to < len(r.ts) && !r.ts[a.to].gap {
		switch r.ts[a.to].s {
		case "$", "£", "€", "¥", "₹", "°":
			return true
		case "c", "f":
			if n := r.at(i + 1); !n.head {
				return true // 28C
			}
		}
	}
	b := r.at(i - 1)
	if r.at(i + 1).sign('+') {
		return false
	}
	return b.word("amrap") || b.word("emom") || b.word("week") || b.word("wk") || b.word("day")
}

// isPace reports a time a kilometre or a mile (pace 5:30, 5:30/km, 5:30 per mile) and a plural that looks like seconds.
func (r *reader) isPace(i, live int) bool {
	b := r.at(i - 1)
	if u := &r.ts[r.as[i].to-1]; u.s == "s" && !u.gap && (b.word("the") || b.word("those") || b.word("them")) {
		return true // the 12s of a ladder
	}
	if b.word("was") || b.word("of") || b.word("is") || b.word("about") || b.sign(':') {
		b = r.at(i - 2)
	}
	n := r.at(i + 1)
	switch {
	case b.word("pace"), n.word("pace") && live >= 0:
		return true
	case n.sign('/'), n.word("per"), n.word("a"), n.word("an"):
		u := r.at(i + 2)
		return u.kind == aWord && u.is(clKilometre|clMile)
	}
	return false
}

// isNumbered reports figures of a date, of some of the rounds, and a lone +1 or x2: 12/2/2027, "first 2 rounds were easy".
func (r *reader) isNumbered(c *clause, i int) bool {
	a, b, n := &r.as[i], r.at(i-1), r.at(i+1)
	switch a.kind {
	case aRounds:
		switch b.s {
		case "first", "last", "next", "final", "those", "these", "another", "other":
			return b.kind == aWord
		}
		return n.word("too") || n.word("were")
	case aInt:
		if (b.sign('+') || b.sign('-') || b.sign('x')) && !a.gap && len(r.cls) == 1 && len(c.labels) == 0 && (i == c.from+1 || r.at(i-2).kind == aEmoji) && !n.sign('+') {
			return true
		}
		return r.isDate(i) || r.isDate(i-2) || r.isDate(i-4)
	}
	return false
}

// isDate reports that a date with its year begins at atom i: 12/2/2027.
func (r *reader) isDate(i int) bool {
	s, t := r.at(i+1), r.at(i+3)
	if !s.sign('/') && !s.sign('-') || s.gap || !t.sign(s.c) || t.gap {
		return false
	}
	a, b, y := r.at(i), r.at(i+2), r.at(i+4)
	return a.kind == aInt && b.kind == aInt && y.kind == aInt && a.n <= 31 && b.n <= 31 && y.n >= 1900 && y.n < 2200
}

// isOwned reports a load that is kit, not a result: "bought a 16 kg kettlebell".
func (r *reader) isOwned(c *clause, i int) bool {
	if r.as[i].kind != aLoad {
		return false
	}
	for k := i - 1; k >= c.from && k >= i-3 && r.as[k].kind == aWord; k-- {
		switch r.as[k].s {
		case "bought", "buy", "buying", "ordered", "have", "own", "need", "borrowed", "find", "new", "sold":
			return true
		}
	}
	b := r.at(i - 1)
	if b.word("only") {
		b = r.at(i - 2)
	}
	if b.word("of") && r.at(i-2).word("instead") {
		return true
	}
	return b.word("is") && len(c.labels) == 0 || r.at(i+1).word("arrived") || r.at(i+2).word("arrived")
}
