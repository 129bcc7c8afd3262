package content

// Named returns the movement of exactly that canonical name, without allocating; Find reads names as people type them.
func (l *Library) Named(name string) (*Entry, bool) {
	e, ok := l.byName[name]
	return e, ok
}
