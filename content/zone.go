package content

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"
)

// zoneNames lists the names of the IANA time zone database (public domain), one a line, for suggestions alone: a
// zone that a newer database knows is loaded all the same.
//
//go:embed zonenames.txt
var zoneNames string

// LoadZone returns the zone with that IANA name, for example Europe/Berlin. An empty name, "Local" and names that
// stand for this computer's own clock are refused, since they mean another zone on another computer; so are the
// copies that count leap seconds. The error says what to write instead. The data is that of ZoneData; a zone is read
// once and then kept.
func LoadZone(name string) (*time.Location, error) {
	if name == "" {
		return nil, fmt.Errorf("the time zone is empty: write an IANA name, for example Europe/Berlin")
	}
	first, _, _ := strings.Cut(name, "/")
	switch strings.ToLower(first) {
	case "local", "localtime", "posixrules", "posix", "right", "factory":
		return nil, fmt.Errorf("time zone %q is no place's clock: write an IANA name, for example Europe/Berlin", name)
	}
	z, err := findZone(name)
	if err != nil {
		return nil, fmt.Errorf("unknown time zone %q: %s", name, zoneAdvice(name))
	}
	return z, nil
}

// zoneAdvice suggests up to three names near to a name that is not known.
func zoneAdvice(name string) string {
	near := nearZones(name)
	if len(near) == 0 {
		return "write an IANA name such as Europe/Berlin or America/New_York"
	}
	return "did you mean " + strings.Join(near, " or ") + "?"
}

func nearZones(name string) []string {
	want := zoneKey(name)
	if want == "" || len(want) > 60 {
		return nil
	}
	type near struct {
		name string
		off  int
	}
	most := 1 + len(want)/5
	var found []near
	for _, n := range strings.Fields(zoneNames) {
		key := zoneKey(n)
		city := zoneKey(n[strings.LastIndex(n, "/")+1:])
		off := min(within(most, want, key), within(most, want, city)+1)
		if off <= most {
			found = append(found, near{n, off})
		}
	}
	slices.SortStableFunc(found, func(a, b near) int { return a.off - b.off })
	var out []string
	for _, f := range found {
		if len(out) == 3 || f.off > found[0].off {
			break
		}
		out = append(out, f.name)
	}
	return out
}

// within is the edit distance of a and b where that can be at most most, and more than that otherwise.
func within(most int, a, b string) int {
	if off := utf8.RuneCountInString(a) - utf8.RuneCountInString(b); off > most || off < -most {
		return most + 1
	}
	return EditDistance(a, b)
}

// zoneKey reduces a zone name to what people remember of it: letters and digits, in lower case.
func zoneKey(name string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '_' || r == '-' {
			return -1
		}
		return r
	}, strings.ToLower(name))
}
