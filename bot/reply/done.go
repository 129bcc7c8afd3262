package reply

import "tallybell/content"

// saysDone reports done or a tick in the clause's body, not denied; it marks them as read. A tick behind a value is a
// picture.
func (r *reader) saysDone(c *clause) bool {
	said := false
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		switch {
		case a.talk:
		case a.kind == aDone || a.kind == aAllDone:
			if r.negatedWithin(i) < 0 {
				a.used, said = true, true
			}
		case a.kind == aTick && i >= c.bodyAt && (i == c.bodyAt || r.at(i-1).kind == aDone):
			a.used, said = true, true
		}
	}
	return said
}

// negatedWithin returns the negation up to two words before atom i, -1 when there is none.
func (r *reader) negatedWithin(i int) int {
	for k := i - 1; k >= i-2; k-- {
		a := r.at(k)
		if a.kind != aWord {
			return -1
		}
		if a.is(clNegation) {
			return k
		}
	}
	return -1
}

// noScore reports "no watch", "no score", "lost count" in the clause and marks it as read.
func (r *reader) noScore(c *clause) bool {
	said := false
	for i := c.from; i < c.to; i++ {
		if a := &r.as[i]; a.kind == aNoScore && !a.talk {
			a.used, said = true, true
			if b := r.at(i - 1); b.kind == aDone || b.sign(',') && r.at(i-2).kind == aDone {
				r.at(i - 1).used = true
				if b.kind != aDone {
					r.at(i - 2).used = true
				}
			}
		}
	}
	return said
}

// bareDone reports done that belongs to no part: alone in its piece of the clause but for a version, an effort, thanks,
// pictures; or "all done" at the start; or ticks alone on their line.
func (r *reader) bareDone(i int) bool {
	c := &r.cls[i]
	said := false
	for k := c.from; k < c.to; k++ {
		a := &r.as[k]
		switch {
		case a.talk:
		case a.kind == aAllDone && r.pieceStart(c, k), a.kind == aDone && r.aloneInPiece(c, k):
			a.used, said = true, true
			if n := r.at(k + 1); n.kind == aTick {
				n.used = true
			}
		case a.kind == aTick && c.from == k && r.aloneOnLine(k):
			a.used, said = true, true
		}
	}
	return said
}

func (r *reader) pieceStart(c *clause, k int) bool {
	for b := k - 1; b >= c.from; b-- {
		if a := &r.as[b]; a.sign(',') || a.sign('!') {
			return true
		} else if a.kind != aEmoji && !a.is(clThanks|clJoin) && !a.sign('(') && a.kind != aDay {
			return false
		}
	}
	return true
}

// aloneInPiece reports whether nothing but a version, an effort, thanks and pictures stands between the commas around
// atom k.
func (r *reader) aloneInPiece(c *clause, k int) bool {
	ok := func(a *atom) bool {
		return a.kind == aEmoji || a.kind == aTick || a.kind == aVersion || a.kind == aEffort || a.kind == aOutOf || a.is(clThanks) || a.kind == aDay || a.kind == aSign || a.kind == aNoScore || a.word("and")
	}
	for b := k - 1; b >= c.from && !r.isPieceEnd(b); b-- {
		if !ok(&r.as[b]) {
			return false
		}
	}
	for b := k + 1; b < c.to && !r.isPieceEnd(b); b++ {
		if !ok(&r.as[b]) {
			return false
		}
	}
	return true
}

func (r *reader) isPieceEnd(i int) bool {
	a := r.at(i)
	return a.kind == aEnd || a.sign('!') || a.sign(',') && (r.at(i+1).gap || i+1 >= len(r.as))
}

// aloneOnLine reports whether the ticks at i stand on a line with nothing but thanks and pictures.
func (r *reader) aloneOnLine(i int) bool {
	if i > 0 && !(r.at(i-1).kind == aEnd && r.at(i-1).c == '\n') {
		return false
	}
	for k := i + 1; k < len(r.as); k++ {
		switch a := &r.as[k]; {
		case a.kind == aEnd && a.c == '\n':
			return true
		case a.kind == aEnd, a.kind == aTick, a.kind == aEmoji, a.kind == aSign, a.kind == aVersion, a.kind == aEffort, a.kind == aDay, a.is(clThanks):
		default:
			return false
		}
	}
	return true
}

// logDone adds done for every unscored part; where all are scored it asks for the value.
func (r *reader) logDone(i int) {
	c := &r.cls[i]
	any := false
	var scored []*content.Part
	for k := range c.session.Session.Parts {
		p := &c.session.Session.Parts[k]
		if p.IsScored() {
			scored = append(scored, p)
			continue
		}
		r.add(i, p, content.Result{Kind: content.KindDone}, "done")
		any = true
	}
	if any || len(scored) == 0 {
		return
	}
	part := ""
	if len(scored) == 1 {
		part = scored[0].Letter
	}
	r.owes(ruleAskDone)
	r.addAsk(i, part, AboutValue, nil)
}
