package content

import (
	"strconv"
	"strings"
	"time"
)

func itoa(n int) string { return strconv.Itoa(n) }

// timeAfter reads a time at the start of text, past one of the words that may stand before it, and returns what
// follows it. What is no time is told, and gives 0 and nothing more to read.
func (p *parser) timeAfter(seg, text piece, example string, words ...string) (time.Duration, piece) {
	for _, w := range words {
		if q, is := text.after(w); is {
			text = q
			break
		}
	}
	d, n, wrong := readTime(text.s, false)
	end := text.from(len(text.s))
	switch {
	case wrong != "":
		p.tell(text, "%s", wrong)
		return 0, end
	case n == 0 && text.startsWithDigit():
		w, _ := text.word()
		p.tell(text, "%s of what? write minutes and seconds, for example %s", shown(w.s), example)
		return 0, end
	case n == 0 && text.s != "":
		p.tell(text, "expected a time, found %s; write for example %s", shown(text.s), example)
		return 0, end
	case n == 0:
		p.tell(seg, "%s lacks its time; write for example %s", shown(seg.s), example)
		return 0, end
	}
	return d, text.from(n).trim()
}

// mightCount reports whether s begins like a number.
func mightCount(s string) bool {
	return s != "" && (isDigit(s[0]) || s[0] == '-' && len(s) > 1 && isDigit(s[1]))
}

// count reads a whole number from 1 to maxCount, and tells what is wrong with any other, which gives 0.
func (p *parser) count(at piece) int {
	if wrong := countWrong(at.s); wrong != "" {
		p.tell(at, "%s", wrong)
		return 0
	}
	return int(atoi(strings.TrimLeft(at.s, "0")))
}

// countWrong tells why s is no count, or returns "".
func countWrong(s string) string {
	digits := strings.TrimLeft(s, "0123456789") == "" && s != ""
	switch {
	case strings.HasPrefix(s, "-") && len(s) > 1 && isDigit(s[1]):
		return shown(s) + " is below zero: a count is at least 1"
	case !digits:
		return shown(s) + " is not a whole number: write plain digits, for example 12"
	case strings.Trim(s, "0") == "":
		return shown(s) + " is nothing to do: a count is at least 1"
	case len(strings.TrimLeft(s, "0")) > 5 || atoi(strings.TrimLeft(s, "0")) > maxCount:
		return shown(s) + " is too many: a count is at most 10000"
	}
	return ""
}
