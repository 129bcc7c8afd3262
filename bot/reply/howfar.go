package reply

// howFarBehind reads how far a piece came in the clause behind the one that says it was not finished: "D didn't finish.
// 2+14". What was just left open is taken first, before the value goes anywhere by its kind.
func (r *reader) howFarBehind(i int, v *values) bool {
	c, k := &r.cls[i], len(r.drafts)-1
	if k < 0 || !r.drafts[k].isAsk || r.drafts[k].ask.About != AboutProgress || r.drafts[k].clause != i-1 || r.cls[i-1].line != c.line {
		return false
	}
	u := r.unfinished(c, v)
	told := u.left >= 0 || len(v.rounds)+len(v.reps) > 0 || r.plusPair(v)
	if r.drafts[k].ask.Part == "" || !told || len(v.times) > 0 || u.cap >= 0 {
		return false
	}
	p, ok := c.part(r.drafts[k].ask.Part[0])
	if !ok || !p.ForTime() || r.stopWord(&r.cls[i-1], v) >= 0 {
		return false
	}
	out := r.readUnfinished(c, p, v, u)
	if !out.ok {
		return false
	}
	before := &r.cls[i-1]
	r.drafts = r.drafts[:k]
	if c.version == "" {
		c.version, c.unsure, c.versionAt = before.version, before.unsure, before.versionAt
	}
	if c.effort == nil {
		c.effort, c.badEffort = before.effort, before.badEffort
	}
	out.rule = ruleHowFarBehind
	r.settle(i, p, out)
	return true
}
