package reply

import "tallybell/content"

// builder makes atoms of tokens.
type builder struct {
	ts    []token
	out   []atom
	today content.Date
	read  *reader // knows the names of movements
}

// build reads all tokens, left to right, once.
func (b *builder) build() {
	for i := 0; i < len(b.ts); {
		i = b.next(i)
	}
}

// next makes the atom that starts at token i and returns the token after it.
func (b *builder) next(i int) int {
	t := &b.ts[i]
	switch t.kind {
	case lineToken:
		return b.add(atom{kind: aEnd, c: '\n'}, i, i+1)
	case emojiToken:
		return b.add(atom{kind: aEmoji}, i, i+1)
	case tickToken:
		end := i + 1
		for end < len(b.ts) && b.ts[end].kind == tickToken {
			end++
		}
		return b.add(atom{kind: aTick}, i, end)
	case numToken:
		if end := b.monthDay(i); end > i {
			return end
		}
		if end := b.number(i); end > i {
			return end
		}
		return b.add(atom{kind: aWord, s: t.s}, i, i+1)
	case wordToken:
		if t.is(clMonth) {
			if end := b.monthDay(i); end > i {
				return end
			}
		}
		if end := b.phrase(i); end > i {
			return end
		}
		return b.add(atom{kind: aWord, s: t.s, class: t.class}, i, i+1)
	}
	return b.signAt(i)
}

// add appends an atom over tokens [from, to) and returns to.
func (b *builder) add(a atom, from, to int) int {
	a.from, a.to, a.gap = from, to, b.ts[from].gap
	b.out = append(b.out, a)
	return to
}

// signAt makes the atom of a sign: a full stop before a blank ends the clause, and so does a semicolon.
func (b *builder) signAt(i int) int {
	t := &b.ts[i]
	switch t.c {
	case ';':
		return b.add(atom{kind: aEnd, c: ';'}, i, i+1)
	case '.':
		if b.tightNum(i+1) && (i == 0 || t.gap) && !b.tight(i+2, ':') && b.tok(i+1).n >= 0 {
			f := figure{frac: b.tok(i + 1).s, point: '.', end: i + 2} // .5 kg
			if end := b.quantity(i, f); end > 0 {
				return end
			}
			return b.add(atom{kind: aDecimal, frac: f.frac, c: '.'}, i, f.end)
		}
		if b.endsHere(i) {
			return b.add(atom{kind: aEnd, c: '.'}, i, i+1)
		}
	case '<':
		if n, after := b.tok(i+1), b.tok(i+2); n.s == "3" && !n.gap && after.class == 0 && (after.gap || after.kind != wordToken && after.kind != numToken && after.c != ':' && after.c != '.' && after.c != '+') {
			return b.add(atom{kind: aEmoji}, i, i+2) // <3
		}
	case '@':
		if end := b.atEffort(i); end > 0 {
			return end
		}
	}
	return b.add(atom{kind: aSign, c: t.c}, i, i+1)
}

// endsHere reports whether the full stop at i ends a clause: a blank, a line break or nothing follows.
func (b *builder) endsHere(i int) bool {
	if i+1 >= len(b.ts) {
		return true
	}
	n := &b.ts[i+1]
	if n.kind == lineToken {
		return true
	}
	if !n.gap {
		return false
	}
	if i > 0 && n.kind == numToken && !b.ts[i].gap {
		switch b.ts[i-1].s {
		case "approx", "ca", "incl", "vs", "prev", "min", "no", "hr", "cap", "capped", "dnf":
			return false
		}
	}
	return true
}

// tok returns the token at i, or an empty line break beyond the end.
func (b *builder) tok(i int) *token {
	if i >= 0 && i < len(b.ts) {
		return &b.ts[i]
	}
	return &beyond
}

var beyond = token{kind: lineToken, gap: true}

// tight reports whether the sign c stands at i with no blank before it.
func (b *builder) tight(i int, c byte) bool {
	t := b.tok(i)
	return t.kind == punctToken && t.c == c && !t.gap
}

// tightNum reports whether a figure (not in words) stands at i with no blank before it.
func (b *builder) tightNum(i int) bool {
	t := b.tok(i)
	return t.kind == numToken && !t.gap && !t.spelled
}

// words reports whether the words stand at i, one after another, and returns where they end (0: they do not).
func (b *builder) words(i int, list ...string) int {
	for _, w := range list {
		if t := b.tok(i); t.kind != wordToken || t.s != w {
			return 0
		}
		i++
	}
	return i
}
