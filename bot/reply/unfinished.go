package reply

import "tallybell/content"

// unfinished tells how a clause says that a for-time piece was not finished.
type unfinished struct {
	told    bool
	cap     int  // the atom of capped, dnf; -1
	left    int  // the atom of what was missing: a number, reps or rounds; -1
	plus    bool // "cap + 8"
	leftEnd int  // the atom after "left"
	name    int  // the atom of a movement's name between: "8 step-overs left"; -1
}

// unfinished looks for a word of being out of time, and for what was missing: 8 left, 8 to go, cap + 8.
func (r *reader) unfinished(c *clause, v *values) unfinished {
	u := unfinished{cap: -1, left: -1, name: -1}
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if a.kind == aCap && u.cap < 0 {
			u.cap = i
			u.told = true
			if r.at(i+1).sign('+') && (r.at(i+2).kind == aInt || r.at(i+2).kind == aReps) {
				u.left, u.plus, u.leftEnd = i+2, true, i+3
			}
		}
		if a.kind == aInt || a.kind == aReps || a.kind == aRounds {
			if end := r.leftWord(i + 1); end > 0 && !a.talk {
				u.left, u.leftEnd, u.told, u.plus, u.name = i, end, true, false, -1
			} else if end := r.leftOfName(c, i+1); end > 0 && a.kind != aRounds && !a.talk {
				u.left, u.leftEnd, u.told, u.plus, u.name = i, end, true, false, i+1
			}
		}
	}
	return u
}

// leftOfName reads "step-overs left" at atom i, the name of a movement of a part for time, and returns the atom after
// it; 0 when it does not stand there.
func (r *reader) leftOfName(c *clause, i int) int {
	if r.at(i).kind != aWord {
		return 0
	}
	far := i + 1
	for far < i+longestName && r.leftWord(far) == 0 {
		far++
	}
	if far == i+longestName {
		return 0 // the usual case, told without looking at names
	}
	for k := range c.session.Session.Parts {
		if p := &c.session.Session.Parts[k]; p.ForTime() {
			if m, end := r.movementAt(c.session, p, i); m >= 0 {
				return r.leftWord(end)
			}
		}
	}
	return 0
}

// leftWord reads left, short, to go, remaining at i and returns the atom after it; "left knee" is none.
func (r *reader) leftWord(i int) int {
	a := r.at(i)
	switch {
	case a.word("to") && r.at(i+1).word("go"):
		return i + 2
	case a.kind == aWord && a.is(clLeft) && !r.at(i+1).is(clBody):
		return i + 1
	}
	return 0
}

// readUnfinished reads how far an unfinished piece came.
func (r *reader) readUnfinished(c *clause, p *content.Part, v *values, u unfinished) verdict {
	if u.cap >= 0 {
		for i := u.cap; i < c.to; i++ {
			if r.as[i].kind == aCap {
				r.as[i].used = true
			}
		}
	}
	total := p.TotalReps()
	ideas := r.progressIdeas(p, v)
	for _, i := range v.times {
		a := &r.as[i]
		a.used = true
		if p := r.at(i - 1); p.word("at") || p.sign('(') {
			p.used = true
		}
		if a.bad || a.ms != p.Cap.Milliseconds() {
			r.use(v.ints, v.rounds, v.reps)
			if u.left >= 0 {
				r.useRange(u.left, u.leftEnd)
			}
			return ask(AboutProgress, ideas...).by(ruleAskCapTime)
		}
	}
	if u.left >= 0 {
		return r.readMissing(c, p, v, u, total)
	}
	if named := r.namedProgress(c, p, v); !named.empty() {
		r.useHowFar(v)
		return named
	}
	reps, ok := r.progress(p, v)
	r.use(v.ints, v.rounds, v.reps, v.calories)
	r.useJoined(v)
	r.useStop(c)
	r.useHowFar(v)
	switch {
	case !ok && len(v.rounds)+len(v.reps) == 0 && !r.plusPair(v):
		return ask(AboutProgress, ideas...).by(ruleAskHowFar)
	case !ok && p.Scheme == content.Rounds, ok && (reps < 0 || reps >= total):
		return ask(AboutProgress, ideas...).by(ruleAskFull)
	case !ok:
		return ask(AboutProgress, ideas...)
	}
	return unfinishedResult(p, reps).by(ruleCap)
}

// unfinishedResult is a piece left after so many reps; more than two a second until the cap is likely a slip.
func unfinishedResult(p *content.Part, reps int64) verdict {
	no, limit := false, p.Cap.Milliseconds()
	return judged(content.Result{Kind: content.KindTime, Finished: &no, Reps: &reps}, limit > 0 && reps*1000 > 2*limit)
}

func (r *reader) readMissing(c *clause, p *content.Part, v *values, u unfinished, total int64) verdict {
	a := &r.as[u.left]
	a.used = true
	for i := u.left + 1; i < u.leftEnd; i++ {
		r.as[i].used = true
	}
	if u.plus {
		r.as[u.left-1].used = true
	}
	missing := a.n
	if a.kind == aRounds {
		if p.Scheme != content.Rounds {
			return ask(AboutProgress).by(ruleAskMissing)
		}
		missing = a.n * p.RepsARound()
	}
	others := len(v.ints) + len(v.rounds) + len(v.reps)
	if others > 1 {
		r.use(v.ints, v.rounds, v.reps)
	}
	if a.bad || others > 1 || missing <= 0 || missing > total {
		return ask(AboutProgress).by(ruleAskMissing)
	}
	if u.name >= 0 {
		if behind, ok := r.behindName(c, p, u.name, missing); !ok {
			return ask(AboutProgress).by(ruleAskMissing)
		} else if behind > 0 {
			return ask(AboutProgress, itoa(missing+behind)+" left", itoa(missing)+" left").by(ruleAskMissing)
		}
	}
	return unfinishedResult(p, total-missing).by(ruleLeft)
}

// behindName returns how many reps the last round holds after the movement that is named at an atom, of which some are
// missing; false when it has not so many.
func (r *reader) behindName(c *clause, p *content.Part, at int, missing int64) (int64, bool) {
	m, _ := r.movementAt(c.session, p, at)
	reps := p.RoundReps(max(p.RoundCount()-1, 0))
	if m < 0 || missing > reps[m] {
		return 0, false
	}
	var behind int64
	for _, n := range reps[m+1:] {
		behind += n
	}
	return behind, true
}

// namedProgress reads "2 rounds and 14 lunges": movements named in order from the first are added, any other is asked.
func (r *reader) namedProgress(c *clause, p *content.Part, v *values) verdict {
	if p.Scheme != content.Rounds {
		return verdict{}
	}
	from, rounds := -1, int64(0)
	switch {
	case len(v.rounds) == 1 && !r.as[v.rounds[0]].bad:
		from, rounds = v.rounds[0]+1, r.as[v.rounds[0]].n
	case len(v.ints) >= 2 && r.at(v.ints[0]+1).sign('+') && len(v.rounds) == 0:
		from, rounds = v.ints[0]+1, r.as[v.ints[0]].n
	case p.Rounds <= 1 && len(v.rounds) == 0 && len(v.ints) > 0:
		from = v.ints[0] // one round alone: "40 step-ups and 20 push-ups"
	default:
		return verdict{}
	}
	list, used, end := r.namedReps(c, p, from)
	if len(list) == 0 {
		if n, end, ok := r.wholeLines(c, p, from); ok {
			r.use(v.rounds, v.ints, v.reps)
			r.useRange(from, end)
			if d := r.at(end); d.kind == aDone {
				d.used = true
			}
			return ask(AboutProgress, "capped, "+itoa(rounds)+"+"+itoa(n))
		}
		return verdict{}
	}
	on := r.goesOn(c, p, v, end)
	r.use(v.rounds, v.ints, v.reps, used)
	r.useBetween(from, end)
	if on {
		return ask(AboutProgress)
	}
	extra, other, ok := addNamed(p, list)
	a := p.RepsARound()
	switch {
	case !ok:
		return ask(AboutProgress)
	case other != extra:
		return ask(AboutProgress, "capped, "+itoa(rounds)+"+"+itoa(extra), "capped, "+itoa(rounds)+"+"+itoa(other))
	case extra >= a || rounds*a+extra >= p.TotalReps():
		return ask(AboutProgress)
	}
	return unfinishedResult(p, rounds*a+extra).by(ruleCapNamed)
}

// progress reads 2+14, 2 rounds 14 reps, 2 rounds, 74 reps; false when that is no progress (a bare number, an extra of
// a full round, rounds of a ladder).
func (r *reader) progress(p *content.Part, v *values) (int64, bool) {
	for _, l := range [...][]int{v.rounds, v.reps, v.ints} {
		for _, i := range l {
			if r.as[i].bad || r.as[i].n > most {
				return 0, false
			}
		}
	}
	if len(v.rounds) == 0 && len(v.ints) == 0 && len(v.reps) == 1 {
		return r.as[v.reps[0]].n, true
	}
	if p.Scheme != content.Rounds {
		return 0, false
	}
	rounds, extra, ok := r.roundsAndExtra(p, v)
	a := p.RepsARound()
	if !ok || extra >= a && extra > 0 || rounds > int64(p.Rounds) {
		return 0, false
	}
	return rounds*a + extra, true
}

// stopWord returns the atom of stopped, gave up, skipped, or of "only" before rounds; -1 when there is none.
func (r *reader) stopWord(c *clause, v *values) int {
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if a.kind == aStop && !r.negated(i) || a.word("only") && (r.at(i+1).kind == aRounds || isManaged(r.at(i+1)) && r.at(i+2).kind == aRounds) {
			return i
		}
	}
	return -1
}

// isManaged reports the words between only and rounds: "only got 3 rounds".
func isManaged(a *atom) bool {
	return a.word("got") || a.word("did") || a.word("managed") || a.word("made")
}

// negated reports a negation right before atom i.
func (r *reader) negated(i int) bool { return r.at(i-1).kind == aWord && r.at(i-1).is(clNegation) }

// useStop marks "stopped", "only" beside progress as read.
func (r *reader) useStop(c *clause) {
	for i := c.from; i < c.to; i++ {
		if a := &r.as[i]; a.word("only") && r.at(i+1).used {
			a.used = true
		}
	}
}

// useHowFar marks the word between "capped" and how far as read: capped at, after, with 2 rounds.
func (r *reader) useHowFar(v *values) {
	for _, l := range [...][]int{v.rounds, v.reps, v.ints} {
		if len(l) == 0 {
			continue
		}
		if b := r.at(l[0] - 1); (b.word("at") || b.word("after") || b.word("with") || b.word("on")) && r.at(l[0]-2).kind == aCap {
			b.used = true
		}
	}
}

// progressIdeas suggests how a figure could be typed as progress.
func (r *reader) progressIdeas(p *content.Part, v *values) []string {
	switch {
	case p.Scheme == content.Rounds && len(v.rounds) == 1 && len(v.reps)+len(v.ints) == 0:
		return []string{"capped, " + itoa(r.as[v.rounds[0]].n) + " rounds"}
	case len(v.ints)+len(v.reps)+len(v.rounds) == 2 && p.Scheme == content.Rounds:
		if a, b, ok := r.roundsAndExtra(p, v); ok && b < p.RepsARound() && a < int64(p.Rounds) {
			return []string{"capped, " + itoa(a) + "+" + itoa(b)}
		}
	case len(v.ints)+len(v.reps) == 1 && len(v.rounds) == 0:
		n := int64(0)
		for _, l := range [...][]int{v.ints, v.reps} {
			for _, i := range l {
				n = r.as[i].n
			}
		}
		out := []string{}
		if n > 0 && n < p.TotalReps() {
			out = append(out, "capped, "+itoa(n)+" reps")
		}
		if n > 0 && p.Scheme == content.Rounds && n < int64(p.Rounds) {
			out = append(out, "capped, "+itoa(n)+" rounds")
		}
		return out
	}
	return nil
}
