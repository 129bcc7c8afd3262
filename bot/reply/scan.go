package reply

import (
	"unicode"
	"unicode/utf8"
)

// tokenKind is what a token is.
type tokenKind uint8

const (
	wordToken  tokenKind = iota // letters, with apostrophes inside
	numToken                    // digits, or number words
	punctToken                  // one sign
	emojiToken                  // one picture or other symbol
	tickToken                   // one or more ticks
	lineToken                   // line break
)

// token is one piece of the plain text.
type token struct {
	kind     tokenKind
	c        byte // the sign of a punctToken
	gap      bool // blank before it
	spelled  bool // a number in words
	from, to int  // in the plain text
	s        string
	n        int64 // value of a numToken; -1 when it is too long to be one
	class    class
}

// maxDigits bounds numbers: longer runs of digits are no result.
const maxDigits = 9

// scan cuts the text into tokens, appending to into.
func scan(p *plainText, into []token) []token {
	low := p.low
	gap := false
	for i := 0; i < len(low); {
		c := low[i]
		switch {
		case c == ' ':
			gap = true
			i++
			continue
		case c == '\n':
			into = append(into, token{kind: lineToken, from: i, to: i + 1, c: '\n'})
			i++
		case c >= '0' && c <= '9':
			end := i
			for end < len(low) && low[end] >= '0' && low[end] <= '9' {
				end++
			}
			into = append(into, token{kind: numToken, from: i, to: end, gap: gap, s: low[i:end], n: digitsValue(low[i:end])})
			i = end
		case c < utf8.RuneSelf && !isLetterByte(c):
			into = append(into, token{kind: punctToken, c: c, from: i, to: i + 1, gap: gap, s: low[i : i+1]})
			i++
		default:
			i = scanRunes(low, i, gap, &into)
		}
		gap = false
	}
	return into
}

// scanRunes reads a word, a tick or a symbol at i and returns where it ends.
func scanRunes(low string, i int, gap bool, into *[]token) int {
	if end := wordEnd(low, i); end > i {
		s := low[i:end]
		*into = append(*into, token{kind: wordToken, from: i, to: end, gap: gap, s: s, class: classOf(s)})
		return end
	}
	r, size := utf8.DecodeRuneInString(low[i:])
	kind := emojiToken
	if isTick(r) {
		kind = tickToken
	}
	end := i + size
	for end < len(low) {
		next, size := utf8.DecodeRuneInString(low[end:])
		if next != 0xfe0f && next != 0xfe0e && next != 0x200d && !(kind == tickToken && isTick(next)) &&
			!(kind == emojiToken && isEmoji(next) && !isTick(next)) {
			break
		}
		end += size
	}
	*into = append(*into, token{kind: kind, from: i, to: end, gap: gap, s: low[i:end]})
	return end
}

// wordEnd returns the end of the word at i; i when there is none. An apostrophe belongs to a word when letters stand on
// both sides.
func wordEnd(low string, i int) int {
	end := i
	for end < len(low) {
		c := low[end]
		switch {
		case isLetterByte(c):
			end++
			continue
		case c == '\'' && end > i && end+1 < len(low) && letterAt(low, end+1) > 0:
			end++
			continue
		case c < utf8.RuneSelf:
			return end
		}
		size := letterAt(low, end)
		if size == 0 {
			return end
		}
		end += size
	}
	return end
}

// letterAt returns the size of the letter or mark at i, 0 when there is another thing.
func letterAt(low string, i int) int {
	if isLetterByte(low[i]) {
		return 1
	}
	r, size := utf8.DecodeRuneInString(low[i:])
	if size > 1 && (unicode.IsLetter(r) || unicode.IsMark(r)) && r != 0xfe0f && r != 0xfe0e {
		return size
	}
	return 0
}

func isLetterByte(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }

func isTick(r rune) bool { return r == '✓' || r == '✔' || r == '✅' || r == '☑' }

func digitsValue(s string) int64 {
	if len(s) > maxDigits {
		return -1
	}
	var n int64
	for i := range len(s) {
		n = n*10 + int64(s[i]-'0')
	}
	return n
}
