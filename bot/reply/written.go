package reply

import "tallybell/content"

// written returns a part of the session as the coach wrote it; nil when it was not fitted, so that it is the same.
func written(fs *content.FittedSession, p *content.Part) *content.Part {
	parts := fs.Sheet.Parts
	if len(parts) == 0 || len(fs.Session.Parts) == 0 || &parts[0] == &fs.Session.Parts[0] {
		return nil
	}
	for k := range parts {
		if parts[k].Letter == p.Letter && len(parts[k].Movements) == len(p.Movements) {
			return &parts[k]
		}
	}
	return nil
}

// leftOut reports whether fitting left a movement out: no sheet holds an amount of 0.
func leftOut(m *content.Movement) bool {
	return m.Amount.Kind == content.AmountReps && m.Amount.High == 0
}

// changedName reads at atom i the name of a movement that fitting changed in the part, as it was or as it was sent,
// and "no" before one that was left out. It returns the atom after it; 0 when none stands there.
func (r *reader) changedName(c *clause, i int) int {
	if len(c.labels) != 1 || len(c.session.Changes) == 0 {
		return 0
	}
	at := i
	if r.at(i).word("no") {
		at++
	}
	if a := r.at(at); a.kind != aWord || len(a.s) < 2 {
		return 0
	}
	end := 0
	for k := range c.session.Changes {
		ch := &c.session.Changes[k]
		if len(ch.Part) == 1 && ch.Part[0] == c.labels[0] && (at == i || ch.LeaveOut) {
			end = max(end, r.wholeName(ch.Was, at), r.wholeName(ch.Now, at))
		}
	}
	return end
}

// versionIdeas are the two ways to answer a question about a part's version; where the part was sent eased they name
// both movements.
func (r *reader) versionIdeas(c *clause, p *content.Part) []string {
	scaled, asWritten := p.Letter+" scaled", p.Letter+" as written"
	if !c.session.Eased(p.Letter) {
		if r.in.Usual == content.Scaled {
			return []string{scaled, asWritten}
		}
		return []string{asWritten, scaled}
	}
	for k := range c.session.Changes {
		ch := &c.session.Changes[k]
		if ch.Part != p.Letter || !ch.Eased {
			continue
		}
		if ch.LeaveOut {
			return []string{scaled + ", no " + ch.Was, asWritten + ", " + ch.Was}
		}
		if ch.Now != ch.Was {
			return []string{scaled + ", " + ch.Now, asWritten + ", " + ch.Was}
		}
	}
	return []string{scaled, asWritten}
}
