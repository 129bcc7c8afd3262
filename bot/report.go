package bot

import (
	"time"

	"tallybell/content"
	"tallybell/leaderboard"
)

// Person is a member as reports name them.
type Person struct {
	Member   string `json:"member"`
	Name     string `json:"name"`
	Division string `json:"division,omitempty"`
}

// ResultRow is one result as the coach sees it.
type ResultRow struct {
	Person
	Date    content.Date   `json:"date"`
	Part    string         `json:"part"`
	Show    string         `json:"show"` // "14:32", as people read it
	Result  content.Result `json:"result"`
	Way     string         `json:"way,omitempty"`   // what they were sent in the place of the sheet's movements
	Eased   bool           `json:"eased,omitempty"` // the part was sent to them eased, so it counts as scaled
	OnBoard bool           `json:"on_board"`
	Late    bool           `json:"late,omitempty"`
	Marked  bool           `json:"marked,omitempty"` // insisted on though implausible
	At      time.Time      `json:"at"`
}

// Attendance is one member's day.
type Attendance struct {
	Person
	Results []ResultRow `json:"results"`
	Note    string      `json:"note,omitempty"` // what they wrote beside their results
}

// Concern is a mention of pain or a warning sign, for the coach alone.
type Concern struct {
	Person
	Care string    `json:"care"` // check or stop
	Said string    `json:"said"`
	At   time.Time `json:"at"`
	Held bool      `json:"held,omitempty"` // no session or rank until the coach lifts it
	// Misread: the member has said since that it was no pain.
	Misread bool `json:"misread,omitempty"`
}

// Question is what a member asked and nobody has answered yet.
type Question struct {
	Person
	ID   string    `json:"id"` // the member's message id
	Said string    `json:"said"`
	At   time.Time `json:"at"`
}

// Report is the morning page of one date.
type Report struct {
	Date      content.Date `json:"date"`
	Title     string       `json:"title"`
	Rest      bool         `json:"rest,omitempty"`
	Sent      int          `json:"sent"`     // members the session went out to
	Received  []Person     `json:"received"` // of those: it was sent, and their connection answered later
	Opened    []Person     `json:"opened"`   // of those: their page has shown it
	Answered  []Attendance `json:"answered"`
	Missing   []Person     `json:"missing"`
	Paused    []Person     `json:"paused"` // excused: they pause, or wrote that they cannot train that day
	Concerns  []Concern    `json:"concerns"`
	Questions []Question   `json:"questions"`
	Waiting   []Person     `json:"waiting"` // a result without a version: on no board until it is told
	// Attention is who deserves the coach's eye, each with the reason: hurt, unanswered, quiet, then the rest.
	Attention []leaderboard.Notice `json:"attention"`
}
