package content

import "slices"

// Owns reports whether owned holds need.
func (l *Library) Owns(owned []string, need string) bool { return slices.Contains(owned, need) }

// OwnsAll reports whether owned holds all of need.
func (l *Library) OwnsAll(owned, need []string) bool {
	for _, n := range need {
		if !l.Owns(owned, n) {
			return false
		}
	}
	return true
}

// KitNamed returns kit by its canonical name.
func (l *Library) KitNamed(name string) (KitEntry, bool) {
	for _, k := range l.kits {
		if k.Name == name {
			return k, true
		}
	}
	return KitEntry{}, false
}
