package reply

import "tallybell/content"

// readVersion finds the clause's own version, and whether it has to be asked: two that disagree, or a word that
// unsettles one.
func (r *reader) readVersion(c *clause) {
	intended := false
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if a.kind != aVersion || a.talk || !r.versionCounts(c, i) {
			continue
		}
		if r.isIntended(c, i) {
			intended = true
			continue
		}
		a.used = true
		if c.version != "" && c.version != a.version {
			c.unsure = true
		}
		c.version, c.versionAt = a.version, i
		if r.hedged(c, i) {
			c.unsure = true
		}
	}
	c.unsure = c.unsure || intended && c.version == ""
}

// versionCounts tells a version word from the same word in talk: easier, mod and scale count only beside a value, at an
// edge of the clause or after a comma; "easier than" and "felt easier" never.
func (r *reader) versionCounts(c *clause, i int) bool {
	a, b, n := &r.as[i], r.at(i-1), r.at(i+1)
	switch a.s {
	case "aw":
		return !(n.word("man") || n.word("thanks") || n.word("thank") || n.word("shucks") || n.word("no") || n.word("come"))
	case "easier":
		if n.word("than") || b.kind == aWord && !b.is(clFiller|clThanks|clJoin) && !b.word("the") && !r.isEdge(c, i, true) {
			return false
		}
	case "mod", "scale":
	default:
		return true
	}
	if b.word("to") && (r.at(i-2).word("had") || r.at(i-2).word("needed")) {
		return true
	}
	if b.kind == aWord {
		switch b.s {
		case "felt", "feel", "feels", "feeling", "much", "bit", "lot", "little", "way", "got", "gets", "getting", "seemed", "seems", "was", "is", "were", "are", "became", "it", "far", "no", "any", "bathroom", "to", "the", "on":
			return false
		}
	}
	return r.isEdge(c, i, false) || b.sign(',') || b.value() || n.value()
}

// isEdge reports whether atom i starts the clause's body or ends the clause.
func (r *reader) isEdge(c *clause, i int, startOnly bool) bool {
	k := i - 1
	for k >= c.from && (r.as[k].head || r.as[k].kind == aEmoji || r.as[k].kind == aFix) {
		k--
	}
	if k < c.from || startOnly {
		return k < c.from
	}
	k = i + 1
	for k < c.to && (r.as[k].kind == aSign || r.as[k].kind == aEmoji || r.as[k].kind == aEffort || r.as[k].is(clThanks)) {
		k++
	}
	return k >= c.to
}

// hedged reports a word beside the version that unsettles it: not quite, almost, mostly, except, apart from, but.
func (r *reader) hedged(c *clause, i int) bool {
	for k := i - 1; k >= c.from; k-- {
		if a := &r.as[k]; a.kind == aHedge {
			a.used = a.s != "but"
			return true
		} else if !a.sign(',') {
			break
		}
	}
	for k := i + 1; k < c.to; k++ {
		if a := &r.as[k]; a.kind == aHedge {
			// "scaled, almost died": the word belongs to what follows it.
			n := r.at(k + 1)
			return a.s != "almost" && a.s != "nearly" || k == i+1 || n.kind != aWord || n.word("all") || n.word("every") || n.word("everything")
		} else if !a.sign(',') {
			break
		}
	}
	return r.isDoubted(c, i) || r.as[i].version == content.AsWritten && r.isPartly(i)
}

// fitVersion is what the fit and the words about ways say of a part's version: "" nothing, and ask when it has to be
// asked whatever was typed.
func (r *reader) fitVersion(c *clause, p *content.Part) (v content.Version, ask bool) {
	if c.session.Eased(p.Letter) {
		return content.Scaled, c.version == content.AsWritten
	}
	if !r.hasWords || c.version == content.Scaled && !c.unsure {
		return "", false
	}
	if r.leavesOut(c, p) {
		return "", true
	}
	sheet := written(c.session, p)
	lines := p // that have every easier line of the part: those that the fit took away count as well
	if sheet != nil {
		lines = sheet
	}
	for i := c.bodyAt; i < c.to; i++ {
		a := &r.as[i]
		if a.kind != aWord || a.talk || len(a.s) < 2 {
			continue
		}
		if r.namesEasier(p, lines, i) {
			return content.Scaled, c.version == content.AsWritten
		}
		if hint := r.hintAt(c, i); hint != "" {
			if fitsEasier(lines, hint) {
				return content.Scaled, c.version == content.AsWritten
			}
			if !writtenHas(p, hint) && (hint == "no pack" || !writtenHas(lines, hint)) && c.version != content.Scaled {
				return "", true
			}
		}
	}
	return "", false
}

// leavesOut reports a movement of the part that was not done: "no step-overs", "without the lunges", "other than the
// push-ups".
func (r *reader) leavesOut(c *clause, p *content.Part) bool {
	for i := c.bodyAt; i < c.to; i++ {
		a, at := &r.as[i], i+1
		if a.kind != aWord || a.talk {
			continue
		}
		switch a.s {
		case "no", "without", "minus", "bar", "besides":
		case "other", "left", "leaving":
			n := r.at(at)
			if a.s == "other" && !n.word("than") || a.s != "other" && !n.word("out") && !n.word("off") {
				continue
			}
			at++
		default:
			continue
		}
		if r.at(at).word("the") || r.at(at).word("any") {
			at++
		}
		if m, end := r.movementAt(c.session, p, at); m >= 0 && !isPlainWord(r.at(end)) {
			return true
		}
	}
	return false
}

// namesEasier reports whether atom i begins the name of a movement of the part's easier lines that is not one of its
// own: as p was sent, and as lines have it.
func (r *reader) namesEasier(p, lines *content.Part, i int) bool {
	for m := range lines.Movements {
		for w := range lines.Movements[m].Ways {
			way := &lines.Movements[m].Ways[w]
			if way.Kind != content.Easier || way.Movement.Name == lines.Movements[m].Name {
				continue
			}
			end := r.wholeName(way.Movement.Name, i)
			if end == 0 || r.ownName(p, lines, i) >= end || r.partOfOwn(p, lines, i, end) {
				continue
			}
			return true
		}
	}
	return false
}

// ownName returns the atom after the longest whole name of the part's own movements at atom i.
func (r *reader) ownName(p, lines *content.Part, i int) int {
	best := 0
	for m := range p.Movements {
		best = max(best, r.wholeName(p.Movements[m].Name, i))
		if p != lines {
			best = max(best, r.wholeName(lines.Movements[m].Name, i))
		}
	}
	return best
}

// partOfOwn reports whether the words [i, end) end a longer name of the part's own: "step-up" of "lateral step-up".
func (r *reader) partOfOwn(p, lines *content.Part, i, end int) bool {
	for k := i - 1; k >= i-4 && k >= 0; k-- {
		if a := r.at(k); a.kind != aWord && !a.sign('-') {
			break
		}
		if r.ownName(p, lines, k) >= end {
			return true
		}
	}
	return false
}
