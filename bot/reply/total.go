package reply

import "tallybell/content"

// totalBehind reads a clause of a total alone ("Total: 78.") behind a clause of counts, with which it must agree.
func (r *reader) totalBehind(i int, v *values) bool {
	c := &r.cls[i]
	list := mergeSorted(v.ints, v.reps)
	k := len(r.drafts) - 1
	if len(list) != 1 || k < 0 || r.drafts[k].isAsk || r.drafts[k].clause != i-1 || r.cls[i-1].line != c.line {
		return false
	}
	d := &r.drafts[k]
	at := list[0]
	marked := r.isTotalMark(at-1) || r.at(at-1).sign(':') && r.isTotalMark(at-2) || r.isTotalMark(at+1)
	if !marked || d.res.Kind != content.KindReps || len(d.res.Counts) == 0 && d.res.Rounds == nil {
		return false
	}
	c.read = true
	r.as[at].used = true
	r.useTotal(at)
	if n := r.as[at].n; d.res.RepCount() == n {
		r.whyPart(ruleTotalAgrees, c, "part ", d.res.Part, "")
	} else {
		r.whyPart(ruleAskTotal, c, "?", d.res.Part, " "+AboutTotal)
		d.isAsk = true
		d.ask = Ask{Part: d.res.Part, About: AboutTotal, Suggest: []string{}}
	}
	return true
}
