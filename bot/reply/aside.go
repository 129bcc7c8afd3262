package reply

// isAside reports a figure that is told beside a result and is none: what the member weighs, a pace, a difference to
// another day, an earlier best. live is the last figure before it that may be a result, -1 for none.
func (r *reader) isAside(c *clause, i, live int) bool {
	return r.isMarked(i) || r.isPerson(c, i) || r.isPulse(i, live) || r.isPace(i, live) || live >= 0 && (r.isDifference(i) || r.isEarlier(c, i, live))
}

// isMarked reports a figure with the sign of money, a degree or a number at it, and the minutes that a part is called
// by: £20, 28°, #1, "amrap 12: 5+3".
func (r *reader) isMarked(i int) bool {
	a := &r.as[i]
	if a.kind != aInt && a.kind != aDecimal {
		return false
	}
	if a.from > 0 && !a.gap {
		switch r.ts[a.from-1].s {
		case "$", "£", "€", "¥", "₹":
			return true
		case "#":
			return a.n < 10
		}
	}
	if a.to < len(r.ts) && !r.ts[a.to].gap {
		switch r.ts[a.to].s {
		case "$", "£", "€", "¥", "₹", "°":
			return true
		}
	}
	b := r.at(i - 1)
	return b.word("amrap") || b.word("emom") || b.word("week") || b.word("wk") || b.word("day")
}

// isPerson reports what a person weighs or has lost: I'm 82 kg, bw 82, 82 kg bodyweight, down 2 kg.
func (r *reader) isPerson(c *clause, i int) bool {
	a := &r.as[i]
	if a.kind != aLoad && a.kind != aInt && a.kind != aDecimal || r.at(i+1).sign('+') {
		return false
	}
	k := i - 1
	for k >= c.from && isStill(&r.as[k]) {
		k--
	}
	switch b := r.at(k); b.s {
	case "i'm", "im", "weigh", "weighing", "weighs", "weighed", "weight", "bodyweight", "bw":
		return b.kind == aWord
	case "am":
		if r.at(k - 1).word("i") {
			return true
		}
	case "at", "in":
		if r.at(k-1).word("weighed") || r.at(k-1).word("weigh") || r.at(k-1).word("in") && r.at(k-2).word("weighed") {
			return true
		}
	case "down", "up", "gained", "lost", "dropped", "shed":
		return b.kind == aWord && a.kind == aLoad
	}
	n := r.at(i + 1)
	return n.word("bodyweight") || n.word("bw") || n.word("body") && r.at(i+2).word("weight")
}

// isPulse reports a heart rate that "hr" and "bpm" do not stand right beside: 165 avg hr, heart rate 165, pulse was 165,
// avg hr 165 max 182.
func (r *reader) isPulse(i, live int) bool {
	if r.as[i].kind != aInt {
		return false
	}
	b, n := r.at(i-1), r.at(i+1)
	if n.word("avg") || n.word("average") || n.word("max") || n.word("peak") {
		n = r.at(i + 2)
	}
	if n.word("hr") || n.word("pulse") || n.word("heart") || n.word("heartrate") {
		return true
	}
	if live >= 0 && (b.word("max") || b.word("peak") || b.word("avg")) && (r.at(i-2).talk || r.at(i-3).talk) {
		return true
	}
	for k := i - 1; k >= i-4; k-- {
		switch a := r.at(k); {
		case a.word("pulse"), a.word("heartrate"), a.word("hr"), a.word("rate") && r.at(k-1).word("heart"):
			return true
		case a.kind != aWord && !a.sign(':') && !a.sign('='):
			return false
		}
	}
	return false
}

// isStill reports words that stand between "I'm" and what the member weighs.
func isStill(a *atom) bool {
	if a.kind == aSign {
		return a.c == ':' || a.c == '='
	}
	switch a.s {
	case "now", "about", "around", "roughly", "currently", "still", "only", "is", "was":
		return a.kind == aWord
	}
	return false
}

// isPace reports a time a kilometre or a mile (pace 5:30, 5:30/km, 5:30 per mile) and a plural that looks like seconds.
func (r *reader) isPace(i, live int) bool {
	if r.as[i].kind != aTime {
		return false
	}
	b := r.at(i - 1)
	if u := &r.ts[r.as[i].to-1]; u.s == "s" && !u.gap && (b.word("the") || b.word("those") || b.word("them")) {
		return true // the 12s of a ladder
	}
	if b.word("was") || b.word("of") || b.word("is") || b.word("about") || b.sign(':') {
		b = r.at(i - 2)
	}
	n := r.at(i + 1)
	switch {
	case b.word("pace"), n.word("pace") && live >= 0:
		return true
	case n.sign('/'), n.word("per"), n.word("a"), n.word("an"):
		u := r.at(i + 2)
		return u.kind == aWord && u.is(clKilometre|clMile)
	}
	return false
}

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
	case "more", "fewer", "less", "better", "up", "down", "extra", "heavier", "lighter", "further", "farther", "higher", "worse":
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
		i, a = i+1, r.at(i+1)
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
	if p := r.at(i - 2); r.at(i-1).sign('+') && p.talk && p.kind == aInt {
		return true // the second half of 5+3
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
	case "pb", "pr", "best", "record", "target", "goal", "aim", "hoping", "aiming", "wanted":
		return k > live && b.kind == aWord
	case "from":
		p := r.at(k - 1)
		return k > live && (p.word("up") || p.word("down") || p.word("improved") || p.word("improvement"))
	case "missed", "failed", "fail":
		return k > live && a.kind != aRounds && a.kind != aReps
	}
	end := i + 1
	if r.at(end).sign('+') && r.at(end+1).kind == aInt {
		end += 2
	}
	n := r.at(end + 1)
	return r.at(end).word("last") && (n.word("time") || n.word("week") || n.word("month") || n.word("year") || n.kind == aDay)
}
