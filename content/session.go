// Package content is what a session is: dates, the sheet language, movements, kit, checks and rendering.
// It is pure: text in, values out; it imports nothing else of this module.
package content

import "time"

// Session is one parsed sheet. Parsing a formatted Session gives an equal Session (Line and Column fields apart).
type Session struct {
	Title     string
	Date      Date
	Programme string
	Focus     string
	Kit       []string // canonical kit names, in the sheet's order; nil when there is no kit: line
	HasKit    bool     // there is a kit: line (it may say "none")
	About     string
	Level     string
	Length    time.Duration // the longest the session should take; 0 when not told
	Note      string
	Choose    []string // part letters to choose from ("C or D"); nil when not told
	Short     []string // part letters that make a short day; nil when not told
	Effort    string   // light, normal, hard, test or ""
	Rest      bool     // rest day: About is the message, there are no parts
	WarmUp    []Movement
	Parts     []Part
	CoolDown  []Movement
	Comments  []Comment // # lines, kept so that formatting loses nothing
}

// Comment is a line for the coach alone. It stands before the Before-th line of content in canonical form.
type Comment struct {
	Before int
	Text   string
}

// Part returns the part with that letter ("A").
func (s *Session) Part(letter string) (*Part, bool) {
	for i := range s.Parts {
		if s.Parts[i].Letter == letter {
			return &s.Parts[i], true
		}
	}
	return nil, false
}

// Scheme is how a part is done and what result it gives.
type Scheme string

// The schemes of the sheet language.
const (
	Sets        Scheme = "sets"         // N sets, at one's own pace
	Quality     Scheme = "quality"      // for quality
	Stations    Scheme = "stations"     // N stations of M:SS, max reps
	Rounds      Scheme = "rounds"       // N rounds for time; "for time" is one round
	Ladder      Scheme = "ladder"       // 16-12-8-4 for time
	AMRAP       Scheme = "amrap"        // as many rounds and reps as possible in Duration
	Every       Scheme = "every"        // EMOM, or every Interval for Duration
	Heaviest    Scheme = "heaviest"     // heaviest set of SetReps
	MostReps    Scheme = "most reps"    // one unbroken set
	LongestHold Scheme = "longest hold" // one hold
	Farthest    Scheme = "farthest"     // farthest in Duration
)

// Part is one lettered part of a session.
type Part struct {
	Letter string // "A" to "Z"
	Line   int    // where it stands in the sheet, from 1; 0 when made by hand
	Scheme Scheme

	Sets     int           // Sets: how many
	Order    Order         // Sets and Every: how several movements are arranged
	Stations int           // Stations: how many, equal to len(Movements)
	Work     time.Duration // Stations: time at each
	Through  int           // Stations: times through, at least 1
	Rounds   int           // Rounds: at least 1
	Rungs    []int         // Ladder: reps of each rung
	Duration time.Duration // AMRAP, Every, Farthest: total clock
	Interval time.Duration // Every: one interval
	SetReps  int           // Heaviest: reps of the set

	Cap         time.Duration // for-time schemes; 0 when none
	OwnPace     bool
	Rest        time.Duration // plain "rest M:SS" (stations: after each)
	RestBetween time.Duration // "rest M:SS between, M:SS after"
	RestAfter   time.Duration
	Scoring     Scoring
	Optional    bool

	Aim       string // what the coach intends, as written canonically; "" when not told
	Note      string
	Movements []Movement
}

// Order arranges several movements of a part.
type Order string

// Orders. The empty Order is the scheme's default (in turn).
const (
	InTurn   Order = "in turn"  // sets: one of each, then rest; every: a movement an interval
	Each     Order = "each"     // sets: all sets of one movement, then the next
	Together Order = "together" // every: all movements each interval
)

// Scoring is the scored / not scored setting.
type Scoring string

// Scoring settings. The empty one follows the scheme.
const (
	Scored    Scoring = "scored"
	NotScored Scoring = "not scored"
)

// Movement is one line of a part, warm-up or cool-down.
type Movement struct {
	Line       int
	Amount     Amount
	Name       string // canonical library name
	PerSide    int64  // amount each side, in the unit of Amount; 0 when sides are not told
	Load       Load
	Tempo      string // "3-1-1-0"; "" when not told
	Reserve    int    // reps in reserve, meaningful when HasReserve
	HasReserve bool
	Words      string // free words, comma-separated as written
	Ways       []Way  // easier, harder, if and or lines, in the sheet's order
	Cues       []string
	Cares      []string
	Watches    []string // http or https URLs
}

// Way is a line below a movement that offers it another way.
type Way struct {
	Kind     WayKind
	Kit      string   // canonical kit name, for an if line
	Movement Movement // its Ways, Cues, Cares and Watches are empty; an amount left out is AmountNone
}

// WayKind tells what a Way is for.
type WayKind string

// The kinds of way: easier counts as scaled, the others as written.
const (
	Easier WayKind = "easier"
	Harder WayKind = "harder"
	If     WayKind = "if"
	Or     WayKind = "or"
)

// AmountKind is the unit of an Amount.
type AmountKind string

// Kinds of amount.
const (
	AmountNone     AmountKind = ""
	AmountReps     AmountKind = "reps"     // Low..High repetitions
	AmountTime     AmountKind = "time"     // milliseconds
	AmountDistance AmountKind = "distance" // millimetres
	AmountCalories AmountKind = "cal"      // N cal counts as N reps
	AmountMax      AmountKind = "max"
	AmountPercent  AmountKind = "percent" // Low percent of the member's own result in part Of
)

// Amount is how much of a movement: a number, or a range when High > Low.
type Amount struct {
	Kind AmountKind
	Low  int64
	High int64  // equal to Low when not a range
	Unit string // distance as written: m, km, mi, yd; "" for the default
	Of   string // part letter, for AmountPercent
}

// Load is what a movement is loaded with. A stated load is the least that counts as written.
type Load struct {
	Grams   int64  // 0 when not told
	Unit    string // kg or lb, as written
	Kit     string // canonical kit name ("backpack"), "" when not told
	Percent int    // of the member's result in part Of; 0 when not told
	Of      string
}
