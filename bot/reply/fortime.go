package reply

import (
	"strconv"

	"tallybell/content"
)

// readForTime reads a time, splits, or how far an unfinished piece came.
func (r *reader) readForTime(c *clause, p *content.Part, v *values) verdict {
	r.dottedTimes(v)
	un := r.unfinished(c, v)
	if un.told {
		return r.readUnfinished(c, p, v, un)
	}
	if stop := r.stopWord(c, v); stop >= 0 && (len(v.times) > 0 || v.counted()) {
		r.as[stop].used = true
		if n := r.at(stop + 1); isManaged(n) {
			n.used = true
		}
		r.use(v.times, v.ints, v.rounds, v.reps)
		return ask(AboutProgress, r.progressIdeas(p, v)...).by(ruleAskStopped)
	}
	if len(v.times) == 0 {
		return r.noTime(c, p, v)
	}
	if c.finishedAt >= 0 {
		for k := c.finishedAt - 2; k <= c.finishedAt; k++ {
			r.as[k].used = true // finished at 14:32
		}
		return ask(AboutValue, clockText(r.as[c.finishedAt].ms)).by(ruleAskFinishedAt)
	}
	if out := r.besideTime(p, v); out.about != "" {
		return out
	}
	if len(v.times) > 1 {
		return r.readSplits(c, p, v)
	}
	a := &r.as[v.times[0]]
	a.used = true
	if a.bad || a.spelled && a.n == 0 && a.ms == 0 {
		return ask(AboutValue, a.mends()...).by(r.badTime(a))
	}
	return r.finished(c, p, a.ms, nil)
}

// finished is a finished time, unless the cap or plain speed says otherwise.
func (r *reader) finished(c *clause, p *content.Part, ms int64, laps []int64) verdict {
	if ms <= 0 {
		return ask(AboutValue).by(ruleAskBad)
	}
	if limit := p.Cap.Milliseconds(); limit > 0 && ms >= limit {
		done := r.markFinished(c)
		if ms > limit || !done {
			text, rule := clockText(ms), ruleAskAtCap
			if ms > limit {
				rule = ruleAskOverCap
			}
			return ask(AboutCap, text+" finished", "capped").by(rule)
		}
	}
	yes := true
	return judged(content.Result{Kind: content.KindTime, Finished: &yes, TimeMS: ms, SplitsMS: laps}, p.TotalReps()*1000 > 2*ms)
}

// markFinished reports whether the clause says finished or done in so many words.
func (r *reader) markFinished(c *clause) bool {
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if a.kind == aDone || a.word("finished") || a.word("completed") {
			a.used = true
			return true
		}
	}
	return false
}

// badTime names what is wrong with a time.
func (r *reader) badTime(a *atom) Rule {
	if !r.tracing() {
		return ""
	}
	if t := r.ts[a.to-1]; t.kind == numToken && len(t.s) == 2 && t.n >= 60 && r.ts[a.to-2].c == ':' {
		return ruleAskSixty
	}
	return ruleAskBad
}

// dottedTimes takes 14.32 as minutes and seconds: two digits below 60 after a point.
func (r *reader) dottedTimes(v *values) {
	if len(v.decimals) == 0 {
		return
	}
	rest := v.decimals[:0]
	for _, i := range v.decimals {
		a := &r.as[i]
		if s := digitsValue(a.frac); a.c == '.' && len(a.frac) == 2 && s < 60 {
			a.kind, a.ms = aTime, (a.n*60+s)*1000
			v.times = insertSorted(v.times, i)
			continue
		}
		rest = append(rest, i)
	}
	v.decimals = rest
}

func insertSorted(list []int, x int) []int {
	k := len(list)
	for k > 0 && list[k-1] > x {
		k--
	}
	list = append(list, 0)
	copy(list[k+1:], list[k:])
	list[k] = x
	return list
}

// noTime is a for-time clause with figures but no time: 14, 1432, 14,32, 14.3, or progress without a word of being
// unfinished.
func (r *reader) noTime(c *clause, p *content.Part, v *values) verdict {
	if v.none() || len(v.loads)+len(v.distances)+len(v.sets) > 0 && !v.counted() && len(v.decimals) == 0 {
		if len(v.distances) > 0 || len(v.loads) > 0 && len(c.labels) > 0 && !r.wordsBeside(c, v.loads[0]) {
			r.use(v.distances, v.loads)
			return ask(AboutValue)
		}
		return verdict{}
	}
	r.use(v.ints, v.decimals, v.rounds, v.reps)
	r.useJoined(v)
	switch {
	case len(v.rounds)+len(v.reps) > 0, r.plusPair(v):
		return ask(AboutValue, r.progressIdeas(p, v)...).by(ruleAskNoTime)
	case len(v.decimals) == 1:
		return ask(AboutValue, r.mendDecimal(v.decimals[0])...).by(ruleAskPoint)
	case len(v.ints) == 1:
		return ask(AboutValue, mendInt(r.as[v.ints[0]].n)...).by(ruleAskBareTime)
	case len(v.ints) == 2:
		m, s := &r.as[v.ints[0]], &r.as[v.ints[1]]
		if s.n < 60 {
			rule := ruleAskBareTime
			if r.at(v.ints[0] + 1).sign(',') {
				rule = ruleAskPoint
			}
			return ask(AboutValue, clockText((m.n*60+s.n)*1000)).by(rule)
		}
	}
	return ask(AboutValue)
}

// useJoined marks as read the signs between the figures of one value.
func (r *reader) useJoined(v *values) {
	lo, hi := len(r.as), -1
	for _, l := range [...][]int{v.ints, v.decimals, v.rounds, v.reps, v.times} {
		for _, i := range l {
			lo, hi = min(lo, i), max(hi, i)
		}
	}
	r.useBetween(lo, hi)
}

// mendInt suggests what 14 or 1432 may have meant as a time.
func mendInt(n int64) []string {
	switch {
	case n < 0:
		return nil
	case n < 60:
		return []string{clockText(n * 60000)}
	case n < 100:
		return []string{clockText(n * 1000), clockText(n * 60000)}
	case n < 10000 && n%100 < 60:
		return []string{clockText((n/100*60 + n%100) * 1000)}
	case n < 1_000_000 && n%100 < 60 && n/100%100 < 60:
		return []string{clockText((n/10000*3600 + n/100%100*60 + n%100) * 1000)}
	}
	return nil
}

// mendDecimal suggests what 14.3 or 14.325 may have meant.
func (r *reader) mendDecimal(i int) []string {
	a := &r.as[i]
	switch len(a.frac) {
	case 1:
		d := digitsValue(a.frac)
		out := []string{clockText(a.n*60000 + d*1000)}
		if d < 6 && d > 0 {
			out = append([]string{clockText(a.n*60000 + d*10000)}, out...)
		}
		return out
	case 3:
		if s := digitsValue(a.frac[:2]); s < 60 {
			return []string{clockText(a.n*60000 + s*1000 + digitsValue(a.frac[2:])*100)}
		}
	case 2:
		return []string{clockText(a.n*60000 + digitsValue(a.frac)*1000)}
	}
	return nil
}

// besideTime asks where another figure stands so close to a time that it may be part of it: 14-15 min, rounds that are
// not all of them.
func (r *reader) besideTime(p *content.Part, v *values) verdict {
	for _, i := range v.ints {
		s := r.at(i + 1)
		if r.at(i+2).kind == aTime && !r.at(i+2).talk && (s.sign('-') || s.word("to") || s.word("or") || r.between(i)) {
			if r.between(i) {
				r.as[i-1].used = true
			}
			r.as[i].used, s.used, r.as[i+2].used = true, true, true
			return ask(AboutValue, r.typed(i+2)).by(ruleAskRange)
		}
		if r.runsIntoTime(i) {
			r.use(v.times, v.ints)
			r.useJoined(v)
			return ask(AboutValue).by(ruleAskBesideTime) // 250 285 302 s
		}
		if n := r.at(i - 1); n.kind == aTime && !n.talk && r.hasUnit(i-1) && r.as[i].n < 60 && !r.as[i].spelled && !isPlainWord(r.at(i+1)) {
			r.use(v.times, v.ints)
			return ask(AboutValue, clockText(n.ms+r.as[i].n*1000), r.typed(i-1)).by(ruleAskBesideTime) // 14 min 5
		}
		if n := r.at(i - 1); n.kind == aTime && !n.talk && !r.as[i].gap {
			r.use(v.times, v.ints)
			return ask(AboutValue, r.typed(i-1)).by(ruleAskBesideTime)
		}
		if b := r.at(i - 1); b.sign(',') && !r.as[i].gap && !b.gap && r.at(i-2).kind == aTime {
			r.use(v.times, v.ints)
			b.used = true
			return ask(AboutValue, r.typed(i-2)).by(ruleAskBesideTime)
		}
	}
	if r.plusPair(v) {
		r.use(v.times, v.ints)
		r.useJoined(v)
		return ask(AboutValue, r.typed(v.times[0])).by(ruleAskBesideTime)
	}
	for _, i := range v.rounds {
		a := &r.as[i]
		if b := r.at(i - 1); b.word("like") || b.word("after") || b.word("before") {
			continue // "felt like 100 rounds"
		}
		if p.Scheme != content.Rounds || a.bad || a.n > int64(p.Rounds) {
			r.use(v.times, v.rounds)
			return ask(AboutValue, r.typed(v.times[0])).by(ruleAskBesideTime)
		}
		if a.n < int64(p.Rounds) && !r.isNth(i) && !r.isHow(i) {
			r.use(v.times, v.rounds)
			return ask(AboutProgress, r.progressIdeas(p, v)...).by(ruleAskNotAll)
		}
		a.used = true
	}
	return verdict{}
}

// runsIntoTime reports a bare number right before a time with a unit, as in a list with the unit at its end.
func (r *reader) runsIntoTime(i int) bool {
	k := i + 1
	if s := r.at(k); s.sign(',') || s.sign('/') || s.sign('+') {
		k++
	}
	n := r.at(k)
	return n.kind == aTime && !n.talk && !r.as[i].spelled && r.hasUnit(k)
}

// isHow reports rounds, behind a comma, that are told with how they were done: ", 2 rounds on knees".
func (r *reader) isHow(i int) bool {
	b, n := r.at(i-1), r.at(i+1)
	return b.sign(',') && (n.word("on") || n.word("with") || n.word("from") || n.word("felt") || n.word("of"))
}

// isNth reports rounds that are told for another reason: "after 2 rounds", "last 2 rounds".
func (r *reader) isNth(i int) bool {
	switch b := r.at(i - 1); b.s {
	case "after", "before", "like", "last", "first", "every", "the", "for", "except", "from":
		return true
	}
	return false
}

func itoa(n int64) string { return strconv.FormatInt(n, 10) }
