package reply

import "tallybell/content"

// reader reads one reply.
type reader struct {
	in        Input
	text      plainText
	ts        []token
	as        []atom
	cls       []clause
	letters   [26]bool
	questions [][2]int
	qAt       int
	hasWords  bool // there are words that may name a way
	hasOne    bool // there is a 1 that may number a list
	hasStar   bool // there is an asterisk that may make a label bold
	nameAtoms [][2]int
	drafts    []draft
	ruled     bool  // a day before a colon or on its own line rules what follows
	ruling    dayOf // that day
	careAt    int   // the token of the first incident; -1 for none
	out       Reading
	why       *why // nil: no steps are gathered

	tokenRoom [24]token
	atomRoom  [24]atom
}

// Read reads a reply of any length, in time proportional to it.
func Read(text string, in Input) Reading {
	r := reader{in: in, text: normalise(text), careAt: -1}
	r.out = Reading{Reply: text, Care: CareNone, Results: []PartResult{}, Asks: []Ask{}}
	r.ts = scan(&r.text, r.tokenRoom[:0])
	keepSides(r.ts)
	r.ts = spellOut(r.ts)
	if in.Why != nil {
		r.why = &why{steps: in.Why, told: map[int]bool{}, seen: map[place]bool{}}
		r.whyPlain()
	}
	r.out.Care = r.care()
	if r.command() {
		r.whyCommand()
		return r.out
	}
	b := builder{ts: r.ts, out: r.atomRoom[:0], today: in.Today, read: &r}
	b.build()
	r.as = b.out
	r.knowLetters()
	if r.hasOne {
		r.dropNumbering()
	}
	if r.hasStar {
		r.dropBold()
	}
	r.findQuestions()
	r.split()
	r.read()
	r.finish()
	if r.careAt >= 0 {
		r.out.CareMovement = r.careMovement()
	}
	return r.out
}

// knowLetters notes which letters are parts, of the session or of another day's that the reply names.
func (r *reader) knowLetters() {
	mark := func(s *content.Session) {
		for i := range s.Parts {
			if l := s.Parts[i].Letter; len(l) == 1 && l[0] >= 'A' && l[0] <= 'Z' {
				r.letters[l[0]-'A'] = true
			}
		}
	}
	mark(&r.in.Session.Session)
	asked := content.Date{}
	for i := range r.as {
		a := &r.as[i]
		if a.kind == aWord && len(a.s) > 1 {
			r.hasWords = true
		} else if a.kind == aInt && a.n == 1 {
			r.hasOne = true
		} else if a.sign('*') {
			r.hasStar = true
		}
		if a.kind != aDay || a.date().IsZero() || a.date() == asked || r.in.Sheet == nil {
			continue
		}
		asked = a.date()
		if s, ok := r.in.Sheet(a.date()); ok {
			mark(&s.Session)
		}
	}
}

// read reads the clauses in order.
func (r *reader) read() {
	for i := range r.cls {
		c := &r.cls[i]
		r.day(i)
		if c.talk {
			r.whyClause(c)
			continue
		}
		r.correction(c)
		r.readVersion(c)
		r.markTalk(c)
		r.readEffort(c)
		r.whyClause(c)
		if r.listAsksPart(i) {
			continue
		}
		r.decide(i)
	}
}

// part returns the part of that letter in what the clause is read against.
func (c *clause) part(letter byte) (*content.Part, bool) {
	for i := range c.session.Session.Parts {
		if p := &c.session.Session.Parts[i]; p.Letter[0] == letter {
			return p, true
		}
	}
	return nil, false
}

// decide reads one clause for its parts.
func (r *reader) decide(i int) {
	c := &r.cls[i]
	if c.badDay != "" && r.holdsValue(c) {
		r.askDay(i)
		return
	}
	switch {
	case len(c.labels) == 0:
		r.unlabelled(i)
	case len(c.labels) == 1:
		if p, ok := c.part(c.labels[0]); ok {
			r.labelled(i, p)
		} else {
			r.unlabelled(i)
		}
	default:
		r.several(i)
	}
}

// labelled reads a clause for the one part that its label names.
func (r *reader) labelled(i int, p *content.Part) {
	c := &r.cls[i]
	if c.version != "" && len(c.session.Changes) > 0 && r.onlyVersion(c) {
		r.addVersion(i, p.Letter) // "D as written, one-arm row": the answer to which way it was
		return
	}
	v := r.survey(c)
	if p.Kind() == content.KindDone {
		r.labelledSets(i, p, &v)
		return
	}
	out := r.readPart(c, p, &v)
	done, noScore := r.saysDone(c), r.noScore(c)
	switch {
	case noScore && v.none():
		r.owes(ruleNoScore)
		r.add(i, p, content.Result{Kind: content.KindDone}, "done, no score")
	case !out.empty():
		r.settle(i, p, out)
	case done || c.did:
		if p.IsScored() {
			r.settle(i, p, ask(AboutValue).by(ruleAskDone))
		} else {
			r.add(i, p, content.Result{Kind: content.KindDone}, "done")
		}
	case c.version != "" && r.onlyVersion(c):
		r.addVersion(i, p.Letter)
	}
}

// labelledSets reads a clause for an unscored part: done, with loads and reps where they are told.
func (r *reader) labelledSets(i int, p *content.Part, v *values) {
	c := &r.cls[i]
	if p.Letter == "A" && len(v.times) == 1 && c.bodyAt == c.labelAt+1 && v.times[0] == c.bodyAt && len(v.loads)+len(v.ints)+len(v.reps) == 0 {
		r.as[c.labelAt].used = true
		c.labels = nil
		r.because(ruleArticle, c.labelAt, c.bodyAt, "no label")
		r.unlabelled(i) // "a 14:32"
		return
	}
	res, any := r.readSets(c, v)
	if r.saysDone(c) || r.noScore(c) {
		any = true
	}
	if any || c.did {
		r.add(i, p, res, "done")
	} else if c.version != "" && r.onlyVersion(c) {
		r.addVersion(i, p.Letter)
	}
}

// several reads a clause for a list of labels: "A, B done", "did A and B".
func (r *reader) several(i int) {
	c := &r.cls[i]
	v := r.survey(c)
	done, noScore := r.saysDone(c) || c.did, r.noScore(c)
	var scored []*content.Part
	for _, l := range c.labels {
		if p, ok := c.part(l); ok && p.Kind() != content.KindDone {
			scored = append(scored, p)
		}
	}
	var out verdict
	if len(scored) == 1 {
		out = r.readPart(c, scored[0], &v)
	} else if len(scored) > 1 && !v.none() {
		out = ask(AboutPart)
		r.useAll(&v)
	}
	if out.about == AboutPart {
		r.addAsk(i, "", out.about, nil)
		return
	}
	var sets content.Result
	any := false
	if len(scored) == 0 {
		sets, any = r.readSets(c, &v)
	}
	for _, l := range c.labels {
		p, ok := c.part(l)
		switch {
		case !ok:
		case p.Kind() == content.KindDone:
			sets.Kind = content.KindDone
			if done || any || !out.empty() || noScore {
				r.add(i, p, sets, "done")
			}
		case !out.empty():
			r.settle(i, p, out)
		case noScore || done && !p.IsScored():
			r.owes(ruleNoScore)
			r.add(i, p, content.Result{Kind: content.KindDone}, "done, no score")
		case done:
			r.settle(i, p, ask(AboutValue).by(ruleAskDone))
		case c.version != "" && r.onlyVersion(c):
			r.addVersion(i, p.Letter)
		}
	}
}

func (r *reader) useAll(v *values) {
	r.use(v.times, v.ints, v.decimals, v.rounds, v.reps, v.loads, v.distances, v.calories, v.sets)
	r.useJoined(v)
}
