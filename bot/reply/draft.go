package reply

import "tallybell/content"

// draft is a result or an ask of a clause, in the order of the text, before versions are settled.
type draft struct {
	clause int
	isAsk  bool
	ask    Ask
	part   *content.Part
	res    PartResult
	value  string // as it could be typed again
}

// settle adds what a clause comes to for a part.
func (r *reader) settle(i int, p *content.Part, out verdict) {
	if out.ok || out.about == AboutPlausible && r.in.Insist {
		if r.owes(out.rule); !out.ok {
			r.owes(ruleInsisted)
		}
		r.add(i, p, out.res, "")
		return
	}
	r.owes(out.rule)
	texts := make([]string, 0, len(out.suggest))
	for _, s := range out.suggest {
		texts = append(texts, p.Letter+" "+s+r.tail(&r.cls[i]))
	}
	r.addAsk(i, p.Letter, out.about, texts)
}

// tail is what a suggestion keeps of the clause beside the value: version and effort.
func (r *reader) tail(c *clause) string {
	out := ""
	if !c.unsure {
		switch c.version {
		case content.AsWritten:
			out = " as written"
		case content.Scaled:
			out = " scaled"
		}
	}
	if c.effort != nil {
		out += " rpe " + effortText(*c.effort)
	}
	return out
}

func (r *reader) add(i int, p *content.Part, res content.Result, value string) {
	c := &r.cls[i]
	c.read = true
	r.useHead(c)
	if len(c.labels) == 0 || c.did {
		r.useDid(c)
	}
	x := PartResult{Part: p.Letter, Result: res, Correction: c.correct, Day: c.day}
	r.whyResult(c, x)
	r.drafts = append(r.drafts, draft{clause: i, part: p, value: value, res: x})
}

func (r *reader) addAsk(i int, part, about string, suggest []string) {
	c := &r.cls[i]
	c.read = true
	r.useHead(c)
	if suggest == nil {
		suggest = []string{}
	}
	r.whyAsk(c, part, about)
	r.drafts = append(r.drafts, draft{clause: i, isAsk: true, ask: Ask{Part: part, About: about, Suggest: suggest}})
}

// addVersion adds a correction of a version alone.
func (r *reader) addVersion(i int, part string) {
	c := &r.cls[i]
	c.read = true
	r.useHead(c)
	for k, end := c.from, r.versionEnd(c); k < end; k++ {
		if a := &r.as[k]; a.kind == aWord && isPointer(a.s) || a.kind == aFix {
			a.used = true
		}
		for end := r.changedName(c, k); k < end; k++ {
			r.as[k].used = true
		}
	}
	x := PartResult{Part: part, Result: content.Result{Version: c.version}, Correction: true, Day: c.day}
	r.whyResult(c, x)
	r.drafts = append(r.drafts, draft{clause: i, res: x})
}

// useHead marks the labels of a clause as read.
func (r *reader) useHead(c *clause) {
	for k := c.labelAt; k < c.to; k++ {
		if !r.as[k].head {
			if c.post || k >= c.bodyAt {
				break
			}
			continue
		}
		r.as[k].used = true
	}
	for k := c.from; k < c.labelAt && !c.post; k++ {
		if a := &r.as[k]; a.kind == aFix || a.word("did") || a.sign('*') || a.kind == aDone && c.did {
			a.used = true
		}
	}
}

func (r *reader) useDid(c *clause) {
	for k := c.from; k < c.to; k++ {
		if a := &r.as[k]; a.word("did") && c.did || a.kind == aDone && c.read && r.negatedWithin(k) < 0 && k < c.bodyAt {
			a.used = true
		}
	}
}
