package content

import (
	"slices"
	"strings"
)

// missing names the kit that a movement wants and the member lacks, "" when it can be done. Kit that was never told is
// taken to be there.
func (t *fitter) missing(m Movement, e *Entry) string {
	if !t.known {
		return ""
	}
	if e.NeedsKit() && t.owned(e) == nil {
		return t.lacks(e.Kit[0])
	}
	if k := m.Load.Kit; k != "" && !t.lib.Owns(t.fit.Kit, k) {
		if e.NeedsKit() && slices.ContainsFunc(e.Kit, func(all []string) bool { return slices.Contains(all, k) }) {
			return "" // done with the other kit that is there
		}
		return k
	}
	if m.Load.Kit == "" && (m.Load.Grams > 0 || m.Load.Percent > 0) && !e.NeedsKit() && !t.hasWeight() {
		return "weight"
	}
	return ""
}

// owned returns the first alternative of a movement's kit that is there in full, nil when none is.
func (t *fitter) owned(e *Entry) []string {
	for _, all := range e.Kit {
		if t.lib.OwnsAll(t.fit.Kit, all) {
			return all
		}
	}
	return nil
}

// lacks names what of all is not there.
func (t *fitter) lacks(all []string) string {
	var names []string
	for _, k := range all {
		if !t.lib.Owns(t.fit.Kit, k) {
			names = append(names, k)
		}
	}
	return strings.Join(names, " and no ")
}

// hasWeight reports whether something that is there has a weight worth stating.
func (t *fitter) hasWeight() bool {
	return slices.ContainsFunc(t.fit.Kit, func(k string) bool {
		entry, ok := t.lib.KitNamed(k)
		return ok && entry.Weight
	})
}

// otherKit names what the movement is done with when that is not what the line leads to expect, else "".
func (t *fitter) otherKit(m Movement, e *Entry) string {
	if !t.known || !e.NeedsKit() {
		return ""
	}
	used := t.owned(e)
	if used == nil {
		return ""
	}
	expected := e.Kit[0]
	if k := m.Load.Kit; k != "" {
		if t.lib.Owns(t.fit.Kit, k) {
			return ""
		}
		expected = []string{k}
	}
	if slices.Equal(used, expected) {
		used = t.fit.standing(t.lib, used)
		if slices.Equal(used, expected) {
			return ""
		}
	}
	return strings.Join(t.fit.standing(t.lib, used), " and ")
}

// loadWithOwn names the kit that is there for the load of a movement.
func (t *fitter) loadWithOwn(m *Movement, e *Entry) {
	if m.Load.Kit == "" {
		return
	}
	if t.otherKit(*m, e) == "" {
		return
	}
	used := t.fit.standing(t.lib, t.owned(e))
	m.Load.Kit = used[0]
	for _, k := range used {
		if entry, ok := t.lib.KitNamed(k); ok && entry.Weight {
			m.Load.Kit = k
			return
		}
	}
}

// standing names what the member really has for each kit: itself, or what stands in for it.
func (f Fit) standing(lib *Library, all []string) []string {
	out := make([]string, len(all))
	for i, need := range all {
		out[i] = need
		if slices.Contains(f.Kit, need) {
			continue
		}
		for _, have := range f.Kit {
			if lib.Owns([]string{have}, need) {
				out[i] = have
				break
			}
		}
	}
	return out
}

// KitUsed returns what a movement of this session is done with: the kit of its load, and the first of its own
// alternatives that the member has (for kit never told, the first of all). Canonical names; nil when nothing is needed.
func (f FittedSession) KitUsed(m Movement, lib *Library) []string {
	var out []string
	if m.Load.Kit != "" {
		out = append(out, m.Load.Kit)
	}
	e, ok := lib.Find(m.Name)
	if !ok || !e.NeedsKit() {
		return out
	}
	need := e.Kit[0]
	if f.Fit.known() {
		t := fitter{lib: lib, fit: f.Fit, known: true}
		owned := t.owned(e)
		if owned == nil {
			return out
		}
		need = f.Fit.standing(lib, owned)
	} else if m.Load.Kit != "" {
		for _, all := range e.Kit {
			if slices.Contains(all, m.Load.Kit) {
				need = all
				break
			}
		}
	}
	for _, k := range need {
		if !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}
