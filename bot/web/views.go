package web

import "slices"

// Shell is what stands around the content of every coach's page.
type Shell struct {
	Club     string
	Title    string
	Here     string   // morning, sheet or members: the link that is marked as the current page
	Today    string   // ISO date of the club's day, for the links
	Warnings []string // what the operator and the coach must know first, as a volatile store
	Notice   string   // what was just done
	Problem  string   // what could not be done, and what to do about it
}

// MemberPage is the member's conversation; everything else comes over the socket.
type MemberPage struct {
	Club string
}

// Door is the coach's sign-in.
type Door struct {
	Club    string
	Problem string
}

// Oops is a page that says what went wrong.
type Oops struct {
	Shell
	Back string // where to go on
}

// Person is a member on the coach's pages.
type Person struct {
	ID, Name, Division string
}

// Result is one result, with what its forms need.
type Result struct {
	Person
	Date    string // ISO
	Part    string
	Show    string
	Version string // as written, scaled or "" when not told
	Effort  string // "" when not told
	Late    bool
	Marked  bool // insisted on though implausible
	OnBoard bool
	FormID  string // makes a repeated submission harmless
}

// Attendance is one member's day.
type Attendance struct {
	Person
	Results []Result
	Note    string
}

// Concern is what a member said about pain or a warning sign.
type Concern struct {
	Person
	Warning bool // a warning sign, not a plain ache
	Said    string
	At      string
	Held    bool   // no session or rank until the coach lifts it
	Date    string // of the page to come back to
	FormID  string // of the reply
}

// Question is what a member asked.
type Question struct {
	Person
	ID     string
	Said   string
	At     string
	Date   string // of the page to come back to
	FormID string
}

// Open says whether the box for an answer stands open: under a question it does.
func (Question) Open() bool { return true }

// Open says whether the box for an answer stands open: under what was said about health it waits for a tap.
func (Concern) Open() bool { return false }

// Board is one part's boards: for each division a block as written and a block scaled.
type Board struct {
	Part   string
	Scheme string
	Blocks []Block
	Folded []Block // of divisions that are not the reader's own
}

// Block is one list of ranks.
type Block struct {
	Division string
	Version  string // as written or scaled
	Of       int64  // how many stand there in all; those not listed are told as a count
	Entries  []Entry
	Around   []Entry // the lines around the reader's own, where it is not among Entries
}

// Others is how many stand there and are not listed.
func (b Block) Others() int64 { return b.Of - int64(len(b.Entries)+len(b.Around)) }

// Entry is one line of a block.
type Entry struct {
	Rank    int64
	Joint   int64 // the rank among both versions, 0 where the club does not ask for it
	Own     bool  // the reader's own line
	Name    string
	Result  string
	Way     string // the way done, "" as the line stands
	Load    string // the load used, "" when not told
	Late    bool
	Marked  bool
	Version string
}

// BoardsPage is the boards of one day and the standings of the last days, as members read them.
type BoardsPage struct {
	Club      string
	Date      string // ISO
	DateText  string
	Before    string
	After     string // "" on the club's own day
	Boards    []Board
	Standings []Standings
	Problem   string // why there is nothing to see
	Status    int    // of the answer with a problem
}

// Standings are one division's standings over several days.
type Standings struct {
	Division string
	About    string // the days, the races, what counts
	Rows     []StandingsRow
	Around   []StandingsRow // the lines around the reader's own, where it is not among Rows
	Of       int
}

// Others is how many stand there and are not listed.
func (s Standings) Others() int { return s.Of - len(s.Rows) - len(s.Around) }

// StandingsRow is one member's line.
type StandingsRow struct {
	Rank   int
	Own    bool
	Name   string
	Points string
	Tie    string // the rule that broke a tie, in words; "" when there was none
	Scores []Score
}

// Score is one race's points with their reason.
type Score struct {
	Race     string // "Mon 1 Feb, D"
	Points   string
	Excluded bool
	Rule     string
	Why      string
}

// StandingsPage is the coach's page of standings.
type StandingsPage struct {
	Shell
	From, To  string // ISO
	Division  string
	Version   string
	Divisions []string
	Versions  []Choice
	Table     Standings
	CSV       string // where the same is had as a table
}

// Choice is one thing of a list to choose from.
type Choice struct{ Value, Text string }

// Attention is a group of what deserves the coach's eye.
type Attention struct {
	Title string
	Lines []AttentionLine
}

// AttentionLine is one member with the reason.
type AttentionLine struct {
	Person
	Reason  string
	Because string // the numbers and dates behind it
	Offer   string // what the coach may do
}

// Morning is the report of one date.
type Morning struct {
	Shell
	Date      string // ISO
	DateText  string // "Monday 1 February 2027"
	Yesterday string // ISO dates for the switch
	Before    string
	After     string
	Session   string // title, "" when there is no sheet
	Rest      bool
	Sent      int
	Received  int // of those
	Opened    int // of those
	Concerns  []Concern
	Questions []Question
	Answered  []Attendance
	Missing   []Person
	Paused    []Person
	Waiting   []Person
	Attention []Attention
	Boards    []Board
}

// Problem is one message of the checker.
type Problem struct {
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Message string `json:"message"`
	Warning bool   `json:"warning"`
}

// SheetLine is one line of a sheet with the problems that are told about it.
type SheetLine struct {
	Number   int
	Text     string
	Problems []Problem
}

// Checked is what checking a sheet found; as JSON it is the answer of the check address.
type Checked struct {
	Problems []Problem `json:"problems"`
	Errors   int       `json:"errors"`
	Warnings int       `json:"warnings"`
	Preview  string    `json:"preview"` // the session as a member reads it, "" with errors
	Length   string    `json:"length"`  // how long it takes, a sentence; "" with errors
	As       ReadAs    `json:"as"`      // for whom the preview is
	Fits     Fits      `json:"fits"`    // who gets what
}

// ReadAs is for whom a sheet is shown, as it was asked.
type ReadAs struct {
	Member   string   `json:"member,omitempty"`
	Kit      string   `json:"kit,omitempty"`
	Level    string   `json:"level,omitempty"`
	Limits   []Tick   `json:"-"`
	Who      string   `json:"who,omitempty"`      // in words; "" for the sheet as written
	Problems []string `json:"problems,omitempty"` // what is not known, with a suggestion
}

// Limited reports whether a limit is asked for.
func (r ReadAs) Limited() bool {
	return slices.ContainsFunc(r.Limits, func(t Tick) bool { return t.On })
}

// Tick is a box that may be ticked.
type Tick struct {
	Name string
	On   bool
}

// Fits tells who gets what of a sheet.
type Fits struct {
	Members int        `json:"members"`
	Groups  []FitGroup `json:"groups"`
	More    int        `json:"more,omitempty"` // fits that are not looked at
	NoFit   []NoFit    `json:"no_fit,omitempty"`
}

// FitGroup is a fit with the members who share it, and what it changes.
type FitGroup struct {
	Count    int         `json:"count"`
	Names    []string    `json:"names"` // the first of them
	Fit      string      `json:"fit"`   // in words
	Changes  []FitChange `json:"changes"`
	Read     string      `json:"read"` // id of one of them, to read as
	ReadName string      `json:"read_name"`
}

// Others is how many members are not named.
func (g FitGroup) Others() int { return g.Count - len(g.Names) }

// FitChange is what a fit changes in a part.
type FitChange struct {
	Part string   `json:"part"`
	What []string `json:"what"`
}

// NoFit is a movement that some members have no way of doing.
type NoFit struct {
	Part     string   `json:"part"`
	Movement string   `json:"movement"`
	Members  []string `json:"members"`
}

// Editor is the sheet of one date.
type Editor struct {
	Shell
	Date     string
	DateText string
	Before   string
	After    string
	Dates    []string // with a sheet
	Text     string
	Stored   bool
	Draft    bool
	Sent     bool
	Version  string
	Checked  Checked
	NoFit    []NoFit
	Conflict []string // why replacing was refused; offers to force
	Names    []string // of members, offered where one is typed
	Known    []string // kit that is known
}

// Lines returns the sheet's lines with their problems, for reading without a script. Problems beyond the last line
// stand at the last.
func (e Editor) Lines() []SheetLine { return number(e.Text, e.Checked.Problems) }

// Verdict sums a check up in words.
func (e Editor) Verdict() string { return e.Checked.Verdict() }

// Member is one line of the members page.
type Member struct {
	Person
	Coach    bool
	Joined   bool
	Paused   bool
	OnBoards bool
	SendAt   string // "06:30, Europe/Paris"
	Kit      string
	Level    string
	Limits   string // only coaches see them
}

// PersonFit is what decides how sessions reach one member.
type PersonFit struct {
	Shell
	ID, Name string
	Kit      string // comma-separated; "none" when there is none
	Level    string
	Levels   string // by pattern, in words
	Limits   []Tick
	Known    []string            // kit that is known
	Wrong    map[string][]string // by field
	Past     Past                // what they did; empty where a form is shown again
	Sets     []HeavySet
	Weeks    []LoadWeek // latest first
}

// Invite is a link to pass on. It is shown once.
type Invite struct {
	Name string
	Link string
}

// Members is the list of members.
type Members struct {
	Shell
	Members   []Member
	Divisions []string
	Invites   []Invite
	Names     string // what was typed, when it could not be taken
	Division  string
	FormID    string
}
