package content

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// MaxSheet is the largest sheet that is read, in bytes.
const MaxSheet = 256 << 10

// piece is a stretch of one line that remembers where it stands: line and column count from 1, columns in code points.
type piece struct {
	s         string
	line, col int
}

// from returns the piece from byte i on.
func (p piece) from(i int) piece {
	return piece{p.s[i:], p.line, p.col + utf8.RuneCountInString(p.s[:i])}
}

// to returns the piece up to byte i.
func (p piece) to(i int) piece { return piece{p.s[:i], p.line, p.col} }

// trim drops blanks at both ends.
func (p piece) trim() piece {
	left := strings.TrimLeftFunc(p.s, unicode.IsSpace)
	q := p.from(len(p.s) - len(left))
	q.s = strings.TrimRightFunc(q.s, unicode.IsSpace)
	return q
}

// split cuts at every comma and trims what it finds.
func (p piece) split() []piece {
	n := strings.Count(p.s, ",") + 1
	out := make([]piece, 0, n)
	for {
		i := strings.IndexByte(p.s, ',')
		if i < 0 {
			return append(out, p.trim())
		}
		out = append(out, p.to(i).trim())
		p = p.from(i + 1)
	}
}

// word cuts the first blank-separated word off; both are empty at the end.
func (p piece) word() (first, rest piece) {
	p = p.trim()
	i := strings.IndexFunc(p.s, unicode.IsSpace)
	if i < 0 {
		return p, p.from(len(p.s))
	}
	return p.to(i), p.from(i).trim()
}

// fields returns the blank-separated words.
func (p piece) fields() []piece {
	var out []piece
	for {
		var w piece
		w, p = p.word()
		if w.s == "" {
			return out
		}
		out = append(out, w)
	}
}

// is reports whether the piece is one of the words, case ignored.
func (p piece) is(words ...string) bool {
	for _, w := range words {
		if strings.EqualFold(p.s, w) {
			return true
		}
	}
	return false
}

// after cuts the words off the front, case ignored and blanks free; ok is false when the piece begins otherwise.
func (p piece) after(words ...string) (rest piece, ok bool) {
	rest = p.trim()
	for _, w := range words {
		var first piece
		if first, rest = rest.word(); !first.is(w) {
			return p, false
		}
	}
	return rest, true
}

// startsWithDigit reports whether the piece begins with a plain digit.
func (p piece) startsWithDigit() bool { return p.s != "" && isDigit(p.s[0]) }

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// sheetLine is one line of a sheet, its bullets and blanks dropped. A line that held characters that may not stand
// in a sheet is broken: it was told already, and is read without them.
type sheetLine struct {
	piece
	comment bool
	broken  bool
}

// scan cuts a sheet into its lines that hold something, and tells the characters that may not stand in one.
func scan(text string, tell func(at piece, message string)) []sheetLine {
	text = strings.TrimPrefix(text, "\ufeff")
	out := make([]sheetLine, 0, strings.Count(text, "\n")+1)
	for n := 1; text != ""; n++ {
		raw, rest, _ := strings.Cut(text, "\n")
		text = rest
		raw = strings.TrimSuffix(raw, "\r")
		l := sheetLine{piece: piece{raw, n, 1}}
		if !isPlain(raw) {
			l.s, l.broken = cleaned(l.piece, tell)
		}
		l.piece = l.trim()
		if strings.HasPrefix(l.s, "#") {
			l.comment = true
		} else {
			l.piece = l.dropBullets()
		}
		if l.s != "" {
			out = append(out, l)
		}
	}
	return out
}

// dropBullets drops leading list marks.
func (p piece) dropBullets() piece {
	for {
		switch {
		case strings.HasPrefix(p.s, "-"), strings.HasPrefix(p.s, "*"):
			p = p.from(1).trim()
		case strings.HasPrefix(p.s, "•"):
			p = p.from(len("•")).trim()
		default:
			return p
		}
	}
}

// isPlain reports whether a line is printable ASCII and tabs only, the usual case.
func isPlain(s string) bool {
	for i := range len(s) {
		if c := s[i]; c >= 0x7f || c < ' ' && c != '\t' {
			return false
		}
	}
	return true
}

// cleaned returns the line without characters that may not stand in a sheet, telling the first of each sort and how
// many there are.
func cleaned(l piece, tell func(at piece, message string)) (string, bool) {
	var b strings.Builder
	var first [3]piece
	var what [3]string
	var count [3]int
	col := 0
	for i := 0; i < len(l.s); {
		r, size := utf8.DecodeRuneInString(l.s[i:])
		col++
		kind, name := -1, ""
		switch {
		case r == utf8.RuneError && size == 1:
			kind, name = 0, fmt.Sprintf("byte 0x%02X", l.s[i])
		case r != '\t' && unicode.IsControl(r):
			kind, name = 1, fmt.Sprintf("U+%04X", r)
		case turnsText(r):
			kind, name = 2, fmt.Sprintf("U+%04X", r)
		default:
			b.WriteString(l.s[i : i+size])
		}
		if kind >= 0 {
			if count[kind]++; count[kind] == 1 {
				first[kind], what[kind] = piece{"", l.line, col}, name
			}
		}
		i += size
	}
	broken := false
	for kind, n := range count {
		if n == 0 {
			continue
		}
		broken = true
		tell(first[kind], strayMessage(kind, what[kind], n))
	}
	return b.String(), broken
}

func strayMessage(kind int, what string, n int) string {
	more := ""
	if n > 1 {
		more = fmt.Sprintf(" (and %d more in this line)", n-1)
	}
	switch kind {
	case 0:
		return what + " is not UTF-8 text" + more + ": save the sheet as UTF-8"
	case 1:
		return "control character " + what + more + ": delete it, only tabs and line ends may stand here"
	}
	return "character " + what + " turns the direction of the text" + more + ": delete it, or others see something else than is written"
}

// turnsText reports whether r embeds, overrides or isolates the direction of text.
func turnsText(r rune) bool { return r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 }

// shown puts text in quotes for a message: at most 40 characters, with invisible characters named.
func shown(s string) string {
	var b strings.Builder
	b.WriteString("“")
	n := 0
	for _, r := range s {
		if n++; n > 40 {
			b.WriteString("…")
			break
		}
		if unicode.IsGraphic(r) && r != utf8.RuneError || r == '\t' {
			b.WriteRune(r)
			continue
		}
		fmt.Fprintf(&b, "<U+%04X>", r)
	}
	b.WriteString("”")
	return b.String()
}
