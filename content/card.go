package content

import (
	"slices"
	"strings"
)

// Card is a session as a page shows it: the same words as Text, in pieces. Empty fields are left out of its JSON.
type Card struct {
	Title     string         `json:"title"`
	Date      string         `json:"date,omitempty"` // ISO
	Day       string         `json:"day,omitempty"`  // "Mon 1 Feb 2027"
	Programme string         `json:"programme,omitempty"`
	Focus     string         `json:"focus,omitempty"`
	Level     string         `json:"level,omitempty"`
	Effort    string         `json:"effort,omitempty"` // light, normal, hard, test
	About     string         `json:"about,omitempty"`  // on a rest day, the message
	Note      string         `json:"note,omitempty"`
	Kit       []string       `json:"kit,omitempty"`
	NoKit     bool           `json:"no_kit,omitempty"`   // the coach says that nothing is needed
	Length    string         `json:"length,omitempty"`   // the coach's, "45 min"
	Estimate  string         `json:"estimate,omitempty"` // ours, "35-48 min"
	Choose    string         `json:"choose,omitempty"`   // "C or D"
	Short     string         `json:"short,omitempty"`    // "A"
	Rest      bool           `json:"rest,omitempty"`
	WarmUp    []CardMovement `json:"warm_up,omitempty"`
	Parts     []CardPart     `json:"parts,omitempty"`
	CoolDown  []CardMovement `json:"cool_down,omitempty"`
	Words     []CardWord     `json:"words,omitempty"` // every movement named, once: what counts as one
}

// CardPart is one part.
type CardPart struct {
	Letter     string         `json:"letter"`
	Scheme     string         `json:"scheme"` // in words
	Kind       Kind           `json:"kind"`
	Scored     bool           `json:"scored"`
	Optional   bool           `json:"optional,omitempty"`
	Cap        string         `json:"cap,omitempty"` // M:SS
	CapMS      int64          `json:"cap_ms,omitempty"`
	Clock      string         `json:"clock,omitempty"` // M:SS that the part takes exactly
	ClockMS    int64          `json:"clock_ms,omitempty"`
	Settings   []string       `json:"settings,omitempty"` // a sentence each
	Aim        string         `json:"aim,omitempty"`
	Note       string         `json:"note,omitempty"`
	Eased      bool           `json:"eased,omitempty"` // sent eased: its result is scaled
	Movements  []CardMovement `json:"movements"`
	Reply      string         `json:"reply"`                      // an example of an answer
	Unfinished string         `json:"reply_unfinished,omitempty"` // one for a piece stopped by its cap
}

// CardMovement is one movement with all that stands below it.
type CardMovement struct {
	Text     string    `json:"text"` // the whole line
	Amount   string    `json:"amount,omitempty"`
	Name     string    `json:"name"`
	Sides    string    `json:"sides,omitempty"` // "8 each side"
	Load     string    `json:"load,omitempty"`
	Tempo    string    `json:"tempo,omitempty"`
	Reserve  string    `json:"reserve,omitempty"`
	Words    string    `json:"words,omitempty"` // the coach's free words
	Why      []string  `json:"why,omitempty"`   // what fitting changed
	LeaveOut bool      `json:"leave_out,omitempty"`
	Ways     []CardWay `json:"ways,omitempty"`
	Cues     []string  `json:"cues,omitempty"` // the coach's, or else the library's
	coached  bool      // the cues are the coach's
	Cautions []string  `json:"cautions,omitempty"` // the coach's and the library's, always shown
	Test     string    `json:"test,omitempty"`     // before the first rep
	Links    []string  `json:"links,omitempty"`
	Pattern  Pattern   `json:"pattern,omitempty"`
	OneRep   string    `json:"one_rep,omitempty"`
}

// CardWay is another way to do a movement, with its own cautions.
type CardWay struct {
	Kind     WayKind  `json:"kind"`
	Label    string   `json:"label"`
	Text     string   `json:"text"`
	Load     string   `json:"load,omitempty"`
	Tempo    string   `json:"tempo,omitempty"`
	Cautions []string `json:"cautions,omitempty"`
	Test     string   `json:"test,omitempty"`
}

// CardWord tells what a movement is.
type CardWord struct {
	Name   string   `json:"name"`
	OneRep string   `json:"one_rep"`
	Cues   []string `json:"cues,omitempty"`
}

// NewCard returns the session as a card. Movements that lib does not know (a club's own, with a plain lib) keep the
// coach's words and have nothing of the library's.
func NewCard(fs FittedSession, lib *Library) Card {
	s := fs.Session
	c := Card{Title: s.Title, Date: s.Date.String(), Day: sayDate(s.Date), Programme: s.Programme, Focus: s.Focus, Level: s.Level,
		Effort: s.Effort, About: s.About, Note: s.Note, Kit: s.Kit, NoKit: s.HasKit && len(s.Kit) == 0, Rest: s.Rest,
		Choose: strings.Join(s.Choose, " or "), Short: strings.Join(s.Short, " and ")}
	if s.Length > 0 {
		c.Length = sayMinutes(s.Length)
	}
	if s.Rest {
		return c
	}
	low, high := EstimateSession(s, lib)
	c.Estimate = sayNumbers(strings.TrimSuffix(sayMinutes(low), " min"), strings.TrimSuffix(sayMinutes(high), " min")) + " min"
	var named []Movement
	for _, m := range s.WarmUp {
		c.WarmUp = append(c.WarmUp, cardMovement(m, Part{}, lib))
		named = append(named, m)
	}
	for _, p := range s.Parts {
		c.Parts = append(c.Parts, cardPart(p, fs, lib))
		named = append(named, p.Movements...)
	}
	for _, m := range s.CoolDown {
		c.CoolDown = append(c.CoolDown, cardMovement(m, Part{}, lib))
		named = append(named, m)
	}
	c.Words = cardWords(named, lib)
	return c
}

func cardPart(p Part, fs FittedSession, lib *Library) CardPart {
	cp := CardPart{Letter: p.Letter, Scheme: sayScheme(p), Kind: p.Kind(), Scored: p.IsScored(), Optional: p.Optional,
		Settings: saySettings(p), Aim: p.Aim, Note: p.Note, Eased: fs.Eased(p.Letter), Movements: []CardMovement{}}
	if p.Cap > 0 {
		cp.Cap, cp.CapMS = sayClock(p.Cap), p.Cap.Milliseconds()
	}
	if clock := exactClock(p, lib); clock > 0 {
		cp.Clock, cp.ClockMS = sayClock(clock), clock.Milliseconds()
	}
	for i, m := range p.Movements {
		cm := cardMovement(m, p, lib)
		for _, ch := range fs.Changes {
			if ch.Part != p.Letter || ch.Movement != i {
				continue
			}
			cm.LeaveOut = cm.LeaveOut || ch.LeaveOut
			switch {
			case ch.Why != "":
				cm.Why = append(cm.Why, ch.Why)
			case ch.NoFit:
				cm.Why = append(cm.Why, "nothing here fits your kit: ask your coach")
			}
		}
		cp.Movements = append(cp.Movements, cm)
	}
	cp.Reply, cp.Unfinished = exampleReply(p, cp.Eased)
	return cp
}

func cardMovement(m Movement, p Part, lib *Library) CardMovement {
	e, _ := lib.Find(m.Name)
	counted := p.ForTime() || p.Scheme == Stations || p.Scheme == MostReps || p.Scheme == AMRAP
	if e != nil && e.Hold() {
		counted = false
	}
	cm := CardMovement{Text: sayLine(m, e, counted), Amount: sayAmount(m.Amount), Name: m.Name, Sides: saySides(m, e),
		Load: sayLoad(m.Load), Words: m.Words, Cues: m.Cues, Links: m.Watches}
	if p.Scheme == Ladder {
		cm.Text = ladderLine(m, p, e)
	}
	if p.Scheme == Stations && e != nil && e.Hold() {
		cm.Text += " (count the seconds)"
	}
	if m.Tempo != "" {
		cm.Tempo = sayTempo(m.Tempo)
	}
	if m.HasReserve {
		cm.Reserve = sayReserve(m.Reserve)
	}
	cm.Cautions, cm.coached = once(m.Cares), len(m.Cues) > 0
	if e != nil {
		cm.Pattern, cm.OneRep, cm.Test = e.Pattern, e.Rep, e.Test
		cm.Cautions = once(append(slices.Clone(m.Cares), e.Cautions...))
		if len(cm.Cues) == 0 {
			cm.Cues = e.Cues
		}
	}
	for _, w := range m.Ways {
		cm.Ways = append(cm.Ways, cardWay(w, m, counted, lib))
	}
	return cm
}

// ladderLine writes a movement of a ladder: one without a count takes each rung's.
func ladderLine(m Movement, p Part, e *Entry) string {
	if m.Amount.Kind != AmountNone {
		return sayLine(m, e, true) + ", in every round"
	}
	line := sayRungs(p.Rungs) + " " + plural(m.Name)
	if m.Words != "" {
		line += ", " + m.Words
	}
	if e != nil && e.Sides == OneSide {
		line += ", half of them each side"
	}
	return line
}

func cardWay(w Way, under Movement, counted bool, lib *Library) CardWay {
	m := w.Movement
	e, _ := lib.Find(m.Name)
	if m.Amount.Kind == AmountNone && under.Amount.Kind == AmountReps {
		counted = e == nil || !e.Hold()
	}
	cw := CardWay{Kind: w.Kind, Label: sayWay(w), Text: sayLine(m, e, counted), Load: sayLoad(m.Load)}
	if m.Tempo != "" {
		cw.Tempo = sayTempo(m.Tempo)
	}
	if e != nil {
		cw.Cautions, cw.Test = e.Cautions, e.Test
	}
	return cw
}

// cardWords lists every movement that is named, its ways included, once each in the order of the sheet.
func cardWords(named []Movement, lib *Library) []CardWord {
	var out []CardWord
	seen := map[string]bool{}
	add := func(name string) {
		e, ok := lib.Find(name)
		if !ok || seen[e.Name] {
			return
		}
		seen[e.Name] = true
		out = append(out, CardWord{Name: e.Name, OneRep: e.Rep, Cues: e.Cues})
	}
	for _, m := range named {
		add(m.Name)
		for _, w := range m.Ways {
			add(w.Movement.Name)
		}
	}
	return out
}

// once returns the lines without repeats, in order.
func once(lines []string) []string {
	var out []string
	for _, s := range lines {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
