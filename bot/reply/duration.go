package reply

// step is one figure with a unit of time: its size in milliseconds and rank (hours 3, minutes 2, seconds 1).
type step struct {
	f    figure
	size int64
	rank int
	half bool // "and a half" stands before the unit
	end  int
	unit string
}

// stepAt reads "14 min" at token i; rank 0 when there is none.
func (b *builder) stepAt(i int) step {
	f := b.figureAt(i)
	if f.end == 0 {
		return step{}
	}
	if f.point == 0 && !f.spelled && b.tight(f.end, ',') && b.tightNum(f.end+1) && len(b.tok(f.end+1).s) < 3 && b.tok(f.end+2).is(clDuration) &&
		!b.tok(f.end+2).is(clMetre) && !(i > 0 && b.tight(i-1, ',') && !b.tok(i).gap) {
		f.frac, f.point, f.end = b.tok(f.end+1).s, ',', f.end+2 // 1,5 min
	}
	s := step{f: f, end: f.end}
	if e := b.words(f.end, "and", "a", "half"); e > 0 && b.tok(e).is(clDuration) {
		s.half, s.end = true, e
	}
	t := b.tok(s.end)
	switch {
	case t.kind != wordToken:
		return step{}
	case t.is(clHour):
		s.rank, s.size = 3, 3600_000
	case t.is(clMinute):
		s.rank, s.size = 2, 60_000
	case t.is(clSecond):
		s.rank, s.size = 1, 1000
	default:
		return step{}
	}
	s.unit = t.s
	s.end++
	return s
}

// duration reads 14m32s, 14m 32, 14 min 32 sec, 95 seconds, 1h 2m 15s, fourteen minutes and thirty seconds.
// "800 m" alone may be metres as well: alt.
func (b *builder) duration(i int) int {
	s := b.stepAt(i)
	if s.rank == 0 {
		return 0
	}
	a := atom{kind: aTime}
	if s.unit == "m" {
		a.alt, _ = s.f.in(unit{aDistance, 1000, 1})
	}
	end := 0
	for first := true; ; first = false {
		b.addStep(&a, s, first)
		end = s.end
		if e := b.words(end, "and", "a", "half"); e > 0 && s.rank > 1 {
			a.ms, a.alt, end = a.ms+s.size/2, 0, e
			break
		}
		next := b.joined(end)
		n := b.stepAt(next)
		if n.rank == 0 || n.rank >= s.rank {
			if e := b.bareSeconds(next, s); e > 0 {
				a.ms, a.alt, end = a.ms+b.tok(next).n*s.size/60, 0, e
			}
			break
		}
		a.alt, s = 0, n
	}
	if a.alt >= farMetres && !a.bad {
		a.kind, a.n = aDistance, a.alt // nobody takes a hundred minutes to write "100m"
	}
	return b.add(a, i, end)
}

// farMetres is the distance, in millimetres, from which "m" alone is metres and no minutes.
const farMetres = 100_000

// joined skips "and", "&" or a comma between the steps of one duration.
func (b *builder) joined(i int) int {
	if t := b.tok(i); t.s == "and" || t.c == '&' || t.c == ',' {
		return i + 1
	}
	return i
}

func (b *builder) addStep(a *atom, s step, first bool) {
	if s.f.n > most {
		a.bad = true
		return
	}
	a.ms += s.f.n * s.size
	if s.half {
		a.ms += s.size / 2
	}
	if !first && s.f.n > 59 {
		a.bad = true
	}
	switch {
	case s.f.point == 0:
	case s.rank == 1:
		ms, ok := fracMS(s.f.frac)
		a.ms, a.bad = a.ms+ms, a.bad || !ok
	case s.f.frac == "5":
		a.ms += s.size / 2
	default:
		a.bad = true
		if v := digitsValue(s.f.frac); len(s.f.frac) == 2 && v < 60 && s.rank == 2 {
			a.mendAs(clockText(s.f.n*60000+v*1000), "")
		}
	}
}

// bareSeconds reads the 32 of "14m 32" (or the 02 of "1h02"): two digits below 60 with nothing of their own behind.
func (b *builder) bareSeconds(i int, s step) int {
	t := b.tok(i)
	if s.rank < 2 || s.f.point != 0 || s.half || t.kind != numToken || len(t.s) != 2 || t.n > 59 || t.spelled && t.n < 10 {
		return 0
	}
	n := b.tok(i + 1)
	if _, is := unitOf(n); is || n.s == "rpe" || n.s == "full" || n.is(clLeft) || n.s == "to" && b.tok(i+2).s == "go" {
		return 0
	}
	if n.kind == punctToken && !n.gap && !(n.c == ')' || n.c == '.' && b.endsHere(i+1) || n.c == ',' && b.tok(i+2).gap || n.c == '!') {
		return 0
	}
	if n.kind == punctToken && (n.c == '+' || n.c == '/' || n.c == ':') || n.kind == numToken || n.s == "x" {
		return 0
	}
	return i + 1
}

// spelledTime reads "fourteen thirty-two", "fourteen oh five", "one oh two fifteen", "fourteen hundred".
func (b *builder) spelledTime(i int) int {
	t := b.tok(i)
	if !t.spelled {
		return 0
	}
	if len(t.s) == 5 && t.s[2] == ' ' || len(t.s) == 4 && t.s[1] == ' ' {
		return b.add(atom{kind: aTime, spelled: true, ms: t.n / 100 * 60000, n: t.n}, i, i+1)
	}
	if i > 0 && (b.ts[i-1].spelled || i > 1 && b.ts[i-1].c == '-' && !b.ts[i].gap && b.ts[i-2].spelled) || t.n > 99 {
		return 0
	}
	var at [4]int
	count, group := 0, i
	for count < 4 && b.tok(group).spelled {
		at[count] = group
		count, group = count+1, group+1
		if b.tight(group, '-') && b.tok(group+1).spelled && !b.tok(group+1).gap {
			group++
		}
	}
	if b.stepAt(at[max(count-1, 0)]).rank > 0 {
		return 0
	}
	if _, has := unitOf(b.tok(group)); has {
		return 0
	}
	second := b.tok(at[1])
	oh := len(second.s) == 2 && second.s[0] == '0'
	switch {
	case count == 2 && (oh || second.n >= 10 && second.n <= 59):
		return b.add(atom{kind: aTime, spelled: true, ms: (t.n*60 + second.n) * 1000}, i, group)
	case count == 3 && (oh || second.n >= 10 && second.n <= 59) && t.n < 10:
		third := b.tok(at[2])
		if ohThird := len(third.s) == 2 && third.s[0] == '0'; ohThird || third.n >= 10 && third.n <= 59 && oh {
			return b.add(atom{kind: aTime, spelled: true, ms: ((t.n*60+second.n)*60 + third.n) * 1000}, i, group)
		}
	}
	return 0
}
