package content

import (
	"slices"
	"strings"
)

// Named returns the movement of exactly that canonical name, without allocating; Find reads names as people type them.
func (l *Library) Named(name string) (*Entry, bool) {
	i, ok := slices.BinarySearchFunc(l.entries, name, func(e *Entry, name string) int { return strings.Compare(e.Name, name) })
	if !ok {
		return nil, false
	}
	return l.entries[i], true
}
