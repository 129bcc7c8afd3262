package content

import "fmt"

// KitEntry is a thing that movements are done with, or a place in the home that a coach may list beside it.
type KitEntry struct {
	Name      string
	Aliases   []string
	Note      string // what counts as one
	Furniture bool   // furniture or a door: tested before it carries or is pulled
	Weight    bool   // its weight is worth stating
	Place     bool   // stairs, a wall, a doorway: part of the home
}

// ParseKit reads the kit file: blocks of `key: value` lines that begin with `name:`, with `also:`, `note:` and
// `is:` (any of furniture, weight, place). All problems are returned in one pass.
func ParseKit(text []byte) ([]KitEntry, []Problem) {
	lines, problems := keyedLines(text)
	var kits []KitEntry
	for _, ln := range lines {
		complain := func(format string, args ...any) {
			problems = append(problems, Problem{Line: ln.number, Column: ln.column, Message: fmt.Sprintf(format, args...)})
		}
		if ln.value == "" {
			complain("%s: says nothing", ln.key)
			continue
		}
		if ln.key == "name" {
			if nameKey(ln.value) == "" {
				complain("kit without a name")
			}
			kits = append(kits, KitEntry{Name: ln.value})
			continue
		}
		if len(kits) == 0 {
			complain("%s: before the first name:", ln.key)
			continue
		}
		k := &kits[len(kits)-1]
		switch ln.key {
		case "also":
			k.Aliases = splitList(ln.value, ",")
		case "note":
			k.Note = ln.value
		case "is":
			for _, w := range splitList(ln.value, ",") {
				switch w {
				case "furniture":
					k.Furniture = true
				case "weight":
					k.Weight = true
				case "place":
					k.Place = true
				default:
					complain("is: want furniture, weight or place, got %q", w)
				}
			}
		default:
			complain("unknown field %q", ln.key)
		}
	}
	return kits, problems
}
