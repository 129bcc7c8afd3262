package content

import (
	"slices"
	"strings"
)

// Levels of a member, over all patterns or by pattern.
const (
	LevelEasier    = "easier"
	LevelAsWritten = "as written"
	LevelHarder    = "harder"
)

// Fit is what decides how a session is rendered for a member: members with equal fits share one rendering. The zero
// Fit is nobody's: the session as written.
type Fit struct {
	Kit      []string          `json:"kit,omitempty"`       // canonical kit names, sorted
	KitKnown bool              `json:"kit_known,omitempty"` // Kit is all there is, even when empty; kit never told is taken to be what the coach asks for
	Level    string            `json:"level,omitempty"`     // easier, as written, harder; "" is as written
	Levels   map[string]string `json:"levels,omitempty"`    // by pattern, over Level
	Limits   []string          `json:"limits,omitempty"`    // sorted
	Swaps    map[string]string `json:"swaps,omitempty"`     // the member's own choice: name of the sheet's movement -> name of the way
	Units    string            `json:"units,omitempty"`     // kg or lb; "" is kg
}

// Key names a fit in one string: equal fits have equal keys.
func (f Fit) Key() string {
	kit := strings.Join(f.Kit, ",")
	if f.known() && kit == "" {
		kit = "none"
	}
	return strings.Join([]string{kit, f.Level, keyOf(f.Levels), strings.Join(f.Limits, ","), keyOf(f.Swaps), f.Units}, "|")
}

func keyOf(m map[string]string) string {
	if len(m) == 0 {
		return ""
	}
	pairs := make([]string, 0, len(m))
	for k, v := range m {
		pairs = append(pairs, k+"="+v)
	}
	slices.Sort(pairs)
	return strings.Join(pairs, ",")
}

func (f Fit) known() bool { return f.KitKnown || len(f.Kit) > 0 }

// levelFor returns the level for a movement of a pattern.
func (f Fit) levelFor(p Pattern) string {
	if l, ok := f.Levels[string(p)]; ok {
		return l
	}
	return f.Level
}

// FittedSession is a session as one fit receives it.
type FittedSession struct {
	Session Session   // amounts and movements after fitting; what is left out stays, with 0 reps
	Sheet   Session   // as the coach wrote it
	Fit     Fit       // whom it fits
	Changes []Changed // what fitting did, in the sheet's order; empty when sent as written
}

// Names of the sections without a letter, in Changed.Part.
const (
	WarmUpPart   = "Warm-up"
	CoolDownPart = "Cool-down"
)

// Changed tells one thing that fitting did to a movement, and why.
type Changed struct {
	Part     string // letter, or WarmUpPart, CoolDownPart
	Movement int    // index in the part's Movements
	Was, Now string // movement names; equal when only the kit or the load differs
	Eased    bool   // the part is scaled
	LeaveOut bool   // a limit left nothing
	NoFit    bool   // no kit and no stand-in: sent as written, marked
	Why      string // for the member: "no pull-up bar: towel row instead"
}

// Eased reports whether the part was sent eased, which makes its results scaled.
func (f FittedSession) Eased(letter string) bool {
	for _, c := range f.Changes {
		if c.Part == letter && c.Eased {
			return true
		}
	}
	return false
}

// NoFits returns the movements that this fit has no way of doing.
func (f FittedSession) NoFits() []Changed {
	var out []Changed
	for _, c := range f.Changes {
		if c.NoFit {
			out = append(out, c)
		}
	}
	return out
}

// Unfitted returns the session as the coach wrote it, fitted to nobody.
func Unfitted(s Session) FittedSession { return FittedSession{Session: s, Sheet: s} }

// Fitted returns the session as a member with fit f receives it. For each movement the first of these that the limits
// allow: the member's own choice; the coach's if line for kit that is there; the line as written, or the level's easier
// or harder line, if its kit is there; the first or, then easier line whose kit is there; a stand-in of the library.
// Where nothing remains the line stays and is marked as no fit, or, if a limit excludes it, is left out. Each change
// says why. The same inputs give the same session; s is not changed. Movements that lib does not know are sent as
// they are.
func Fitted(s Session, f Fit, lib *Library) FittedSession {
	out := FittedSession{Session: s, Sheet: s, Fit: f}
	t := fitter{lib: lib, fit: f}
	t.known = f.known()
	out.Session.WarmUp = t.section(WarmUpPart, Part{}, s.WarmUp)
	out.Session.Parts = slices.Clone(s.Parts)
	for i := range out.Session.Parts {
		p := &out.Session.Parts[i]
		p.Movements = t.section(p.Letter, *p, p.Movements)
	}
	out.Session.CoolDown = t.section(CoolDownPart, Part{}, s.CoolDown)
	out.Changes = t.changes
	return out
}

// fitter fits one session.
type fitter struct {
	lib     *Library
	fit     Fit
	known   bool // the member's kit is known
	changes []Changed
}

func (t *fitter) section(name string, p Part, moves []Movement) []Movement {
	if moves == nil {
		return nil
	}
	out := make([]Movement, len(moves))
	for i, m := range moves {
		c := Changed{Part: name, Movement: i, Was: m.Name}
		out[i] = t.movement(p, m, &c)
		if c.Now = out[i].Name; c.Why != "" {
			t.changes = append(t.changes, c)
		}
	}
	return out
}

// movement fits one line; what it did stands in c, with an empty Why when it did nothing.
func (t *fitter) movement(p Part, m Movement, c *Changed) Movement {
	e, ok := t.lib.Find(m.Name)
	if !ok || m.leftOut() {
		return m
	}
	limit := t.excluded(p, m, e)
	missing := t.missing(m, e)
	if way, ok := t.chosen(p, m, e, c); ok {
		return way
	}
	if way, ok := t.firstWay(p, m, If); ok {
		c.Why = "you have " + withArticle(way.Kit) + ": " + t.instead(way.Movement.Name, m.Name)
		return t.take(p, m, way)
	}
	if way, ok := t.leveled(p, m, e, c); ok {
		return way
	}
	if limit == "" && missing == "" {
		return t.asWritten(p, m, e, c)
	}
	reason := "no " + missing
	if limit != "" {
		reason = limit
	}
	for _, kind := range []WayKind{Or, Easier} {
		if way, ok := t.firstWay(p, m, kind); ok {
			c.Why, c.Eased = reason+": "+t.instead(way.Movement.Name, m.Name), kind == Easier
			return t.take(p, m, way)
		}
	}
	if sent, ok := t.standIn(p, m, e, limit, reason, c); ok {
		return sent
	}
	if limit != "" {
		c.Why, c.LeaveOut, c.Eased = limit+": leave this out", true, true
		m.Amount, m.PerSide, m.Load = Amount{Kind: AmountReps}, 0, Load{}
		m.Ways = nil
		return m
	}
	c.Why, c.NoFit = reason+" and nothing here in its place: ask your coach", true
	m.Ways = t.waysLeft(p, m, "")
	return m
}

// leftOut reports whether a line was left out by a fitting before: no sheet holds an amount of 0.
func (m Movement) leftOut() bool { return m.Amount.Kind == AmountReps && m.Amount.High == 0 }

func (t *fitter) instead(now, was string) string {
	if now == was {
		return "this way"
	}
	return now + " instead of " + was
}

// asWritten sends the line itself, with the kit that is there.
func (t *fitter) asWritten(p Part, m Movement, e *Entry, c *Changed) Movement {
	if used := t.otherKit(m, e); used != "" {
		c.Why = "with your " + used
	}
	t.loadWithOwn(&m, e)
	m.Ways = t.waysLeft(p, m, "")
	return m
}

// leveled sends the first line of the member's level that can be done.
func (t *fitter) leveled(p Part, m Movement, e *Entry, c *Changed) (Movement, bool) {
	kind, why := WayKind(""), ""
	switch t.fit.levelFor(e.Pattern) {
	case LevelEasier:
		kind, why = Easier, "easier for you: "
	case LevelHarder:
		kind, why = Harder, "harder for you: "
	default:
		return m, false
	}
	way, ok := t.firstWay(p, m, kind)
	if !ok {
		return m, false
	}
	c.Why, c.Eased = why+t.instead(way.Movement.Name, m.Name), kind == Easier
	return t.take(p, m, way), true
}

// firstWay returns the first line of a kind that the member can do.
func (t *fitter) firstWay(p Part, m Movement, kind WayKind) (Way, bool) {
	for _, w := range m.Ways {
		if w.Kind == kind && t.can(p, m, w) {
			return w, true
		}
	}
	return Way{}, false
}

// can reports whether the member can do a way of m: its kit is there and no limit excludes it. An if line wants its
// kit to be known.
func (t *fitter) can(p Part, m Movement, w Way) bool {
	if w.Kind == If && (!t.known || !t.lib.Owns(t.fit.Kit, w.Kit)) {
		return false
	}
	e, ok := t.lib.Find(w.Movement.Name)
	if !ok {
		return true
	}
	way := w.Movement
	if way.Amount.Kind == AmountNone {
		way.Amount = m.Amount
	}
	return t.missing(way, e) == "" && t.excluded(p, way, e) == ""
}

// take returns the movement of a way in the place of the line m: an amount left out is the line's, and the line's
// cautions stay.
func (t *fitter) take(p Part, m Movement, w Way) Movement {
	out := w.Movement
	out.Line = m.Line
	if out.Amount.Kind == AmountNone {
		out.Amount = m.Amount
		t.sides(&out, m.PerSide > 0)
	}
	out.Cares = m.Cares
	if out.Name == m.Name {
		out.Cues, out.Watches = m.Cues, m.Watches
	}
	if e, ok := t.lib.Find(out.Name); ok {
		t.loadWithOwn(&out, e)
	}
	out.Ways = t.waysLeft(p, m, out.Name)
	return out
}

// sides makes an amount even where the movement works one side at a time, and tells the sides where they were told.
func (t *fitter) sides(m *Movement, told bool) {
	m.PerSide = 0
	e, ok := t.lib.Find(m.Name)
	if !ok || e.Sides == BothSides {
		return
	}
	if e.Sides == OneSide && m.Amount.Kind == AmountReps {
		m.Amount.Low += m.Amount.Low % 2
		m.Amount.High += m.Amount.High % 2
	}
	if told && m.Amount.Low%2 == 0 && m.Amount.High%2 == 0 {
		m.PerSide = m.Amount.Low / 2
	}
}

// waysLeft returns the lines below m that the member could still choose: those that can be done, but the one named. An
// if line has had its turn by then; it is shown only where the kit was never told.
func (t *fitter) waysLeft(p Part, m Movement, taken string) []Way {
	var out []Way
	for _, w := range m.Ways {
		switch {
		case w.Kind == If && t.known, taken != m.Name && w.Movement.Name == taken:
		case w.Kind == If, t.can(p, m, w):
			out = append(out, w)
		}
	}
	return out
}
