package bot

import (
	"encoding/json"
	"slices"

	"tallybell/bot/reply"
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

	Scrapped []logged  `json:"scrapped,omitempty"`
	Closed   []string  `json:"closed,omitempty"` // parts whose day is too long ago
	Asks     []ask     `json:"asks,omitempty"`   // everything that is open after this message
	Open     *question `json:"open,omitempty"`   // the one being asked
	Effort   *float64  `json:"effort,omitempty"`
	Care     string    `json:"care,omitempty"`

	CareAbout    []reply.Matter `json:"care_about,omitempty"`    // what it is due for
	CareMovement string         `json:"care_movement,omitempty"` // for the coach: where it happened

	Noted    bool       `json:"noted,omitempty"`  // words were kept for the coach
	Passed   bool       `json:"passed,omitempty"` // a question went to the coach
	Request  string     `json:"request,omitempty"`
	Lines    []string   `json:"lines,omitempty"`    // of a request's answer; no names in them
	Standing []standing `json:"standing,omitempty"` // a board as it stood, by member id
	Words    string     `json:"words,omitempty"`    // a coach's words, a notice's text
	Forget   bool       `json:"-"`                  // the member and this answer are to be forgotten, instead of written
}

// logged is one result that was logged, changed or taken away.
type logged struct {
	Part      string         `json:"part"`
	Date      content.Date   `json:"date,omitzero"` // told only when it is not the calendar's day
	Result    content.Result `json:"result"`
	Show      string         `json:"show"`
	Replaced  string         `json:"replaced,omitempty"` // what it replaces, as people read it
	Way       string         `json:"way,omitempty"`
	Best      bool           `json:"best,omitempty"`  // of all the member did of this piece in this version
	Piece     string         `json:"piece,omitempty"` // to find it again weeks later
	Late      bool           `json:"late,omitempty"`
	Marked    bool           `json:"marked,omitempty"`
	Divisions []string       `json:"divisions,omitempty"` // one rank each follows in the mail entry, two with Joint
	Joint     bool           `json:"joint,omitempty"`     // the rank among both versions is told as well
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
	Text    string       `json:"text,omitempty"`    // the question in words, where About alone does not tell it
	Options []string     `json:"options"`           // what "1", "2" stand for: texts that can be read as replies
	Labels  []string     `json:"labels,omitempty"`  // how the options are shown; nil shows them as they are
	Said    string       `json:"said"`              // the text it is about
	Parts   []string     `json:"parts,omitempty"`   // version: every part that waits for it
	Carried bool         `json:"carried,omitempty"` // asked before: it stays open without being asked again
	Then    []question   `json:"then,omitempty"`    // asked when this one is settled; theirs is empty
}

// What a question is about beside what a reply can ask.
const (
	aboutSwap    = "swap"    // which way to do a movement
	aboutWhich   = "which"   // which movement was meant
	aboutMeant   = "meant"   // whether a misspelt word was meant
	aboutStop    = "stop"    // stop messages, or unwell
	aboutKeep    = "keep"    // an offer: always, to keep a choice for good
	aboutSettled = "settled" // no question any more: another device may still answer it
)

// quiet reports whether q is never asked: it only waits for a word.
func (q question) quiet() bool { return q.About == aboutKeep || q.About == aboutSettled }

// own reports whether q is about something else than a result.
func (q question) own() bool {
	switch q.About {
	case aboutSwap, aboutWhich, aboutMeant, aboutStop, aboutKeep, aboutSettled:
		return true
	}
	return false
}

// shown returns the options as people read them.
func (q question) shown() []string {
	if len(q.Labels) == len(q.Options) {
		return q.Labels
	}
	return q.Options
}

// chain returns a question and those that wait behind it, none of them with others behind it.
func (q *question) chain() []question {
	if q == nil {
		return nil
	}
	out := append([]question{*q}, q.Then...)
	for i := range out {
		out[i].Then = nil
	}
	return out
}

// chained makes one question of several, the first of them asked first; those that are only waited for come last, the
// latest of each kind. Nil when there are none.
func chained(all []question) *question {
	var loud, quiet []question
	for _, q := range all {
		if !q.quiet() {
			loud = append(loud, q)
			continue
		}
		quiet = slices.DeleteFunc(quiet, func(o question) bool { return o.About == q.About && o.At <= q.At })
		if !slices.ContainsFunc(quiet, func(o question) bool { return o.About == q.About }) {
			quiet = append(quiet, q)
		}
	}
	all = append(loud[:min(len(loud), mostOpen)], quiet...)
	if len(all) == 0 {
		return nil
	}
	head := all[0]
	if len(all) > 1 {
		head.Then = all[1:]
	}
	return &head
}

// mostOpen bounds the questions that wait at a time.
const mostOpen = 12

// ask puts a question before those that are open. One about the same thing takes the other's place.
func (a *answer) ask(q question) {
	rest := slices.DeleteFunc(a.Open.chain(), func(o question) bool { return o.About == q.About && q.own() })
	for i := range rest {
		rest[i].Carried = q.quiet() && rest[i].Carried
	}
	a.Open = chained(append([]question{q}, rest...))
}

// drop takes the questions about one thing away.
func (a *answer) drop(about string) {
	a.Open = chained(slices.DeleteFunc(a.Open.chain(), func(o question) bool { return o.About == about }))
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
