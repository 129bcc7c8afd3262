package reply

import "tallybell/content"

// unlabelled reads a clause without a label: each kind of value goes to the one scored part that can hold it.
func (r *reader) unlabelled(i int) {
	c := &r.cls[i]
	v := r.survey(c)
	if letter := r.mentioned(c); letter != 0 {
		if p, ok := c.part(letter); ok {
			r.whyPart(ruleLabelWithin, c, "part ", p.Letter, "")
			r.labelled(i, p)
			if !c.read && !v.none() {
				r.settle(i, p, ask(AboutValue)) // never another part's
			}
			return
		}
	}
	if r.bareDone(i) {
		if r.noScore(c) {
			r.unscoredOnly(i)
		} else {
			r.logDone(i)
		}
	}
	switch {
	case !v.none() || r.hasCap(c):
		r.byKind(i, &v)
		if c.read {
			r.useDoneBeside(c)
		}
	case !c.read && r.hasNoScore(c):
		r.noScore(c)
		r.unscoredOnly(i)
	}
	if c.pair >= 0 && !c.read {
		r.pairAlone(i, &v)
	}
}

// mentioned returns the one part that is named, in the middle of a sentence, in the same piece as a value ("had to stop D
// after 3 rounds"); 0 when none or several are. A value beside it is never another part's.
func (r *reader) mentioned(c *clause) byte {
	var found byte
	for from := c.from; from < c.to; {
		to := from
		for to < c.to && !r.isPieceEnd(to) {
			to++
		}
		var letter byte
		value := false
		for k := from; k < to; k++ {
			value = value || r.as[k].value() && !r.as[k].used && !r.as[k].talk && !r.as[k].spelled
			if l, _ := r.letterAt(k); l != 0 && l != 'A' && l != 'I' && !r.as[k].head && !isLettered(r.at(k-1)) && !(value && r.beginsTalk(k)) {
				if letter != 0 && letter != l {
					return 0
				}
				letter = l
			}
		}
		if value && letter != 0 {
			if found != 0 && found != letter {
				return 0
			}
			found = letter
		}
		from = to + 1
	}
	return found
}

// beginsTalk reports a letter right behind a version or an effort with words behind it: the sentence goes on to another
// part ("14:32 scaled b was tough").
func (r *reader) beginsTalk(k int) bool {
	b, n := r.at(k-1), r.at(k+1)
	return (b.kind == aVersion || b.kind == aEffort || b.kind == aOutOf) && (n.kind == aWord && !n.is(clThanks) || n.sign('+') && r.at(k+2).kind == aWord)
}

// useDoneBeside marks "done" beside a value as read: done in 14:32.
func (r *reader) useDoneBeside(c *clause) {
	for k := c.from; k < c.to; k++ {
		if a := &r.as[k]; a.kind == aDone && (r.at(k+1).used || r.at(k-1).used || r.at(k+1).word("in")) {
			a.used = true
		}
	}
}

func (r *reader) hasCap(c *clause) bool {
	for k := c.from; k < c.to; k++ {
		if r.as[k].kind == aCap {
			return true
		}
	}
	return false
}

func (r *reader) hasNoScore(c *clause) bool {
	for k := c.from; k < c.to; k++ {
		if r.as[k].kind == aNoScore {
			return true
		}
	}
	return false
}

// unscoredOnly logs done for the one scored part whose score is not known.
func (r *reader) unscoredOnly(i int) {
	c := &r.cls[i]
	parts := r.scored(c, func(p *content.Part) bool { return true })
	switch {
	case len(parts) == 1:
		r.owes(ruleNoScore)
		r.add(i, parts[0], content.Result{Kind: content.KindDone}, "done, no score")
	case len(parts) > 1:
		r.askPart(i, parts, "done, no score")
	}
}

// scored lists the scored parts that pass.
func (r *reader) scored(c *clause, pass func(p *content.Part) bool) []*content.Part {
	var out []*content.Part
	for k := range c.session.Session.Parts {
		if p := &c.session.Session.Parts[k]; p.IsScored() && pass(p) {
			out = append(out, p)
		}
	}
	return out
}

func (r *reader) askPart(i int, parts []*content.Part, value string) {
	texts := make([]string, 0, len(parts))
	for _, p := range parts {
		texts = append(texts, p.Letter+" "+value+r.tail(&r.cls[i]))
	}
	r.addAsk(i, "", AboutPart, texts)
}

// byKind sends the values of a clause to the parts that can hold them.
func (r *reader) byKind(i int, v *values) {
	c := &r.cls[i]
	if r.howFarBehind(i, v) {
		return
	}
	if u := r.unfinished(c, v); u.told {
		if parts := r.scored(c, (*content.Part).ForTime); len(parts) > 0 {
			if !r.tellsProgress(c, v, u) {
				return
			}
			r.give(i, parts, v)
			return
		}
	}
	if r.totalBehind(i, v) {
		return
	}
	if len(v.rounds) == 1 && r.isNth(v.rounds[0]) && r.stopWord(c, v) < 0 && r.wordsBeside(c, v.rounds[0]) {
		r.because(ruleBeside, c.from, c.to, "not read")
		v.rounds = nil // "my phone rang after 2 rounds"
	}
	if len(v.ints) > 2 {
		lead := r.leadingRun(c)
		for _, p := range r.scored(c, func(p *content.Part) bool { return r.isWholeValue(p, lead) }) {
			r.setAside(c, p, v)
		}
	}
	ints := len(v.ints)
	if v.ints = r.plainInts(c, v); len(v.ints) < ints {
		r.because(ruleBeside, c.from, c.to, "not read")
	}
	if len(v.decimals) == 1 && r.wordsBeside(c, v.decimals[0]) && len(r.scored(c, (*content.Part).ForTime)) == 0 {
		r.because(ruleBeside, c.from, c.to, "not read")
		v.decimals = nil // "room 3.14"
	}
	if v.none() {
		return
	}
	groups := r.groups(c, v)
	if len(groups) == 0 {
		r.nowhere(i, v)
		return
	}
	loads := v.loads
	for k := range groups {
		if groups[k].kinds&loadKinds != 0 {
			loads = nil
		}
	}
	for k := range groups {
		g := &groups[k]
		rest := v.only(g.kinds)
		if loads != nil {
			rest.loads, loads = loads, nil
		}
		r.give(i, g.parts, &rest)
	}
}

// tellsProgress keeps talk of a cap without a value ("the cap was tough") and of what is left ("2 days left") from being
// asked: something else than words must stand beside it, or nothing at all.
func (r *reader) tellsProgress(c *clause, v *values, u unfinished) bool {
	if u.cap >= 0 {
		return v.counted() || len(v.times) > 0 || !r.wordsBeside(c, u.cap)
	}
	return true
}

// give reads the values for the one part of a list, or asks which.
func (r *reader) give(i int, parts []*content.Part, v *values) {
	c := &r.cls[i]
	if len(parts) > 1 {
		value := r.valueText(v)
		if value == "" && r.hasCap(c) {
			value = "capped"
		}
		r.vagueUse(c, v)
		r.useAll(v)
		r.useCaps(c)
		r.askPart(i, parts, value)
		return
	}
	out := r.readPart(c, parts[0], v)
	if !out.empty() {
		r.whyPart(ruleByKind, c, "part ", parts[0].Letter, "")
		r.settle(i, parts[0], out)
	}
}

func (r *reader) useCaps(c *clause) {
	for k := c.from; k < c.to; k++ {
		if r.as[k].kind == aCap {
			r.as[k].used = true
		}
	}
}

func (r *reader) vagueUse(c *clause, v *values) {
	for _, l := range [...][]int{v.times, v.ints, v.rounds, v.reps} {
		for _, i := range l {
			r.vagueMark(i, true)
		}
	}
}

// valueText is the stretch of the text that holds the values.
func (r *reader) valueText(v *values) string {
	lo, hi := len(r.as), -1
	for _, l := range [...][]int{v.times, v.ints, v.decimals, v.rounds, v.reps, v.distances, v.loads} {
		for _, i := range l {
			lo, hi = min(lo, i), max(hi, i)
		}
	}
	if hi < 0 {
		return ""
	}
	if lo == hi {
		return r.typed(lo)
	}
	return r.words(r.as[lo].from, r.as[hi].to)
}

// nowhere is a clause whose values no scored part can hold: asked when it stands alone, else talk.
func (r *reader) nowhere(i int, v *values) {
	c := &r.cls[i]
	at := -1
	for _, l := range [...][]int{v.times, v.rounds, v.reps, v.decimals, v.ints} {
		if len(l) > 0 && at < 0 {
			at = l[0]
		}
	}
	if at < 0 || r.wordsBeside(c, at) {
		return
	}
	r.useAll(v)
	r.owes(ruleAskNowhere)
	r.addAsk(i, "", AboutValue, nil)
}

// plainInts drops bare whole numbers that are talk: a lone one beside words ("finally under 15"), or some that are no
// list.
func (r *reader) plainInts(c *clause, v *values) []int {
	if len(v.ints) == 0 {
		return nil
	}
	first, last := v.ints[0], v.ints[len(v.ints)-1]
	if len(v.rounds)+len(v.reps) > 0 || r.at(first+1).sign('+') {
		return v.ints
	}
	if len(v.loads) > 0 {
		if len(r.scored(c, func(p *content.Part) bool { return p.Scheme == content.Heaviest })) == 0 {
			return nil
		}
		return r.nearLoad(&values{loads: v.loads, ints: v.ints})
	}
	if len(v.times) > 0 || len(v.distances) > 0 {
		kept := v.ints[:0:0]
		for _, i := range v.ints {
			if b, n := r.at(i-1), r.at(i+1); !isPlainWord(b) && !isPlainWord(n) && !r.as[i].spelled {
				kept = append(kept, i)
			}
		}
		return kept
	}
	if len(v.ints) == 1 && r.wordsBeside(c, first) ||
		len(v.ints) > 1 && (r.wordsWithin(c, first, last) || r.wordsBefore(c, first) && !r.mayCount(c, v.ints)) {
		return nil
	}
	return v.ints
}

func isPlainWord(a *atom) bool { return a.kind == aWord && !a.is(clThanks|clJoin) || a.kind == aHedge }

// wordsBeside reports words other than thanks in the piece of the clause around atom i.
func (r *reader) wordsBeside(c *clause, i int) bool {
	for k := i - 1; k >= c.from && !r.isPieceEnd(k); k-- {
		if r.isTalkWord(c, k) {
			return true
		}
	}
	for k := i + 1; k < c.to && !r.isPieceEnd(k); k++ {
		if r.isTalkWord(c, k) {
			return true
		}
	}
	return false
}

// wordsBefore reports words of talk before atom i in its piece of the clause.
func (r *reader) wordsBefore(c *clause, i int) bool {
	for k := i - 1; k >= c.from && !r.isPieceEnd(k); k-- {
		if r.isTalkWord(c, k) {
			return true
		}
	}
	return false
}

// mayCount reports whether a part takes as many counts as there are, with or without a total, or has the movement that is
// named right before the first: "call me on 555 0134" counts nothing.
func (r *reader) mayCount(c *clause, ints []int) bool {
	n := len(ints)
	return len(r.scored(c, func(p *content.Part) bool {
		if p.Scheme != content.Stations {
			return false
		}
		if m, _ := r.movementAt(c.session, p, ints[0]-1); m >= 0 {
			return true
		}
		all, left := countsOf(p)
		return n == all || n == left || n == all+1 || n == left+1
	})) > 0
}

// wordsWithin reports words that name no movement among or beside several figures.
func (r *reader) wordsWithin(c *clause, first, last int) bool {
	stations := r.scored(c, func(p *content.Part) bool { return p.Scheme == content.Stations })
	for k := first; k <= last; k++ {
		if !r.isTalkWord(c, k) {
			continue
		}
		named := false
		for _, p := range stations {
			if m, end := r.movementAt(c.session, p, k); m >= 0 {
				k, named = end-1, true
				break
			}
		}
		if !named {
			return true
		}
	}
	return false
}

func (r *reader) isTalkWord(c *clause, k int) bool {
	a := &r.as[k]
	if a.used || a.head {
		return false
	}
	switch a.kind {
	case aWord:
		return !a.is(clThanks) && !isValueWord(a.s)
	case aHedge, aStop, aNoScore:
		return true
	}
	return false
}
