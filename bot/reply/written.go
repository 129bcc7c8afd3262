package reply

import (
	"strings"

	"tallybell/content"
)

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
	end := 0
	for k := range c.session.Changes {
		ch := &c.session.Changes[k]
		if len(ch.Part) == 1 && ch.Part[0] == c.labels[0] && (at == i || ch.LeaveOut) {
			end = max(end, r.literally(ch.Was, at), r.literally(ch.Now, at), r.wholeName(ch.Was, at), r.wholeName(ch.Now, at))
		}
	}
	return end
}

// literally returns the atom after a name that stands at atom i letter for letter ("one-arm row", where one is a
// figure); 0 when it does not.
func (r *reader) literally(name string, i int) int {
	if i >= len(r.as) || r.as[i].from >= len(r.ts) || name == "" {
		return 0
	}
	begin := r.ts[r.as[i].from].from
	stop := begin + len(name)
	if stop > len(r.text.plain) || !strings.EqualFold(r.text.plain[begin:stop], name) {
		return 0
	}
	for i < len(r.as) && r.as[i].from < len(r.ts) && r.ts[r.as[i].from].from < stop {
		i++
	}
	return i
}

// isSayable reports whether a name can stand in an answer without being taken for a label or a figure.
func isSayable(name string) bool {
	letters := 0
	for _, c := range name + " " {
		switch {
		case c >= '0' && c <= '9':
			return false
		case c == ' ' || c == '-':
			if letters == 1 {
				return false
			}
			letters = 0
		default:
			letters++
		}
	}
	return true
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
		if ch.Part != p.Letter || !ch.Eased || !isSayable(ch.Was) || !isSayable(ch.Now) {
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
