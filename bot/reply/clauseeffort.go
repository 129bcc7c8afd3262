package reply

import (
	"strconv"

	"tallybell/content"
)

// readEffort finds the clause's effort. 8/10 may be two counts instead, and is note after a pain word or before words of
// liking.
func (r *reader) readEffort(c *clause) {
	counts := r.mayHoldPair(c)
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if a.talk {
			continue
		}
		switch {
		case a.kind == aEffort && a.s == "@" && a.bad && r.isUnscored(c):
			continue // "3x12 @14" on sets: what does not parse is note
		case a.kind == aEffort && (a.s != "@" || r.atCounts(c, i)):
		case a.kind == aOutOf:
			if r.afterPain(c, i) || r.beforePain(c, i) || r.beforeLiking(c, i) {
				continue
			}
			if i == c.bodyAt && a.m > 0 && r.isList(c, i) {
				continue // 10/10 30 11/11: counts, by sides
			}
			if a.m > 0 && counts && c.pair < 0 && r.mayBeCounts(c, i) {
				c.pair = i
				continue
			}
		default:
			continue
		}
		effort := a.effort
		c.effort, c.badEffort, c.effortAt = &effort, a.bad, i
		if a.bad {
			c.effort = nil
		}
		a.used = true
	}
}

// atCounts reports whether @8 stands at the end of a clause behind a value or a version.
func (r *reader) atCounts(c *clause, i int) bool {
	for k := i + 1; k < c.to; k++ {
		if a := &r.as[k]; a.kind != aEmoji && a.kind != aSign && a.kind != aVersion && a.kind != aTick && !a.is(clThanks) && !a.word("and") {
			return a.kind == aSign && r.isPieceEnd(k)
		}
		if r.isPieceEnd(k) {
			break
		}
	}
	b := r.at(i - 1)
	return b.value() || b.kind == aVersion || b.kind == aDone || b.kind == aTick || b.kind == aOutOf || b.sign(',') || b.sign(')') || b.kind == aEnd || b.is(clReps|clRounds) || i == c.from || i == c.bodyAt
}

func (r *reader) afterPain(c *clause, i int) bool {
	for k := i - 1; k >= c.from && k >= i-6; k-- {
		a := &r.as[k]
		if isPainWord(a) || k >= i-2 && (isOtherScale(a) || a.kind == aWord && a.is(clBody)) {
			return true
		}
	}
	return false
}

// beforePain reports "3/10 pain", "knee 3/10 sore".
func (r *reader) beforePain(c *clause, i int) bool {
	for k := i + 1; k < c.to && k <= i+3 && r.as[k].kind == aWord; k++ {
		if isPainWord(&r.as[k]) {
			return true
		}
	}
	return false
}

func isPainWord(a *atom) bool {
	return a.kind == aWord && (a.is(clPain|clStrain) || a.s == "sore" || a.s == "soreness" || a.s == "stiff" || a.s == "stiffness")
}

// isOtherScale reports what is told out of ten and is no effort: sleep 4/10.
func isOtherScale(a *atom) bool {
	switch a.s {
	case "sleep", "slept", "energy", "mood", "motivation", "stress", "form", "technique", "enjoyment", "fun", "weather":
		return a.kind == aWord
	}
	return false
}

// isUnscored reports a clause whose one label is that of sets, quality or every.
func (r *reader) isUnscored(c *clause) bool {
	if len(c.labels) != 1 {
		return false
	}
	p, ok := c.part(c.labels[0])
	return ok && p.Kind() == content.KindDone
}

func (r *reader) beforeLiking(c *clause, i int) bool {
	for k := i + 1; k < c.to && k <= i+5; k++ {
		if a := &r.as[k]; a.kind == aWord && a.is(clLiking) {
			return true
		} else if r.isPieceEnd(k) || a.kind == aVersion {
			break
		}
	}
	return false
}

// isList reports that figures of a stations clause follow 8/10 at once, so that it is one of them.
func (r *reader) isList(c *clause, i int) bool {
	if len(c.labels) != 1 {
		return false
	}
	p, ok := c.part(c.labels[0])
	n := r.at(i + 1)
	return ok && p.Scheme == content.Stations && !isPair(p) && (n.kind == aInt || n.sign(',') && r.at(i+2).kind == aInt)
}

// mayHoldPair reports whether the clause has no other figure, so that 8/10 may be its value.
func (r *reader) mayHoldPair(c *clause) bool {
	for k := c.from; k < c.to; k++ {
		if a := &r.as[k]; a.value() && a.kind != aLoad {
			return false
		}
	}
	return true
}

// mayBeCounts reports whether 8/10 is the counts of a part with two stations, or the sets of an unscored part.
func (r *reader) mayBeCounts(c *clause, i int) bool {
	if len(c.labels) > 0 {
		p, ok := c.part(c.labels[0])
		return ok && (p.Kind() == content.KindDone && i == c.bodyAt || isPair(p))
	}
	return len(r.scored(c, isPair)) > 0
}

// isPair reports a part of two counts, or of two that were not left out.
func isPair(p *content.Part) bool {
	if p.Scheme != content.Stations {
		return false
	}
	all, left := countsOf(p)
	return all == 2 || left == 2
}

// pairAlone reads an unlabelled 8/10 for the part with two stations.
func (r *reader) pairAlone(i int, v *values) {
	c := &r.cls[i]
	if parts := r.scored(c, isPair); len(parts) > 1 {
		text := r.words(r.as[c.pair].from, r.as[c.pair].to)
		r.as[c.pair].used = true
		r.askPart(i, parts, text)
	} else if len(parts) == 1 {
		r.settle(i, parts[0], r.readStations(c, parts[0], v))
	}
}

func effortText(e float64) string { return strconv.FormatFloat(e, 'f', -1, 64) }
