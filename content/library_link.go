package content

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// newLibrary indexes entries and kit, fills in Harder from Easier, and refuses names that are given twice, kit that
// is not known, and ladders that lead nowhere or in a circle. The entries given are not changed.
func newLibrary(entries []*Entry, kits []KitEntry) (*Library, error) {
	l := &Library{
		byName: map[string]*Entry{}, byKey: map[string]*Entry{},
		kitName: map[string]KitEntry{}, kitKey: map[string]string{}, serves: map[string][]string{},
	}
	wrong := l.indexKit(kits)
	for _, e := range entries {
		c := *e
		c.Harder = nil
		c.StandIn = c.StandIn && mayStandIn(&c)
		l.entries = append(l.entries, &c)
		l.byName[c.Name] = &c
		for i, name := range append([]string{c.Name}, c.Aliases...) {
			key := nameKey(name)
			if old, taken := l.byKey[key]; taken && old != &c {
				at := c.source
				if i > 0 {
					at = c.at("also", name)
				}
				wrong = append(wrong, fmt.Sprintf("%s: %q already names %q (%s)", at, name, old.Name, old.source))
				continue
			}
			l.byKey[key] = &c
			l.names = append(l.names, newNamedAs(name, c.Name))
		}
	}
	for _, e := range l.entries {
		wrong = append(wrong, l.link(e)...)
	}
	if loop := l.ladderLoop(); loop != "" {
		wrong = append(wrong, loop)
	}
	if len(wrong) > 0 {
		return nil, errors.New(strings.Join(wrong, "\n"))
	}
	slices.SortFunc(l.entries, func(a, b *Entry) int { return strings.Compare(a.Name, b.Name) })
	return l, nil
}

// mayStandIn tells what only a coach's own line may send: furniture or door pulling, upside down, jumping, overhead
// loads, and whatever can hurt when it goes wrong.
func mayStandIn(e *Entry) bool {
	pulls := e.Pattern == PatternRow || e.Pattern == PatternPull
	if e.Risk == 3 || e.FurnitureOrDoor() && pulls {
		return false
	}
	for _, l := range e.Loads {
		if l == "inverted" || l == "impact" || l == "overhead" && e.NeedsKit() {
			return false
		}
	}
	return true
}

// link checks e's references, makes kit names canonical and adds e to the Harder of what it is harder than.
func (l *Library) link(e *Entry) []string {
	var wrong []string
	kit := make([][]string, len(e.Kit))
	for i, needed := range e.Kit {
		for _, k := range needed {
			name, ok := l.FindKit(k)
			if !ok {
				wrong = append(wrong, fmt.Sprintf("%s: %q needs kit %q, which no kit file lists", e.at("kit", k), e.Name, k))
			}
			kit[i] = append(kit[i], name)
		}
	}
	if len(kit) > 0 {
		e.Kit = kit
	}
	for _, name := range e.Easier {
		below, ok := l.Named(name)
		if !ok {
			wrong = append(wrong, fmt.Sprintf("%s: %q has easier way %q, which is no movement's name",
				e.at("easier", name), e.Name, name))
			continue
		}
		below.Harder = append(below.Harder, e.Name)
	}
	for _, s := range e.StandIns {
		if _, ok := l.Named(s.Name); !ok {
			key := "instead"
			if s.SameRung {
				key = "like"
			}
			wrong = append(wrong, fmt.Sprintf("%s: %q has stand-in %q, which is no movement's name", e.at(key, s.Name), e.Name, s.Name))
		}
	}
	return wrong
}

// ladderLoop tells the names along a circle of easier ways and where it is closed, "" when there is none.
func (l *Library) ladderLoop() string {
	done := map[string]bool{}
	var walk func(e *Entry, above []string) string
	walk = func(e *Entry, above []string) string {
		if i := slices.Index(above, e.Name); i >= 0 {
			last := l.byName[above[len(above)-1]]
			return fmt.Sprintf("%s: the ladder runs in a circle: %s", last.at("easier", e.Name),
				strings.Join(append(above[i:], e.Name), " > "))
		}
		if done[e.Name] {
			return ""
		}
		for _, name := range e.Easier {
			if below, ok := l.Named(name); ok {
				if loop := walk(below, append(above, e.Name)); loop != "" {
					return loop
				}
			}
		}
		done[e.Name] = true
		return ""
	}
	for _, e := range l.entries {
		if loop := walk(e, nil); loop != "" {
			return loop
		}
	}
	return ""
}
