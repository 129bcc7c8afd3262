package reply

// dropBold takes out the asterisks that make a label bold: *D* 14:32, *D:* 14:32.
func (r *reader) dropBold() {
	for i := 0; i+2 < len(r.as); i++ {
		if letter, next := r.letterAt(i + 1); letter == 0 || !r.as[i].sign('*') || r.as[i+1].gap {
			continue
		} else if end := r.at(next); end.sign(':') && r.at(next+1).sign('*') {
			r.plainSign(i, '-')
			r.plainSign(next+1, ':')
		} else if end.sign('*') && !end.gap {
			r.plainSign(i, '-')
			r.plainSign(next, ':')
		}
	}
}

// plainSign makes a sign another, that no rule but that of labels looks at, and marks it as read.
func (r *reader) plainSign(i int, c byte) { r.as[i].c, r.as[i].used = c, true }

// dropNumbering takes the numbers of a list out: "1) A done", "2. D 14:32". They count up from 1, the first begins its
// line, and a part letter follows each.
func (r *reader) dropNumbering() {
	next := int64(1)
	for i := 0; i+2 < len(r.as); i++ {
		a, mark := &r.as[i], &r.as[i+1]
		if a.kind != aInt || a.n != next || a.spelled || mark.gap || !mark.sign(')') && !mark.sign('.') && !(mark.kind == aEnd && mark.c == '.') {
			continue
		}
		if b := r.at(i - 1); next == 1 && i > 0 && b.kind != aEnd || b.sign('(') {
			continue
		}
		if letter, _ := r.letterAt(i + 2); letter == 0 {
			continue
		}
		r.because(ruleNumbering, i, i+2, "dropped")
		a.kind, a.c, a.used = aEnd, ';', true
		mark.kind, mark.c, mark.used = aEnd, ';', true
		next++
	}
}
