package reply

// months by their words; may is more often the verb.
var months = wordSet("january february march april june july august september october november december jan feb mar apr jun jul aug sep sept oct nov dec")

// monthDay makes the atom of a day of a month in words, "12 jan", "the 3rd of march", "jan 12": which year is not told, so
// a value beside it asks for the day. It returns 0 when none starts at token i.
func (b *builder) monthDay(i int) int {
	end := i
	if t := b.tok(i); t.kind == numToken {
		if end = i + 1; t.n < 1 || t.n > 31 {
			return 0
		}
		switch s := b.tok(end); {
		case s.kind == wordToken && !s.gap && (s.s == "st" || s.s == "nd" || s.s == "rd" || s.s == "th"):
			end++
		}
		if b.tok(end).s == "of" {
			end++
		}
		if w := b.tok(end); w.kind != wordToken || !w.is(clMonth) {
			return 0
		}
		end++
	} else {
		n, after := b.tok(i+1), b.tok(i+2)
		if !t.is(clMonth) || n.kind != numToken || n.n < 1 || n.n > 31 || after.c == ':' && !after.gap && b.tightNum(i+3) || after.c == '+' {
			return 0
		}
		if end = i + 2; after.kind == wordToken && !after.gap {
			end++
		}
	}
	return b.add(atom{kind: aDay, s: "other", class: clDay, bad: true}, i, end)
}
