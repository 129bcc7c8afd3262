package bot

import (
	"encoding/json"

	"tallybell/content"
)

// answer is the fact of one answer as it is stored: what was heard and what was done about it. Text and card are
// rendered from it (and the ranks that the script found), so a repeated message gets the same answer.
type answer struct {
	Kind   PostKind     `json:"kind"`
	At     int64        `json:"at"` // milliseconds
	Said   string       `json:"said,omitempty"`
	By     string       `json:"by,omitempty"` // member id of the coach, for their words and corrections
	Why    string       `json:"why,omitempty"`
	Date   content.Date `json:"date,omitzero"`
	Logged []logged     `json:"logged,omitempty"`

	Scrapped []logged   `json:"scrapped,omitempty"`
	Closed   []string   `json:"closed,omitempty"` // parts whose day is too long ago
	Asks     []ask      `json:"asks,omitempty"`   // everything that is open after this message
	Open     *question  `json:"open,omitempty"`   // the one being asked
	Effort   *float64   `json:"effort,omitempty"`
	Care     string     `json:"care,omitempty"`
	Noted    bool       `json:"noted,omitempty"`  // words were kept for the coach
	Passed   bool       `json:"passed,omitempty"` // a question went to the coach
	Request  string     `json:"request,omitempty"`
	Lines    []string   `json:"lines,omitempty"`    // of a request's answer; no names in them
	Standing []standing `json:"standing,omitempty"` // a board as it stood, by member id
	Words    string     `json:"words,omitempty"`    // a coach's words, a notice's text
}

// logged is one result that was logged, changed or taken away.
type logged struct {
	Part      string         `json:"part"`
	Date      content.Date   `json:"date,omitzero"` // told only when it is not the calendar's day
	Result    content.Result `json:"result"`
	Show      string         `json:"show"`
	Replaced  string         `json:"replaced,omitempty"` // what it replaces, as people read it
	Way       string         `json:"way,omitempty"`
	Late      bool           `json:"late,omitempty"`
	Marked    bool           `json:"marked,omitempty"`
	Divisions []string       `json:"divisions,omitempty"` // one rank each follows in the mail entry
}

// ask is what could not be read for certain.
type ask struct {
	Part    string   `json:"part"`
	About   string   `json:"about"`
	Suggest []string `json:"suggest"`
}

// standing is one line of a board in an answer.
type standing struct {
	Rank   int64  `json:"rank"`
	Member string `json:"member"`
	Show   string `json:"show"`
	Head   string `json:"head,omitempty"` // a line before it: division and version
}

// question is what the bot has asked and waits for, for a day.
type question struct {
	About   string       `json:"about"`
	Part    string       `json:"part,omitempty"`
	Date    content.Date `json:"date,omitzero"`
	At      int64        `json:"at"`                // when the message it is about was said, milliseconds
	Options []string     `json:"options"`           // what "1", "2" stand for
	Said    string       `json:"said"`              // the text it is about
	Parts   []string     `json:"parts,omitempty"`   // version: every part that waits for it
	Carried bool         `json:"carried,omitempty"` // asked before: it stays open without being asked again
	Then    []question   `json:"then,omitempty"`    // asked when this one is settled; theirs is empty
}

func (a answer) bytes() []byte {
	b, err := json.Marshal(a)
	if err != nil {
		// An answer holds strings, numbers and slices only: marshalling cannot fail but for NaN efforts, which the reader
		// never makes.
		panic("bot: answer: " + err.Error())
	}
	return b
}

func readAnswer(b []byte) (answer, error) {
	var a answer
	err := json.Unmarshal(b, &a)
	return a, err
}
