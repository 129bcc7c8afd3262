package content

import "slices"

// Choice is a way to do a movement that a member may choose.
type Choice struct {
	Name  string
	Eased bool // counts as scaled
}

// Choices lists the ways of a movement of a part that the member can do, hardest first as far as the sheet and the
// library tell, without the one that the fit sends: the line itself, the coach's lines, the library's stand-ins and
// easier ways. part and movement are as in Changed. Nil when there is no such movement.
func Choices(s Session, f Fit, part string, movement int, lib *Library) []Choice {
	p, moves := Part{}, []Movement(nil)
	switch part {
	case WarmUpPart:
		moves = s.WarmUp
	case CoolDownPart:
		moves = s.CoolDown
	default:
		if found, ok := s.Part(part); ok {
			p, moves = *found, found.Movements
		}
	}
	if movement < 0 || movement >= len(moves) {
		return nil
	}
	m := moves[movement]
	e, ok := lib.Find(m.Name)
	if !ok {
		return nil
	}
	t := fitter{lib: lib, fit: f, known: f.known()}
	sent := t.movement(p, m, &Changed{}).Name
	var out []Choice
	add := func(name string, eased bool) {
		if name != sent && !slices.ContainsFunc(out, func(c Choice) bool { return c.Name == name }) {
			out = append(out, Choice{name, eased})
		}
	}
	for _, kind := range []WayKind{Harder, If} {
		for _, w := range m.Ways {
			if w.Kind == kind && t.can(p, m, w) {
				add(w.Movement.Name, false)
			}
		}
	}
	if t.missing(m, e) == "" && t.excluded(p, m, e) == "" {
		add(m.Name, false)
	}
	for _, kind := range []WayKind{Or, Easier} {
		for _, w := range m.Ways {
			if w.Kind == kind && t.can(p, m, w) {
				add(w.Movement.Name, kind == Easier)
			}
		}
	}
	for _, sub := range lib.substitutes(e) {
		way := t.substituted(m, sub)
		if m.Amount.Kind == AmountDistance && sub.entry.MetreHigh == 0 {
			continue
		}
		if t.missing(way, sub.entry) == "" && t.excluded(p, way, sub.entry) == "" {
			add(sub.entry.Name, !sub.asWritten(way, m))
		}
	}
	return out
}

// chosen sends the member's own choice for the line, if it still can be done: the line itself, one of the coach's
// lines, or one that the library may send.
func (t *fitter) chosen(p Part, m Movement, e *Entry, c *Changed) (Movement, bool) {
	name, ok := t.fit.Swaps[m.Name]
	if !ok {
		return m, false
	}
	if name == m.Name {
		if t.missing(m, e) != "" || t.excluded(p, m, e) != "" {
			return m, false
		}
		return t.asWritten(p, m, e, c), true
	}
	for _, w := range m.Ways {
		if w.Movement.Name == name && t.can(p, m, w) {
			c.Why, c.Eased = "your choice: "+t.instead(name, m.Name), w.Kind == Easier
			return t.take(p, m, w), true
		}
	}
	for _, s := range t.lib.substitutes(e) {
		if s.entry.Name != name {
			continue
		}
		sent := t.substituted(m, s)
		if t.missing(sent, s.entry) != "" || t.excluded(p, sent, s.entry) != "" {
			return m, false
		}
		c.Why = "your choice: " + t.instead(name, m.Name)
		c.Eased = !s.asWritten(sent, m)
		t.loadWithOwn(&sent, s.entry)
		sent.Ways = t.waysLeft(p, m, name)
		return sent, true
	}
	return m, false
}
