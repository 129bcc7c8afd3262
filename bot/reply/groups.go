package reply

import (
	"math"
	"slices"

	"tallybell/content"
)

// kinds is a set of kinds of figures.
type kinds uint8

const (
	timeKinds kinds = 1 << iota
	countKinds
	decimalKinds
	loadKinds
	distanceKinds
)

// group is one kind of value in a clause and the scored parts that can hold it.
type group struct {
	kinds kinds
	parts []*content.Part
}

// only returns the figures of some kinds.
func (v *values) only(k kinds) values {
	var out values
	if k&timeKinds != 0 {
		out.times = v.times
	}
	if k&countKinds != 0 {
		out.ints, out.rounds, out.reps, out.calories, out.sets = v.ints, v.rounds, v.reps, v.calories, v.sets
	}
	if k&decimalKinds != 0 {
		out.decimals = v.decimals
	}
	if k&loadKinds != 0 {
		out.loads = v.loads
	}
	if k&distanceKinds != 0 {
		out.distances = v.distances
	}
	return out
}

// groups parts the values of a clause by the parts that can hold them. Parts that nothing fits are left out.
func (r *reader) groups(c *clause, v *values) []group {
	var out []group
	add := func(k kinds, parts []*content.Part) bool {
		if len(parts) == 0 {
			return false
		}
		for i := range out {
			if len(out[i].parts) == 1 && len(parts) == 1 && out[i].parts[0] == parts[0] {
				out[i].kinds |= k
				return true
			}
		}
		out = append(out, group{k, parts})
		return true
	}
	heaviest := r.scored(c, func(p *content.Part) bool { return p.Scheme == content.Heaviest })
	if len(v.loads) > 0 && len(heaviest) > 0 && r.loadIsResult(c, v) {
		k := loadKinds
		if near := r.nearLoad(v); len(near) > 0 && len(near) == len(v.ints)+len(v.reps) {
			k |= countKinds // 5x60 kg
		}
		add(k, heaviest)
	}
	if len(v.distances) > 0 {
		v.times = r.withoutClock(c, v.times)
	}
	if len(v.times) > 0 {
		parts := r.timeParts(c, v)
		k := timeKinds | r.beside(v)
		if len(parts) == 1 && r.allRounds(parts[0], v) {
			k |= countKinds
		}
		add(k, parts)
	}
	if v.counted() && !(len(out) > 0 && out[0].kinds&countKinds != 0) {
		add(countKinds, r.countParts(c, v))
	}
	if len(v.decimals) > 0 {
		add(decimalKinds, r.decimalParts(c, v))
	}
	if len(v.distances) > 0 {
		add(distanceKinds, r.scored(c, func(p *content.Part) bool { return p.Scheme == content.Farthest }))
	}
	slices.SortStableFunc(out, func(a, b group) int { return v.firstIn(a.kinds) - v.firstIn(b.kinds) })
	return out
}

// firstIn returns the first atom of some kinds.
func (v *values) firstIn(k kinds) int {
	some := v.only(k)
	first := math.MaxInt
	for _, l := range [...][]int{some.times, some.ints, some.rounds, some.reps, some.decimals, some.loads, some.distances} {
		if len(l) > 0 {
			first = min(first, l[0])
		}
	}
	return first
}

// between reports whether atom i begins "between 14 and 15".
func (r *reader) between(i int) bool { return r.at(i-1).word("between") && r.at(i+1).word("and") }

// beside returns the count kind when figures touch a time (14-15 min, 3 rounds 14:32), so that they are read with it.
func (r *reader) beside(v *values) kinds {
	for _, i := range v.ints {
		if r.runsIntoTime(i) && !r.isPieceEnd(i+1) {
			return countKinds
		}
		if n := r.at(i + 2); (r.at(i+1).sign('-') || r.at(i+1).word("to") || r.at(i+1).word("or") || r.between(i)) && n.kind == aTime || r.at(i-1).kind == aTime || r.at(i-1).sign(',') && !r.as[i].gap {
			return countKinds
		}
	}
	for _, i := range v.rounds {
		if n, b := r.at(i+1), r.at(i-1); n.kind == aTime || n.word("in") || b.kind == aTime || r.at(i-2).kind == aTime {
			return countKinds
		}
	}
	return 0
}

// allRounds reports that rounds beside a time are all those of its part: "14:32 rx, all 3 rounds".
func (r *reader) allRounds(p *content.Part, v *values) bool {
	return p.Scheme == content.Rounds && len(v.rounds) == 1 && len(v.ints)+len(v.reps) == 0 && r.as[v.rounds[0]].n == int64(p.Rounds)
}

// loadIsResult reports whether a load is a result by itself rather than what was used: alone in its piece of the clause
// but for the reps of its set, and not "with 20 kg".
func (r *reader) loadIsResult(c *clause, v *values) bool {
	at := v.loads[0]
	if b := r.at(at - 1); b.word("with") || b.word("using") || b.word("used") || b.word("w") || r.at(at-2).word("w") && b.sign('/') {
		return false
	}
	near := r.nearLoad(v)
	other := func(k int) bool {
		a := &r.as[k]
		return a.value() && a.kind != aLoad && a.kind != aSets && !slices.Contains(near, k)
	}
	for k := at - 1; k >= c.from && !r.isPieceEnd(k) && !r.as[k].word("and"); k-- {
		if other(k) {
			return false
		}
	}
	for k := at + 1; k < c.to && !r.isPieceEnd(k) && !r.as[k].word("and"); k++ {
		if other(k) {
			return false
		}
	}
	return true
}

// withoutClock drops the time that a farthest part gives: "2.4 km in 12:00".
func (r *reader) withoutClock(c *clause, times []int) []int {
	kept := times[:0:0]
	for _, i := range times {
		if len(r.scored(c, func(p *content.Part) bool {
			return p.Scheme == content.Farthest && p.Duration.Milliseconds() == r.as[i].ms
		})) > 0 {
			r.as[i].used = true
			continue
		}
		kept = append(kept, i)
	}
	return kept
}

func (r *reader) timeParts(c *clause, v *values) []*content.Part {
	metres, far := len(v.times) > 0, false
	for _, i := range v.times {
		a := &r.as[i]
		metres = metres && a.alt > 0
		far = far || a.alt >= 100_000
	}
	if metres {
		farthest := r.scored(c, func(p *content.Part) bool { return p.Scheme == content.Farthest })
		if far && len(farthest) > 0 {
			return farthest
		}
		return append(r.clockParts(c, v), farthest...)
	}
	return r.clockParts(c, v)
}

// clockParts are the parts that hold a time: for time, and holds (several times are splits of a piece for time).
func (r *reader) clockParts(c *clause, v *values) []*content.Part {
	return r.scored(c, func(p *content.Part) bool {
		return p.ForTime() || p.Scheme == content.LongestHold && (len(v.times) < 3)
	})
}

// countParts are the parts that hold rounds, reps or bare numbers.
func (r *reader) countParts(c *clause, v *values) []*content.Part {
	is := func(s ...content.Scheme) []*content.Part {
		return r.scored(c, func(p *content.Part) bool {
			for _, x := range s {
				if p.Scheme == x {
					return true
				}
			}
			return false
		})
	}
	firstOf := func(lists ...[]*content.Part) []*content.Part {
		for _, l := range lists {
			if len(l) > 0 {
				return l
			}
		}
		return nil
	}
	forTime := func() []*content.Part { return r.scored(c, (*content.Part).ForTime) }
	switch {
	case len(v.rounds) > 0:
		return firstOf(is(content.AMRAP), forTime())
	case r.plusPair(v) || len(v.ints) == 1 && len(v.reps) == 1 && r.at(v.ints[0]+1).sign('+'):
		parts := r.scored(c, func(p *content.Part) bool {
			return p.Scheme == content.AMRAP || isPair(p)
		})
		return firstOf(parts, is(content.Stations), forTime())
	case len(v.ints)+len(v.reps) >= 2:
		if r.at(v.firstCount() + 1).sign('x') {
			return firstOf(is(content.Heaviest), is(content.Stations))
		}
		if len(v.ints) == 2 && r.at(v.ints[0]+1).sign(',') && !r.as[v.ints[1]].gap && len(r.scored(c, isPair)) == 0 {
			return firstOf(is(content.Heaviest, content.Rounds, content.Ladder, content.LongestHold), is(content.Stations), is(content.AMRAP)) // 14,32
		}
		return firstOf(is(content.Stations), is(content.AMRAP), is(content.MostReps), is(content.Heaviest), forTime())
	case len(v.reps) == 1:
		return firstOf(is(content.AMRAP, content.Stations, content.MostReps), forTime())
	case len(v.ints) == 1:
		return firstOf(is(content.AMRAP, content.Stations, content.MostReps, content.Heaviest), is(content.Farthest),
			is(content.Rounds, content.Ladder, content.LongestHold))
	}
	return nil
}

func (v *values) firstCount() int {
	if len(v.ints) > 0 {
		return v.ints[0]
	}
	return v.reps[0]
}

// decimalParts are the parts that hold a bare number with decimals: minutes and seconds with a point, or a load.
func (r *reader) decimalParts(c *clause, v *values) []*content.Part {
	clock := true
	for _, i := range v.decimals {
		a := &r.as[i]
		clock = clock && a.c == '.' && len(a.frac) == 2 && digitsValue(a.frac) < 60
	}
	parts := r.scored(c, func(p *content.Part) bool { return p.Scheme == content.Heaviest || clock && p.ForTime() })
	if len(parts) > 0 {
		return parts
	}
	if parts = r.scored(c, func(p *content.Part) bool { return p.Scheme == content.Farthest }); len(parts) > 0 {
		return parts
	}
	return r.scored(c, func(p *content.Part) bool { return p.ForTime() || p.Scheme == content.LongestHold })
}
