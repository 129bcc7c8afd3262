package reply

// effortAtom makes the atom of an effort; it is bad below 1, above 10 or when it is no half.
func effortAtom(f figure) atom {
	a := atom{kind: aEffort, effort: float64(f.n)}
	switch f.frac {
	case "", "0", "00":
	case "5", "50":
		a.effort += 0.5
	default:
		a.bad = true
	}
	if f.n > 1000 {
		a.bad, a.effort = true, 0
	}
	a.bad = a.bad || a.effort < 1 || a.effort > 10
	return a
}

// betweenAtom makes one effort of two, the middle: 9-10 is 9.5.
func betweenAtom(low, high figure) atom {
	l, h := effortAtom(low), effortAtom(high)
	mid := (l.effort + h.effort) / 2
	twice := mid * 2
	return atom{kind: aEffort, effort: mid, bad: l.bad || h.bad || h.effort < l.effort || twice != float64(int64(twice))}
}

// effortAt reads 8, 7.5, 9-10, 8/10 at i; end 0 when there is none there.
func (b *builder) effortAt(i int) (a atom, end int) {
	f := b.figureAt(i)
	if f.end == 0 {
		return atom{}, 0
	}
	a, end = effortAtom(f), f.end
	switch t := b.tok(end); {
	case t.c == '-' && !t.gap && b.tightNum(end+1), t.s == "to", t.s == "or":
		if g := b.figureAt(end + 1); g.end > 0 && g.n <= 10 && (t.c == '-' || g.n > f.n && b.endsEffort(g.end)) {
			a, end = betweenAtom(f, g), g.end
		}
	case t.c == ',' && !t.gap && f.point == 0 && b.tightNum(end+1) && b.endsEffort(end+2):
		f.frac = b.tok(end + 1).s // 8,5
		a, end = effortAtom(f), end+2
	}
	switch b.tok(end).s {
	case "out":
		if b.tok(end+1).s == "of" && b.tok(end+2).n == 10 {
			end += 3
		}
	case "of":
		if b.tok(end+1).n == 10 {
			end += 2
		}
	}
	if b.tight(end, '/') && b.tightNum(end+1) && b.tok(end+1).n == 10 {
		end += 2
	}
	if b.tight(end, ':') && b.tightNum(end+1) || b.tight(end, '+') {
		return atom{}, 0
	}
	return a, end
}

// endsEffort reports whether nothing at i makes a figure before it another thing's: a unit, a plus, a colon.
func (b *builder) endsEffort(i int) bool {
	t := b.tok(i)
	if _, has := unitOf(t); has || t.is(clDuration) || t.kind == numToken {
		return false
	}
	return t.kind != punctToken || t.c != '+' && t.c != ':' && t.c != '/' && (t.c != ',' || b.tok(i+1).gap)
}

// effortPhrase reads rpe 8, rpe8, rpe: 7.5, effort 9-10, rpe 8/10.
func (b *builder) effortPhrase(i int) int {
	j := i + 1
	for range 2 {
		t := b.tok(j)
		switch {
		case t.c == ':' || t.c == '=' || t.c == '-' || t.c == '~':
			j++
		case t.s == "of" || t.s == "was" || t.s == "is" || t.s == "at" || t.is(clVague):
			j++
		}
	}
	a, end := b.effortAt(j)
	if end == 0 {
		return 0
	}
	if _, has := unitOf(b.tok(end)); has {
		return 0
	}
	a.s = "rpe"
	return b.add(a, i, end)
}

// atEffort reads @8; whether it is an effort depends on what follows it.
func (b *builder) atEffort(i int) int {
	a, end := b.effortAt(i + 1)
	if end == 0 {
		return 0
	}
	if _, has := unitOf(b.tok(end)); has || b.tok(end).is(clDuration) || b.tight(end, ',') && b.tightNum(end+1) {
		return 0
	}
	if b.tok(end).s == "rpe" {
		end++
	}
	a.s = "@"
	return b.add(a, i, end)
}

// outOfTen reads 8/10 and 8-9/10 after a blank, a comma or a bracket. 21/18/10 is a list.
func (b *builder) outOfTen(i int, f figure) int {
	if f.spelled || i > 0 && !b.tok(i).gap && b.tok(i-1).kind == punctToken && b.tok(i-1).c != ',' && b.tok(i-1).c != '(' && b.tok(i-1).c != ':' {
		return 0
	}
	if i > 0 && !b.tok(i).gap && (b.tok(i-1).kind == numToken || b.tok(i-1).s == "x") {
		return 0
	}
	end := f.end
	a := effortAtom(f)
	if b.tight(end, '-') && b.tightNum(end+1) {
		g := b.figureAt(end + 1)
		a, end = betweenAtom(f, g), max(g.end, end+2)
	}
	if !b.tight(end, '/') || !b.tightNum(end+1) || b.tok(end+1).n != 10 || b.tight(end+2, '/') || b.tight(end+2, '.') && b.tightNum(end+3) {
		return 0
	}
	if !b.mayTouch(end+2) || b.tok(end+2).is(clKilo|clPound) {
		return 0
	}
	if w := b.tok(end + 2).s; (w == "rpe" || w == "effort") && b.figureAt(end+3).end == 0 {
		a.s = "rpe"
		return b.add(a, i, end+3) // 8/10 effort
	}
	a.kind, a.n, a.m = aOutOf, f.n, 10
	if f.point != 0 || end != f.end {
		a.m = 0 // no two counts
	}
	return b.add(a, i, end+2)
}
