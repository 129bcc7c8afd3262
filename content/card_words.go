package content

import "slices"

// cardWords lists every movement that is named, its ways included, once each in the order of the sheet.
func cardWords(named []sentMovement, lib *Library) []CardWord {
	var out []CardWord
	seen := map[string]bool{}
	add := func(name string) {
		e, ok := lib.Find(name)
		if !ok || seen[e.Name] {
			return
		}
		seen[e.Name] = true
		out = append(out, CardWord{Name: e.Name, OneRep: e.Rep, Cues: e.Cues})
	}
	for _, m := range named {
		add(m.Name)
		for _, w := range m.Ways {
			add(w.Movement.Name)
		}
	}
	return out
}

// once returns the lines without repeats, in order.
func once(lines []string) []string {
	var out []string
	for _, s := range lines {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
