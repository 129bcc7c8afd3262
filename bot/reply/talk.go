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
		return second == "i" || second == "we"
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
		if r.isClock(c, i) || r.isReference(c, i, live) || r.isOther(i) || r.isAside(c, i, live) {
			a.talk = true
			continue
		}
		live = i
	}
}

// isClock reports a time of day after at, by, until, from. "finished at 14:32" is kept, to be asked.
func (r *reader) isClock(c *clause, i int) bool {
	a, b := &r.as[i], r.at(i-1)
	if a.kind == aTime && (b.word("since") || b.word("you") && r.at(i-2).word("see")) {
		return true
	}
	if a.kind != aTime && a.kind != aInt || b.kind != aWord || !b.is(clClock) || a.kind == aTime && a.alt > 0 {
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
		if b.kind != aWord {
			break
		}
		if r.refersAt(k, i, live) {
			return true
		}
	}
	switch n := r.at(i + 1); n.s {
	case "faster", "slower", "quicker":
		return live >= 0 || a.kind == aTime && a.ms < 60_000
	case "pb", "better", "ahead", "behind":
		return live >= 0 && n.kind == aWord && n.s != "pb"
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
	case "last", "previous", "prev", "old":
		n := r.at(k + 1)
		return n.word("time") || n.word("week's") || n.word("week") || n.word("pb") || n.word("best") || n.word("score") || n.kind == aDay
	case "faster", "slower":
		return live >= 0 || k == i-1 && r.as[i].kind == aTime && r.as[i].ms < 60_000
	}
	return false
}

// isOther reports figures of sleep, rest, body weight, age and the like.
func (r *reader) isOther(i int) bool {
	a := &r.as[i]
	for k := i - 1; k >= i-2; k-- {
		b := r.at(k)
		if b.kind != aWord && b.kind != aHedge {
			break
		}
		switch b.s {
		case "slept", "sleep", "weigh", "weighed", "weight", "lost", "gained", "rest", "rested", "resting", "walked", "waited", "nap", "break", "vitamin", "bpm", "hr", "warmup", "temperature":
			return a.kind != aRounds
		}
		if !b.is(clVague) && b.s != "only" && b.s != "for" && b.s != "of" && b.s != "a" && b.s != "was" && b.s != "is" {
			break
		}
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
	switch n.s {
	case "ago", "late", "early", "old", "nap", "sleep", "rest", "rests", "resting", "break", "breaks", "warmup", "stretch", "stretching", "later", "drive", "bpm":
		return n.kind == aWord
	case "walk", "warm", "commute", "cooldown", "cycle":
		return n.kind == aWord && a.kind == aTime
	case "earlier", "each":
		return n.kind == aWord && a.kind == aTime && r.hasUnit(i)
	}
	return false
}

// hasUnit reports a figure with a word or letter of a unit: 20 min.
func (r *reader) hasUnit(i int) bool { return r.ts[r.as[i].to-1].kind == wordToken }
