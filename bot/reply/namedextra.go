package reply

import "tallybell/content"

// namedRep is a figure with a movement behind it: "6 squats".
type namedRep struct {
	n        int64
	movement int
	bad      bool
}

// namedExtra reads an extra that names movements: "5 rounds and 6 squats". Named in order from the first they are added;
// a movement that is not the first is asked, since its figure may count from the start of the round or by itself.
func (r *reader) namedExtra(c *clause, p *content.Part, v *values) (verdict, bool) {
	from, rounds := -1, int64(0)
	switch {
	case len(v.rounds) == 1 && !r.as[v.rounds[0]].bad:
		from, rounds = v.rounds[0]+1, r.as[v.rounds[0]].n
	case len(v.ints) >= 2 && r.at(v.ints[0]+1).sign('+') && len(v.rounds) == 0:
		from, rounds = v.ints[0]+1, r.as[v.ints[0]].n
	default:
		return verdict{}, false
	}
	list, used, end := r.namedReps(c, p, from)
	if len(list) == 0 {
		if n, end, ok := r.wholeLines(c, p, from); ok {
			r.use(v.rounds)
			r.useRange(from, end)
			return ask(AboutValue, itoa(rounds)+"+"+itoa(n)), true
		}
		return verdict{}, false
	}
	r.use(v.rounds, v.ints[:min(len(v.ints), 1)], used)
	r.useBetween(from, end)
	if r.goesOn(c, p, v, end) {
		return ask(AboutValue), true
	}
	for i := v.firstOf(); i < end; i++ {
		if r.as[i].kind == aInt && !r.as[i].used {
			return ask(AboutValue), true
		}
	}
	extra, other, ok := addNamed(p, list)
	switch {
	case !ok:
		return ask(AboutValue), true
	case other != extra:
		return ask(AboutValue, itoa(rounds)+"+"+itoa(extra), itoa(rounds)+"+"+itoa(other)), true
	}
	return amrapRounds(p, rounds, extra), true
}

// firstOf returns the first atom of the rounds.
func (v *values) firstOf() int {
	if len(v.rounds) > 0 {
		return v.rounds[0]
	}
	return v.ints[0]
}

// namedReps reads "4 pull-throughs, 3 squats" from an atom on.
func (r *reader) namedReps(c *clause, p *content.Part, from int) (list []namedRep, used []int, end int) {
	end = from
	for i := from; i < c.to; i++ {
		a := &r.as[i]
		isCount := a.kind == aInt || a.kind == aReps || a.kind == aCalories || a.kind == aTime || a.kind == aDistance
		if !isCount || a.talk {
			if a.kind == aSign || a.kind == aWord && isValueWord(a.s) || a.word("then") {
				continue
			}
			break
		}
		next := i + 1
		if r.at(next).word("of") {
			next++
		}
		m, e := r.movementAt(c.session, p, next)
		if m < 0 {
			break
		}
		n := a.n
		if k := p.Movements[m].Amount.Kind; k == content.AmountTime || k == content.AmountDistance {
			n = 1
		}
		list = append(list, namedRep{n, m, a.bad || r.isEachSide(next) || r.isEachSide(e)})
		for k := i; k < e; k++ {
			used = append(used, k)
		}
		i, end = e-1, e
	}
	return list, used, end
}

// goesOn reports whether what is named up to an atom goes on in words that are not understood: a figure with an unknown
// name right behind ("12 rows 3 sqats"), or "half the squats". The figures are marked as read.
func (r *reader) goesOn(c *clause, p *content.Part, v *values, end int) bool {
	i := end
	for i < c.to && (r.as[i].sign(',') || r.as[i].sign('+') || r.as[i].sign('&') || r.as[i].word("and") || r.as[i].word("plus") || r.as[i].word("then")) {
		i++
	}
	a := r.at(i)
	switch {
	case i >= c.to || a.talk || a.used:
		return false
	case a.kind == aInt || a.kind == aReps:
		for _, l := range [...][]int{v.ints, v.reps} {
			for _, k := range l {
				if k >= i {
					r.as[k].used = true
				}
			}
		}
		r.useBetween(end, i)
		return true
	case a.kind == aDistance && i > end && p.Scheme == content.AMRAP:
		a.used = true
		return true
	case a.word("the") && (r.at(i-1).word("and") || r.at(i-1).word("plus") || r.at(i-1).sign('+')) && r.namesMovement(c, p, i+1):
		r.useRange(end, i+2)
		return true
	case a.word("half"), a.word("most"), a.word("some"), a.word("all"):
		for k := i + 1; k < c.to && k <= i+3; k++ {
			if r.namesMovement(c, p, k) {
				return true
			}
		}
	}
	return false
}

// wholeLines reads "+ push-ups" behind rounds, a movement without a figure: likely the round up to and with that line.
func (r *reader) wholeLines(c *clause, p *content.Part, from int) (reps int64, end int, ok bool) {
	a, at := r.at(from), from+1
	if !a.sign('+') && !a.word("plus") && !a.word("and") {
		return 0, 0, false
	}
	one := r.at(at).word("a") || r.at(at).word("an")
	if one || r.at(at).word("the") {
		at++
	}
	m, end := r.movementAt(c.session, p, at)
	if m < 0 || end > c.to || a.word("and") && isPlainWord(r.at(end)) {
		return 0, 0, false // "and squats were tough"
	}
	for k, n := range p.RoundReps(0)[:m+1] {
		if k == m && one {
			n = 1
		}
		reps += n
	}
	return reps, end, true
}

// addNamed adds named reps. One movement that is not the first gives two readings: with what stands before it in the
// round, or (other) by itself; false when the figures fit no round.
func addNamed(p *content.Part, list []namedRep) (extra, other int64, ok bool) {
	reps := p.RoundReps(0)
	k := 0 // the movement that is next in the round
	for _, x := range list {
		if x.bad || x.movement >= len(reps) || x.n > reps[x.movement] {
			return 0, 0, false
		}
		for k < x.movement && leftOut(&p.Movements[k]) {
			k++
		}
		if x.movement != k {
			if len(list) > 1 {
				return 0, 0, false
			}
			for _, n := range reps[:x.movement] {
				extra += n
			}
			return extra + x.n, x.n, true
		}
		extra += x.n
		k++
	}
	return extra, extra, true
}

// isEachSide reports "each side", "per leg", "a side" at atom i: the figure before it may count one side or both.
func (r *reader) isEachSide(i int) bool {
	if a := r.at(i); !a.word("each") && !a.word("per") && !a.word("a") && !a.word("every") {
		return false
	}
	switch n := r.at(i + 1); n.s {
	case "side", "leg", "arm", "hand", "way":
		return n.kind == aWord
	}
	return false
}
