package content

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// readAmount reads an amount at the start of text. found is false when text does not begin with one; what looks like
// an amount and is none is told, and ok is false.
func (p *parser) readAmount(text piece) (a Amount, rest piece, found, ok bool) {
	if first, tail := text.word(); first.is("max") {
		if q, is := tail.after("reps"); is {
			tail = q
		}
		return Amount{Kind: AmountMax}, tail, true, true
	}
	if !looksLikeAmount(text.s) {
		return Amount{}, text, false, true
	}
	a, n, wrong := amountAt(text.s)
	rest = text.from(n)
	if wrong == "" && rest.s != "" && !startsName(rest.s) {
		wrong = "cannot read the amount " + shown(upToBlank(text.s)) + ": write for example 12, 8-12, 30 s, 1:00, 200 m or 15 cal"
		if each := eachSideAmount(upToBlank(text.s)); each > 0 {
			wrong = shown(upToBlank(text.s)) + ": sides stand after the movement, for example " + itoa(2*each) + " split squat, " + itoa(each) + " each side"
		}
	}
	if wrong != "" {
		p.tell(text, "%s", wrong)
		rest = text.from(max(n, len(upToBlank(text.s)))).trim()
		if of, tail := rest.word(); of.is("of") {
			_, rest = tail.word()
		}
		return Amount{Kind: AmountReps, Low: 2, High: 2}, rest, true, false
	}
	if a.Kind == AmountPercent {
		a.Of, rest, ok = p.percentOf(text, rest.trim(), false)
		return a, rest, true, ok
	}
	return a, rest.trim(), true, true
}

// eachSideAmount reads 10/side and 5+5, which are no amounts, as what is done on each side; 0 for anything else.
func eachSideAmount(s string) int {
	n := len(s) - len(strings.TrimLeft(s, "0123456789"))
	if n == 0 || n > 4 {
		return 0
	}
	switch rest := strings.ToLower(s[n:]); {
	case rest == "/side" || rest == "/leg" || rest == "/arm" || rest == "/s" || rest == "+"+s[:n]:
		return int(atoi(s[:n]))
	}
	return 0
}

// looksLikeAmount reports whether s begins with a number of any script, a sign before one, or a time such as :30.
func looksLikeAmount(s string) bool {
	if s == "" {
		return false
	}
	if strings.IndexByte("-+:.~", s[0]) >= 0 || strings.HasPrefix(s, "−") {
		return len(s) > 1 && strings.ContainsAny(s[1:min(len(s), 5)], "0123456789")
	}
	return unicode.IsNumber(firstRune(s))
}

// startsName reports whether a movement's name may begin here: after a blank, or with a letter.
func startsName(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsSpace(r) || unicode.IsLetter(r) || r == ','
}

func upToBlank(s string) string {
	if i := strings.IndexFunc(s, unicode.IsSpace); i >= 0 {
		return s[:i]
	}
	return s
}

// amountAt reads a number, range, time, distance, calories or percentage at the start of s. It returns the bytes
// taken, and what is wrong with it.
func amountAt(s string) (a Amount, n int, wrong string) {
	if s[0] == ':' {
		s2 := "0" + s
		a, n, wrong = amountAt(s2)
		return a, max(n-1, 1), wrong
	}
	if !isDigit(s[0]) {
		if r := firstRune(s); r == '-' || r == '−' {
			return a, 0, shown(upToBlank(s)) + " is below zero: an amount is at least 1"
		}
		return a, 0, shown(upToBlank(s)) + " is not an amount: write plain digits, for example 12"
	}
	if d, k, bad := readTime(s, true); k > 0 {
		return timeAmount(s, d, k, bad)
	}
	v, dec, k := readNumber(s)
	if k == 0 {
		return a, 0, tooMany(upToBlank(s))
	}
	high, hk := v, 0
	if g := rangeGap(s[k:]); g > 0 {
		if d, tk, bad := readTime(s[k+g:], true); tk > 0 {
			return timeRange(s, v, dec, d, k+g+tk, bad)
		}
		if hv, hdec, w := readNumber(s[k+g:]); w > 0 {
			high, hk, dec = hv, g+w, dec || hdec
		}
	}
	n = k + hk
	return unitAmount(s, n, v, high, dec)
}

// isThousands reports whether s begins with three digits and no fourth.
func isThousands(s string) bool {
	if len(s) < 3 {
		return false
	}
	for i := range 3 {
		if !isDigit(s[i]) {
			return false
		}
	}
	return len(s) == 3 || !isDigit(s[3])
}

func tooMany(s string) string {
	if strings.Contains(s, ".") {
		return shown(s) + " has too many decimals: write at most three"
	}
	return shown(s) + " is too many: an amount is at most 10000"
}

// rangeGap returns how many bytes part the two numbers of a range: a dash or to, with blanks; 0 when there is none.
func rangeGap(s string) int {
	n := blanks(s)
	if n > 0 && len(s) > n+2 && strings.EqualFold(s[n:n+2], "to") && blanks(s[n+2:]) > 0 {
		n += 2
	} else if r, size := utf8.DecodeRuneInString(s[n:]); isDash(r) {
		n += size
	} else {
		return 0
	}
	n += blanks(s[n:])
	if n < len(s) && isDigit(s[n]) {
		return n
	}
	return 0
}

// timeAmount makes an amount of a time of k bytes, or of a range of times that begins with it.
func timeAmount(s string, d time.Duration, k int, wrong string) (Amount, int, string) {
	if wrong != "" {
		return Amount{}, k, wrong
	}
	a := Amount{Kind: AmountTime, Low: d.Milliseconds(), High: d.Milliseconds()}
	g := rangeGap(s[k:])
	if g == 0 {
		return a, k, ""
	}
	high, hk, wrong := readTime(s[k+g:], true)
	if hk == 0 || wrong != "" {
		return a, k, wrong
	}
	a.High = high.Milliseconds()
	return a, k + g + hk, rangeWrong(s[:k+g+hk], a)
}

// timeRange makes a range of times whose unit stands once, as in 20-30 s.
func timeRange(s string, low int64, dec bool, high time.Duration, n int, wrong string) (Amount, int, string) {
	if wrong != "" {
		return Amount{}, n, wrong
	}
	unit := time.Second
	if strings.ContainsRune(s[:n], ':') {
		return Amount{}, n, shown(s[:n]) + ": write both ends of the range alike, for example 0:30-1:00"
	}
	if u := strings.ToLower(strings.TrimLeft(s[:n], "0123456789.-–— to")); strings.HasPrefix(u, "m") || strings.HasPrefix(u, "'") {
		unit = time.Minute
	} else if strings.HasPrefix(u, "h") {
		unit = time.Hour
	}
	if low > int64(maxCount)*1000 {
		return Amount{}, n, tooMany(upToBlank(s))
	}
	d := time.Duration(low) * (unit / 1000)
	if wrong := timeWrong(s[:n], d); wrong != "" {
		return Amount{}, n, wrong
	}
	a := Amount{Kind: AmountTime, Low: d.Milliseconds(), High: high.Milliseconds()}
	return a, n, rangeWrong(s[:n], a)
}

func rangeWrong(s string, a Amount) string {
	if a.High < a.Low {
		return shown(s) + ": a range goes from the smaller to the larger, for example 8-12"
	}
	return ""
}

// amountUnits are the words that may stand behind the number of an amount that is no time.
var amountUnits = map[string]bool{
	"m": true, "metre": true, "metres": true, "meter": true, "meters": true,
	"km": true, "kilometre": true, "kilometres": true, "kilometer": true, "kilometers": true,
	"mi": true, "mile": true, "miles": true, "yd": true, "yds": true, "yard": true, "yards": true,
	"cal": true, "cals": true, "calorie": true, "calories": true, "kcal": true, "rep": true, "reps": true, "x": true,
}

// unitAmount reads the unit behind a number or range of n bytes; low and high are thousandths.
func unitAmount(s string, n int, low, high int64, dec bool) (Amount, int, string) {
	text := s[:n]
	gap := blanks(s[n:])
	if strings.HasPrefix(s[n+gap:], "%") {
		return percentAmount(text, n+gap+1, low, high, dec)
	}
	unit := leadingWord(s[n+gap:])
	taken := n + gap + len(unit)
	if !amountUnits[strings.ToLower(unit)] {
		unit, taken = "", n
		if strings.HasPrefix(s[n+gap:], "×") {
			unit, taken = "x", n+gap+len("×")
		}
	}
	switch {
	case high == 0 || low == 0:
		return Amount{}, taken, shown(text) + " is nothing to do: an amount is at least 1"
	case low > maxCount*1000 || high > maxCount*1000:
		return Amount{}, taken, tooMany(text)
	}
	a := Amount{Kind: AmountReps, Low: low / 1000, High: high / 1000}
	switch strings.ToLower(unit) {
	case "m", "metre", "metres", "meter", "meters":
		a = distanceAmount("m", low, high)
	case "km", "kilometre", "kilometres", "kilometer", "kilometers":
		a = distanceAmount("km", low, high)
	case "mi", "mile", "miles":
		a = distanceAmount("mi", low, high)
	case "yd", "yds", "yard", "yards":
		a = distanceAmount("yd", low, high)
	case "cal", "cals", "calorie", "calories", "kcal":
		a.Kind = AmountCalories
	case "x":
		if rest := s[taken:]; rest != "" && isDigit(rest[0]) {
			return a, taken, shown(upToBlank(s)) + ": the sets stand in the part's line (A. 3 sets), the reps alone here"
		}
	}
	switch {
	case a.Kind == AmountDistance && a.Low < 1:
		return a, taken, shown(text) + " is nothing to do: a distance is at least a millimetre"
	case a.Kind != AmountDistance && dec:
		return a, taken, shown(text) + " is not a whole number: write for example 12"
	case a.Kind == AmountDistance && !a.keepsItsText(low, high):
		return a, taken, shown(text) + " is finer than is kept: write at most two decimals"
	}
	return a, taken, rangeWrong(text, a)
}

func percentAmount(text string, n int, low, high int64, dec bool) (Amount, int, string) {
	switch {
	case low != high:
		return Amount{}, n, shown(text+"%") + ": write one percentage, for example 60% of A"
	case dec:
		return Amount{}, n, shown(text+"%") + ": write a whole percentage, for example 60% of A"
	case low == 0:
		return Amount{}, n, shown(text+"%") + " is nothing to do: write for example 60% of A"
	case low > 1000*1000:
		return Amount{}, n, shown(text+"%") + " is too many: at most 1000%"
	}
	return Amount{Kind: AmountPercent, Low: low / 1000, High: low / 1000}, n, ""
}
