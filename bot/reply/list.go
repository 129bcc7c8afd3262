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
	for last > c.from && (r.as[last].kind == aEmoji || r.as[last].kind == aEnd || r.as[last].kind == aSign && !r.as[last].head || r.as[last].is(clThanks) || r.as[last].kind == aVersion || r.as[last].kind == aEffort) {
		last--
	}
	for end > i && r.cls[end].from > last {
		end--
	}
	letter, _ := r.letterAt(last)
	more := r.endsWithLetters(c, last)
	if letter == 0 || letter == 'A' && !more || r.as[last].head && !(more && r.cls[end].labelAt == last && !r.holdsValue(&r.cls[end])) || last == c.from {
		return false
	}
	if b := r.at(last - 1); !b.value() && b.kind != aVersion && b.kind != aEffort {
		return false
	}
	if end == i && !more {
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

// endsWithLetters reports a part's letter behind another value before atom last: "14:32 D, 5+12 C".
func (r *reader) endsWithLetters(c *clause, last int) bool {
	found := false
	for k := c.from + 1; k < last-1; k++ {
		letter, _ := r.letterAt(k)
		if letter == 0 || !r.at(k-1).value() {
			continue
		}
		if n := r.at(k + 1); n.sign(',') && (r.at(k+2).value() || !r.as[k].head) || n.word("and") || n.sign('&') || n.value() && r.as[last-1].value() {
			r.as[k].used, found = true, true
		}
	}
	return found
}

// startsWithValue reports whether the clause begins with a figure.
func (r *reader) startsWithValue(c *clause) bool {
	k := c.from
	for k < c.to && r.as[k].kind == aEmoji {
		k++
	}
	return r.at(k).value()
}
