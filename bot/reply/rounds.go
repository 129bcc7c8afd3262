package reply

import "tallybell/content"

// roundsAndExtra reads 5+12, 5 rounds 12 reps, 5r 12, 5 rounds: at most one figure of rounds and one of reps.
func (r *reader) roundsAndExtra(p *content.Part, v *values) (rounds, extra int64, ok bool) {
	switch {
	case len(v.rounds) == 1 && len(v.ints)+len(v.reps) <= 1:
		rounds = r.as[v.rounds[0]].n
		ok = !r.as[v.rounds[0]].bad
		for _, l := range [...][]int{v.ints, v.reps} {
			for _, i := range l {
				extra = r.as[i].n
				ok = ok && i > v.rounds[0] && !r.as[i].bad && r.joins(v.rounds[0], i)
			}
		}
	case len(v.rounds) == 0 && len(v.ints) == 2 && len(v.reps) == 0 && r.plusPair(v):
		rounds, extra, ok = r.as[v.ints[0]].n, r.as[v.ints[1]].n, true
	case len(v.rounds) == 0 && len(v.ints) == 1 && len(v.reps) == 1 && v.ints[0] < v.reps[0] && r.at(v.ints[0]+1).sign('+'):
		rounds, extra, ok = r.as[v.ints[0]].n, r.as[v.reps[0]].n, true // 5+12 reps
	}
	return rounds, extra, ok && rounds <= most && extra <= most
}

// fewReps is how many reps behind rounds and a dash are more likely beyond them than missing.
const fewReps = 4

// joins reports whether only signs and joining words stand between two atoms.
func (r *reader) joins(from, to int) bool {
	for i := from + 1; i < to; i++ {
		a := &r.as[i]
		if a.sign('-') && (!a.gap || !r.at(i+1).gap || r.at(i+1).n < fewReps) {
			return false // "6 rds -2 reps" and "6 rds - 1 rep" take away
		}
		if a.kind == aSign && (a.c == ',' || a.c == '+' || a.c == '/' || a.c == '&' || a.c == '-' || a.c == ':') ||
			a.word("and") || a.word("plus") || a.word("with") || a.word("then") {
			continue
		}
		return false
	}
	return true
}

// plusPair reports the form 5+12.
func (r *reader) plusPair(v *values) bool {
	return len(v.ints) == 2 && v.ints[1] == v.ints[0]+2 && r.at(v.ints[0]+1).sign('+')
}

// readAMRAP reads rounds and reps, reps alone, or a bare whole number.
func (r *reader) readAMRAP(c *clause, p *content.Part, v *values) verdict {
	if !v.counted() {
		if len(v.times) > 0 && len(c.labels) > 0 || len(v.decimals) > 0 || len(v.distances) > 0 && len(c.labels) > 0 {
			r.use(v.times, v.decimals, v.distances)
			return ask(AboutValue)
		}
		return verdict{}
	}
	if out, named := r.namedExtra(c, p, v); named {
		return out
	}
	r.strayInts(c, p, v)
	if len(v.rounds)+len(v.reps)+len(v.ints) > 0 {
		v.calories = nil // burned, not counted
	}
	for _, i := range v.rounds {
		if r.as[i].bad {
			r.use(v.rounds, v.ints, v.reps)
			return ask(AboutValue)
		}
	}
	if total, at := r.statedTotal(c, v); at >= 0 {
		return r.roundsWithTotal(p, v, total, at)
	}
	defer r.useCounted(v)
	if r.partOfRound(c, p, v) || r.moreBehind(c, v) {
		return ask(AboutValue).by(ruleAskIntoRound)
	}
	rounds, extra, ok := r.roundsAndExtra(p, v)
	switch {
	case ok:
		return amrapRounds(p, rounds, extra)
	case len(v.rounds) == 0 && len(v.ints) == 0 && len(v.reps) == 1 && len(v.calories) == 0:
		if r.ofRound(c, v.reps[0]) {
			return ask(AboutValue).by(ruleAskIntoRound) // 6th round 12 reps
		}
		return amrapReps(p, r.as[v.reps[0]].n)
	case len(v.rounds) == 0 && len(v.reps) == 0 && len(v.ints) == 1:
		if n := r.at(v.ints[0] + 2); r.at(v.ints[0]+1).sign('+') && (n.value() || n.bad) {
			return ask(AboutValue) // 5+12"
		}
		return bareAMRAP(p, r.as[v.ints[0]].n)
	case len(v.rounds) == 0 && len(v.ints) == 2 && len(v.reps) == 0:
		if a, b := r.as[v.ints[0]].n, r.as[v.ints[1]].n; b < p.RepsARound() {
			return ask(AboutValue, itoa(a)+"+"+itoa(b))
		}
	}
	return ask(AboutValue)
}

// useCounted marks all counting figures and what joins them as read.
func (r *reader) useCounted(v *values) {
	r.use(v.ints, v.rounds, v.reps, v.calories)
	r.useJoined(&values{ints: v.ints, rounds: v.rounds, reps: v.reps})
	for _, i := range v.ints {
		if n := r.at(i + 1); isExtra(n) {
			n.used = true
		}
	}
}

// isExtra reports the word behind reps beyond the rounds: "5 rounds and 3 more".
func isExtra(a *atom) bool { return a.word("more") || a.word("extra") }

// partOfRound reports how far a round came that is told in other words than a count: "6 rounds into the squats", "6+12
// and 100 m" where the round has a run.
func (r *reader) partOfRound(c *clause, p *content.Part, v *values) bool {
	for _, i := range v.distances {
		b := r.at(i - 1)
		if !b.sign('+') && !b.sign(',') && !b.sign('&') && !b.word("and") && !b.word("plus") {
			continue
		}
		for m := range p.Movements {
			if p.Movements[m].Amount.Kind == content.AmountDistance {
				r.as[i].used = true
				return true
			}
		}
	}
	if len(v.rounds) == 0 {
		return false
	}
	for k := v.rounds[0] + 1; k < c.to; k++ {
		switch a := &r.as[k]; {
		case a.word("into"), a.word("through"), a.word("halfway"), a.word("until"), a.word("to"), a.word("reached"):
			if r.at(k + 1).word("the") {
				k++
			}
			if r.namesMovement(c, p, k+1) {
				return true
			}
		}
	}
	return false
}

// moreBehind reports reps beyond the rounds that stand among words: "5 rounds, got 12 more".
func (r *reader) moreBehind(c *clause, v *values) bool {
	if len(v.rounds) != 1 || len(v.ints)+len(v.reps) > 0 {
		return false
	}
	for k := v.rounds[0] + 1; k+1 < c.to; k++ {
		if a, n := &r.as[k], &r.as[k+1]; a.kind == aInt && !a.talk && (isExtra(n) || n.word("over")) {
			a.used = true
			return true
		}
	}
	return false
}

// ofRound reports the word round without a figure in the same piece as reps, which then are those of one round.
func (r *reader) ofRound(c *clause, i int) bool {
	for _, step := range [...]int{-1, 1} {
		for k := i + step; k >= c.from && k < c.to && !r.isPieceEnd(k); k += step {
			if a := &r.as[k]; a.kind == aWord && a.is(clRounds) && len(a.s) > 1 {
				return true
			}
		}
	}
	return false
}

// strayInts leaves bare numbers that stand among other words ("with 2 breaks") to the note, once another figure gives the
// value.
func (r *reader) strayInts(c *clause, p *content.Part, v *values) {
	if len(v.rounds)+len(v.reps) == 0 {
		return
	}
	kept := v.ints[:0]
	for _, i := range v.ints {
		if n, b := r.at(i+1), r.at(i-1); !(isExtra(n) && r.isPieceEnd(i+2)) && n.kind == aWord && !isValueWord(n.s) && !n.is(clThanks) && b.kind == aWord && !isValueWord(b.s) &&
			!r.namesMovement(c, p, i+1) && !(isAbbreviation(b.s) && r.at(i-2).value()) {
			continue
		}
		kept = append(kept, i)
	}
	v.ints = kept
}

// namesMovement reports a movement's name at atom i.
func (r *reader) namesMovement(c *clause, p *content.Part, i int) bool {
	m, _ := r.movementAt(c.session, p, i)
	return m >= 0
}

// statedTotal finds "= 132" or "total 132" beside rounds and extra; -1 when there is none.
func (r *reader) statedTotal(c *clause, v *values) (int64, int) {
	if len(v.ints)+len(v.reps)+len(v.rounds) < 2 {
		return 0, -1
	}
	if len(v.reps) == 1 && r.plusPair(v) && v.reps[0] == v.ints[1]+1 {
		return r.as[v.reps[0]].n, v.reps[0] // 5+12 132 reps
	}
	for _, l := range [...][]int{v.ints, v.reps} {
		for _, i := range l {
			if r.isTotalMark(i-1) || r.at(i-1).sign('(') && r.at(i+1).sign(')') || r.at(i+1).word("total") && !r.leadsOn(i+1) || r.at(i+1).sign('(') && r.at(i+2).value() && len(v.rounds)+len(v.ints) > 1 && !r.at(i-1).sign('+') {
				return r.as[i].n, i
			}
		}
	}
	return 0, -1
}

func (r *reader) roundsWithTotal(p *content.Part, v *values, total int64, at int) verdict {
	defer r.useCounted(v)
	r.useBetween(max(at-1, 0), min(at+2, len(r.as)))
	if e := r.at(len(r.as) - 1); e.sign(')') {
		e.used = true
	}
	rest := *v
	rest.ints, rest.reps = without(v.ints, at), without(v.reps, at)
	rounds, extra, ok := r.roundsAndExtra(p, &rest)
	if !ok {
		return ask(AboutValue)
	}
	out := amrapRounds(p, rounds, extra)
	if out.ok && *out.res.Reps != total {
		return ask(AboutTotal, itoa(rounds)+"+"+itoa(extra), itoa(total)+" reps")
	}
	return out
}

func without(list []int, x int) []int {
	out := make([]int, 0, len(list))
	for _, i := range list {
		if i != x {
			out = append(out, i)
		}
	}
	return out
}

// amrapRounds is a result told in rounds and reps beyond them; an extra of a full round or more is asked.
func amrapRounds(p *content.Part, rounds, extra int64) verdict {
	a := p.RepsARound()
	if a == 0 || rounds > most || extra > most {
		return ask(AboutValue)
	}
	if extra >= a {
		total := rounds*a + extra
		return ask(AboutValue, itoa(total/a)+"+"+itoa(total%a), itoa(total)+" reps")
	}
	return amrapResult(p, rounds*a+extra, rounds, extra)
}

func amrapReps(p *content.Part, n int64) verdict {
	a := p.RepsARound()
	if a == 0 || n < 0 {
		return ask(AboutValue)
	}
	return amrapResult(p, n, n/a, n%a)
}

func amrapResult(p *content.Part, reps, rounds, extra int64) verdict {
	res := content.Result{Kind: content.KindReps, Reps: &reps, Rounds: &rounds, Extra: &extra}
	return judged(res, reps*1000 > 2*p.Duration.Milliseconds())
}

// bareAMRAP takes a bare number as rounds or reps, whichever alone gives between 4 and 60 reps a minute, both ends
// included.
func bareAMRAP(p *content.Part, n int64) verdict {
	a, ms := p.RepsARound(), p.Duration.Milliseconds()
	if n > most {
		return ask(AboutValue)
	}
	likely := func(reps int64) bool { return reps*60000 >= 4*ms && reps*60000 <= 60*ms }
	asRounds, asReps := likely(n*a), likely(n)
	switch {
	case asRounds && !asReps:
		return amrapRounds(p, n, 0)
	case asReps && !asRounds:
		return amrapReps(p, n)
	}
	return ask(AboutValue, itoa(n)+" rounds", itoa(n)+" reps")
}
