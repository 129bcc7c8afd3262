package reply

import "tallybell/content"

// findQuestions finds the sentences that a question mark rules, and those that ask without one.
func (r *reader) findQuestions() {
	start := 0
	for i := 0; i <= len(r.as); i++ {
		a := r.at(i)
		switch {
		case i == len(r.as) || a.kind == aEnd || a.sign('!'):
			if i > start && r.asksPlainly(start, i) {
				r.question(start, i)
			}
			start = i + 1
		case a.sign('?'):
			end := i + 1
			for r.at(end).sign('?') || r.at(end).sign('!') {
				end++
			}
			r.question(start, end)
			start = end
			i = end - 1
		}
	}
}

func (r *reader) question(from, to int) {
	if n := len(r.questions); n > 0 && r.questions[n-1][1] == from {
		r.questions[n-1][1] = to
	} else {
		r.questions = append(r.questions, [2]int{from, to})
	}
	for i := from; i < to; i++ {
		r.as[i].talk = true
	}
	r.out.Question = true
}

// asksPlainly reports a sentence that asks without a question mark: "can I swap the lunges".
func (r *reader) asksPlainly(from, to int) bool {
	for from < to && (r.as[from].kind == aEmoji || r.as[from].sign(',') || isGreeting(r.as[from].s)) {
		from++
	}
	if to-from < 3 || r.as[from].kind != aWord {
		return false
	}
	second := r.as[from+1].s
	switch r.as[from].s {
	case "can", "could", "should", "shall", "may", "must", "do":
		return second == "i" || second == "we" || second == "you" && len(r.at(from+2).s) > 1 && !r.at(from+2).word("believe") && !r.at(from+2).word("imagine") && !r.at(from+2).word("tell")
	case "is":
		return second == "it" || second == "that" || second == "there" || second == "this"
	case "are":
		return second == "there" || second == "we"
	case "what":
		return second == "is" || second == "was" || second == "are" || second == "does" || second == "should" || second == "do"
	case "what's", "whats":
		return true
	case "how":
		return second == "do" || second == "many" || second == "should" || second == "heavy" || second == "often" || second == "does"
	case "when", "where":
		return second == "is" || second == "do" || second == "can" || second == "will" || second == "are"
	case "why", "which":
		return second == "is" || second == "do" || second == "are" || second == "one"
	}
	return false
}

func isGreeting(s string) bool {
	switch s {
	case "hi", "hey", "hello", "coach", "ps", "and", "also", "morning", "evening", "so", "btw":
		return true
	}
	return false
}

// markTalk takes figures that are no result out of a clause: times of day, other days' times, hours slept.
func (r *reader) markTalk(c *clause) {
	live := -1 // the last figure that may be a result
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if !a.value() {
			continue
		}
		rule := Rule("")
		switch {
		case r.isClock(c, i, live):
			rule = ruleClock
		case r.isReference(c, i, live):
			rule = ruleReference
		case r.isOther(i), r.isSpan(c, i, live):
			rule = ruleOther
		case r.isAside(c, i, live):
			rule = ruleAside
		}
		if rule != "" {
			end := i + 1
			if rule == ruleReference {
				end = r.pairEnd(i)
			}
			r.because(rule, i, end, "not read")
			for ; i < end; i++ {
				r.as[i].talk = true
			}
			i--
			continue
		}
		live = i
	}
}

// pairEnd returns the atom after the figure at i, which may be the rounds of rounds and reps: 8+2, 8 rounds and 2, 8 rounds 2.
func (r *reader) pairEnd(i int) int {
	if a := &r.as[i]; a.kind != aInt && a.kind != aRounds {
		return i + 1
	}
	k := i + 1
	if n := r.at(k); n.sign('+') || n.word("and") && r.as[i].kind == aRounds {
		k++
	} else if r.as[i].kind == aInt {
		return i + 1
	}
	if n := r.at(k); n.kind != aInt && n.kind != aReps {
		return i + 1
	}
	return k + 1
}

// longestSession is a time in milliseconds that no piece takes: what is told as such is a time of day.
const longestSession = 5 * 3600 * 1000

// isClock reports a time of day after at, by, until, from. "finished at 14:32" is kept, to be asked.
func (r *reader) isClock(c *clause, i, live int) bool {
	a, b := &r.as[i], r.at(i-1)
	if a.kind == aTime && (b.word("since") || b.word("you") && r.at(i-2).word("see")) {
		return true
	}
	if a.kind != aTime && a.kind != aInt {
		return false
	}
	if p := r.at(i - 2); (b.word("to") || b.word("and") || b.sign('-')) && p.talk && p.kind == a.kind && r.at(i-3).is(clClock) {
		return true // from 6:00 to 7:00
	}
	if a.kind == aTime && a.ms >= longestSession && len(c.labels) == 0 && a.alt == 0 {
		return true // 15h15
	}
	if b.kind != aWord || !b.is(clClock) || a.kind == aTime && a.alt > 0 {
		return false
	}
	if b.s != "at" {
		return true
	}
	if a.kind == aInt {
		if n := r.at(i + 1); n.sign('x') || n.sign('+') || n.sign('/') {
			return false
		}
		if f := r.at(i - 2); f.kind == aInt && !f.talk && len(c.labels) == 1 {
			p, ok := c.part(c.labels[0])
			return !ok || p.Scheme != content.Heaviest // 3 at 32
		}
		return true
	}
	switch f := r.at(i - 2); {
	case (f.word("finished") || f.kind == aDone || f.word("completed")) && r.given(live):
		return true // "D 14:32, finished at 7:40"
	case f.word("finished"), f.kind == aDone, f.word("completed"):
		c.finishedAt = i
		return false
	case f.kind == aCap, f.kind == aStop:
		return false
	}
	return true
}

// isReference reports another day's time: after vs, than, last time, beat my, by, incl; before faster or slower.
func (r *reader) isReference(c *clause, i, live int) bool {
	a := &r.as[i]
	if a.kind != aTime && a.kind != aRounds && a.kind != aReps && a.kind != aLoad && a.kind != aInt && a.kind != aDecimal && a.kind != aDistance {
		return false
	}
	for k, steps := i-1, 0; k >= c.from && k > live && steps < 4; k, steps = k-1, steps+1 {
		b := &r.as[k]
		if b.kind == aDay || b.sign('(') || b.sign(':') {
			continue
		}
		if b.kind != aWord || b.word("last") && k+1 == c.dayAt {
			break
		}
		if r.refersAt(k, i, live) {
			return true
		}
	}
	end := r.pairEnd(i)
	switch n := r.at(end); n.s {
	case "last":
		n = r.at(end + 1)
		return !r.toldOf(end+2) && (live >= 0 || len(c.labels) == 0 || r.isPieceEnd(end+2)) && (n.word("time") || n.word("week") || n.word("month") || n.kind == aDay) // "13:50, 14:32 last time"
	case "faster", "slower", "quicker":
		return live >= 0 || a.kind == aTime && a.ms < 60_000
	case "pb", "pr":
		return a.kind == aTime && a.ms < 60_000 && r.given(live)
	case "better", "ahead", "behind":
		return live >= 0 && n.kind == aWord
	case "under", "inside", "below", "within":
		k := end + 1
		if r.at(k).word("the") {
			k++
		}
		return r.at(k).word("cap") && r.given(live)
	}
	return false
}

// given reports whether a time of this reply has been read already: in the clause (live), or before it.
func (r *reader) given(live int) bool {
	if live >= 0 && r.as[live].kind == aTime {
		return true
	}
	for k := range r.drafts {
		if r.drafts[k].res.Kind == content.KindTime {
			return true
		}
	}
	return false
}

// refersAt reports whether the word at k makes the figure at i another day's.
func (r *reader) refersAt(k, i, live int) bool {
	switch b := &r.as[k]; b.s {
	case "vs", "versus", "than", "beat", "incl", "including":
		return true
	case "by":
		return k == i-1
	case "compared", "instead", "against":
		return live >= 0
	case "pb", "best", "record":
		return (live < 0 || r.as[live].kind == r.as[i].kind) && (r.at(k-1).word("my") || r.at(k-1).word("old")) && !r.at(k+1).sign('!') // "14:32, my pb is 13:10"
	case "goal", "target", "aim", "aiming", "hoping", "hope":
		return true
	case "would", "could", "might":
		return r.at(k+1).word("be") || r.at(k+1).word("have")
	case "next":
		return r.at(k+1).word("time") || r.at(k+1).word("week") || r.at(k+1).word("month")
	case "last", "previous", "prev", "old":
		n := r.at(k + 1)
		return k == i-1 && live >= 0 && b.s != "last" || n.word("time") || n.word("week's") || n.word("week") || n.word("pb") || n.word("best") || n.word("score") || n.kind == aDay
	case "faster", "slower":
		return live >= 0 || k == i-1 && r.as[i].kind == aTime && r.as[i].ms < 60_000
	}
	return false
}

// isOther reports figures of sleep, rest, body weight, age and the like.
func (r *reader) isOther(i int) bool {
	a := &r.as[i]
	for k := i - 1; k >= i-3; k-- {
		b := r.at(k)
		if b.kind != aWord && b.kind != aHedge {
			break
		}
		switch b.s {
		case "into", "day", "week", "wasted", "warmed", "stretched", "stretching", "ran", "cycled", "biked", "swam", "hiked", "slept", "sleep", "weigh", "weighed", "weight", "lost", "gained", "rest", "rested", "resting", "walked", "waited", "nap", "break", "vitamin", "bpm", "hr", "warmup", "temperature", "temp", "fever", "pressure", "bp", "pulse":
			return a.kind != aRounds && !(a.kind == aDistance && isTravel(b.s) && hasKind(&r.in.Session, content.KindDistance))
		}
		if !b.is(clVague) && b.s != "only" && b.s != "for" && b.s != "of" && b.s != "a" && b.s != "was" && b.s != "is" && b.s != "up" {
			break
		}
	}
	if p := r.at(i - 2); r.at(i-1).word("of") && p.kind == aInt && p.talk {
		return true // day 3 of 5
	}
	if b := r.at(i - 1); b.word("in") && (a.kind == aTime && r.hasUnit(i)) {
		switch p := r.at(i - 2); p.s {
		case "back", "home", "be", "out", "leaving", "starting", "start", "there":
			return true
		}
	}
	n := r.at(i + 1)
	if n.word("of") {
		n = r.at(i + 2)
	}
	if r.at(i-1).sign('x') && a.kind == aInt {
		return false // 3x12 rest 1:30
	}
	if n.word("for") && a.kind == aTime { // 20 minutes for the warm up
		n = r.at(i + 2)
		if n.word("the") || n.word("my") {
			n = r.at(i + 3)
		}
	}
	switch n.s {
	case "ago", "late", "early", "old", "nap", "sleep", "rest", "rests", "resting", "break", "breaks", "fever", "degrees", "warmup", "stretch", "stretching", "later", "drive", "bpm":
		return n.kind == aWord
	case "walk", "warm", "commute", "cooldown", "cycle", "headache", "migraine":
		return n.kind == aWord && a.kind == aTime
	case "earlier", "each":
		return n.kind == aWord && a.kind == aTime && r.hasUnit(i)
	}
	return false
}

// isTravel reports how a distance is covered: its value, where a part takes one.
func isTravel(s string) bool {
	switch s {
	case "ran", "cycled", "biked", "swam", "hiked", "walked":
		return true
	}
	return false
}

// hasUnit reports a figure with a word or letter of a unit: 20 min.
func (r *reader) hasUnit(i int) bool { return r.ts[r.as[i].to-1].kind == wordToken }
