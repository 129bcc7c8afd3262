// Package bot is the conversation: it hears a Message, decides on the member's state, and says Posts.
// It knows no socket; a chat network is a gateway in front of it.
package bot

import (
	"encoding/json"
	"time"

	"tallybell/content"
)

// Message is one thing that a member or the coach typed.
type Message struct {
	From string    // member id
	ID   string    // made by the client, random, up to 64 characters; answered once
	Text string    // at most MaxText (member) or MaxCoachText (coach) bytes
	At   time.Time // when it was said; zero means the store's clock

	tried *tried // what answering it has changed already; set by Hear
}

// Limits of a message's text, in bytes.
const (
	MaxText      = 4096
	MaxCoachText = 64 << 10
)

// PostKind tells what a post is.
type PostKind string

// Kinds of post.
const (
	SessionPost PostKind = "session"
	AnswerPost  PostKind = "answer"
	ReportPost  PostKind = "report"
	NoticePost  PostKind = "notice"
	CoachPost   PostKind = "coach"
)

// Post is one message to a member as that member reads it. Text alone is always enough to read.
type Post struct {
	Cursor int64 // its number on the club's line
	Kind   PostKind
	At     time.Time
	Date   content.Date // of the session it belongs to; zero when none
	Re     string       // the message id it answers
	Said   string       // what it answers, so that every device shows both sides
	Text   string
	Card   json.RawMessage // nil when there is none
}

// Heard is the answer to one message, and where it stands on the member's line: it may be sent to a connection with
// cursor c directly only if OldTop <= c and LastPost is at most what the hub has handed out.
type Heard struct {
	Post     Post
	Again    bool // the id was answered before; Post is that answer
	OldTop   int64
	LastPost int64
}

// Fact is a post to a bucket of members before it is rendered: what was sent, not the text of it.
type Fact struct {
	N       int64 // its number on the club's line; also the cursor
	Kind    PostKind
	Date    content.Date
	Bucket  content.Bucket // zero with All
	All     bool           // to all who joined before N
	Version string         // of the sheet
	At      time.Time
	Late    bool
	Text    string // a coach's words
}

// Backlog is what a member missed, in order, and the cursor it brings them to.
type Backlog struct {
	Posts []Post
	UpTo  int64
}

// Hint says that something on the line may concern a member ("" for everyone: a new post). Hints only say when to
// look; losing one costs time, never a message.
type Hint struct {
	Member string
	N      int64
}

// Problem codes of the chat.
const (
	NotSaved = "not_saved"
	IDReused = "id_reused"
	TooFast  = "too_fast"
	TooLong  = "too_long"
	BadFrame = "bad_frame"
)

// Problem is an error that its user can read and act on.
type Problem struct {
	Code string // one of the codes above, or not_found, conflict, invalid
	Text string // what is wrong and what to do
	Err  error  // the cause, for the log; may be nil
}

func (p *Problem) Error() string {
	if p.Err != nil {
		return p.Text + ": " + p.Err.Error()
	}
	return p.Text
}

func (p *Problem) Unwrap() error { return p.Err }
