package reply

import "tallybell/content"

// isSpan reports how long something else took: "couldn't catch my breath for ten minutes", "dizzy after 5 min", "20 mins
// in". Where a hold is a part of the session, a time after for is its value.
func (r *reader) isSpan(c *clause, i, live int) bool {
	a := &r.as[i]
	if a.kind != aTime || !r.hasUnit(i) || len(c.labels) > 0 && live < 0 {
		return false
	}
	if n := r.at(i + 1); i > c.from && (n.word("in") || n.word("into")) && r.at(i-1).kind == aWord {
		return true
	}
	if len(c.labels) == 0 && (r.isAdjective(i) || r.isOfThing(i) || i > c.from && r.isAskedFor(i-1)) {
		return true
	}
	lead := i - 1
	for lead > c.from && lead > i-4 && r.as[lead].is(clVague) {
		lead--
	}
	b := r.at(lead)
	if !b.word("for") && !b.word("after") && !b.word("lasted") && !b.word("another") || b.word("for") && hasKind(c.session, content.KindHold) {
		return false
	}
	said := b.word("lasted")
	for k := lead - 1; k >= max(c.from, lead-24) && k > live; k-- {
		switch w := &r.as[k]; {
		case w.kind == aStop, w.kind == aCap:
			return false // "stopped after 10 minutes" is asked
		case w.kind == aWord && !w.is(clFiller) && !isPointer(w.s):
			said = true
		}
	}
	return said
}

// isAdjective reports how long a thing is: "a 20 minute run".
func (r *reader) isAdjective(i int) bool {
	switch r.ts[r.as[i].to-1].s {
	case "minute", "hour", "second":
		n := r.at(i + 1)
		return n.kind == aWord && !n.is(clFiller|clThanks|clJoin) && r.as[i].n != 1 && r.as[i].ms != 60_000
	}
	return false
}

// isOfThing reports a time of something else: "90 minutes of football", not "14 minutes of work".
func (r *reader) isOfThing(i int) bool {
	n := r.at(i + 2)
	if !r.at(i+1).word("of") || n.kind != aWord {
		return false
	}
	switch n.s {
	case "work", "hell", "fun", "pain", "torture", "suffering", "effort", "joy", "this", "that", "it", "hard", "pure", "the", "burn", "burning":
		return false
	}
	return true
}

// isAskedFor reports words before a time that is wanted or was spent otherwise: "give me 5 min", "need two minutes".
func (r *reader) isAskedFor(i int) bool {
	switch a := r.at(i); a.s {
	case "need", "needed", "needs", "wait", "waited", "waiting", "spare", "gimme", "played", "watched", "spent", "missed", "extra", "every":
		return a.kind == aWord
	case "me":
		return r.at(i-1).word("give") || r.at(i-1).word("gives") || r.at(i-1).word("gave")
	}
	return false
}

// hasKind reports whether a part of the session takes results of a kind.
func hasKind(s *content.FittedSession, kind content.Kind) bool {
	for i := range s.Session.Parts {
		if s.Session.Parts[i].Kind() == kind {
			return true
		}
	}
	return false
}
