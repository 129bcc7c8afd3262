package content

import (
	"fmt"
	"slices"
)

// KitNamed returns kit by exactly its canonical name, without allocating; FindKit reads names as people type them.
func (l *Library) KitNamed(name string) (KitEntry, bool) {
	k, ok := l.kitName[name]
	return k, ok
}

// Owns reports whether need, a canonical name, is among owned, or something owned stands in for it, at any remove. It
// does not allocate.
func (l *Library) Owns(owned []string, need string) bool {
	if slices.Contains(owned, need) {
		return true
	}
	for _, instead := range l.serves[need] {
		if slices.Contains(owned, instead) {
			return true
		}
	}
	return false
}

// OwnsAll reports whether owned holds everything in need, or stand-ins for it. Nothing is needed twice: two movements
// may use the same chair, one after the other.
func (l *Library) OwnsAll(owned, need []string) bool {
	for _, n := range need {
		if !l.Owns(owned, n) {
			return false
		}
	}
	return true
}

// indexKit takes in the kit, and tells names that are given twice and stand-ins for what nobody lists.
func (l *Library) indexKit(kits []KitEntry) (wrong []string) {
	places := map[string]sourcePlace{}
	for _, k := range kits {
		if old, twice := l.kitName[k.Name]; twice {
			wrong = append(wrong, fmt.Sprintf("%s: kit %q is listed already (%s)", k.source, k.Name, old.source))
			continue
		}
		for i, name := range append([]string{k.Name}, k.Aliases...) {
			key := nameKey(name)
			if old, taken := l.kitKey[key]; taken && old != k.Name {
				at := k.source
				if i > 0 {
					at = k.at("also", name)
				}
				wrong = append(wrong, fmt.Sprintf("%s: kit %q is both %q and %q (%s)", at, name, k.Name, old, places[old]))
				continue
			}
			l.kitKey[key] = k.Name
			l.kitNames = append(l.kitNames, newNamedAs(name, k.Name))
		}
		places[k.Name], l.kitName[k.Name] = k.source, k
		l.kits = append(l.kits, k)
	}
	for i, k := range l.kits {
		var instead []string
		for _, name := range k.For {
			other, ok := l.FindKit(name)
			switch {
			case !ok:
				wrong = append(wrong, fmt.Sprintf("%s: %q is said to do for %q, which no kit file lists", k.at("for", name), k.Name, name))
			case other == k.Name:
				wrong = append(wrong, fmt.Sprintf("%s: %q is said to do for itself", k.at("for", name), k.Name))
			default:
				instead = append(instead, other)
			}
		}
		k.For = instead
		l.kits[i], l.kitName[k.Name] = k, k
	}
	for _, k := range l.kits {
		for _, need := range l.reach(k.Name) {
			l.serves[need] = append(l.serves[need], k.Name)
		}
	}
	return wrong
}

// reach returns everything that kit stands in for, at any remove, itself left out.
func (l *Library) reach(kit string) []string {
	found := []string{kit}
	for i := 0; i < len(found); i++ {
		for _, next := range l.kitName[found[i]].For {
			if !slices.Contains(found, next) {
				found = append(found, next)
			}
		}
	}
	return found[1:]
}
