package reply

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// plainText is a reply made plain for reading: vulgar fractions spelled out, compatibility forms folded (NFKC), quotes,
// primes, dashes, blanks and digits made the ASCII ones, direction marks dropped. low is plain in lower case, byte for
// byte at the same places. at gives the place in the original of each byte of plain; nil when they are the same.
type plainText struct {
	original   string
	plain, low string
	at         []int32
}

// source returns the place in the original text of place i of the plain text.
func (p *plainText) source(i int) int {
	if p.at == nil {
		return i
	}
	return int(p.at[i])
}

// normalise makes text plain, in time proportional to its length.
func normalise(text string) plainText {
	if isPlainASCII(text) {
		return plainText{original: text, plain: text, low: strings.ToLower(text)}
	}
	n := normaliser{text: text}
	n.plain = make([]byte, 0, len(text)+8)
	n.at = make([]int32, 0, len(text)+9)
	n.run()
	n.at = append(n.at, int32(len(text)))
	plain := string(n.plain)
	return plainText{original: text, plain: plain, low: lowerInPlace(plain), at: n.at}
}

func isPlainASCII(text string) bool {
	for i := range len(text) {
		if c := text[i]; c >= 0x7f || c < ' ' && c != '\n' || c == '`' {
			return false
		}
	}
	return true
}

// lowerInPlace lowers case without moving anything: a letter whose lower form has another length stays.
func lowerInPlace(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for i, r := range s {
		size := runeSize(s, i, r)
		if low := unicode.ToLower(r); r != utf8.RuneError && utf8.RuneLen(low) == size {
			b.WriteRune(low)
		} else {
			b.WriteString(s[i : i+size])
		}
	}
	return b.String()
}

func runeSize(s string, i int, r rune) int {
	if r == utf8.RuneError {
		_, size := utf8.DecodeRuneInString(s[i:])
		return size
	}
	return utf8.RuneLen(r)
}

// normaliser writes the plain text and where each byte came from.
type normaliser struct {
	text  string
	plain []byte
	at    []int32
	last  rune // the last rune written, 0 at the start
	emoji bool // the last rune kept was an emoji or a joiner inside one
}

func (n *normaliser) put(r rune, from int) {
	before := len(n.plain)
	n.plain = utf8.AppendRune(n.plain, r)
	for range len(n.plain) - before {
		n.at = append(n.at, int32(from))
	}
	n.last = r
}

func (n *normaliser) puts(s string, from int) {
	for _, r := range s {
		n.put(r, from)
	}
}

// run walks the original rune by rune where a fraction or superscript is to be spelled out, and hands the stretches
// between to NFKC.
func (n *normaliser) run() {
	start := 0
	for i, r := range n.text {
		spelled := spelledOut(r)
		if spelled == "" {
			continue
		}
		n.fold(start, i)
		n.spell(spelled, i)
		start = i + utf8.RuneLen(r)
	}
	n.fold(start, len(n.text))
}

// spell writes a fraction: ".5" after a digit ("42½", and "42 ½" with one blank between), else "0.5".
func (n *normaliser) spell(s string, from int) {
	digit := n.last >= '0' && n.last <= '9'
	if k := len(n.plain); !digit && k > 1 && n.last == ' ' && n.plain[k-2] >= '0' && n.plain[k-2] <= '9' {
		n.plain, n.at, digit = n.plain[:k-1], n.at[:k-1], true
	}
	if s[0] == '0' && digit {
		s = s[1:]
	}
	n.puts(s, from)
	n.emoji = false
}

func (n *normaliser) fold(from, to int) {
	if from == to {
		return
	}
	var it norm.Iter
	it.InitString(norm.NFKC, n.text[from:to])
	for !it.Done() {
		pos := from + it.Pos()
		for _, r := range string(it.Next()) {
			n.one(r, pos)
		}
	}
}

// one writes one folded rune, or drops it.
func (n *normaliser) one(r rune, from int) {
	switch {
	case r == 0x200d || r == 0xfe0f || r == 0xfe0e:
		if n.emoji {
			n.put(r, from)
		}
		return
	case isInvisible(r):
		return
	}
	r = plainRune(r)
	n.emoji = isEmoji(r)
	if r != 0 {
		n.put(r, from)
	}
}

// isInvisible reports direction marks, zero-width characters and the ring of a keycap.
func isInvisible(r rune) bool {
	switch {
	case r >= 0x200b && r <= 0x200f, r >= 0x202a && r <= 0x202e, r >= 0x2060 && r <= 0x2069:
		return true
	case r == 0x061c, r == 0x00ad, r == 0xfeff, r == 0x180e, r == 0x20e3:
		return true
	}
	return false
}

// plainRune makes quotes, primes, dashes, blanks and digits the ASCII ones.
func plainRune(r rune) rune {
	if r < 0x7f {
		return plainASCII(r)
	}
	switch r {
	case '‘', '’', '‚', '‛', 'ʼ', '′', '`', '´', 'ˈ', '＇':
		return '\''
	case '“', '”', '„', '‟', '″', '«', '»':
		return '"'
	case '‐', '‑', '‒', '–', '—', '―', '−', '﹣', '⁃', '➖', '•', '‣', '▪':
		return '-'
	case '∶', '꞉', 'ː', '：':
		return ':'
	case '×', '✕', '✖', '⨯':
		return 'x'
	case '≈', '∼', '〜', '～':
		return '~'
	case '⁄', '∕':
		return '/'
	case '٫', '·':
		return '.'
	case '→', '⇒':
		return '='
	case '٬', '،', '、', '，':
		return ','
	case '➕':
		return '+'
	case '\u2028', '\u2029', '\u0085':
		return '\n'
	}
	if unicode.Is(unicode.Zs, r) {
		return ' '
	}
	if unicode.Is(unicode.Nd, r) {
		return '0' + digitValue(r)
	}
	return r
}

func plainASCII(r rune) rune {
	switch {
	case r == '\t':
		return ' '
	case r == '\n' || r == '\r' || r == '\v' || r == '\f':
		return '\n'
	case r < ' ':
		return ' '
	case r == '`':
		return '\''
	}
	return r
}

// digitValue returns the value of a decimal digit of any script: each script's ten stand in a row, from zero.
func digitValue(r rune) rune {
	v := rune(0)
	for v < 9 && unicode.Is(unicode.Nd, r-v-1) {
		v++
	}
	// Rows that touch (the mathematical digits) are folded by NFKC beforehand, so that a row is ten long.
	return v
}

// spelledOut returns a vulgar fraction as a decimal, a superscript digit as a power, and an accent without a letter, which
// folding would part from its blank, as the prime it stands for; "" for other runes.
func spelledOut(r rune) string {
	switch r {
	case '´':
		return "'"
	case '½':
		return "0.5"
	case '¼':
		return "0.25"
	case '¾':
		return "0.75"
	case '⅓':
		return "0.333"
	case '⅔':
		return "0.667"
	case '⅕':
		return "0.2"
	case '⅖':
		return "0.4"
	case '⅗':
		return "0.6"
	case '⅘':
		return "0.8"
	case '⅛':
		return "0.125"
	case '⅜':
		return "0.375"
	case '⅝':
		return "0.625"
	case '⅞':
		return "0.875"
	case '²':
		return "^2"
	case '³':
		return "^3"
	case '¹':
		return "^1"
	}
	if r == '⁰' || r >= '⁴' && r <= '⁹' {
		return "^" + string('0'+(r-'⁰'))
	}
	return ""
}

// isEmoji reports pictures: they are kept for the note.
func isEmoji(r rune) bool {
	return r >= 0x1f000 && r <= 0x1faff || r >= 0x2600 && r <= 0x27bf || r >= 0x2b00 && r <= 0x2bff ||
		r >= 0x2300 && r <= 0x23ff || r >= 0xe0020 && r <= 0xe007f
}
