package reply

import "tallybell/content"

// second is how far a total may lie from what its splits come to.
const second = 1000

// readSplits reads as many times as rounds: laps, whose sum is the time, or running times, whose last is. A total given
// as well settles which.
func (r *reader) readSplits(c *clause, p *content.Part, v *values) verdict {
	rounds := p.RoundCount()
	times, total := r.totalTime(v.times, rounds)
	r.use(v.times)
	r.useBetween(v.times[0], v.times[len(v.times)-1])
	r.useEdges(c, v.times[0], v.times[len(v.times)-1])
	for _, i := range v.times {
		if r.as[i].bad {
			return ask(AboutValue, r.as[i].mends()...)
		}
	}
	if len(times) == 2 && rounds != 2 && total < 0 && r.at(times[0]+1).sign('-') {
		return ask(AboutValue, r.typed(times[0]), r.typed(times[1]))
	}
	if len(times) != rounds || rounds < 2 {
		if rounds < 2 {
			return ask(AboutValue, r.typed(times[0]), r.typed(times[len(times)-1]))
		}
		return ask(AboutSplits, r.totalIdea(total))
	}
	ms := make([]int64, len(times))
	for k, i := range times {
		ms[k] = r.as[i].ms
	}
	return r.settleSplits(c, p, ms, total)
}

// settleSplits decides between laps and running times. total is the atom of a total, -1 for none.
func (r *reader) settleSplits(c *clause, p *content.Part, ms []int64, total int) verdict {
	var sum int64
	for _, x := range ms {
		sum += x
	}
	last := ms[len(ms)-1]
	running, rises := lapsOf(ms)
	if total >= 0 {
		t := r.as[total].ms
		switch {
		case near(t, sum):
			return r.finished(c, p, t, ms)
		case near(t, last) && rises:
			return r.finished(c, p, t, running)
		}
		return ask(AboutTotal, clockText(sum), clockText(t))
	}
	limit := p.Cap.Milliseconds()
	asLaps := limit == 0 || sum <= limit
	asRunning := rises && (limit == 0 || last <= limit)
	switch {
	case asLaps && !asRunning:
		return r.finished(c, p, sum, ms)
	case asRunning && !asLaps:
		return r.finished(c, p, last, running)
	case asLaps:
		return ask(AboutSplits, clockText(last), clockText(sum))
	}
	return ask(AboutSplits)
}

// lapsOf returns the laps that running times mean; false unless they rise and each step lies within half of the first
// either way, both ends included.
func lapsOf(ms []int64) ([]int64, bool) {
	laps := make([]int64, len(ms))
	laps[0] = ms[0]
	for k := 1; k < len(ms); k++ {
		step := ms[k] - ms[k-1]
		laps[k] = step
		if step <= 0 || 2*step < ms[0] || 2*step > 3*ms[0] {
			return nil, false
		}
	}
	return laps, true
}

func near(a, b int64) bool { return a-b <= second && b-a <= second }

// totalTime parts the total, if one is given, from the splits: before a bracket, "rounds", "splits" or a colon, behind
// "=" or "total".
func (r *reader) totalTime(times []int, rounds int) (splits []int, total int) {
	if len(times) < 3 && len(times) != rounds+1 {
		return times, -1
	}
	last := times[len(times)-1]
	if r.isTotalMark(last - 1) {
		return times[:len(times)-1], last
	}
	first := times[0]
	for i := first + 1; i < times[1]; i++ {
		if a := r.at(i); a.sign('(') || a.sign(':') || a.sign('=') || a.word("rounds") || a.word("splits") || a.word("laps") || a.word("total") {
			return times[1:], first
		}
	}
	for i := times[len(times)-2] + 1; i < last; i++ {
		if r.isTotalMark(i) || r.at(i).sign(')') {
			return times[:len(times)-1], last
		}
	}
	if r.at(first-1).word("total") || r.at(first-2).word("total") {
		return times[1:], first
	}
	if r.at(last + 1).word("total") {
		return times[:len(times)-1], last
	}
	return times, -1
}

func (r *reader) isTotalMark(i int) bool {
	a := r.at(i)
	return a.sign('=') && !a.head || a.word("total") || a.word("totalling") || a.word("overall")
}

// useEdges marks brackets and words that belong to splits as read: (4:10 4:45), rounds 4:10 4:45, total.
func (r *reader) useEdges(c *clause, from, to int) {
	for i := from - 1; i >= c.from && (r.as[i].sign('(') || r.as[i].sign(':') || isSplitWord(&r.as[i])); i-- {
		r.as[i].used = true
	}
	for i := to + 1; i < c.to && (r.as[i].sign(')') || isSplitWord(&r.as[i])); i++ {
		r.as[i].used = true
	}
}

func isSplitWord(a *atom) bool {
	return a.word("splits") || a.word("rounds") || a.word("laps") || a.word("total")
}

func (r *reader) totalIdea(total int) string {
	if total < 0 {
		return ""
	}
	return clockText(r.as[total].ms)
}
