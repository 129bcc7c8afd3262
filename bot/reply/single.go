package reply

import "tallybell/content"

// longestHold is the time, in milliseconds, above which a hold is likely a slip.
const longestHold = 2 * 3600_000

// readHold reads a held time.
func (r *reader) readHold(p *content.Part, v *values) verdict {
	if len(v.times) == 0 {
		if len(v.ints)+len(v.decimals)+len(v.reps) == 0 {
			return verdict{}
		}
		r.use(v.ints, v.decimals, v.reps)
		r.useJoined(v)
		switch {
		case len(v.ints) == 1 && len(v.decimals) == 0:
			n := r.as[v.ints[0]].n
			return ask(AboutValue, itoa(n)+" s")
		case len(v.decimals) == 1:
			return ask(AboutValue, r.mendDecimal(v.decimals[0])...)
		case len(v.ints) == 2 && r.as[v.ints[1]].n < 60:
			return ask(AboutValue, clockText((r.as[v.ints[0]].n*60+r.as[v.ints[1]].n)*1000))
		}
		return ask(AboutValue)
	}
	r.use(v.times)
	r.useJoined(&values{times: v.times})
	if len(v.times) > 1 || len(v.decimals) > 0 {
		return ask(AboutValue, r.typed(v.times[0]))
	}
	for _, i := range v.ints {
		if s := r.at(i + 1); i+2 == v.times[0] && (s.sign('-') || s.sign('x') || s.word("to")) || i == v.times[0]+1 {
			r.use(v.ints)
			r.useBetween(i, v.times[0])
			return ask(AboutValue, r.typed(v.times[0]))
		}
	}
	a := &r.as[v.times[0]]
	if a.bad || a.ms <= 0 {
		return ask(AboutValue, a.mends()...)
	}
	return judged(content.Result{Kind: content.KindHold, TimeMS: a.ms}, a.ms > longestHold)
}

// readFarthest reads a distance: 2.4 km, 1500 m, 1.5 mi, 800 yd.
func (r *reader) readFarthest(p *content.Part, v *values) verdict {
	list := append([]int{}, v.distances...)
	for _, i := range v.times {
		a := &r.as[i]
		if a.alt > 0 {
			list = append(list, i)
		} else if a.ms == p.Duration.Milliseconds() {
			a.used = true
		}
	}
	if len(list) == 0 {
		switch {
		case len(v.ints)+len(v.decimals) > 0:
			r.use(v.ints, v.decimals)
			r.useJoined(v)
			return ask(AboutUnit, r.unitIdeas(v)...)
		case len(v.times) > 0 && !r.as[v.times[0]].used, len(v.reps) > 0:
			r.use(v.times, v.reps)
			return ask(AboutValue)
		}
		return verdict{}
	}
	r.use(list)
	for _, i := range mergeSorted(v.ints, v.decimals) {
		if r.partOfDistance(i, list[0]) {
			r.use(v.ints, v.decimals)
			r.useBetween(i, list[0])
			return ask(AboutValue).by(ruleAskListed)
		}
	}
	a := &r.as[list[0]]
	mm := a.n
	if a.kind == aTime {
		mm = a.alt
	}
	if len(list) > 1 || a.kind == aDistance && a.bad || mm <= 0 {
		return ask(AboutValue, a.mends()...)
	}
	tooFast := p.Duration > 0 && mm*1000 > 7000*p.Duration.Milliseconds()
	return judged(content.Result{Kind: content.KindDistance, DistanceMM: mm}, tooFast)
}

// partOfDistance reports a figure that may belong to the distance at an atom: 2-3 km, 6 x 400 m, 12 laps of 200 m, 2 km
// 400, 2 437 m.
func (r *reader) partOfDistance(i, distance int) bool {
	s := r.at(i + 1)
	switch {
	case i+2 == distance:
		return s.sign('-') || s.sign('/') || s.sign('x') || s.sign('*') || s.word("to") || s.word("times") || s.word("lots")
	case i+3 == distance:
		return s.kind == aWord && r.at(i+2).word("of") || s.kind == aWord && r.at(i+2).sign('x')
	}
	return i == distance+1 || i == distance-1 && !r.as[i].spelled
}

func (r *reader) unitIdeas(v *values) []string {
	switch {
	case len(v.decimals) == 1:
		t := r.typed(v.decimals[0])
		return []string{t + " km", t + " mi"}
	case len(v.ints) == 1 && r.as[v.ints[0]].n < 50:
		t := itoa(r.as[v.ints[0]].n)
		return []string{t + " km", t + " mi"}
	case len(v.ints) == 1:
		return []string{itoa(r.as[v.ints[0]].n) + " m", itoa(r.as[v.ints[0]].n) + " yd"}
	}
	return nil
}

// readMostReps reads the reps of one set. There is no check of plausibility.
func (r *reader) readMostReps(c *clause, p *content.Part, v *values) verdict {
	if len(v.ints)+len(v.reps) == 0 {
		if len(v.rounds)+len(v.times)+len(v.decimals)+len(v.distances) > 0 {
			r.use(v.rounds, v.times, v.decimals, v.distances)
			return ask(AboutValue)
		}
		return verdict{}
	}
	r.strayInts(c, p, v)
	r.remarkInts(c, v)
	r.use(v.ints, v.reps)
	r.useJoined(v)
	list := v.reps
	if len(v.reps) == 0 {
		list = v.ints
	}
	if len(v.ints)+len(v.reps) != 1 || r.as[list[0]].bad {
		return ask(AboutValue)
	}
	a := &r.as[list[0]]
	if _, end := r.movementAt(c.session, p, list[0]+1); r.isEachSide(end) {
		return ask(AboutValue).by(ruleAskSides)
	}
	if m, end := r.movementAt(c.session, p, list[0]+1); m >= 0 {
		for i := list[0] + 1; i < end; i++ {
			r.as[i].used = true
		}
	}
	n := a.n
	return found(content.Result{Kind: content.KindReps, Reps: &n})
}

// remarkInts leaves to the note the figures of a remark behind the reps: "32 in 1 go", "32 with 2 pauses".
func (r *reader) remarkInts(c *clause, v *values) {
	if len(v.ints) < 2 || len(v.reps) > 0 || v.ints[0] != c.bodyAt || len(c.labels) == 0 {
		return
	}
	kept := v.ints[:1]
	for _, i := range v.ints[1:] {
		b := r.at(i - 1)
		if remark := b.word("in") || b.word("with") || b.word("first") || b.word("had") || b.word("took"); !remark || !isPlainWord(r.at(i+1)) {
			kept = append(kept, i)
		}
	}
	if len(kept) < len(v.ints) {
		r.because(ruleAside, c.from, c.to, "not read")
	}
	v.ints = kept
}
