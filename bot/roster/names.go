package roster

import "strings"

// Namesake reports whether somebody else, removed ones included, has the same name as the person with that id.
func (r *Roster) Namesake(id string) bool {
	r.mu.RLock()
	rec, ok := r.people[id]
	called := r.called
	r.mu.RUnlock()
	if !ok {
		return false
	}
	if called == nil {
		r.mu.Lock()
		defer r.mu.Unlock()
		if called = r.called; called == nil {
			called = make(map[string]int, len(r.people))
			for _, p := range r.people {
				called[nameKey(p.Name)]++
			}
			r.called = called
		}
	}
	return called[nameKey(rec.Name)] > 1
}

// Shown is a person's name as lists show it: with their id where another has the same name; "" for an unknown id.
func (r *Roster) Shown(id string) string {
	name := r.Name(id)
	if name != "" && r.Namesake(id) {
		return name + " #" + id
	}
	return name
}

// nameKey is the same for names that look alike.
func nameKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }
