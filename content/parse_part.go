package content

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// header reads a part's line: A. 3 sets; also A), A:, Part A., and A alone before a scheme.
func (p *parser) header(l piece) bool {
	letter, rest, ok := partLetter(l)
	if !ok {
		if letter, rest, ok = p.undottedPart(l); !ok {
			return false
		}
		p.tell(letter, "part %s lacks its full stop: write %s. %s", letter.s, letter.s, clipped(rest.s))
	}
	p.endPart()
	name := strings.ToUpper(letter.s)
	if plain, r, odd := latinised(letter.s); odd {
		name = strings.ToUpper(plain)
		p.tell(letter, "the letter %c is U+%04X, which only looks like %s: type a plain %s", r, r, name, name)
	}
	p.letterOrder(letter, name[0])
	p.s.Parts = append(p.s.Parts, Part{Letter: name, Line: l.line})
	p.section = len(p.s.Parts) - 1
	p.mark(letter, spot{part: p.section, what: "head"})
	if rest.s == "" {
		p.tell(letter, "part %s has no scheme: write for example %s. 3 sets", name, name)
		return true
	}
	p.partLine(rest)
	return true
}

// partLetter cuts the letter of a part off a line.
func partLetter(l piece) (letter, rest piece, ok bool) {
	q, word := l.after("part")
	if !word {
		q = l
	}
	r, size := utf8.DecodeRuneInString(q.s)
	if plain, _ := latin(r); !('A' <= plain && plain <= 'Z' || 'a' <= plain && plain <= 'z') {
		return l, l, false
	}
	letter, rest = q.to(size), q.from(size)
	trimmed := rest.trim()
	mark, n := utf8.DecodeRuneInString(trimmed.s)
	switch {
	case mark == '.' || mark == ')' || mark == ':' || mark == '．' || mark == '：':
		return letter, trimmed.from(n).trim(), true
	case word && trimmed.s == "":
		return letter, trimmed, true
	case word && (mark == '-' || mark == '–' || mark == '—'):
		return letter, trimmed.from(n).trim(), true
	case word && unicode.IsSpace(firstRune(rest.s)):
		return letter, trimmed, true
	}
	return l, l, false
}

func firstRune(s string) rune {
	r, _ := utf8.DecodeRuneInString(s)
	return r
}

// undottedPart finds a part's line that lacks the full stop: a capital, a blank and a scheme.
func (p *parser) undottedPart(l piece) (letter, rest piece, ok bool) {
	first, rest := l.word()
	if len(first.s) != 1 || first.s < "A" || first.s > "Z" || rest.s == "" {
		return l, l, false
	}
	var tried Part
	return first, rest, p.tries(func() bool {
		_, ok := p.scheme(&tried, rest.split()[0])
		return ok
	})
}

// tries runs f without telling what it complains of.
func (p *parser) tries(f func() bool) bool {
	was := p.quiet
	p.quiet = true
	defer func() { p.quiet = was }()
	return f()
}

// letterOrder tells a letter that is not the next one.
func (p *parser) letterOrder(at piece, letter byte) {
	next := byte('A')
	if p.last != 0 {
		next = p.last + 1
	}
	switch {
	case letter == next:
	case letter < next && p.last == 'Z':
		p.tell(at, "part %c comes after Z: a sheet has at most 26 parts", letter)
	case letter < next:
		p.tell(at, "part %c comes after part %c: letters go in order, the next is %c", letter, p.last, next)
	case p.last == 0:
		p.tell(at, "the first part is %c: parts begin with A", letter)
	default:
		p.tell(at, "part %c comes after part %c: letters go in order without gaps, the next is %c", letter, p.last, next)
	}
	p.last = max(p.last, letter)
}

// sectionLine reads Warm-up: and Cool-down:.
func (p *parser) sectionLine(l piece) bool {
	key, rest, ok := keyed(l)
	if !ok {
		key, rest = l, l.from(len(l.s))
	}
	plain, _, odd := latinised(key.s)
	word := piece{plain, key.line, key.col}
	var section int
	var name string
	switch {
	case word.is("warm-up", "warm up", "warmup"):
		section, name = warmUpSpot, "Warm-up:"
	case word.is("cool-down", "cool down", "cooldown"):
		section, name = coolDownSpot, "Cool-down:"
	default:
		return false
	}
	if odd {
		p.tell(key, "%s begins a section by its plain letters alone%s", shown(key.s), lookalikeHint(key.s))
	}
	p.endPart()
	if p.seen[name] {
		p.tell(key, "%s is given twice; put all its movements below the first", name)
	}
	p.seen[name] = true
	p.section = section
	at := spot{part: section, what: "head"}
	if _, twice := p.where[at]; !twice {
		p.mark(key, at)
	}
	if rest.s != "" {
		p.tell(rest, "%s stands on a line of its own; put %s below it", name, shown(rest.s))
		p.note(rest, spot{part: section, what: "tried"}) // it was meant to hold something
	}
	return true
}

// partLine reads the scheme and the settings of a part.
func (p *parser) partLine(text piece) {
	part := p.part()
	segs := text.split()
	p.note(segs[0], spot{part: p.section, what: "scheme"})
	if segs[0].s == "" {
		p.tell(segs[0], "part %s has no scheme before the comma: write for example %s. 3 sets", part.Letter, part.Letter)
		return
	}
	rest, ok := p.scheme(part, segs[0])
	if !ok {
		*part = Part{Letter: part.Letter, Line: part.Line}
		return
	}
	if rest.s != "" {
		segs[0] = rest
	} else {
		segs = segs[1:]
	}
	p.settings(part, segs)
}

// endPart checks a part when all its lines are read.
func (p *parser) endPart() {
	if p.section == headSpot {
		return
	}
	defer func(was bool) { p.quiet = was }(p.quiet)
	p.quiet = false // a broken line that begins the next part does not hush this one
	part := p.part()
	section := p.section
	p.section = headSpot
	if part == nil {
		p.emptySection(section)
		return
	}
	head := p.at(spot{part: section, what: "head"})
	scheme := p.at(spot{part: section, what: "scheme"})
	n := len(part.Movements)
	switch {
	case n == 0 && !p.where[spot{part: section, what: "tried"}].isSet():
		p.tell(head, "part %s has no movement; write one below it, for example 10 push-up", part.Letter)
	case part.Scheme == Stations && part.Stations > 0 && n != part.Stations && n > 0:
		p.tell(scheme, "part %s has %s and %s; the two must agree", part.Letter, counted(part.Stations, "station"), counted(n, "movement"))
	case (part.Scheme == MostReps || part.Scheme == LongestHold) && n > 1:
		p.tell(scheme, "%s takes one movement, part %s has %d; make a part of each", part.Scheme, part.Letter, n)
	}
	if least := leastTime(*part); part.Cap > 0 && least > part.Cap {
		p.tell(p.at(spot{part: section, what: "cap"}), "part %s cannot be done within its cap of %s: at two reps a second, with its timed work and rests, it takes %s",
			part.Letter, clockText(part.Cap), clockText(ceilSecond(least)))
	}
}

func (p *parser) emptySection(section int) {
	moves, name := p.s.WarmUp, "Warm-up:"
	if section == coolDownSpot {
		moves, name = p.s.CoolDown, "Cool-down:"
	}
	if len(moves) == 0 && !p.where[spot{part: section, what: "tried"}].isSet() {
		p.tell(p.at(spot{part: section, what: "head"}), "%s has no movement; write one below it or leave the line out", name)
	}
}

// at returns the position of a spot as an empty piece.
func (p *parser) at(s spot) piece {
	w := p.where[s]
	return piece{"", w.line, w.col}
}

func (w place) isSet() bool { return w.line > 0 }

func ceilSecond(d time.Duration) time.Duration {
	return (d + time.Second - 1) / time.Second * time.Second
}

// leastTime is the shortest that a for-time part can physically take: two reps a second, plus timed work and rests
// between rounds (common practice, no source).
func leastTime(p Part) time.Duration {
	times, distinct := 1, p.RoundCount()
	if p.Scheme == Rounds {
		times, distinct = p.Rounds, 1
	}
	var t time.Duration
	for i := range distinct {
		reps := p.RoundReps(i)
		for k, m := range p.Movements {
			if m.Amount.Kind == AmountTime {
				t += time.Duration(m.Amount.Low) * time.Millisecond
				continue
			}
			t += time.Duration(reps[k]) * time.Second / 2
		}
	}
	return t*time.Duration(times) + time.Duration(max(p.RoundCount()-1, 0))*p.Rest
}

// leastSet is the shortest that one set of a movement can physically take, at the lower end of its amount.
func leastSet(m Movement) time.Duration {
	switch m.Amount.Kind {
	case AmountTime:
		return time.Duration(m.Amount.Low) * time.Millisecond
	case AmountReps, AmountCalories:
		return time.Duration(m.Amount.Low) * time.Second / 2
	}
	return 0
}

// clipped returns at most 40 characters of s.
func clipped(s string) string {
	q := shown(s)
	return q[len("“") : len(q)-len("”")]
}

// counted returns "1 station", "3 stations".
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return itoa(n) + " " + what + "s"
}
