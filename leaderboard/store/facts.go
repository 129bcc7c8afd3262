// Package store is the one door to Redis: keys, scripts, batches and the embedded server.
// It imports nothing else of this module, so dates, parts and members are plain strings here.
package store

import "time"

// Board names one sorted set: date, part, kind of result and division. Division holds no ':' or braces.
type Board struct {
	Date, Part, Kind, Division string
}

// Field names one result of a date's hash: part, kind and member.
type Field struct {
	Date, Part, Kind, Member string
}

// Place is one entry of a board: the set member (see SetMember) and its exact integer score.
type Place struct {
	Board     Board
	SetMember string
	Score     int64
}

// Span asks for the competition rank of Score among scores from Low to High on a board:
// rank = 1 + count(Low <= s < Score), of = count(Low <= s <= High). LowOpen leaves Low itself out; HighOpen High.
type Span struct {
	Board Board
	Score int64
	Low   int64
	High  int64 // math.MaxInt64 stands for +inf, Low math.MinInt64 for -inf
}

// Moves is what a change of one member's results does to boards, computed by the leaderboard package.
type Moves struct {
	Out   []Place // scores are not needed here
	In    []Place
	Ranks []Span // asked after the moves are made
}

// ResultWrite writes one result record, or removes it when Record is nil.
type ResultWrite struct {
	Field  Field
	Record []byte
}

// Utterance is one message of a member, with all that it changes, written by one script or not at all.
type Utterance struct {
	Member  string
	Top     int64  // the number of the member's last change that the decision rests on
	ID      string // made by the client, answered once
	Digest  string // of the text: the same id with another text is ID reused
	Fact    []byte // JSON: what was said and what is answered; stored with the ranks in the member's mail
	Results []ResultWrite
	Moves   Moves
	Ledger  [][]byte // JSON entries of the member's ledger
}

// Outcome is what Say did.
type Outcome int

// Outcomes of Say. Only Done has written anything.
const (
	Done   Outcome = iota // written now
	Again                 // this id was answered before; N is the number of that answer
	Reused                // this id was answered before for another text
	Stale                 // the member's state has moved: read and decide again
)

// Said is the outcome of one Utterance.
type Said struct {
	Outcome  Outcome
	N        int64  // the number of the answer on the club's line
	OldTop   int64  // the member's last change before this one
	LastPost int64  // the club's last post at that moment
	Ranks    []Rank // one a Span, in order (only when Done)
}

// Rank is a competition rank and how many stand in the span.
type Rank struct {
	Rank int64 `json:"rank"`
	Of   int64 `json:"of"`
}

// Post is one entry for a bucket of members (or "*"), written once per OnceID and date.
type Post struct {
	Date   string // nominal date, ISO
	OnceID string
	Bucket string
	Fact   []byte
}

// PostEntry is a post as read back.
type PostEntry struct {
	N      int64
	Date   string
	Bucket string
	Fact   []byte
}

// MailEntry is one entry of a member's mail: the fact as said, and the ranks that the script found.
type MailEntry struct {
	N     int64
	ID    string // the message id it answers, "" for coach's words and notices
	Fact  []byte
	Ranks []Rank
}

// Entry is one entry of a conversation: a post or a mail entry, in the order of N.
type Entry struct {
	N    int64
	Post *PostEntry
	Mail *MailEntry
}

// If is a condition of Change: the hash field must hold Want ("" for absent) or nothing is written.
type If struct {
	Key, Field, Want string
}

// Do is one command of Change. An argument that is "$n", or begins with "$n-" or "$n ", gets the number that the
// change takes in place of "$n"; anywhere else it is text as it stands.
type Do []string

// Clock is the store's time, sampled at least each minute and carried on by the process's monotonic clock.
type Clock interface{ Now() time.Time }

// Health is what /readyz and the coach's page say about the store.
type Health struct {
	OK         bool   // answers, and can save
	Persistent bool   // what is confirmed survives a power cut, as far as the disk keeps its word
	Embedded   bool   // the server inside this process
	Warning    string // why it is not persistent, or what was mended at start; "" when nothing needs saying
	Err        string // why it is not OK
}

// LedgerEntry is one entry of a member's ledger, in the order of (N, I).
type LedgerEntry struct {
	N     int64 // the number of the message that wrote it
	I     int   // its place among the entries of that message, from 0
	Entry []byte
}

// MemberState is what a decision about a member rests on, read in one pipeline, top first: whatever
// changes while the rest is read makes the decision stale.
type MemberState struct {
	Top      int64 // number of the last change that concerns the member, 0 when never seen
	N        int64 // the club's number
	LastPost int64
	Profile  []byte     // nil when there is no such member
	Last     *MailEntry // nil when nothing was ever said to them
	Results  map[Field][]byte
}

// Hint says that somebody's conversation has grown; where to look, never what to show.
type Hint struct {
	Member string // a member's id, or "*" for a post to many
	N      int64
	Look   bool // hints may have been lost (the subscription began or was renewed): look at everything
}
