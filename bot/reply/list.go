package reply

// listAsksPart reads a line that starts with a value and ends with a label ("14:32 B 9:10 D"): which value is whose is
// asked. One value with one letter behind it is that part's. It reports whether clause i has been dealt with.
func (r *reader) listAsksPart(i int) bool {
	c := &r.cls[i]
	if c.skip {
		return true
	}
	if len(c.labels) > 0 || !r.startsWithValue(c) {
		return false
	}
	end := i
	for end+1 < len(r.cls) && r.cls[end+1].line == c.line && !r.cls[end+1].talk {
		end++
	}
	last := r.cls[end].to - 1
	for last > c.from && (r.as[last].kind == aEmoji || r.as[last].kind == aEnd || r.as[last].kind == aSign && !r.as[last].head || r.as[last].is(clThanks)) {
		last--
	}
	for end > i && r.cls[end].from > last {
		end--
	}
	letter, _ := r.letterAt(last)
	if letter == 0 || letter == 'A' || r.as[last].head || last == c.from {
		return false
	}
	if b := r.at(last - 1); !b.value() && b.kind != aVersion && b.kind != aEffort {
		return false
	}
	if end == i && r.otherLetter(c, last) {
		v := r.survey(c)
		r.useAll(&v)
		for k := c.from; k <= last; k++ {
			if l, _ := r.letterAt(k); l != 0 || r.as[k].kind == aVersion || r.as[k].sign(',') {
				r.as[k].used = true
			}
		}
		r.owes(ruleAskMixed)
		r.addAsk(i, "", AboutPart, nil)
		return true
	}
	if end == i {
		c.labels, c.labelAt, c.post = []byte{letter}, last, true
		r.as[last].head = true
		return false
	}
	for k := i; k <= end; k++ {
		cl := &r.cls[k]
		cl.skip, cl.read = true, true
		v := r.survey(cl)
		r.useAll(&v)
		for j := cl.labelAt; j < cl.bodyAt; j++ {
			r.as[j].used = true
		}
		for j := cl.from; j < cl.to; j++ {
			if r.as[j].kind == aVersion {
				r.as[j].used = true
			}
		}
	}
	r.as[last].used = true
	r.owes(ruleAskMixed)
	r.addAsk(i, "", AboutPart, nil)
	return true
}

// otherLetter reports a letter behind a value before the last one: "14:32 A, 18:10 C".
func (r *reader) otherLetter(c *clause, last int) bool {
	for k := c.from + 1; k < last; k++ {
		if l, _ := r.letterAt(k); l != 0 && r.at(k-1).value() && (r.at(k+1).sign(',') || r.at(k+1).value()) {
			return true
		}
	}
	return false
}

// startsWithValue reports whether the clause begins with a figure.
func (r *reader) startsWithValue(c *clause) bool {
	k := c.from
	for k < c.to && r.as[k].kind == aEmoji {
		k++
	}
	return r.at(k).value()
}
