package content

import (
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
	Kit       []string       `json:"kit,omitempty"`       // what this fit needs
	NoKit     bool           `json:"no_kit,omitempty"`    // nothing is needed
	KitCares  []CardKitCare  `json:"kit_cares,omitempty"` // cautions of that kit and of the ways' kit, always shown
	Length    string         `json:"length,omitempty"`    // the coach's, "45 min"
	Estimate  string         `json:"estimate,omitempty"`  // ours, "35-48 min", where the coach tells none
	Choose    string         `json:"choose,omitempty"`    // "C or D"
	Short     string         `json:"short,omitempty"`     // "A"
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
	Choice     string         `json:"choice,omitempty"`   // "Your choice: this part or D"
	Short      string         `json:"short,omitempty"`    // said where the part belongs to a short day
	Aim        string         `json:"aim,omitempty"`
	Note       string         `json:"note,omitempty"`
	Eased      bool           `json:"eased,omitempty"`      // sent eased: its result is scaled
	EasedSays  string         `json:"eased_says,omitempty"` // that, in words
	Movements  []CardMovement `json:"movements"`
	Reply      string         `json:"reply"`                      // an example of an answer; "" when all is left out
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
	Words    string    `json:"words,omitempty"`  // the coach's free words
	Clock    string    `json:"clock,omitempty"`  // when it is done, where the part's clock tells: "0:00-1:00"
	Why      []string  `json:"why,omitempty"`    // what fitting changed
	Counts   string    `json:"counts,omitempty"` // what another way counts as
	LeaveOut bool      `json:"leave_out,omitempty"`
	NoFit    bool      `json:"no_fit,omitempty"` // there is no kit for it and nothing in its place
	Ways     []CardWay `json:"ways,omitempty"`
	Cues     []string  `json:"cues,omitempty"`     // the coach's, or else the library's
	Coached  bool      `json:"coached,omitempty"`  // the cues are the coach's
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

// CardKitCare is what to mind with a piece of kit, wherever it is used.
type CardKitCare struct {
	Kit   string   `json:"kit"`
	Label string   `json:"label"` // "Take care with the backpack"
	Cares []string `json:"cares"`
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
		Effort: s.Effort, About: s.About, Note: s.Note, Rest: s.Rest,
		Choose: strings.Join(s.Choose, " or "), Short: strings.Join(s.Short, " and ")}
	if s.Rest {
		return c
	}
	if s.Length > 0 {
		c.Length = sayMinutes(s.Length)
	} else {
		low, high := EstimateSession(s, lib)
		c.Estimate = sayNumbers(strings.TrimSuffix(sayMinutes(low), " min"), strings.TrimSuffix(sayMinutes(high), " min")) + " min"
	}
	c.Kit = fs.needs(lib)
	c.NoKit = len(c.Kit) == 0
	c.KitCares = fs.kitCares(lib)
	c.WarmUp = fs.cardMovements(WarmUpPart, Part{}, s.WarmUp, lib)
	for _, p := range s.Parts {
		c.Parts = append(c.Parts, fs.cardPart(p, lib))
	}
	c.CoolDown = fs.cardMovements(CoolDownPart, Part{}, s.CoolDown, lib)
	c.Words = cardWords(fs.sent(), lib)
	return c
}

// sentMovement is a movement that is to be done, with its part.
type sentMovement struct {
	part string
	Movement
}

// sent lists what is to be done, in the order of the sheet: all but what is left out.
func (f FittedSession) sent() []sentMovement {
	var out []sentMovement
	add := func(part string, moves []Movement) {
		for i, m := range moves {
			if !f.changed(part, i).LeaveOut {
				out = append(out, sentMovement{part, m})
			}
		}
	}
	add(WarmUpPart, f.Session.WarmUp)
	for _, p := range f.Session.Parts {
		add(p.Letter, p.Movements)
	}
	add(CoolDownPart, f.Session.CoolDown)
	return out
}

// changed returns what fitting did to a movement; the zero Changed when it did nothing.
func (f FittedSession) changed(part string, movement int) Changed {
	for _, c := range f.Changes {
		if c.Part == part && c.Movement == movement {
			return c
		}
	}
	return Changed{}
}
