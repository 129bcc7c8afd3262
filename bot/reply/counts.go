package reply

import "tallybell/content"

// entry is one figure of a stations clause, and the movement named beside it (-1: none).
type entry struct {
	at       int // atom
	n        int64
	movement int
}

// readStations reads one count a station and time through, in any usual parting or with the movements' names, or the
// total alone.
func (r *reader) readStations(c *clause, p *content.Part, v *values) verdict {
	if c.pair >= 0 && isPair(p) && !v.counted() {
		a := &r.as[c.pair]
		a.used = true
		return countsInOrder(p, []int64{a.n, a.m}, -1)
	}
	if !v.counted() && len(v.decimals) == 0 && (len(v.times) == 0 || len(c.labels) == 0) && len(v.distances) == 0 {
		return verdict{}
	}
	if a := r.at(c.bodyAt); a.kind == aOutOf && !a.used && r.isList(c, c.bodyAt) {
		r.use(v.ints, v.reps)
		a.used = true
		return ask(AboutValue).by(ruleAskSides)
	}
	if _, left := countsOf(p); len(v.ints)+len(v.reps) >= left {
		for _, i := range v.calories {
			r.as[i].talk = true // burned, not counted
		}
		v.calories = nil
	}
	list, names := r.entries(c, p, v)
	if names > 0 && names < len(list) && r.nameEasierWays(c, p) {
		for k := range list {
			list[k].movement = -1
		}
		names, r.nameAtoms = 0, nil
	}
	list, total := r.takeTotal(list, p)
	r.use(v.ints, v.reps, v.rounds, v.times, v.decimals, v.distances, v.calories)
	r.useEntries(list, names)
	for _, e := range list {
		if r.isEachSide(e.at + 1) {
			return ask(AboutValue).by(ruleAskSides)
		}
		if r.as[e.at].bad || e.n > most {
			return ask(AboutValue)
		}
	}
	for _, n := range r.nameAtoms {
		if names > 0 && r.isEachSide(n[1]) {
			return ask(AboutValue).by(ruleAskSides)
		}
	}
	if len(v.rounds)+len(v.decimals)+len(v.distances) > 0 || r.foreignTime(p, list, v) {
		return ask(AboutValue)
	}
	switch {
	case names > 0:
		return r.namedCounts(p, list, names, total)
	case len(list) == 0 && total >= 0:
		return stationTotal(p, total)
	case len(list) == 1 && r.isForEach(list[0].at+1):
		return ask(AboutValue).by(ruleAskEach)
	case len(list) == 1:
		if total >= 0 && total != list[0].n {
			return ask(AboutTotal)
		}
		return stationTotal(p, list[0].n)
	}
	return countsInOrder(p, numbers(list), total)
}

// isForEach reports "each", "on each", "per station", "a minute" at atom i: the figure before it is no total.
func (r *reader) isForEach(i int) bool {
	if r.at(i).word("on") || r.at(i).word("in") || r.at(i).word("for") || r.at(i).word("at") {
		i++
	}
	a, n := r.at(i), r.at(i+1)
	return a.word("each") || a.word("every") || a.word("per") || a.word("apiece") ||
		a.word("a") && (n.word("station") || n.word("minute") || n.word("min") || n.word("movement") || n.word("piece"))
}

func numbers(list []entry) []int64 {
	out := make([]int64, len(list))
	for k, e := range list {
		out[k] = e.n
	}
	return out
}

// stationCounts is a result of one count a station; total is what was given as well, -1 for nothing.
func stationCounts(p *content.Part, counts []int64, total int64) verdict {
	var sum int64
	fast := false
	for _, n := range counts {
		sum += n
		fast = fast || n*60000 > 120*p.Work.Milliseconds()
	}
	if total >= 0 && total != sum {
		return ask(AboutTotal, join(counts, "/"), itoa(total)+" total")
	}
	return judged(content.Result{Kind: content.KindReps, Reps: &sum, Counts: counts}, fast)
}

// stationTotal is a total alone: more than 120 reps a minute of work is likely a slip.
func stationTotal(p *content.Part, total int64) verdict {
	_, left := countsOf(p)
	work := p.Work.Milliseconds() * int64(left)
	return judged(content.Result{Kind: content.KindReps, Reps: &total}, total*60000 > 120*work)
}

func join(ns []int64, sep string) string {
	out := ""
	for k, n := range ns {
		if k > 0 {
			out += sep
		}
		out += itoa(n)
	}
	return out
}

// entries lists the figures of the clause in order, with the names beside them. Names stand before their figures when the
// first name does, else behind.
func (r *reader) entries(c *clause, p *content.Part, v *values) (list []entry, names int) {
	r.nameAtoms = r.nameAtoms[:0]
	pending, before, first := -1, false, true
	apart := false // something stands between the last figure and what follows, so that no name is its own
	for i := c.bodyAt; i < c.to; i++ {
		if c.post && i >= c.labelAt {
			break
		}
		a := &r.as[i]
		if a.kind == aTime && len(v.times) == 0 {
			continue // another part's, in a clause without labels
		}
		switch {
		case (a.kind == aInt || a.kind == aReps || a.kind == aCalories || a.kind == aTime) && !a.talk && !a.used:
			n := a.n
			if a.kind == aTime {
				n = a.ms / 1000
			}
			if before && pending < 0 && names > 0 {
				list = append(list, entry{i, n, -1})
				continue
			}
			list = append(list, entry{i, n, pending})
			if pending >= 0 {
				names++
			}
			pending, first, apart = -1, false, false
		case a.kind == aVersion, a.kind == aEffort, a.sign('('):
			apart = true
		case a.kind == aWord && apart && !before && len(list) > 0:
		case a.kind == aWord:
			m, end := r.movementAt(c.session, p, i)
			if m < 0 {
				continue
			}
			if leftOut(&p.Movements[m]) && r.denied(i, end) {
				i = end - 1
				continue
			}
			if first {
				before = true
			}
			if before {
				pending = m
			} else if k := len(list) - 1; k >= 0 && list[k].movement < 0 && r.besideFigure(list[k].at, i) {
				list[k].movement = m
				names++
			}
			if before || len(list) > 0 && list[len(list)-1].movement == m {
				r.nameAtoms = append(r.nameAtoms, [2]int{i, end})
			}
			i = end - 1
		}
	}
	return list, names
}

// besideFigure reports whether the name at atom i stands right behind the figure: "21 rows", not "21 rx, rows were hard".
func (r *reader) besideFigure(figure, i int) bool {
	for k := figure + 1; k < i; k++ {
		if a := r.at(k); !a.sign('-') && !a.sign(':') && !a.sign('(') && !a.sign('x') && !a.sign('=') && !a.word("of") && !a.word("on") && !a.word("for") && !a.word("the") && !a.word("in") {
			return false
		}
	}
	return true
}

// takeTotal parts a total that is marked as one (= 78, total 78, 78 total, a second figure of reps) from the counts.
func (r *reader) takeTotal(list []entry, p *content.Part) ([]entry, int64) {
	all, left := countsOf(p)
	for k, e := range list {
		marked := r.isTotalMark(e.at-1) && !(e.movement >= 0 && r.at(e.at-1).sign('=')) || r.at(e.at-1).sign(':') && r.isTotalMark(e.at-2) || r.at(e.at+1).word("total") && !r.leadsOn(e.at+1) || r.at(e.at+1).word("altogether") ||
			(r.at(e.at+1).word("in") || r.at(e.at+1).word("reps")) && r.at(e.at+2).word("total")
		if !marked && r.as[e.at].kind == aReps && k == len(list)-1 && r.as[list[0].at].kind != aReps {
			marked = len(list) == all+1 || len(list) == left+1 && isSum(numbers(list))
		}
		if marked {
			r.useTotal(e.at)
			rest := append(append([]entry{}, list[:k]...), list[k+1:]...)
			return rest, e.n
		}
	}
	return list, -1
}

// leadsOn reports whether the word at i stands before a figure: "total 78", "total: 78".
func (r *reader) leadsOn(i int) bool {
	n := r.at(i + 1)
	if n.sign(':') || n.sign('=') || n.word("of") {
		n = r.at(i + 2)
	}
	return n.value()
}

// useTotal marks a total and the words around it as read.
func (r *reader) useTotal(at int) {
	for _, k := range [...]int{at - 2, at - 1, at + 1, at + 2} {
		if a := r.at(k); r.isTotalMark(k) || a.word("altogether") || a.word("in") && r.at(k+1).word("total") || a.sign(':') && r.isTotalMark(k-1) {
			a.used = true
		}
	}
}

// useEntries marks the joining signs and the names of counts as read.
func (r *reader) useEntries(list []entry, names int) {
	if len(list) > 0 {
		r.useBetween(list[0].at, list[len(list)-1].at)
	}
	if names == 0 || len(list) == 0 {
		return
	}
	for _, n := range r.nameAtoms {
		for i := n[0]; i < n[1]; i++ {
			r.as[i].used = true
		}
	}
	r.useBetween(min(list[0].at, r.nameAtoms[0][0]), r.nameAtoms[len(r.nameAtoms)-1][1])
}

// nameEasierWays reports whether the names among the counts are of easier ways, which tell the version of a list in order
// ("21 18 15 24 incline push-ups") rather than the stations.
func (r *reader) nameEasierWays(c *clause, p *content.Part) bool {
	lines := p
	if sheet := written(c.session, p); sheet != nil {
		lines = sheet
	}
	for _, n := range r.nameAtoms {
		easier := false
		for k := n[0]; k > n[0]-longestName && r.at(k).kind == aWord && !easier; k-- {
			easier = r.namesEasier(p, lines, k)
		}
		if !easier {
			return false
		}
	}
	return true
}

// foreignTime reports a time among the counts that is no hold's.
func (r *reader) foreignTime(p *content.Part, list []entry, v *values) bool {
	if len(v.times) == 0 {
		return false
	}
	for k, e := range list {
		if r.as[e.at].kind != aTime {
			continue
		}
		m := e.movement
		if m < 0 {
			m = stationAt(p, k, len(list))
		}
		if m < 0 || m >= len(p.Movements) || !r.isHold(p.Movements[m].Name) || r.as[e.at].bad {
			return true
		}
	}
	return false
}

// isHold reports whether the library calls a movement a hold, whose count is seconds.
func (r *reader) isHold(name string) bool {
	if r.in.Library == nil {
		return false
	}
	e, ok := r.in.Library.Find(name)
	return ok && e.Hold()
}

// namedCounts puts counts that name their movements in the order of the stations: one for each that was not left out.
func (r *reader) namedCounts(p *content.Part, list []entry, names int, total int64) verdict {
	all, _ := countsOf(p)
	if names != len(list) || len(list) > all {
		return ask(AboutValue)
	}
	n, through := len(p.Movements), max(p.Through, 1)
	counts, seen := make([]int64, all), make([]int, n)
	for _, e := range list {
		if e.movement < 0 || seen[e.movement] >= through || e.n > 0 && leftOut(&p.Movements[e.movement]) {
			return ask(AboutValue)
		}
		counts[seen[e.movement]*n+e.movement] = e.n
		seen[e.movement]++
	}
	for k := range p.Movements {
		if seen[k] < through && !leftOut(&p.Movements[k]) {
			return ask(AboutValue)
		}
	}
	return stationCounts(p, counts, total)
}
