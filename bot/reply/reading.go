// Package reply reads what a member typed: text to results, questions and notes. It is pure: the same text, session
// and settings give the same reading. It knows no dialogue, no clock and no store.
package reply

import "tallybell/content"

// Care tells how worried a reader should be about what was said. In doubt it is CareCheck.
type Care string

// Degrees of care.
const (
	CareNone  Care = "none"
	CareCheck Care = "check" // pain in a joint or muscle beyond work, an incident, a change of health
	CareStop  Care = "stop"  // a warning sign
)

// Input is what a reply is read against.
type Input struct {
	Session content.FittedSession // the session last posted to this member, as they received it
	Library *content.Library      // names of movements; may be nil
	Usual   content.Version       // taken when a result tells no version; "" asks
	Units   string                // kg or lb: what a bare load is in; "" is kg
	Today   content.Date          // the member's calendar day
	// Insist: the member has said yes to a value that was asked about as implausible; it is taken as it is.
	Insist bool
	// Sheet returns the session of another day as this member received it. Nil: no other session is known, and a
	// reply about another day is read against Session.
	Sheet func(content.Date) (content.FittedSession, bool)
	// Why takes the steps by which the reply was read, in order; nil gathers none.
	Why *[]Step
}

// Reading is what a reply says. Its JSON is the output of the read command.
type Reading struct {
	Reply    string       `json:"reply"`
	Results  []PartResult `json:"results"`
	Asks     []Ask        `json:"asks"`
	Care     Care         `json:"care"`
	Note     string       `json:"note"`
	Command  string       `json:"command"`
	Question bool         `json:"question"`
	Effort   *float64     `json:"effort,omitempty"` // the whole session's
	Until    string       `json:"until,omitempty"`  // ISO date, with away and pause
	Argument string       `json:"-"`                // words after a command: the kit list

	CareAbout    []Matter `json:"-"` // what Care is due for, in the order of the text; MatterWarning alone with CareStop
	CareMovement string   `json:"-"` // the movement of an incident, as the session has it; several parted by ", "
}

// PartResult is the result of one part. A correction of a version alone has an empty kind; so has the part that a
// scrap command names.
type PartResult struct {
	Part string `json:"part"`
	content.Result
	Correction bool   `json:"correction,omitempty"`
	Day        string `json:"day,omitempty"` // ISO date when it is not today
}

// Ask is one thing that has to be asked back.
type Ask struct {
	Part    string   `json:"part"`
	About   string   `json:"about"`
	Suggest []string `json:"suggest"` // texts that could be sent as a reply, best first
}

// What an Ask is about.
const (
	AboutPart      = "part"
	AboutVersion   = "version"
	AboutValue     = "value"
	AboutTotal     = "total"
	AboutProgress  = "progress"
	AboutSplits    = "splits"
	AboutCap       = "cap"
	AboutEffort    = "effort"
	AboutPlausible = "plausible"
	AboutUnit      = "unit"
	AboutDay       = "day"
)
