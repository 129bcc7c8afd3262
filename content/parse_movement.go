package content

import (
	"strings"
)

// movementLine reads a movement into the section now open.
func (p *parser) movementLine(l piece) {
	moves := p.moves()
	at := spot{part: p.section, move: len(*moves), what: "move"}
	p.mark(l, at)
	m, ok := p.movement(l, false, at)
	if !ok && m.Name == "" && p.part() != nil && p.maybeScheme(l) {
		p.note(l, spot{part: p.section, what: "tried"})
		return
	}
	*moves = append(*moves, m)
}

// maybeScheme tells a line that is a scheme without a letter, in place of an unknown movement.
func (p *parser) maybeScheme(l piece) bool {
	var tried Part
	if !p.tries(func() bool { _, ok := p.scheme(&tried, l.split()[0]); return ok }) {
		return false
	}
	for i := range p.problems {
		if pr := &p.problems[i]; pr.Line == l.line && strings.HasPrefix(pr.Message, "unknown movement") {
			next := "A"
			if p.last >= 'A' && p.last < 'Z' {
				next = string(rune(p.last + 1))
			}
			pr.Column = l.col
			pr.Message = shown(l.s) + " looks like a new part: begin it with its letter, for example " + next + ". " + clipped(l.s)
		}
	}
	return true
}

// movement reads AMOUNT MOVEMENT and what follows it; ok is false when something was told.
func (p *parser) movement(l piece, way bool, at spot) (Movement, bool) {
	told := len(p.problems)
	segs := l.split()
	m := Movement{Line: l.line}
	if len(segs) > 1 && strings.Trim(segs[0].s, "0123456789") == "" && segs[0].s != "" && isThousands(segs[1].s) {
		p.tell(segs[0], "%s,%s: write thousands without a comma, for example 1000", clipped(segs[0].s), segs[1].s[:3])
		return m, false
	}
	amount, name, given, sound := p.readAmount(segs[0])
	m.Amount = amount
	name, sided, hasSides := cutSides(name)
	mr := movementReader{parser: p, m: &m, at: at, sides: sided, sidesDone: hasSides}
	if hasSides {
		mr.doubled(sided)
	}
	entry := p.lookUp(&m, name)
	for i, seg := range segs[1:] {
		mr.segment(seg, i)
	}
	m.Words = strings.Join(mr.words, ", ")
	if sound {
		p.sidesAgree(&mr, given, segs[0])
		p.amountFits(&m, given, segs[0], way)
		p.evenSides(&m, entry, segs[0])
	}
	return m, len(p.problems) == told
}

// lookUp finds the movement's canonical name, or tells that it is unknown.
func (p *parser) lookUp(m *Movement, name piece) *Entry {
	if name.s == "" {
		p.tell(name, "a movement's name is missing; write for example 10 push-up")
		return nil
	}
	entry, ok := p.lib.Find(name.s)
	if !ok {
		if better := p.reworded(name); better != "" {
			p.tell(name, "unknown movement %s; %s", shown(name.s), better)
			return nil
		}
		hint := lookalikeHint(name.s)
		if plain, _, odd := latinised(name.s); odd {
			if meant, known := p.lib.Find(plain); known {
				p.tell(name, "unknown movement %s%s; type %s", shown(name.s), hint, meant.Name)
				return nil
			}
		}
		meant := suggestions(p.nearMovements(name.s), hint)
		if meant == "" {
			meant = "; write another, or add it to the club's own movements"
		}
		p.tell(name, "unknown movement %s%s", shown(name.s), meant)
		return nil
	}
	m.Name = entry.Name
	return entry
}

// suggestionBudget bounds how many unknown names of one sheet get suggestions, so that a sheet of nonsense stays
// cheap to read.
const suggestionBudget = 100

func (p *parser) nearMovements(name string) []string {
	if plain, _, odd := latinised(name); odd {
		name = plain
	}
	if near, had := p.wordings[name]; had {
		return near
	}
	if len(name) > 60 || len(p.wordings) >= suggestionBudget || p.quiet {
		return nil
	}
	if p.wordings == nil {
		p.wordings = map[string][]string{}
	}
	near := p.lib.Suggest(name, 3)
	p.wordings[name] = near
	return near
}

// cutSides cuts "each side" off the end of a movement's name.
func cutSides(name piece) (rest, sides piece, ok bool) {
	if len(name.s) > 200 {
		return name, name, false
	}
	words := name.fields()
	if n := len(words); n > 2 && eachSide(words[n-2:]) {
		cut := words[n-2].col - name.col
		i := byteOf(name.s, cut)
		return name.to(i).trim(), name.from(i), true
	}
	return name, name, false
}

// byteOf returns the byte at which the n-th code point of s begins.
func byteOf(s string, n int) int {
	for i := range s {
		if n == 0 {
			return i
		}
		n--
	}
	return len(s)
}

// eachSide reports whether the two words mean each side.
func eachSide(w []piece) bool {
	return len(w) == 2 && w[0].is("each", "per", "a") && w[1].is("side", "leg", "arm", "hand", "foot")
}

// movementReader reads what follows a movement's name.
type movementReader struct {
	*parser
	m         *Movement
	at        spot
	words     []string
	sides     piece // where the sides are told
	sidesDone bool
	each      Amount // N of N each side, in a segment of its own
	eachTold  bool
}

// doubled makes "10 step-up each side" 20 in all.
func (r *movementReader) doubled(at piece) {
	a := &r.m.Amount
	switch a.Kind {
	case AmountReps, AmountTime, AmountDistance, AmountCalories:
		r.m.PerSide = a.Low
		a.Low, a.High = 2*a.Low, 2*a.High
	default:
		r.words = append(r.words, "each side")
	}
}

// segment reads one comma-separated stretch after the name.
func (r *movementReader) segment(seg piece, n int) {
	if seg.s == "" {
		r.tell(seg, "nothing stands between two commas; take one out")
		return
	}
	if len(seg.s) <= 200 {
		if r.sidesSegment(seg) || r.reserve(seg) || r.tempo(seg) || r.load(seg) {
			return
		}
	}
	r.note(seg, spot{part: r.at.part, move: r.at.move, what: r.at.what + " words", n: r.at.n<<8 + len(r.words)})
	r.words = append(r.words, strings.Join(strings.Fields(seg.s), " "))
}

// sidesSegment reads N each side, and each side alone.
func (r *movementReader) sidesSegment(seg piece) bool {
	words := seg.fields()
	n := len(words)
	if n < 2 || !eachSide(words[n-2:]) {
		return false
	}
	a := Amount{}
	if n > 2 {
		if !looksLikeAmount(seg.s) {
			return false
		}
		var taken int
		var wrong string
		a, taken, wrong = amountAt(seg.s)
		if wrong != "" {
			r.tell(seg, "%s", wrong)
			return true
		}
		if seg.from(taken).trim().s != seg.from(byteOf(seg.s, words[n-2].col-seg.col)).s {
			return false
		}
	}
	if r.sidesDone {
		r.tell(seg, "the sides are told twice; keep one, for example 20 step-up, 10 each side")
		return true
	}
	r.sides, r.sidesDone = seg, true
	if n == 2 {
		r.doubled(seg)
		return true
	}
	r.each, r.eachTold = a, true
	return true
}

// sidesAgree compares N each side with the whole, or makes the whole of it.
func (p *parser) sidesAgree(r *movementReader, given bool, amount piece) {
	if !r.eachTold {
		return
	}
	a, e := &r.m.Amount, r.each
	if !given {
		r.m.PerSide = e.Low
		*a = e
		a.Low, a.High = 2*e.Low, 2*e.High
		return
	}
	switch {
	case e.Kind == AmountPercent || a.Kind == AmountPercent || a.Kind == AmountMax:
		p.tell(r.sides, "sides go with a number, a time or a distance, for example 20 step-up, 10 each side")
	case a.Kind != e.Kind:
		p.tell(r.sides, "%s and %s are not the same measure; write for example 1:00 side plank, 0:30 each side", amountText(*a), shown(r.sides.s))
	case a.Low != 2*e.Low || a.High != 2*e.High:
		both := e
		both.Low, both.High = 2*e.Low, 2*e.High
		p.tell(r.sides, "%s each side makes %s in all, not %s; make the two agree", amountText(e), amountText(both), amountText(*a))
	default:
		r.m.PerSide = e.Low
	}
}

// evenSides tells an odd count of a movement that is done one side at a time. Ladders take their rungs as counts.
func (p *parser) evenSides(m *Movement, e *Entry, at piece) {
	if e == nil || e.Sides != OneSide {
		return
	}
	counts := []int64{m.Amount.Low, m.Amount.High}
	if m.Amount.Kind == AmountNone {
		part := p.part()
		if part == nil || part.Scheme != Ladder {
			return
		}
		counts = counts[:0]
		for _, r := range part.Rungs {
			counts = append(counts, int64(r))
		}
	} else if m.Amount.Kind != AmountReps {
		return
	}
	for _, c := range counts {
		if c%2 != 0 {
			p.tell(at, "%s is done one side at a time and %d cannot be split evenly; write the sum of both sides, for example %d %s, %d each side",
				e.Name, c, c+1, e.Name, (c+1)/2)
			return
		}
	}
}

// amountFits checks an amount against the part's scheme.
func (p *parser) amountFits(m *Movement, given bool, at piece, way bool) {
	part := p.part()
	has := m.Amount.Kind != AmountNone
	if m.Amount.Kind == AmountReps || m.Amount.Kind == AmountCalories {
		if m.Amount.High > maxCount {
			p.tell(at, "%d in all is too many: an amount is at most 10000", m.Amount.High)
			return
		}
	}
	if part == nil || part.Scheme == "" || !has && m.Name == "" {
		return
	}
	switch part.Scheme {
	case Stations, MostReps, LongestHold:
		if has {
			p.tell(at, "%s takes its movement without an amount: the result is what was done; take %s out", schemeTitle(*part), amountText(m.Amount))
		}
	case Heaviest:
		if has && part.SetReps > 0 && (m.Amount.Kind != AmountReps || m.Amount.Low != int64(part.SetReps) || m.Amount.High != int64(part.SetReps)) {
			p.tell(at, "heaviest %d is a set of %d, not of %s; write %d or leave the amount out", part.SetReps, part.SetReps, amountText(m.Amount), part.SetReps)
		}
	case Rounds, Ladder, AMRAP:
		p.countable(m, part, at, way, has)
	case Sets, Quality, Every:
		if !has && !way {
			p.tell(at, "an amount is missing; write for example 10 %s", nameOr(m.Name))
		}
	}
}

// countable checks an amount where reps are counted.
func (p *parser) countable(m *Movement, part *Part, at piece, way, has bool) {
	a := m.Amount
	switch {
	case !has && !way && part.Scheme != Ladder:
		p.tell(at, "an amount is missing: reps are counted here; write for example 10 %s", nameOr(m.Name))
	case a.Kind == AmountMax:
		p.tell(at, "max cannot stand where reps are counted; write a number, for example 10 %s", nameOr(m.Name))
	case a.Kind == AmountPercent:
		p.tell(at, "a percentage cannot stand where reps are counted; write a number, for example 10 %s", nameOr(m.Name))
	case a.High > a.Low:
		p.tell(at, "a range cannot stand where reps are counted; write one number, for example 10 %s", nameOr(m.Name))
	}
}

func nameOr(name string) string {
	if name == "" {
		return "push-up"
	}
	return name
}
