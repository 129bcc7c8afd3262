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
		return verdict{}, false
	}
	r.use(v.rounds, v.ints[:min(len(v.ints), 1)], used)
	r.useBetween(from, end)
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
			if a.kind == aSign || a.kind == aWord && isValueWord(a.s) {
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
		list = append(list, namedRep{n, m, a.bad})
		for k := i; k < e; k++ {
			used = append(used, k)
		}
		i, end = e-1, e
	}
	return list, used, end
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
