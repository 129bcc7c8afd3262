package reply

import "tallybell/content"

// finish settles versions and efforts across clauses, parts told twice, and the note.
func (r *reader) finish() {
	r.lineEfforts()
	end, first := r.rulingVersion(), r.firstVersion()
	r.loneVersion()
	r.settleTwice()
	for k := range r.drafts {
		d := &r.drafts[k]
		if d.isAsk {
			r.out.Asks = append(r.out.Asks, d.ask)
			continue
		}
		r.finishResult(d, end, first)
	}
	r.out.Note = r.note()
	r.whyNote()
}

// finishResult gives a result its version and effort, and asks for what is missing.
func (r *reader) finishResult(d *draft, end, first *clause) {
	c := &r.cls[d.clause]
	res := &d.res
	if res.Kind == "" {
		r.out.Results = append(r.out.Results, *res)
		return
	}
	res.Effort = c.effort
	ask := r.settleVersion(d, c, end, first)
	if c.badEffort {
		r.whyPart(ruleAskEffort, c, "?", d.part.Letter, " "+AboutEffort)
	}
	r.out.Results = append(r.out.Results, *res)
	if ask {
		r.out.Asks = append(r.out.Asks, Ask{Part: d.part.Letter, About: AboutVersion, Suggest: r.versionIdeas(c, d.part)})
	}
	if c.badEffort {
		r.out.Asks = append(r.out.Asks, Ask{Part: d.part.Letter, About: AboutEffort, Suggest: []string{}})
	}
}

// settleVersion decides a result's version and reports whether it has to be asked.
func (r *reader) settleVersion(d *draft, c, end, first *clause) bool {
	res := &d.res
	told, unsure := c.version, c.unsure
	if told == "" {
		for _, ruling := range [...]*clause{first, end} {
			if ruling != nil && told == "" {
				told, unsure = ruling.version, ruling.unsure
				r.whyRuling(ruling, ruling == first, res.Part)
			}
		}
	}
	if res.Kind == content.KindDone {
		if !unsure {
			res.Version = told
		}
		return false
	}
	if res.Correction && told == "" {
		r.because(ruleVersionKept, c.from, c.to, "")
		return false // the earlier result's is kept; res.Version may hold that of this very reply
	}
	fit, must := r.fitVersion(c, d.part)
	switch {
	case must || unsure || fit == content.Scaled && told == content.AsWritten:
		res.Version = ""
		r.whyVersion(d, c, r.askVersionRule(c, d.part, fit, unsure), true)
		return true
	case told != "":
		res.Version = told
	case fit != "":
		res.Version = fit
		rule := ruleEasierNamed
		if c.session.Eased(d.part.Letter) {
			rule = ruleEased
		}
		r.whyVersion(d, c, rule, false)
	case r.in.Usual != "":
		res.Version = r.in.Usual
		r.whyVersion(d, c, ruleUsual, false)
	case res.Version == "":
		r.whyVersion(d, c, ruleAskVersion, true)
		return true
	}
	return false
}

// rulingVersion returns the clause whose version stands at the end of the reply, where only an effort, emoji or thanks
// may follow: it rules every clause without its own.
func (r *reader) rulingVersion() *clause {
	for i := len(r.cls) - 1; i >= 0; i-- {
		c := &r.cls[i]
		if c.talk {
			return nil
		}
		if c.versionAt >= 0 {
			if !r.onlyThanksAfter(c.versionAt) && !r.saysAll(c) {
				return nil
			}
			if !c.read {
				r.as[c.versionAt].used = true
				c.keepVersion = len(r.drafts) > 0
			}
			return c
		}
	}
	return nil
}

// saysAll reports "all as written", "both scaled": a version that rules every clause wherever it stands.
func (r *reader) saysAll(c *clause) bool {
	b := r.at(c.versionAt - 1)
	if b.word("were") || b.word("was") || b.word("done") || b.kind == aDone {
		b = r.at(c.versionAt - 2)
	}
	n := r.at(c.versionAt + 1)
	return len(r.drafts) > 1 && (isAll(b) && c.versionAt > c.from || isAll(n) && c.versionAt+1 < c.to)
}

func isAll(a *atom) bool {
	return a.word("all") || a.word("both") || a.word("everything") || a.word("throughout")
}

func (r *reader) onlyThanksAfter(i int) bool {
	for k := i + 1; k < len(r.as); k++ {
		a := &r.as[k]
		switch {
		case a.kind == aEmoji, a.kind == aTick, a.kind == aSign, a.kind == aEnd, a.kind == aEffort, a.kind == aOutOf && a.used, a.is(clThanks), a.kind == aDay && a.s == "today", a.head:
		case a.word("you") && r.at(k-1).word("thank"):
		default:
			return false
		}
	}
	return true
}

// firstVersion returns the first clause when it holds a version and nothing to log: "Scaled today. D 14:32". A version
// alone in a clause further on is that of the results before it.
func (r *reader) firstVersion() *clause {
	var first *clause
	for i := range r.cls {
		c := &r.cls[i]
		if c.read || c.version == "" || c.talk {
			continue
		}
		if i == 0 {
			if len(r.drafts) > 0 && r.onlyVersion(c) {
				first, c.keepVersion = c, true
			}
			continue
		}
		if !r.onlyVersion(c) && !r.leadsWithVersion(c) {
			continue
		}
		for k := range r.drafts {
			if d := &r.drafts[k]; d.clause < i && r.cls[d.clause].version == "" {
				r.cls[d.clause].version, r.cls[d.clause].unsure = c.version, c.unsure
				c.keepVersion = true
			}
		}
	}
	return first
}

// leadsWithVersion reports a clause whose one version stands alone before its first comma: "scaled, knees hurt".
func (r *reader) leadsWithVersion(c *clause) bool {
	versions, comma := 0, -1
	for k := c.from; k < c.to; k++ {
		switch a := &r.as[k]; {
		case a.kind == aVersion:
			if versions++; comma >= 0 {
				return false
			}
		case comma < 0 && r.isPieceEnd(k):
			comma = k
		case comma < 0 && !(a.kind == aWord && isPointer(a.s)) && a.kind != aEmoji:
			return false
		}
	}
	return versions == 1 && comma >= 0
}

// loneVersion makes a correction of the last result's version of a reply that says nothing else to log.
func (r *reader) loneVersion() {
	if len(r.drafts) > 0 || r.out.Question {
		return
	}
	for i := range r.cls {
		c := &r.cls[i]
		if c.talk || c.version == "" || c.unsure || !r.onlyVersion(c) || isLoose(r.as[c.versionAt].s) && r.hasPointer(c) {
			continue
		}
		r.addVersion(i, "")
		return
	}
}

// hasPointer reports words beside a lone version: "easier today" is talk.
func (r *reader) hasPointer(c *clause) bool {
	for k := c.from; k < c.to; k++ {
		if a := &r.as[k]; a.kind == aWord && (!a.is(clThanks) || a.word("please") || a.word("pls")) || a.kind == aDay {
			return true
		}
	}
	return false
}

// lineEfforts gives an effort that stands alone on its line to the whole session, and one that stands alone in a clause
// to the results before it on the line.
func (r *reader) lineEfforts() {
	for i := range r.cls {
		c := &r.cls[i]
		if c.read || c.effortAt < 0 || !r.onlyEffort(c) {
			continue
		}
		alone := r.lineEnds(i, -1) && r.lineEnds(i, 1)
		before := i - 1
		for before > 0 && !r.cls[before].read && r.cls[before].version != "" && r.onlyVersion(&r.cls[before]) {
			before-- // "14:32. rx. rpe 8"
		}
		taken := !alone && (r.giveEffort(c, before) || r.giveEffort(c, i+1))
		if !taken && !alone {
			continue
		}
		if !taken {
			if c.badEffort {
				r.out.Asks = append(r.out.Asks, Ask{About: AboutEffort, Suggest: []string{}})
				r.because(ruleAskEffort, c.effortAt, c.effortAt+1, "? "+AboutEffort)
			} else {
				r.out.Effort = c.effort
				r.whyEffort(ruleSessionEffort, c)
			}
		} else {
			r.whyEffort(ruleEffortBehind, c)
		}
		c.keepEffort = true
	}
}

// lineEnds reports whether clause i stands at the edge of its line in that direction, thanks and pictures apart.
func (r *reader) lineEnds(i, step int) bool {
	for k := i + step; k >= 0 && k < len(r.cls) && r.cls[k].line == r.cls[i].line; k += step {
		for j := r.cls[k].from; j < r.cls[k].to; j++ {
			if a := &r.as[j]; a.kind != aEmoji && a.kind != aSign && !a.is(clThanks) {
				return false
			}
		}
	}
	return true
}

// giveEffort gives a clause's effort to the results of clause i, on the same line, when they have none.
func (r *reader) giveEffort(c *clause, i int) bool {
	if i < 0 || i >= len(r.cls) || r.cls[i].line != c.line || r.cls[i].effortAt >= 0 {
		return false
	}
	given := false
	for k := range r.drafts {
		if d := &r.drafts[k]; d.clause == i && !d.isAsk {
			given = true
		}
	}
	if given {
		r.cls[i].effort, r.cls[i].badEffort = c.effort, c.badEffort
	}
	return given
}

// onlyEffort reports a clause of an effort and words that point at the session.
func (r *reader) onlyEffort(c *clause) bool {
	for k := c.from; k < c.to; k++ {
		a := &r.as[k]
		switch {
		case a.kind == aEffort, a.kind == aOutOf, a.kind == aSign, a.kind == aEmoji, a.is(clThanks), a.kind == aDay && a.s == "today":
		case a.word("overall"), a.word("session"), a.word("whole"), a.word("total"), a.word("the"), a.word("for"), a.word("about"):
		default:
			return false
		}
	}
	return true
}
