package content

import "slices"

// needs lists the kit that the session wants of this fit: what its movements are done with, and what the coach asks
// for beyond what the library knows of. Kit that the coach lists comes first, in the coach's order; kit that the member
// is known to lack is never among it.
func (f FittedSession) needs(lib *Library) []string {
	var used []string
	for _, m := range f.sent() {
		used = append(used, f.usedHere(m.Movement, lib)...)
	}
	known := map[string]bool{}
	for _, m := range Unfitted(f.Sheet).sent() {
		for _, k := range kitNamed(m.Movement, lib) {
			known[k] = true
		}
	}
	var out []string
	for _, k := range f.Sheet.Kit {
		if slices.Contains(used, k) || !f.Fit.known() || !known[k] && lib.Owns(f.Fit.Kit, k) {
			out = append(out, k)
		}
	}
	return once(append(out, used...))
}

// usedHere is what a movement is done with, without what the member is known to lack. Where the member's kit was never
// told, the coach's kit line decides between a movement's alternatives.
func (f FittedSession) usedHere(m Movement, lib *Library) []string {
	if !f.Fit.known() {
		asked := FittedSession{Fit: Fit{Kit: f.Sheet.Kit}}
		if used := asked.KitUsed(m, lib); len(used) > 0 && lib.OwnsAll(f.Sheet.Kit, used) {
			return used
		}
		return f.KitUsed(m, lib)
	}
	used := f.KitUsed(m, lib)
	return slices.DeleteFunc(used, func(k string) bool { return !lib.Owns(f.Fit.Kit, k) })
}

// kitNamed lists all kit that a movement or its ways could be done with.
func kitNamed(m Movement, lib *Library) []string {
	var out []string
	add := func(m Movement, more string) {
		out = append(out, m.Load.Kit, more)
		if e, ok := lib.Find(m.Name); ok {
			for _, all := range e.Kit {
				out = append(out, all...)
			}
		}
	}
	add(m, "")
	for _, w := range m.Ways {
		add(w.Movement, w.Kit)
	}
	return out
}

// kitCares gathers the cautions of the kit that is used or that a shown way would use, each kit once.
func (f FittedSession) kitCares(lib *Library) []CardKitCare {
	used := f.needs(lib)
	for _, m := range f.sent() {
		for _, w := range m.Ways {
			if w.Kit != "" {
				used = append(used, w.Kit)
			}
			used = append(used, f.usedHere(w.Movement, lib)...)
		}
	}
	var out []CardKitCare
	for _, name := range once(used) {
		if k, ok := lib.KitNamed(name); ok && len(k.Cares) > 0 {
			out = append(out, CardKitCare{Kit: name, Label: "Take care with the " + name, Cares: once(k.Cares)})
		}
	}
	return out
}
