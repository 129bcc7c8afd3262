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
	times := int64(1)
	next := k + 1
	figure := at
	if x := r.at(at + 1); x.sign('x') || x.sign('*') {
		if n := r.at(at + 2); (n.kind == aInt || n.kind == aReps) && next < len(counting) && a.n <= mostSets {
			times, figure, next = a.n, at+2, next+1
		}
		x.used = true
	}
	if s := r.at(at - 1); s.word("of") && r.at(at-2).kind == aSets && r.at(at-2).n <= mostSets && !r.at(at-2).used {
		times = r.at(at - 2).n
		s.used, r.at(at-2).used = true, true
	}
	n := r.as[figure].n
	for range times {
		if len(res.SetReps) >= 100 {
			break
		}
		res.SetReps = append(res.SetReps, n)
	}
	a.used, r.as[figure].used = true, true
	if s := r.at(at - 1); (s.sign('x') || s.sign('/') || s.sign(',') || s.sign('+') || s.sign('-')) && (r.at(at-2).used || r.at(at-2).kind == aLoad) {
		s.used = true
	}
	return next
}

// countsAsSet reports whether a figure stands where reps do: after the label, a sign or another figure, and not before an
// unknown word.
func (r *reader) countsAsSet(c *clause, at int) bool {
	b, n := r.at(at-1), r.at(at+1)
	after := b.head || at == c.bodyAt || b.kind == aSign || b.value() || b.kind == aDone || b.word("of") || b.word("and") || b.word("for") || b.kind == aTick || b.kind == aOutOf
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
