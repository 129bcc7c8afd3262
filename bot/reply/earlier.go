package reply

// isDifference reports how much more or less it was than another day: 3 more than last time, +9 reps from last week.
func (r *reader) isDifference(i int) bool {
	a := &r.as[i]
	n := r.at(i + 1)
	if a.kind == aTime {
		return n.word("off") && r.isPast(i+2) || (n.word("more") || n.word("longer") || n.word("less") || n.word("shorter") || n.word("better")) && r.at(i+2).word("than")
	}
	if a.kind == aDistance && (n.word("climb") || n.word("elevation") || n.word("ascent") || n.word("hill") || n.word("hills") ||
		n.word("of") && r.at(i+2).word("hills") || n.word("up") || n.sign('/') && r.at(i+2).is(clHour)) {
		return true // 60 m of hills, 12 km/h
	}
	if a.kind != aInt && a.kind != aReps && a.kind != aRounds && a.kind != aLoad && a.kind != aDistance {
		return false
	}
	switch n.s {
	case "more", "fewer", "less", "better", "up", "down", "extra", "heavier", "lighter", "further", "farther", "higher", "worse", "longer", "shorter":
		k := i + 2
		if r.at(k).is(clReps|clRounds) && r.at(k).kind == aWord {
			k++
		}
		return r.at(k).word("than") || (r.at(k).word("from") || r.at(k).word("on")) && r.isPast(k+1) || n.word("heavier") || n.word("lighter")
	case "from", "on", "over":
		return n.kind == aWord && r.isPast(i+2)
	}
	return false
}

// isPast reports words of an earlier day at atom i: last week, my pb, yesterday.
func (r *reader) isPast(i int) bool {
	a := r.at(i)
	if a.word("my") || a.word("the") {
		a = r.at(i + 1)
	}
	switch {
	case a.word("last"), a.word("previous"), a.word("pb"), a.word("pr"), a.word("best"), a.kind == aDay && a.s != "today" && a.s != "date":
		return true
	}
	return false
}

// isEarlier reports another day's result that stands beside this one: pb 30, target was 6, up from 55 kg, missed 65 kg,
// (5+3 last time).
func (r *reader) isEarlier(c *clause, i, live int) bool {
	a := &r.as[i]
	if a.kind == aDecimal || a.kind == aSets || a.kind == aCalories {
		return false
	}
	if p, s := r.at(i-2), r.at(i-1); p.talk && p.kind == aInt && (s.sign('+') || (s.sign('/') || s.sign(',') || s.sign('-')) && !a.gap && !s.gap) {
		return true // the rest of 5+3, 20,18,14,22
	}
	if b := r.at(i - 1); a.kind == aTime && r.as[live].kind == aTime && a.ms > r.as[live].ms && (b.word("under") || b.word("sub") || b.word("below")) ||
		b.word("was") && r.at(i-2).sign('(') {
		return true // finally under 15:00
	}
	k := i - 1
	if r.at(k).word("for") && (r.at(k-1).word("hoping") || r.at(k-1).word("aiming") || r.at(k-1).word("going")) {
		k--
	}
	for k > live && (r.at(k).word("was") || r.at(k).word("is") || r.at(k).word("of") || r.at(k).sign(':') || r.at(k).sign('=')) {
		k--
	}
	switch b := r.at(k); b.s {
	case "pb", "pr", "best", "record", "wanted":
		return k > live && b.kind == aWord
	case "from":
		p := r.at(k - 1)
		return k > live && (p.word("up") || p.word("down") || p.word("improved") || p.word("improvement"))
	case "missed", "failed", "fail":
		return k > live && a.kind != aRounds && a.kind != aReps
	}
	return false
}
