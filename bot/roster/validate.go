package roster

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"tallybell/content"
)

// checker gathers what is wrong with one person's fields.
type checker struct {
	club  Club
	now   time.Time
	index int
	found InvalidError
}

func (c *checker) wrong(field, format string, args ...any) {
	c.found = append(c.found, FieldProblem{c.index, field, fmt.Sprintf(format, args...)})
}

// name takes direction marks out and returns what is shown: 1 to 80 characters on one line.
func (c *checker) name(s string) string {
	if !utf8.ValidString(s) {
		c.wrong("name", "is not UTF-8: type it again")
		return ""
	}
	s = strings.Join(strings.Fields(strings.Map(dropMarks, s)), " ")
	if strings.ContainsFunc(s, unicode.IsControl) {
		c.wrong("name", "holds a control character: type it again")
		return ""
	}
	if n := utf8.RuneCountInString(s); n < 1 || n > 80 {
		c.wrong("name", "has %d characters: write 1 to 80", n)
		return ""
	}
	return s
}

// dropMarks drops characters that are not seen themselves but turn the direction of what stands around them, and
// others that only hide.
func dropMarks(r rune) rune {
	switch {
	case r == '\u061c', r == '\u200e', r == '\u200f', r >= '\u202a' && r <= '\u202e', r >= '\u2066' && r <= '\u2069',
		r == '\u200b', r == '\u2060', r == '\ufeff', r == '\u00ad':
		return -1
	}
	return r
}

// division returns the club's own spelling.
func (c *checker) division(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return ""
	}
	if d, ok := oneOf(s, c.club.Divisions); ok {
		return d
	}
	c.wrong("division", "%q is not one of the club's: write %s, or leave it out", s, choices(c.club.Divisions))
	return ""
}

func (c *checker) birthYear(y int) int {
	if this := c.now.Year(); y != 0 && (y < this-110 || y > this-5) {
		c.wrong("birth_year", "%d is not plausible: write four figures from %d to %d, or leave it out", y, this-110, this-5)
		return 0
	}
	return y
}

// zone returns the club's zone for "".
func (c *checker) zone(s string) string {
	if s == "" {
		return c.club.Zone
	}
	if _, err := content.LoadZone(s); err != nil {
		c.wrong("zone", "%v", err)
	}
	return s
}

// sendAt returns the club's send time for "".
func (c *checker) sendAt(s string) content.Clock {
	if s == "" {
		return c.club.SendAt
	}
	at, err := content.ParseClock(s)
	if err != nil {
		c.wrong("send_at", "%v", err)
	}
	return at
}

// kit returns canonical names, sorted.
func (c *checker) kit(names []string) []string {
	var out []string
	for _, n := range names {
		k, ok := c.club.Library().FindKit(n)
		if ok {
			out = append(out, k)
			continue
		}
		advice := "see the list of kit for what there is"
		if near := c.club.Library().SuggestKit(n, 3); len(near) > 0 {
			advice = "did you mean " + strings.Join(near, " or ") + "?"
		}
		c.wrong("kit", "%q is not known: %s", n, advice)
	}
	return sortedSet(out)
}

func (c *checker) level(field, s string) string {
	if s == "" {
		return ""
	}
	all := []string{content.LevelEasier, content.LevelAsWritten, content.LevelHarder}
	if l, ok := oneOf(strings.ReplaceAll(s, "_", " "), all); ok {
		return l
	}
	c.wrong(field, "%q is not a level: write %s", s, choices(all))
	return ""
}

func (c *checker) levels(m map[string]string) map[string]string {
	if len(m) == 0 {
		return nil
	}
	var patterns []string
	for _, p := range content.Patterns() {
		patterns = append(patterns, string(p))
	}
	out := map[string]string{}
	for _, name := range slices.Sorted(maps.Keys(m)) {
		p, ok := oneOf(name, patterns)
		if !ok {
			c.wrong("levels", "%q is not a movement pattern: write %s", name, choices(patterns))
			continue
		}
		if _, twice := out[p]; twice {
			c.wrong("levels", "%q is told twice: write it once", p)
		}
		if m[name] == "" {
			c.wrong("levels", "%q has no level: write %s, %s or %s", p, content.LevelEasier, content.LevelAsWritten, content.LevelHarder)
			continue
		}
		out[p] = c.level("levels", m[name])
	}
	return out
}

func (c *checker) limits(list []string) []string {
	var out []string
	all := content.Limits()
	for _, s := range list {
		l, ok := oneOf(s, all)
		if !ok {
			c.wrong("limits", "%q is not a limit: write %s", s, choices(all))
			continue
		}
		out = append(out, l)
	}
	return sortedSet(out)
}

// mostSwaps is how many swaps one person has at most.
const mostSwaps = 200

// swaps returns canonical names, by date and movement; of two for one movement and date the later holds. kept are there
// already.
func (c *checker) swaps(list, kept []Swap) []Swap {
	if len(list) > mostSwaps {
		c.wrong("swaps", "has %d: send at most %d", len(list), mostSwaps)
		return nil
	}
	out := slices.Clone(kept)
	for _, s := range list {
		s.Movement, s.Way = c.movement(s.Movement), c.movement(s.Way)
		if i := slices.IndexFunc(out, s.same); i >= 0 {
			out[i] = s
		} else {
			out = append(out, s)
		}
	}
	slices.SortFunc(out, func(a, b Swap) int {
		return cmp.Or(a.On.Compare(b.On), strings.Compare(a.Movement, b.Movement))
	})
	return out
}

// same reports whether two swaps are of one movement and date.
func (s Swap) same(t Swap) bool { return s.Movement == t.Movement && s.On == t.On }

func (c *checker) movement(name string) string {
	if e, ok := c.club.Library().Find(name); ok {
		return e.Name
	}
	advice := "see the list of movements for what there is"
	if near := c.club.Library().Suggest(name, 3); len(near) > 0 {
		advice = "did you mean " + strings.Join(near, " or ") + "?"
	}
	c.wrong("swaps", "%q is no movement that is known: %s", name, advice)
	return name
}

func (c *checker) units(s string) string {
	if s == "" {
		return ""
	}
	if u, ok := oneOf(s, []string{"kg", "lb"}); ok {
		return u
	}
	c.wrong("units", "%q is not a unit of weight: write kg or lb", s)
	return ""
}

// oneOf finds s among all without regard to case and to blanks around it.
func oneOf(s string, all []string) (string, bool) {
	s = strings.Join(strings.Fields(s), " ")
	for _, a := range all {
		if strings.EqualFold(a, s) {
			return a, true
		}
	}
	return "", false
}

func choices(all []string) string {
	if len(all) < 2 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:len(all)-1], "; ") + " or " + all[len(all)-1]
}
