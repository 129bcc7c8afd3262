package reply

import (
	"strings"

	"tallybell/content"
)

// readHeaviest reads a load: 42.5 kg, 95#, a bare number in the member's units, 5x60 kg where 5 is the set.
func (r *reader) readHeaviest(c *clause, p *content.Part, v *values) verdict {
	if len(v.loads) == 0 && len(v.ints)+len(v.decimals) == 0 {
		if len(c.labels) > 0 && (len(v.times)+len(v.reps)+len(v.rounds)+len(v.distances) > 0) {
			r.use(v.times, v.reps, v.rounds, v.distances)
			return ask(AboutValue)
		}
		return verdict{}
	}
	if len(v.loads) == 0 {
		return r.bareLoad(c, p, v)
	}
	if r.listedBefore(c, v) {
		r.use(v.loads, v.ints, v.decimals)
		r.useJoined(&values{ints: v.ints, times: v.loads})
		return ask(AboutValue, r.typed(v.loads[0])).by(ruleAskListed)
	}
	near := r.nearLoad(v)
	r.use(v.loads, near)
	r.useLoadJoins(v.loads[0], near)
	if len(v.loads) > 1 || len(v.decimals) > 0 {
		r.use(v.decimals)
		return ask(AboutValue)
	}
	a := &r.as[v.loads[0]]
	if a.bad {
		return ask(AboutValue, a.mends()...)
	}
	for _, i := range near {
		if r.as[i].n != int64(p.SetReps) {
			return ask(AboutValue, r.typed(v.loads[0]))
		}
	}
	return heaviestResult(a.n)
}

// listedBefore reports figures that share the unit of a load: 40, 50, 60 kg and 20+5 kg. Without a label what stands
// before a comma may be another part's.
func (r *reader) listedBefore(c *clause, v *values) bool {
	at := v.loads[0]
	b := r.at(at - 2)
	if b.kind != aInt && b.kind != aDecimal || b.talk || r.at(at-3).sign('+') {
		return false
	}
	s := r.at(at - 1)
	if s.sign('+') {
		return true
	}
	return s.sign(',') && (len(c.labels) > 0 || r.at(at-3).sign(',') && r.at(at-4).kind == aInt || len(r.scored(c, func(p *content.Part) bool { return p.Kind() == content.KindReps })) == 0)
}

func heaviestResult(grams int64) verdict {
	if grams <= 0 {
		return ask(AboutValue)
	}
	return judged(content.Result{Kind: content.KindLoad, LoadG: grams}, grams > heaviestLoad)
}

// nearLoad returns the figures that belong to a load: the 5 of 5x60 kg, 60 kg for 5, 5 reps at 60 kg.
func (r *reader) nearLoad(v *values) []int {
	at := v.loads[0]
	var out []int
	for _, i := range v.reps {
		if r.samePiece(min(i, at), max(i, at)) {
			out = append(out, i)
		}
	}
	for _, i := range v.ints {
		lo, hi := min(i, at), max(i, at)
		if r.joinsLoad(lo, hi) {
			out = append(out, i)
		}
	}
	return out
}

// samePiece reports that no comma, and or other end of a piece lies between two atoms.
func (r *reader) samePiece(lo, hi int) bool {
	for i := lo + 1; i < hi; i++ {
		if r.isPieceEnd(i) || r.as[i].word("and") {
			return false
		}
	}
	return true
}

func (r *reader) joinsLoad(lo, hi int) bool {
	for i := lo + 1; i < hi; i++ {
		a := &r.as[i]
		if !(a.sign('x') || a.sign('@') || a.sign('-') || a.sign('/') || a.sign('*') || a.word("for") || a.word("at") || a.word("to") || a.word("or") || a.word("of")) {
			return false
		}
	}
	return true
}

func (r *reader) useLoadJoins(at int, near []int) {
	for _, i := range near {
		for k := min(i, at) + 1; k < max(i, at); k++ {
			if a := &r.as[k]; a.kind == aSign || a.word("for") || a.word("at") {
				a.used = true
			}
		}
	}
}

// bareLoad reads a number without a unit: in the member's units when it is the only one.
func (r *reader) bareLoad(c *clause, p *content.Part, v *values) verdict {
	all := append(append([]int{}, v.ints...), v.decimals...)
	r.use(v.ints, v.decimals)
	r.useJoined(v)
	unitName := "kg"
	u := unit{aLoad, 1000, 1}
	if r.in.Units == "lb" {
		u, unitName = unit{aLoad, 45359237, 100000}, "lb"
	}
	if e := r.at(c.effortAt); c.badEffort && e.s == "@" && len(all) > 0 && c.effortAt == all[len(all)-1]+1 {
		return ask(AboutValue, strings.TrimPrefix(r.typed(c.effortAt), "@")+" "+unitName) // 5@60
	}
	if len(all) == 1 && r.at(all[0]+1).kind == aTime && r.hasUnit(all[0]+1) {
		r.as[all[0]+1].used = true
		return ask(AboutValue) // two 16s
	}
	if len(all) > 0 && r.at(all[0]-1).sign('#') {
		return ask(AboutValue, r.typed(all[0])+" lb", r.typed(all[0])+" kg") // #132
	}
	if len(all) == 2 && len(v.decimals) == 0 {
		a, b := r.as[all[0]].n, r.as[all[1]].n
		switch {
		case r.at(all[0] + 1).sign(','):
			return ask(AboutValue, itoa(a)+"."+itoa(b)+" "+unitName)
		case a == int64(p.SetReps):
			return ask(AboutValue, itoa(b)+" "+unitName)
		case b == int64(p.SetReps):
			return ask(AboutValue, itoa(a)+" "+unitName)
		}
	}
	for _, i := range v.reps {
		r.as[i].used = true
		if r.as[i].n != int64(p.SetReps) {
			return ask(AboutValue)
		}
	}
	if len(all) != 1 {
		return ask(AboutValue)
	}
	a := &r.as[all[0]]
	f := figure{n: a.n, frac: a.frac, point: a.c}
	grams, ok := f.in(u)
	if !ok {
		return ask(AboutValue)
	}
	return heaviestResult(grams)
}
