package reply

import "strconv"

// colonTime reads 14:32, 1:02:15, 14:32.4, and 6:30 pm. Seconds have two digits and are below 60.
func (b *builder) colonTime(i int) int {
	if b.tok(i).spelled || !b.tight(i+1, ':') || !b.tightNum(i+2) {
		return 0
	}
	parts := [3]int{i}
	count, end := 1, i+1
	for b.tight(end, ':') && b.tightNum(end+1) {
		if count < 3 {
			parts[count] = end + 1
		}
		count, end = count+1, end+2
	}
	a := atom{kind: aTime}
	if count > 3 {
		a.bad = true
		return b.add(a, i, end)
	}
	if b.tight(end, '.') && b.tightNum(end+1) {
		a.frac = b.tok(end + 1).s
		end += 2
	} else if count == 2 && b.tight(end, ',') && b.tightNum(end+1) && len(b.tok(end+1).s) <= 3 && !b.tight(end+2, ':') {
		a.bad = true
		a.mendAs(b.tok(i).s+":"+b.tok(i+2).s+"."+b.tok(end+1).s, "")
		end += 2
	}
	b.colonValue(&a, parts[:count])
	t := b.tok(end)
	if t.s == "am" || t.s == "pm" {
		return b.add(atom{kind: aTimeOfDay, talk: true}, i, end+1)
	}
	if t.is(clDuration) && (len(t.s) > 1 || !t.gap || t.s == "h") {
		if end++; t.is(clHour) && count == 2 && !a.bad {
			a.bad = true // "1:15 h": an hour and a quarter, or a minute and a quarter?
			a.mendAs(clockText(a.ms*60), clockText(a.ms))
		}
	}
	if !b.mayTouch(end) {
		a.bad = true
	}
	return b.add(a, i, end)
}

func (b *builder) colonValue(a *atom, parts []int) {
	var seconds int64
	for k, at := range parts {
		t := b.tok(at)
		if t.n < 0 || k > 0 && (len(t.s) != 2 || t.n > 59) {
			a.bad = true
			b.mendColon(a, parts)
			return
		}
		seconds = seconds*60 + t.n
	}
	a.ms = seconds * 1000
	if a.frac != "" {
		ms, ok := fracMS(a.frac)
		if !ok {
			a.bad = true
			a.mendAs(clockText(a.ms), "")
			return
		}
		a.ms += ms
	}
}

// mendColon suggests what 14:75 or 14:5 may have meant.
func (b *builder) mendColon(a *atom, parts []int) {
	if len(parts) != 2 {
		return
	}
	m, s := b.tok(parts[0]), b.tok(parts[1])
	switch {
	case m.n < 0 || s.n < 0 || m.n > 10000 || s.n > 10000:
	case len(s.s) == 1:
		a.mendAs(clockText(m.n*60000+s.n*1000), "")
		if s.n < 6 {
			a.mend[1] = clockText(m.n*60000 + s.n*10000)
		}
	case s.n < 100:
		a.mendAs(clockText(m.n*60000+s.n*1000), "")
	}
}

// pointedTime reads 14.32.4 and 1.14.32, which are asked about; 12.10.26 may be a date, which is none.
func (b *builder) pointedTime(i int, f figure) int {
	if f.point == 0 || len(f.frac) != 2 || !b.tight(f.end, '.') || !b.tightNum(f.end+1) || len(b.tok(f.end+1).s) > 2 {
		return 0
	}
	middle, last := digitsValue(f.frac), b.tok(f.end+1)
	if end := f.end + 2; middle < 13 || middle > 59 || b.tight(end, '.') && b.tightNum(end+1) || !b.mayTouch(end) {
		return 0
	}
	a := atom{kind: aTime, bad: true}
	first, second := b.tok(i).s+":"+f.frac+"."+last.s, ""
	if len(last.s) == 2 && last.n < 60 {
		first, second = b.tok(i).s+":"+f.frac+":"+last.s, first
	}
	a.mendAs(first, second)
	return b.add(a, i, f.end+2)
}

// fracMS returns decimals of a second in milliseconds; false beyond three digits.
func fracMS(frac string) (int64, bool) {
	if len(frac) > 3 {
		return 0, false
	}
	ms := digitsValue(frac)
	for k := len(frac); k < 3; k++ {
		ms *= 10
	}
	return ms, true
}

// primeTime reads 14'32", 14', 95".
func (b *builder) primeTime(i int) int {
	t := b.tok(i)
	if t.spelled || t.n < 0 {
		return 0
	}
	if b.tight(i+1, '"') && !b.tight(i+2, '"') && (i == 0 || b.tok(i-1).c != '"') {
		return b.add(atom{kind: aTime, ms: t.n * 1000}, i, i+2)
	}
	if !b.tight(i+1, '\'') || b.tight(i+2, '\'') && !b.tight(i+3, '\'') && i > 0 && b.tok(i-1).c == '\'' {
		return 0
	}
	a := atom{kind: aTime, ms: t.n * 60000}
	end := i + 2
	if s := b.tok(end); s.kind == numToken && !s.spelled {
		a.ms += s.n * 1000
		a.bad = s.n > 59 || s.n < 0
		end++
		if b.tight(end, '.') && b.tightNum(end+1) {
			ms, ok := fracMS(b.tok(end + 1).s)
			a.ms, a.bad = a.ms+ms, a.bad || !ok
			end += 2
		}
		if a.bad {
			a.mendAs(clockText(a.ms), "")
		}
		switch {
		case b.tight(end, '"'):
			end++
		case b.tight(end, '\'') && b.tight(end+1, '\''):
			end += 2
		}
	} else if s.kind == wordToken && !s.gap && !s.is(clTouch) {
		return 0
	}
	return b.add(a, i, end)
}

// clockText writes milliseconds as m:ss, h:mm:ss from an hour on, with decimals where there are any.
func clockText(ms int64) string {
	s := ms / 1000
	buf := make([]byte, 0, 16)
	if h := s / 3600; h > 0 {
		buf = strconv.AppendInt(buf, h, 10)
		buf = append(buf, ':')
		buf = appendTwo(buf, s/60%60)
	} else {
		buf = strconv.AppendInt(buf, s/60, 10)
	}
	buf = append(buf, ':')
	buf = appendTwo(buf, s%60)
	if rest := ms % 1000; rest > 0 {
		digits := []byte{'.', byte('0' + rest/100), byte('0' + rest/10%10), byte('0' + rest%10)}
		for digits[len(digits)-1] == '0' {
			digits = digits[:len(digits)-1]
		}
		buf = append(buf, digits...)
	}
	return string(buf)
}

func appendTwo(buf []byte, n int64) []byte {
	return append(buf, byte('0'+n/10), byte('0'+n%10))
}
