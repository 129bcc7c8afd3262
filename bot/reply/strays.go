package reply

import (
	"slices"

	"tallybell/content"
)

// setAside leaves to the note the figures of a remark behind a complete value: "78 rx, hubby got 81", "21 18 15 24, so
// close to 80". A lone figure is complete when a version or an effort stands right behind it.
func (r *reader) setAside(c *clause, p *content.Part, v *values) {
	r.setClockAside(p, v)
	all := len(v.ints) + len(v.reps) + len(v.rounds) + len(v.times) + len(v.loads)
	if all < 2 {
		return
	}
	lead := r.leadingRun(c)
	if lead.n == 0 || lead.n == all || !r.isWholeValue(p, lead) && (lead.n > 1 || !r.closesValue(c, lead.last+1)) {
		return
	}
	if p.Scheme == content.Stations && lead.n == 1 {
		if n, left := countsOf(p); all == n || all == left || all == n+1 {
			return // as many figures as counts, words between: 21 ok, 18 good, 15 meh
		}
	}
	aside := false
	for k := lead.last + 1; k < c.to; k++ {
		a := &r.as[k]
		if !a.value() || a.used || a.kind == aLoad && p.Scheme != content.Heaviest || a.kind == aCalories || a.kind == aDistance || !r.isRemarked(c, p, k, lead.last) {
			continue
		}
		a.talk, aside = true, true
		r.because(ruleAside, k, k+1, "not read")
	}
	if aside {
		v.dropTalk(r)
	}
}

// setClockAside leaves to the note the time that stations take: "78 in 4 min".
func (r *reader) setClockAside(p *content.Part, v *values) {
	if p.Scheme != content.Stations || len(v.times) == 0 {
		return
	}
	all, _ := countsOf(p)
	for _, i := range v.times {
		if ms := r.as[i].ms; ms == p.Work.Milliseconds()*int64(all) && ms > p.Work.Milliseconds() && (len(v.times) == 1 || all != len(v.times)) {
			r.as[i].talk = true
			r.because(ruleAside, i, i+1, "not read")
		}
	}
	v.dropTalk(r)
}

// run is a stretch of n figures, from its first atom to its last.
type run struct{ n, first, last int }

// leadingRun returns the figures that the clause's body begins with, parted by signs and joining words only.
func (r *reader) leadingRun(c *clause) run {
	out := run{first: c.bodyAt}
	for k := c.bodyAt; k < c.to; k++ {
		switch a := &r.as[k]; {
		case a.value():
			out.n, out.last = out.n+1, k
		case out.n > 0 && (a.sign(',') || a.sign('/') || a.sign('-') || a.sign('+') || a.sign('&') || a.sign('|') || a.sign('=') ||
			a.word("and") || a.word("then") || a.word("plus")):
		default:
			return out
		}
	}
	return out
}

// isWholeValue reports figures that are all of a value: a count a station, or rounds and reps beyond them.
func (r *reader) isWholeValue(p *content.Part, lead run) bool {
	switch p.Scheme {
	case content.Stations:
		all, left := countsOf(p)
		return lead.n > 1 && (lead.n == all || lead.n == left)
	case content.AMRAP:
		a := r.at(lead.first)
		return lead.n == 2 && (a.kind == aRounds || a.kind == aInt && r.at(lead.first+1).sign('+'))
	}
	return false
}

// closesValue reports a version or an effort right behind a value that ends at atom end.
func (r *reader) closesValue(c *clause, end int) bool {
	for end < c.to && (r.as[end].sign(',') || r.as[end].sign('-') || r.as[end].sign('(')) {
		end++
	}
	a := r.at(end)
	return end < c.to && a.used && (a.kind == aVersion || a.kind == aEffort || a.kind == aOutOf)
}

// isRemarked reports a figure that belongs to the words around it: a plain word stands before it, or behind it and no
// sign that would join it to the value. last is the last figure of the value.
func (r *reader) isRemarked(c *clause, p *content.Part, k, last int) bool {
	b, n := r.at(k-1), r.at(k+1)
	if r.isTotalMark(k-1) || r.isTotalMark(k+1) || n.word("altogether") || b.word("sum") || b.word("makes") || b.word("equals") ||
		b.sign('>') || r.namesMovement(c, p, k+1) || n.word("of") && r.namesMovement(c, p, k+2) {
		return false
	}
	if n.kind == aLoad || n.sign('x') && r.at(k+2).kind == aLoad {
		return true // two 6 kg bells
	}
	if isPlainWord(b) && b.kind == aWord {
		return !isValueWord(b.s) && !(k == last+2 && isAbbreviation(b.s)) && !r.endsName(c, p, k) || b.s == "in" || b.s == "for" || b.s == "at"
	}
	if b.word("with") || b.word("then") {
		return isPlainWord(n) || r.as[k].kind == aLoad
	}
	open := b.sign(',') || b.sign('(') || b.sign('!') || b.kind == aVersion || b.kind == aEffort
	return open && isPlainWord(n) && !isValueWord(n.s)
}

// endsName reports whether a movement's name ends right before atom k.
func (r *reader) endsName(c *clause, p *content.Part, k int) bool {
	for i := k - 1; i >= c.bodyAt && i >= k-longestName; i-- {
		if m, end := r.movementAt(c.session, p, i); m >= 0 && end == k {
			return true
		}
	}
	return false
}

// isAbbreviation reports a word of consonants, which may be a movement's: "4 gm 8 cs".
func isAbbreviation(s string) bool {
	for i := range len(s) {
		switch s[i] {
		case 'a', 'e', 'i', 'o', 'u', 'y':
			return false
		}
	}
	return s != "hr" && s != "pb" && s != "pr"
}

// dropTalk takes figures that have been found to be talk out of the lists.
func (v *values) dropTalk(r *reader) {
	for _, l := range [...]*[]int{&v.times, &v.ints, &v.decimals, &v.rounds, &v.reps, &v.loads} {
		*l = slices.DeleteFunc(*l, func(i int) bool { return r.as[i].talk })
	}
}
