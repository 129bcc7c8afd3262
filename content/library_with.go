package content

import "slices"

// With returns a library that also holds a club's own movements and kit. One that has the name of a movement (or
// kit) of l replaces it, and keeps its spelling, so that ladders still find it; the names it goes by are those of its
// own `also:`, or of what it replaces when it has none. Any other name that is taken already is an error that tells
// both places.
func (l *Library) With(entries []*Entry, kits []KitEntry) (*Library, error) {
	all := slices.Clone(l.entries)
	had := map[string]int{} // nameKey of a canonical name -> index in all; a second one of the club's is a clash
	for i, e := range l.entries {
		had[nameKey(e.Name)] = i
	}
	for _, e := range entries {
		key := nameKey(e.Name)
		i, ok := had[key]
		if !ok {
			all = append(all, e)
			continue
		}
		delete(had, key)
		c, old := *e, all[i]
		c.Name = old.Name
		if len(c.Aliases) == 0 {
			c.Aliases = old.Aliases
		}
		all[i] = &c
	}
	allKits := slices.Clone(l.kits)
	hadKit := map[string]int{}
	for i, k := range l.kits {
		hadKit[nameKey(k.Name)] = i
	}
	for _, k := range kits {
		key := nameKey(k.Name)
		i, ok := hadKit[key]
		if !ok {
			allKits = append(allKits, k)
			continue
		}
		delete(hadKit, key)
		k.Name = allKits[i].Name
		if len(k.Aliases) == 0 {
			k.Aliases = allKits[i].Aliases
		}
		allKits[i] = k
	}
	return newLibrary(all, allKits)
}
