package reply

import (
	"strings"

	"tallybell/content"
)

// careMovement returns the movement that the incident at the reader's careAt happened at, as the session has it. In a
// clause that is labelled for a part, or speaks of one ("fell in C"), that is the part's movement that is named, else
// all of the part's; in another, what is named there, else anywhere. "" when nothing tells.
func (r *reader) careMovement() string {
	for i := range r.cls {
		c := &r.cls[i]
		if c.to <= c.from || r.as[c.to-1].to <= r.careAt || r.as[c.from].from > r.careAt {
			continue
		}
		parts := r.in.Session.Session.Parts
		for k := c.from; k < c.to; k++ {
			letter, _ := r.letterAt(k)
			if lead := r.at(k - 1); letter == 0 || !r.as[k].head && !(letter != 'A' && (lead.word("in") || lead.word("during") || lead.word("on") || lead.word("of") || lead.word("after") || lead.word("at"))) {
				continue
			}
			for j := range parts {
				if parts[j].Letter[0] != letter {
					continue
				}
				if names := r.movementsNamed(parts[j:j+1], c.from, c.to); names != "" {
					return names
				}
				return joinMovements(parts[j].Movements)
			}
		}
		if names := r.movementsNamed(parts, c.from, c.to); names != "" {
			return names
		}
	}
	return r.movementsNamed(r.in.Session.Session.Parts, 0, len(r.as))
}

// movementsNamed returns the movements of the parts that the atoms name, in their order.
func (r *reader) movementsNamed(parts []content.Part, from, to int) string {
	var found []content.Movement
	for i := from; i < to; {
		next := i + 1
		if a := &r.as[i]; a.kind != aWord || len(a.s) < 3 || a.is(clCare) || a.is(clBody) && !r.at(next).sign('-') && r.at(next).kind != aWord || smallWords[a.s] {
			i = next // most words name nothing
			continue
		}
		for k := range parts {
			p := &parts[k]
			if m, end := r.movementAt(&r.in.Session, p, i); m >= 0 && !(end == i+1 && r.as[i].is(clBody)) { // a knee is no knee raise
				found, next = append(found, p.Movements[m]), max(next, end)
				break
			}
		}
		i = next
	}
	return joinMovements(found)
}

// joinMovements writes the names of movements, each once.
func joinMovements(moves []content.Movement) string {
	var names []string
	for i := range moves {
		if name := moves[i].Name; !oneOf(name, names) {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}
