package content

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Check returns the warnings of a session, by line. Read gives them with the columns of the words they speak of.
// What only several days together show is told by CheckWeek.
func Check(lib *Library, s Session) []Problem { return Sorted(check(lib, s, nil)) }

// checker collects the warnings of one session.
type checker struct {
	lib   *Library
	s     Session
	where map[spot]place // nil when the sheet is not at hand
	out   []Problem
}

func check(lib *Library, s Session, where map[spot]place) []Problem {
	c := &checker{lib: lib, s: s, where: where}
	c.day()
	c.section(warmUpSpot, nil, s.WarmUp)
	for i := range s.Parts {
		c.part(i)
	}
	c.section(coolDownSpot, nil, s.CoolDown)
	return c.out
}

// warn adds a warning at a spot, or at the start of line where the spot is not known.
func (c *checker) warn(at spot, line int, format string, args ...any) {
	w, ok := c.where[at]
	if !ok {
		w = place{max(line, 1), 1}
	}
	c.out = append(c.out, Problem{Line: w.line, Column: w.col, Message: fmt.Sprintf(format, args...), Warning: true})
}

// day checks what concerns the whole session.
func (c *checker) day() {
	s := c.s
	if s.Rest {
		if s.About == "" {
			c.warn(spot{part: headSpot, what: "rest"}, 1, "a rest day without about: sends its title alone; write what members should read")
		}
		return
	}
	if len(s.WarmUp) == 0 && len(s.Parts) > 0 {
		c.warn(spot{}, 1, "no warm-up; begin one with a line Warm-up:")
	}
	if s.Length > 0 {
		low, high := EstimateSession(s, c.lib)
		if likely := (low + high) / 2; likely > s.Length {
			c.warn(spot{part: headSpot, what: "length"}, 1, "the session may take %s, about %s, which is beyond its length of %s",
				minutesText(low, high), minutes(likely), lengthText(s.Length))
		}
	}
}

// part checks one lettered part.
func (c *checker) part(i int) {
	p := &c.s.Parts[i]
	scheme := spot{part: i, what: "scheme"}
	if p.Scheme == Every {
		if len(p.Movements) > 1 && p.Order == "" {
			c.warn(scheme, p.Line, "part %s says neither in turn nor together; read as in turn, a movement each interval", p.Letter)
		}
		if p.Interval > 0 && p.Interval <= p.Duration && p.Duration%p.Interval != 0 {
			c.warn(scheme, p.Line, "intervals of %s do not fill %s evenly", clockText(p.Interval), clockText(p.Duration))
		}
	}
	c.interval(i, p)
	c.section(i, p, p.Movements)
	if p.Aim != "" {
		c.aim(i, p)
	}
}

// interval warns of an interval too short for what is asked in it, at two reps a second (common practice, no source).
func (c *checker) interval(i int, p *Part) {
	if p.Scheme != Every || p.Interval <= 0 {
		return
	}
	var all time.Duration
	for k := range p.Movements {
		if p.Order != Together {
			all = 0
		}
		if all += leastSet(p.Movements[k]); all > p.Interval {
			c.warn(spot{part: i, move: k, what: "move"}, p.Movements[k].Line, "this cannot be done within an interval of %s: at two reps a second, with its timed work, it takes %s",
				clockText(p.Interval), clockText(ceilSecond(all)))
			return
		}
	}
}

// section checks the movements of a part, the warm-up or the cool-down.
func (c *checker) section(part int, p *Part, moves []Movement) {
	for k := range moves {
		m := &moves[k]
		at := spot{part: part, move: k, what: "move"}
		c.movementKit(at, m)
		c.furniture(at, m)
		c.mistypes(at, m.Line, m.Words)
		for n, w := range m.Ways {
			c.mistypes(spot{part: part, move: k, what: "way", n: n}, w.Movement.Line, w.Movement.Words)
		}
		if p == nil {
			continue
		}
		c.noEasierWay(at, m)
		c.anyPack(at, p, m)
		for n := range m.Ways {
			if m.Ways[n].Kind != Easier { // the others count as written
				c.anyPack(spot{part: part, move: k, what: "way", n: n}, p, &m.Ways[n].Movement)
			}
		}
	}
}

// movementKit warns of kit that the session's kit: line does not list.
func (c *checker) movementKit(at spot, m *Movement) {
	if !c.s.HasKit {
		return
	}
	if k := m.Load.Kit; k != "" && !c.lib.Owns(c.s.Kit, k) {
		c.warn(at, m.Line, "%s is not in the kit: line, but %s is done with it", k, m.Name)
		return
	}
	e, ok := c.lib.Find(m.Name)
	if !ok || !e.NeedsKit() || m.Load.Kit != "" {
		return
	}
	for _, all := range e.Kit {
		if c.lib.OwnsAll(c.s.Kit, all) {
			return
		}
	}
	c.warn(at, m.Line, "%s needs %s, which is not in the kit: line", m.Name, kitChoice(e.Kit))
}

// kitChoice names the ways to be equipped for a movement, three at most.
func kitChoice(ways [][]string) string {
	var names []string
	for i, all := range ways {
		if i == 3 {
			names = append(names, "the like")
			break
		}
		names = append(names, strings.Join(all, " and "))
	}
	return strings.Join(names, " or ")
}

// furniture warns of furniture or door work without a caution of the coach's.
func (c *checker) furniture(at spot, m *Movement) {
	if len(m.Cares) > 0 {
		return
	}
	names := []string{m.Name}
	for _, w := range m.Ways {
		names = append(names, w.Movement.Name)
	}
	for i, name := range names {
		e, ok := c.lib.Find(name)
		if !ok || !e.FurnitureOrDoor() {
			continue
		}
		line := m.Line
		if i > 0 {
			at.what, at.n, line = "way", i-1, m.Ways[i-1].Movement.Line
		}
		c.warn(at, line, "%s uses furniture or a door and has no care: line; say how it is tested first", name)
		return
	}
}

func (c *checker) noEasierWay(at spot, m *Movement) {
	e, ok := c.lib.Find(m.Name)
	if !ok || e.Risk < 2 {
		return
	}
	if slices.ContainsFunc(m.Ways, func(w Way) bool { return w.Kind == Easier }) {
		return
	}
	hint := ""
	if len(e.Easier) > 0 {
		hint = ", for example easier: " + e.Easier[0]
	}
	c.warn(at, m.Line, "%s wants practice (risk %d) and has no easier: line%s", m.Name, e.Risk, hint)
}

// anyPack warns that a scored piece does not say how heavy its pack is.
func (c *checker) anyPack(at spot, p *Part, m *Movement) {
	if !p.IsScored() || p.Kind() == KindLoad || m.Load.Grams > 0 || m.Load.Percent > 0 {
		return
	}
	if m.Load.Kit == packName || m.Load.Kit == "" && c.wantsPack(m) {
		c.warn(at, m.Line, "%s is scored and no load is told: any pack counts; write for example %s 8 kg", m.Name, packName)
	}
}

const packName = "backpack"

// wantsPack reports whether a movement is done with a pack in this session.
func (c *checker) wantsPack(m *Movement) bool {
	e, ok := c.lib.Find(m.Name)
	if !ok || c.s.HasKit && !slices.Contains(c.s.Kit, packName) {
		return false
	}
	return slices.ContainsFunc(e.Kit, func(all []string) bool { return slices.Contains(all, packName) })
}

// minutes writes a length in whole minutes, halves up.
func minutes(d time.Duration) string {
	return itoa(int((d+30*time.Second)/time.Minute)) + " min"
}

func minutesText(low, high time.Duration) string {
	l, h := minutes(low), minutes(high)
	if l == h {
		return l
	}
	return strings.TrimSuffix(l, " min") + "-" + h
}
