package reply

import "tallybell/content"

// mostSets bounds 3x12: more sets than that are no sets.
const mostSets = 30

// readSets reads what may stand beside an unscored part: 3x12, 12/10/9, 14 kg. What does not parse is note, never a
// question. It reports whether anything was read.
func (r *reader) readSets(c *clause, v *values) (res content.Result, any bool) {
	res.Kind = content.KindDone
	if c.pair >= 0 && len(v.ints)+len(v.reps) == 0 && (!isPlainWord(r.at(c.pair+1)) || isRemark(r.at(c.pair+1)) || r.namesAny(c.pair+1)) {
		a := &r.as[c.pair]
		a.used = true
		res.SetReps = []int64{a.n, a.m}
		any = true
	}
	counting := mergeSorted(v.ints, v.reps)
	for k := 0; k < len(counting); {
		before := len(res.SetReps)
		k = r.oneSet(c, counting, k, &res)
		any = any || len(res.SetReps) > before
	}
	if g, ok := r.oneLoad(v); ok {
		res.LoadG = g
		r.use(v.loads)
		for _, i := range v.loads {
			for p := r.at(i - 1); p.sign('@') || p.sign('x') || p.word("at"); p = &noAtom {
				p.used = true
			}
		}
		any = true
	}
	b := r.at(c.bodyAt) // told, if not in a form that is kept
	return res, any || len(c.labels) > 0 && b.value() && (b.kind == aInt && !b.spelled || b.kind == aReps || b.kind == aLoad)
}

// sharesLoad reports a figure that has the unit of a load behind it: 12-14 kg, 14/14/12 kg. In 3x12/14 kg it is the reps.
func (r *reader) sharesLoad(at int) bool {
	if s := r.at(at - 1); s.sign('x') || s.sign('*') {
		return false
	}
	for s := r.at(at + 1); s.sign('-') || (s.sign('/') || s.sign(',')) && !s.gap && !r.at(at+2).gap; s = r.at(at + 1) {
		if at += 2; r.at(at).kind == aLoad {
			return true
		}
	}
	return false
}

// oneLoad returns the load when all that are told are the same.
func (r *reader) oneLoad(v *values) (int64, bool) {
	if len(v.loads) == 0 {
		return 0, false
	}
	g := r.as[v.loads[0]].n
	for _, i := range v.loads {
		if a := &r.as[i]; a.bad || r.at(i-1).kind == aSign && r.at(i-2).kind == aInt && r.sharesLoad(i-2) || a.n != g || a.n > heaviestLoad || a.n <= 0 {
			return 0, false
		}
	}
	return g, true
}

// mergeSorted merges two rising lists.
func mergeSorted(a, b []int) []int {
	out := make([]int, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if a[0] < b[0] {
			out, a = append(out, a[0]), a[1:]
		} else {
			out, b = append(out, b[0]), b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// oneSet reads the figures from the k-th on that make one group, 3x12 or 12, and returns the next.
func (r *reader) oneSet(c *clause, counting []int, k int, res *content.Result) int {
	at := counting[k]
	a := &r.as[at]
	if r.sharesLoad(at) || r.at(at+1).sign('/') && r.at(at+2).kind == aSets || !r.countsAsSet(c, at) || a.bad {
		return k + 1
	}
	g := r.groupOfSets(c, counting, k)
	if g.times == 0 {
		return g.next
	}
	if s := r.at(at - 1); s.word("of") && r.at(at-2).kind == aSets && r.at(at-2).n <= mostSets && !r.at(at-2).used {
		g.times = r.at(at - 2).n
		s.used, r.at(at-2).used = true, true
	}
	for range g.times {
		if len(res.SetReps) >= 100 {
			break
		}
		res.SetReps = append(res.SetReps, g.reps)
	}
	r.useRange(at, g.last+1)
	if s := r.at(at - 1); (s.sign('x') || s.sign('/') || s.sign(',') || s.sign('+') || s.sign('-')) && (r.at(at-2).used || r.at(at-2).kind == aLoad) {
		s.used = true
	}
	return g.next
}

// setGroup is so many sets of so many reps; times is 0 when the figures are none.
type setGroup struct {
	times, reps int64
	last        int // its last atom
	next        int // the figure after it
}

// groupOfSets reads 12, 3x12 or "12 reps x 3" from the k-th figure on. A range (3x8-10), a time (3x30 s), a load without
// a unit (5x60) and 12x3 for three sets of twelve are none.
func (r *reader) groupOfSets(c *clause, counting []int, k int) setGroup {
	at := counting[k]
	a, x := &r.as[at], r.at(at+1)
	if !x.sign('x') && !x.sign('*') {
		if x.sign('-') && r.at(at+2).kind == aReps && r.at(at+2).n > a.n && !(r.at(at-1).sign('-') && r.at(at-2).used) {
			return setGroup{next: min(k+2, len(counting))} // 8-10 reps
		}
		return setGroup{1, a.n, at, k + 1}
	}
	n := r.at(at + 2)
	if k+1 >= len(counting) || counting[k+1] != at+2 {
		if n.kind == aLoad {
			return setGroup{1, a.n, at + 1, k + 1} // 5x60 kg
		}
		return setGroup{next: k + 1}
	}
	g := setGroup{a.n, n.n, at + 2, k + 2}
	if a.kind == aReps {
		g.times, g.reps = n.n, a.n // 12 reps x 3
	}
	if s := r.at(at + 3); (s.sign('-') || s.sign('/')) && !s.gap && k+2 < len(counting) && counting[k+2] == at+4 && !r.at(at+4).gap && !r.at(at+5).sign('x') {
		return setGroup{next: k + 3} // 3x8-10
	}
	if g.times > mostSets || !r.fitsSets(c, g) {
		g.times = 0
	}
	return g
}

// fitsSets reports whether sets may be what the sheet asks for: no more of them than reps where it is the other way
// round, and no reps that are rather a load.
func (r *reader) fitsSets(c *clause, g setGroup) bool {
	if len(c.labels) != 1 {
		return true
	}
	p, ok := c.part(c.labels[0])
	if !ok {
		return true
	}
	if sets := int64(p.Sets); sets > 0 && g.times > sets && g.reps <= sets {
		return false
	}
	var most int64
	for m := range p.Movements {
		most = max(most, p.Movements[m].Amount.High)
	}
	return g.reps < 30 || most == 0 || g.reps <= 3*most
}

// countsAsSet reports whether a figure stands where reps do: after the label, a sign or another figure, and not before an
// unknown word.
func (r *reader) countsAsSet(c *clause, at int) bool {
	b, n, p := r.at(at-1), r.at(at+1), r.at(at-2)
	if n.word("in") || n.word("tempo") || n.word("total") {
		return false
	}
	after := b.head || at == c.bodyAt || b.value() || b.kind == aDone || b.word("of") || b.word("and") || b.word("then") || b.word("for") || b.kind == aTick || b.kind == aOutOf
	if b.kind == aSign {
		counts := p.kind == aInt || p.kind == aReps
		switch b.c {
		case '/', '-', '+', '&', 'x', '*':
			after = after || p.used && p.value() || b.c == '-' && b.gap && !counts
		case ',':
			after = after || p.used || p.talk || !counts
		case '(':
			after = after || !p.value()
		case ':':
			after = true
		}
	}
	if r.as[at].kind == aReps {
		return after || b.kind == aEnd
	}
	known := n.kind != aWord || at+1 >= c.to || isValueWord(n.s) || n.is(clThanks|clReps) || n.word("each") || n.word("with") || n.word("per")
	return after && (known || n.is(clJoin) || r.lastOfSets(at) || r.namesAny(at+1))
}

// lastOfSets reports the last figure of a list of sets, behind which words may follow: 12/10/9 felt heavy. After a blank
// or a comma the words have to be a remark ("12 10 felt heavy"): "12, 2 dogs watching" is talk.
func (r *reader) lastOfSets(at int) bool {
	b := r.at(at - 1)
	if (b.sign('/') || b.sign('-') || b.sign('+') || b.sign(',') && !r.at(at).gap) && r.at(at-2).used {
		return true
	}
	return isRemark(r.at(at+1)) && (b.used && b.value() || b.sign(',') && r.at(at-2).used || b.word("and") && r.at(at-2).used)
}

// isRemark reports words that begin what is said about sets.
func isRemark(a *atom) bool {
	switch a.s {
	case "felt", "feeling", "feels", "was", "were", "all", "easy", "hard", "heavy", "tough", "good", "nice", "solid", "strong", "slow", "fine", "ok", "today", "only", "so", "because", "this", "the", "last", "then", "pretty", "very", "really", "quite", "unbroken":
		return a.kind == aWord
	}
	return false
}
