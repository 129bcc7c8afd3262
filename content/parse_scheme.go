package content

import (
	"strings"
	"time"
	"unicode/utf8"
)

// schemeForms are the schemes as they are written, by the word they are known by.
var schemeForms = [...][2]string{
	{"sets", "3 sets"}, {"set", "3 sets"}, {"quality", "for quality"}, {"stations", "4 stations of 1:00, max reps"}, {"rounds", "4 rounds for time"},
	{"time", "for time"}, {"amrap", "AMRAP 9:00"}, {"emom", "EMOM 10:00"}, {"every", "every 1:30 for 12:00"},
	{"heaviest", "heaviest 5"}, {"most", "most reps"}, {"longest", "longest hold"}, {"farthest", "farthest in 12:00"},
}

// scheme reads a scheme at the start of seg and returns what follows it.
func (p *parser) scheme(part *Part, seg piece) (rest piece, ok bool) {
	first, tail := seg.word()
	switch strings.ToLower(first.s) {
	case "for":
		return p.forScheme(part, seg, tail)
	case "quality":
		part.Scheme = Quality
		return tail, true
	case "amrap":
		part.Scheme = AMRAP
		part.Duration, rest = p.timeAfter(seg, tail, "AMRAP 9:00", "in", "of", "for")
		return rest, true
	case "emom":
		part.Scheme, part.Interval = Every, time.Minute
		part.Duration, rest = p.timeAfter(seg, tail, "EMOM 10:00", "in", "of", "for")
		p.intervalFits(part, seg)
		return rest, true
	case "every":
		return p.everyScheme(part, seg, tail)
	case "heaviest":
		return p.heaviestScheme(part, seg, tail)
	case "most":
		if rest, ok = tail.after("reps"); ok {
			part.Scheme = MostReps
			return rest, true
		}
	case "longest":
		if rest, ok = tail.after("hold"); ok {
			part.Scheme = LongestHold
			return rest, true
		}
	case "farthest", "furthest":
		part.Scheme = Farthest
		part.Duration, rest = p.timeAfter(seg, tail, "farthest in 12:00", "in")
		return rest, true
	default:
		if seg.startsWithDigit() || strings.HasPrefix(seg.s, "-") {
			return p.numberedScheme(part, seg)
		}
	}
	p.unknownScheme(seg)
	return seg, false
}

func (p *parser) forScheme(part *Part, seg, tail piece) (rest piece, ok bool) {
	if rest, ok = tail.after("quality"); ok {
		part.Scheme = Quality
		return rest, true
	}
	if rest, ok = tail.after("time"); ok {
		part.Scheme, part.Rounds = Rounds, 1
		return rest, true
	}
	p.unknownScheme(seg)
	return seg, false
}

// everyScheme reads every 1:30 for 12:00, every minute for 10:00.
func (p *parser) everyScheme(part *Part, seg, tail piece) (rest piece, ok bool) {
	const example = "every 1:30 for 12:00"
	part.Scheme = Every
	if rest, ok = tail.after("minute"); ok {
		part.Interval = time.Minute
	} else if part.Interval, rest = p.timeAfter(seg, tail, example); part.Interval == 0 {
		return rest, true
	}
	if tail, ok = rest.after("for"); !ok {
		p.tell(seg, "every needs its interval and its whole time, for example %s", example)
		return seg.from(len(seg.s)), true
	}
	part.Duration, rest = p.timeAfter(seg, tail, example)
	p.intervalFits(part, seg)
	return rest, true
}

// intervalFits tells an interval that is longer than the whole.
func (p *parser) intervalFits(part *Part, at piece) {
	if part.Duration > 0 && part.Interval > part.Duration {
		p.tell(at, "an interval of %s does not fit into %s", clockText(part.Interval), clockText(part.Duration))
	}
}

func (p *parser) heaviestScheme(part *Part, seg, tail piece) (rest piece, ok bool) {
	if q, is := tail.after("set", "of"); is {
		tail = q
	}
	part.Scheme = Heaviest
	n, rest := tail.word()
	if n.s == "" || !mightCount(n.s) {
		p.tell(seg, "heaviest needs the reps of its set, for example heaviest 5")
		return seg.from(len(seg.s)), true
	}
	part.SetReps = p.count(n)
	if q, is := rest.after("reps"); is {
		rest = q
	}
	return rest, true
}

// numberedScheme reads the schemes that begin with a number: sets, rounds, stations, ladders, and times before AMRAP
// or EMOM.
func (p *parser) numberedScheme(part *Part, seg piece) (rest piece, ok bool) {
	if rungs, tail, is := ladderText(seg); is {
		return p.ladder(part, rungs, tail)
	}
	if rest, ok, is := p.timeFirst(part, seg); is {
		return rest, ok
	}
	n := 0
	for n < len(seg.s) && (isDigit(seg.s[n]) || strings.IndexByte(".-", seg.s[n]) >= 0) {
		n++
	}
	number, tail := seg.to(n), seg.from(n).trim()
	what, after := tail.word()
	switch strings.ToLower(what.s) {
	case "set", "sets":
		part.Scheme = Sets
		part.Sets = p.count(number)
		return after, true
	case "round", "rounds", "rd", "rds":
		rest, is := after.after("for", "time")
		if !is {
			p.tell(seg, "%s of what? write %s rounds for time, or %s sets", clipped(number.s+" rounds"), clipped(number.s), clipped(number.s))
			return seg, false
		}
		part.Scheme = Rounds
		part.Rounds = p.count(number)
		return rest, true
	case "station", "stations":
		part.Scheme, part.Through = Stations, 1
		part.Stations = p.count(number)
		part.Work, rest = p.timeAfter(seg, after, "4 stations of 1:00, max reps", "of", "x")
		return rest, true
	}
	p.unknownScheme(seg)
	return seg, false
}

// timeFirst reads 8 min AMRAP and 10:00 EMOM; is reports whether seg is of that form.
func (p *parser) timeFirst(part *Part, seg piece) (rest piece, ok, is bool) {
	d, n, wrong := readTime(seg.s, false)
	if n == 0 {
		return seg, false, false
	}
	after := seg.from(n).trim()
	rest, amrap := after.after("amrap")
	if !amrap {
		var emom bool
		if rest, emom = after.after("emom"); !emom {
			return seg, false, false
		}
	}
	part.Scheme, part.Duration = AMRAP, d
	if !amrap {
		part.Scheme, part.Interval = Every, time.Minute
	}
	if wrong != "" {
		p.tell(seg, "%s", wrong)
		return rest, true, true
	}
	p.intervalFits(part, seg)
	return rest, true, true
}

// ladderText cuts the rungs off 16-12-8-4 for time.
func ladderText(seg piece) (rungs, rest piece, ok bool) {
	i, dashes := 0, 0
	for i < len(seg.s) {
		r, size := utf8.DecodeRuneInString(seg.s[i:])
		switch {
		case isDash(r) && i > 0:
			dashes++
		case r == ' ' || r < 0x80 && isDigit(byte(r)):
		default:
			size = 0
		}
		if size == 0 {
			break
		}
		i += size
	}
	rest = seg.from(i).trim()
	if q, is := rest.after("reps"); is {
		rest = q
	}
	if q, is := rest.after("for", "time"); is && dashes > 0 {
		return seg.to(i), q, true
	}
	return seg, seg, false
}

func isDash(r rune) bool {
	return r == '-' || r == '–' || r == '—' || r == '‐' || r == '‑' || r == '−'
}

func (p *parser) ladder(part *Part, rungs, rest piece) (piece, bool) {
	part.Scheme = Ladder
	if n := len(strings.FieldsFunc(rungs.s, isDash)) - 1; n > 99 {
		p.tell(rungs, "a ladder of %d rungs is too long: at most 100", n+1)
		return rest, true
	}
	for {
		i := strings.IndexFunc(rungs.s, isDash)
		rung := rungs
		if i >= 0 {
			rung = rungs.to(i)
		}
		part.Rungs = append(part.Rungs, p.count(rung.trim()))
		if i < 0 {
			return rest, true
		}
		_, size := utf8.DecodeRuneInString(rungs.s[i:])
		rungs = rungs.from(i + size)
	}
}

// unknownScheme tells a scheme that is not known, with the nearest form.
func (p *parser) unknownScheme(seg piece) {
	words := make([]string, len(schemeForms))
	for i, f := range schemeForms {
		words[i] = f[0]
	}
	if hint := schemeReworded(seg.s); hint != "" {
		p.tell(seg, "unknown scheme %s; %s", shown(seg.s), hint)
		return
	}
	for i, w := range seg.fields() {
		if i == 4 {
			break
		}
		plain, _, _ := latinised(w.s)
		if near, ok := nearestWord(plain, words); ok && len(plain) > 2 {
			for _, f := range schemeForms {
				if f[0] == near {
					p.tell(seg, "unknown scheme %s%s; did you mean %s?", shown(seg.s), lookalikeHint(seg.s), f[1])
					return
				}
			}
		}
	}
	p.tell(seg, "unknown scheme %s%s; write for example 3 sets, 4 rounds for time, AMRAP 9:00 or EMOM 10:00", shown(seg.s), lookalikeHint(seg.s))
}
