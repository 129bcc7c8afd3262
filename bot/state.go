package bot

import (
	"slices"
	"time"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// state is what a decision rests on: one member at one number of the club's line. It is never changed once made;
// after a message is written a new one takes its place.
type state struct {
	member roster.Member
	top    int64 // the number of the last change that concerns the member
	open   *question
	days   []day // sessions posted to the member in the last days, latest first

	loose   dayNotes     // what they wrote on a day before any session came to them
	looseOn content.Date // that day; zero when there are sessions
}

// day is one session as it was posted to the member, and their results for it.
type day struct {
	date    content.Date
	version string
	fitted  *content.FittedSession
	records map[string]leaderboard.Record // by part
	notes   dayNotes
}

// dayNotes is what a member wrote on a day beside their results, for the coach alone.
type dayNotes struct {
	Member string   `json:"member"`
	Effort *float64 `json:"effort,omitempty"` // of the whole session
	Notes  []note   `json:"notes,omitempty"`
}

// note is one message that the coach should read.
type note struct {
	ID       string `json:"id"` // the member's message id
	At       int64  `json:"at"` // milliseconds
	Said     string `json:"said"`
	Note     string `json:"note,omitempty"` // what was left beside the results
	Care     string `json:"care,omitempty"`
	Gone     bool   `json:"gone,omitempty"` // the words were deleted when their days were over
	Question bool   `json:"question,omitempty"`
	Answered bool   `json:"answered,omitempty"`
	Misread  bool   `json:"misread,omitempty"` // the member says that it was no pain

	About []reply.Matter `json:"about,omitempty"` // what the care is due for

	Kind  string       `json:"kind,omitempty"` // away: excused for the day
	Until content.Date `json:"until,omitzero"` // away: when they come back
}

// maxDayNotes bounds what one member can leave on one day; the oldest unanswered ones stay.
const maxDayNotes = 50

func (n dayNotes) with(x note) dayNotes {
	n.Notes = append(slices.Clone(n.Notes), x)
	if over := len(n.Notes) - maxDayNotes; over > 0 {
		n.Notes = n.Notes[over:]
	}
	return n
}

// on returns the index in days of a date, -1 when no session of that date was posted to the member.
func (s *state) on(d content.Date) int {
	return slices.IndexFunc(s.days, func(x day) bool { return x.date == d })
}

// today returns the member's local date.
func (s *state) today(now time.Time) content.Date {
	z, err := content.LoadZone(s.member.Zone)
	if err != nil {
		z = time.UTC
	}
	return content.DateOf(now.In(z))
}

// last returns the result logged latest, over all days.
func (s *state) last() (leaderboard.Record, bool) {
	var out leaderboard.Record
	found := false
	for _, d := range s.days {
		for _, r := range d.records {
			if !found || r.At > out.At || r.At == out.At && r.Part > out.Part {
				out, found = r, true
			}
		}
	}
	return out, found
}

// waiting returns the results whose version was never told, latest day first, then by part.
func (s *state) waiting() []leaderboard.Record {
	var out []leaderboard.Record
	for _, d := range s.days {
		start := len(out)
		for _, r := range d.records {
			if r.Result.Version == "" && r.Kind != content.KindDone && r.Off == "" {
				out = append(out, r)
			}
		}
		slices.SortFunc(out[start:], func(a, b leaderboard.Record) int { return int(a.Part[0]) - int(b.Part[0]) })
	}
	return out
}

// questionLife is how long a question stays open.
const questionLife = 24 * time.Hour

// openAt returns the open question, nil when it has run out.
func (s *state) openAt(now time.Time) *question {
	if s.open == nil || now.Sub(time.UnixMilli(s.open.At)) > questionLife {
		return nil
	}
	return s.open
}
