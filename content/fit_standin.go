package content

import "math"

// maxRungs is how far down the ladders a stand-in is looked for.
const maxRungs = 4

// substitute is a movement that may be sent in the place of another.
type substitute struct {
	entry    *Entry
	factor   float64 // reps for one
	sameRung bool    // as hard as what it replaces
}

// substitutes lists what the library may send in the place of e, best first: its like and instead lines, then its
// easier ways, then the same of each of those. All are of e's pattern and sides, held or
// counted as e is, and of no higher risk; furniture, doors, jumping, being upside down and overhead loads are never among them.
func (l *Library) substitutes(e *Entry) []substitute {
	seen := map[*Entry]bool{e: true}
	level := []substitute{{e, 1, true}}
	var out []substitute
	for range maxRungs {
		var next []substitute
		for _, s := range level {
			for _, to := range l.below(s, s.entry == e) {
				if seen[to.entry] || to.entry.Pattern != e.Pattern || to.entry.Hold() != e.Hold() {
					continue
				}
				seen[to.entry] = true
				next = append(next, to)
				if to.entry.Sides == e.Sides && to.entry.Risk <= e.Risk && to.entry.StandIn && !to.entry.FurnitureOrDoor() {
					out = append(out, to)
				}
			}
		}
		level = next
	}
	return out
}

// below returns the stand-ins and easier ways of s; direct tells that s is what is being replaced.
func (l *Library) below(s substitute, direct bool) []substitute {
	var out []substitute
	for _, in := range s.entry.StandIns {
		if e, ok := l.Find(in.Name); ok {
			out = append(out, substitute{e, s.factor * in.Factor, direct && in.SameRung})
		}
	}
	for _, name := range s.entry.Easier {
		if e, ok := l.Find(name); ok {
			out = append(out, substitute{e, s.factor, false})
		}
	}
	return out
}

// standIn sends the library's way in the place of m: the movement itself without its load where only that is missing,
// else the first substitute that can be done.
func (t *fitter) standIn(p Part, m Movement, e *Entry, limit, reason string, c *Changed) (Movement, bool) {
	if limit == "" && p.Scheme != Heaviest && m.loaded() && t.missing(m.unloaded(), e) == "" {
		c.Why, c.Eased = reason+": without a load", true
		m.Ways = t.waysLeft(p, m, "")
		return m.unloaded(), true
	}
	for _, s := range t.lib.substitutes(e) {
		sent := t.substituted(m, s)
		if p.Scheme == Heaviest && !t.carriesWeight(s.entry) {
			continue
		}
		if m.Amount.Kind == AmountDistance && s.entry.MetreHigh == 0 {
			continue // it does not travel
		}
		if t.missing(sent, s.entry) != "" || t.excluded(p, sent, s.entry) != "" {
			continue
		}
		c.Why = reason + ": " + t.instead(sent.Name, m.Name)
		c.Eased = !s.asWritten(sent, m)
		t.loadWithOwn(&sent, s.entry)
		sent.Ways = t.waysLeft(p, m, sent.Name)
		return sent, true
	}
	return m, false
}

// asWritten reports whether sending s in the place of a line counts as written: as hard, rep for rep, with its load.
func (s substitute) asWritten(sent, line Movement) bool {
	return s.sameRung && s.factor == 1 && sent.Load == line.Load
}

func (m Movement) loaded() bool { return m.Load != Load{} }

func (m Movement) unloaded() Movement {
	m.Load = Load{}
	return m
}

// substituted is the line with another movement in it: reps, distances and holds by the factor, sides even. A load
// stays only if the other movement is done with that kit.
func (t *fitter) substituted(m Movement, s substitute) Movement {
	told := m.PerSide > 0
	out := m
	out.Name, out.Cues, out.Watches, out.Words = s.entry.Name, nil, nil, ""
	switch m.Amount.Kind {
	case AmountReps, AmountCalories:
		out.Amount.Low, out.Amount.High = times(m.Amount.Low, s.factor, 1), times(m.Amount.High, s.factor, 1)
	case AmountDistance: // whole metres
		out.Amount.Low, out.Amount.High = times(m.Amount.Low, s.factor, 1000), times(m.Amount.High, s.factor, 1000)
	case AmountTime: // whole seconds of a hold; what is repeated for a time keeps the time
		if s.entry.Hold() {
			out.Amount.Low, out.Amount.High = times(m.Amount.Low, s.factor, 1000), times(m.Amount.High, s.factor, 1000)
		}
	}
	t.sides(&out, told)
	if !s.entry.NeedsKit() || m.Load.Kit != "" && !usesKit(s.entry, m.Load.Kit) {
		out.Load = Load{}
	}
	return out
}

// times multiplies n by a factor and rounds to whole units, one at least; a factor of 1 changes nothing.
func times(n int64, factor float64, unit int64) int64 {
	if factor == 1 || n == 0 {
		return n
	}
	return max(int64(math.Round(float64(n)*factor/float64(unit))), 1) * unit
}

func usesKit(e *Entry, kit string) bool {
	for _, all := range e.Kit {
		for _, k := range all {
			if k == kit {
				return true
			}
		}
	}
	return false
}

// carriesWeight reports whether the movement is done with something whose weight is worth stating.
func (t *fitter) carriesWeight(e *Entry) bool {
	for _, all := range e.Kit {
		for _, k := range all {
			if kit, ok := t.lib.KitNamed(k); ok && kit.Weight {
				return true
			}
		}
	}
	return false
}
