package content

import (
	"fmt"
	"slices"
)

// KitEntry is a thing that movements are done with, or a place in the home that a coach may list beside it.
type KitEntry struct {
	Name      string
	Aliases   []string
	For       []string // canonical names of kit that this can stand in for: a bench for a sturdy chair
	Note      string   // what counts as one
	Cares     []string // cautions that it brings wherever it is used
	Furniture bool     // furniture or a door: tested before it carries or is pulled
	Weight    bool     // its weight is worth stating
	Place     bool     // stairs, a wall, a doorway: part of the home

	source sourcePlace            // of the name
	fields map[string]sourcePlace // of each other field, by its key
}

// ParseKit reads a kit file: blocks of `key: value` lines that begin with `name:`, with `also:`, `for:`, `note:`,
// `care:` (as many as it takes) and `is:` (any of furniture, weight, place). All problems are returned in one pass.
func ParseKit(file string, text []byte) ([]KitEntry, []Problem) {
	lines, problems := keyedLines(text)
	var kits []KitEntry
	for _, ln := range lines {
		complain := func(format string, args ...any) {
			problems = append(problems, Problem{Line: ln.number, Column: ln.column, Message: fmt.Sprintf(format, args...)})
		}
		switch {
		case ln.key == "name":
			if nameKey(ln.value) == "" {
				complain("kit without a name")
			}
			kits = append(kits, KitEntry{Name: ln.value, source: ln.place(file), fields: map[string]sourcePlace{}})
			continue
		case ln.value == "":
			complain("%s: says nothing", ln.key)
			continue
		case len(kits) == 0:
			complain("%s: before the first name:", ln.key)
			continue
		}
		k := &kits[len(kits)-1]
		if _, twice := k.fields[ln.key]; twice && ln.key != "care" {
			complain("%s: is given twice for %q", ln.key, k.Name)
			continue
		}
		k.fields[ln.key] = ln.place(file)
		if err := setKitField(k, ln.key, ln.value); err != nil {
			complain("%v", err)
		}
	}
	return kits, problems
}

// setKitField puts one field of a kit entry, by its key.
func setKitField(k *KitEntry, key, value string) error {
	switch key {
	case "also":
		k.Aliases = splitList(value, ",")
		return namesSaySomething(key, k.Aliases)
	case "for":
		k.For = splitList(value, ",")
		return namesSaySomething(key, k.For)
	case "note":
		k.Note = value
	case "care":
		k.Cares = append(k.Cares, value)
	case "is":
		is := map[string]*bool{"furniture": &k.Furniture, "weight": &k.Weight, "place": &k.Place}
		for _, w := range splitList(value, ",") {
			if is[w] == nil {
				return fmt.Errorf("is: want furniture, weight or place, got %q", w)
			}
			*is[w] = true
		}
	default:
		return fmt.Errorf("unknown field %q", key)
	}
	return nil
}

// namesSaySomething refuses a name without a letter or digit, which nothing could be found by.
func namesSaySomething(key string, names []string) error {
	if i := slices.IndexFunc(names, func(n string) bool { return nameKey(n) == "" }); i >= 0 {
		return fmt.Errorf("%s: %q is no name", key, names[i])
	}
	return nil
}
