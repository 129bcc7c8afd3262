package reply

import "strconv"

// spellOut makes one number token of each English number in words, in place: "twenty-one" is 21, "one hundred thirty"
// 130. Numbers that follow one another without making a larger one stay apart: "fourteen thirty-two" is 14 and 32,
// "fourteen oh five" 14 and 05. Blanks, hyphens and commas between the words of one number are ignored.
func spellOut(ts []token) []token {
	first := -1
	for i := range ts {
		if ts[i].is(clNumber) || isHundred(&ts[i]) {
			first = max(i-1, 0) // from the a of "a hundred"
			break
		}
	}
	if first < 0 {
		return ts
	}
	out := ts[:first]
	for i := first; i < len(ts); {
		if ts[i].kind == wordToken && ts[i].is(clNumber) {
			n, text, end := cardinal(ts, i)
			out = append(out, spelledToken(ts, i, end, n, text))
			i = end
			continue
		}
		if n, end := aHundred(ts, i); end > 0 {
			out = append(out, spelledToken(ts, i, end, n, strconv.FormatInt(n, 10)))
			i = end
			continue
		}
		if end := ohDigit(ts, i, len(out) > 0 && out[len(out)-1].spelled); end > 0 {
			n := unitValue(ts[end-1].s)
			out = append(out, spelledToken(ts, i, end, n, "0"+strconv.FormatInt(n, 10)))
			i = end
			continue
		}
		out = append(out, ts[i])
		i++
	}
	return out
}

func isHundred(t *token) bool { return len(t.s) == 7 && t.s == "hundred" }

// aHundred reads "a hundred", "hundred and thirty-two" at i and returns where it ends, 0 when it is not there, or when a
// word before it tells several ("few hundred").
func aHundred(ts []token, i int) (n int64, end int) {
	j := i
	if ts[i].s == "a" && i+1 < len(ts) {
		j++
	}
	if !isHundred(&ts[j]) || ts[j].kind != wordToken {
		return 0, 0
	}
	if i > 0 && (ts[i-1].s == "few" || ts[i-1].s == "couple" || ts[i-1].s == "of" || ts[i-1].s == "several" || ts[i-1].kind == numToken) {
		return 0, 0
	}
	n, end = 100, j+1
	if rest, e := restAfter(ts, j+1); e > 0 {
		n, end = 100+rest, e
	}
	if end < len(ts) && ts[end].is(clThanks) {
		return 0, 0
	}
	return n, end
}

func spelledToken(ts []token, from, to int, n int64, text string) token {
	return token{kind: numToken, gap: ts[from].gap, spelled: true, from: ts[from].from, to: ts[to-1].to, n: n, s: text}
}

// ohDigit reads "oh five" or "oh-five" after a number in words and returns where it ends, 0 when it is not there.
func ohDigit(ts []token, i int, after bool) int {
	if !after || ts[i].s != "oh" && ts[i].s != "o" {
		if !after || ts[i].c != '-' || i+1 >= len(ts) || ts[i+1].s != "oh" {
			return 0
		}
		i++
	}
	j := i + 1
	if j < len(ts) && ts[j].c == '-' {
		j++
	}
	if j < len(ts) && ts[j].is(clNumber) && unitValue(ts[j].s) > 0 {
		return j + 1
	}
	return 0
}

// cardinal reads the longest cardinal number at i.
func cardinal(ts []token, i int) (n int64, text string, end int) {
	n, end, hundreds := below1000(ts, i)
	if j := nextWord(ts, end); j > 0 && ts[j].s == "thousand" && n > 0 {
		n, end, hundreds = n*1000, j+1, false
		if k := nextWord(ts, end); k > 0 && ts[k].is(clNumber) && ts[k].s != "zero" {
			rest, e, _ := below1000(ts, k)
			n, end = n+rest, e
		}
	}
	text = strconv.FormatInt(n, 10)
	if hundreds && n >= 1000 {
		text = strconv.FormatInt(n/100, 10) + " 00" // "fourteen hundred": also the time 14:00
	}
	return n, text, end
}

// below1000 reads a number up to "ninety-nine hundred and ninety-nine". hundreds: it ends with the word hundred.
func below1000(ts []token, i int) (n int64, end int, hundreds bool) {
	n, end = below100(ts, i)
	j := nextWord(ts, end)
	if j == 0 || ts[j].s != "hundred" || n == 0 {
		return n, end, false
	}
	n, end = n*100, j+1
	if rest, e := restAfter(ts, end); e > 0 {
		return n + rest, e, false
	}
	return n, end, true
}

// restAfter reads what follows "hundred": thirty, and thirty.
func restAfter(ts []token, i int) (n int64, end int) {
	j := nextWord(ts, i)
	if j > 0 && ts[j].s == "and" && j+1 < len(ts) && ts[j+1].is(clNumber) {
		j++
	}
	if j > 0 && ts[j].is(clNumber) && ts[j].s != "zero" {
		return below100(ts, j)
	}
	return 0, 0
}

// below100 reads a number below a hundred at a number word.
func below100(ts []token, i int) (n int64, end int) {
	if u := unitValue(ts[i].s); u >= 0 {
		return u, i + 1
	}
	n = tensValue(ts[i].s)
	if n >= 20 {
		if j := nextWord(ts, i+1); j > 0 && ts[j].is(clNumber) {
			if u := unitValue(ts[j].s); u > 0 && u < 10 {
				return n + u, j + 1
			}
		}
	}
	return n, i + 1
}

// nextWord returns the index of the word at or after i across a hyphen, 0 when there is none. A comma parts numbers as
// often as it joins the words of one, so it is not crossed here.
func nextWord(ts []token, i int) int {
	if i < len(ts) && ts[i].c == '-' && !ts[i].gap && i+1 < len(ts) && !ts[i+1].gap {
		i++
	}
	if i < len(ts) && ts[i].kind == wordToken {
		return i
	}
	return 0
}

// unitValue returns 0 to 9 and -1 for other words.
func unitValue(s string) int64 {
	switch s {
	case "zero":
		return 0
	case "one":
		return 1
	case "two":
		return 2
	case "three":
		return 3
	case "four":
		return 4
	case "five":
		return 5
	case "six":
		return 6
	case "seven":
		return 7
	case "eight":
		return 8
	case "nine":
		return 9
	}
	return -1
}

// tensValue returns 10 to 19 and the tens.
func tensValue(s string) int64 {
	for i, w := range [...]string{"ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"} {
		if s == w {
			return int64(10 + i)
		}
	}
	for i, w := range [...]string{"twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"} {
		if s == w {
			return int64(20 + 10*i)
		}
	}
	return -1
}
