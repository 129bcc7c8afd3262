package content

import (
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// maxCount is the largest count or measure that a sheet may hold.
const maxCount = 10_000

// maxTime is the longest time that a sheet may hold.
const maxTime = 24 * time.Hour

// readTime reads a time at the start of s: 1:30, 1:02:15, 90 s, 8 min, 8 min 30 s, 1 h, 1.5 min, 8'30". It returns
// the bytes it took (0: this is not a time) and, for what looks like a time but is none, what is wrong with it.
// Where metres cannot be meant, m stands for minutes.
func readTime(s string, metres bool) (d time.Duration, n int, wrong string) {
	if d, n, wrong = readColons(s); n > 0 {
		return d, n, wrong
	}
	last := time.Duration(0)
	for n < len(s) {
		val, dec, k := readNumber(s[n:])
		if k == 0 {
			break
		}
		unit, u := readTimeUnit(s[n+k:], metres)
		if u == 0 && last == time.Minute && !dec && val < 60_000 && k <= 2 && endsHere(s[n+k:]) {
			unit = time.Second // 8 min 30
		}
		if unit == 0 || last != 0 && unit >= last {
			break
		}
		d += time.Duration(min(val, 100_000_000)) * (unit / 1000)
		n += k + u
		last = unit
		n += blanks(s[n:])
	}
	n = len(strings.TrimRightFunc(s[:n], unicode.IsSpace))
	if n == 0 {
		return 0, 0, ""
	}
	return d, n, timeWrong(s[:n], d)
}

// endsHere reports whether a number ends a time: nothing, a comma or a word that is no unit follows.
func endsHere(s string) bool { return s == "" || s[0] == ' ' || s[0] == ',' }

// blanks returns how many bytes of blanks s begins with.
func blanks(s string) int { return len(s) - len(strings.TrimLeftFunc(s, unicode.IsSpace)) }

// readColons reads M:SS, H:MM:SS and :SS.
func readColons(s string) (time.Duration, int, string) {
	i, fields := 0, []string{}
	for {
		j := i
		for j < len(s) && isDigit(s[j]) {
			j++
		}
		fields = append(fields, s[i:j])
		if j >= len(s) || s[j] != ':' || j+1 >= len(s) || !isDigit(s[j+1]) {
			i = j
			break
		}
		i = j + 1
	}
	if len(fields) < 2 {
		return 0, 0, ""
	}
	if i < len(s) && s[i] == '.' && i+1 < len(s) && isDigit(s[i+1]) {
		return 0, i, fmt.Sprintf("%s: write whole seconds, for example 1:30", shown(s[:i+2]))
	}
	var total int64
	for k, f := range fields {
		if len(fields) > 3 || len(f) > 5 || k > 0 && len(f) != 2 {
			return 0, i, fmt.Sprintf("%s is not a time: write minutes and two digits of seconds, for example 1:30", shown(s[:i]))
		}
		v := atoi(f)
		if k > 0 && v > 59 {
			return 0, i, fmt.Sprintf("%s is not a time: after a colon comes 00 to 59, for example 1:30", shown(s[:i]))
		}
		total = total*60 + v
	}
	d := time.Duration(total) * time.Second
	return d, i, timeWrong(s[:i], d)
}

// timeWrong tells what is wrong with a time that was read, or returns "".
func timeWrong(s string, d time.Duration) string {
	switch {
	case d < time.Second:
		return fmt.Sprintf("%s is no time: write at least one second, for example 0:30", shown(s))
	case d > maxTime:
		return fmt.Sprintf("%s is more than a day: write minutes and seconds, for example 12:00", shown(s))
	case d%time.Second != 0:
		return fmt.Sprintf("%s: write whole seconds, for example 1:30", shown(s))
	}
	return ""
}

// readNumber reads a whole or decimal number at the start of s, in thousandths. n is 0 when there is none; more than
// three decimals or nine digits are not read as a number.
func readNumber(s string) (thousandths int64, decimal bool, n int) {
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	if n == 0 || n > 9 {
		return 0, false, 0
	}
	v := atoi(s[:n]) * 1000
	if n+1 < len(s) && s[n] == '.' && isDigit(s[n+1]) {
		k, place := n+1, int64(100)
		for ; k < len(s) && isDigit(s[k]); k++ {
			v += int64(s[k]-'0') * place
			place /= 10
		}
		if k-n > 4 {
			return 0, false, 0
		}
		return v, true, k
	}
	return v, false, n
}

// readTimeUnit reads a unit of time, with blanks before it.
func readTimeUnit(s string, metres bool) (time.Duration, int) {
	n := blanks(s)
	u := leadingWord(s[n:])
	switch strings.ToLower(u) {
	case "s", "sec", "secs", "second", "seconds", "\"", "″":
		return time.Second, n + len(u)
	case "min", "mins", "minute", "minutes", "'", "′":
		return time.Minute, n + len(u)
	case "m":
		if !metres {
			return time.Minute, n + len(u)
		}
	case "h", "hr", "hrs", "hour", "hours":
		return time.Hour, n + len(u)
	}
	return 0, 0
}

// leadingWord returns the letters that s begins with, or one mark of minutes or seconds. A word that goes on with a
// hyphen is no unit and gives "".
func leadingWord(s string) string {
	n := 0
	for n < len(s) {
		r, size := utf8.DecodeRuneInString(s[n:])
		if !unicode.IsLetter(r) {
			if n == 0 && (r == '\'' || r == '"' || r == '′' || r == '″') {
				return s[:size]
			}
			if r == '-' && n > 0 && n+1 < len(s) && !isDigit(s[n+1]) && s[n+1] != ' ' {
				return ""
			}
			break
		}
		n += size
	}
	return s[:n]
}

// atoi reads up to 18 plain digits.
func atoi(s string) int64 {
	var v int64
	for i := 0; i < len(s) && i < 18; i++ {
		v = v*10 + int64(s[i]-'0')
	}
	return v
}

// clockText writes a time as M:SS.
func clockText(d time.Duration) string {
	s := int64(d / time.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}
