// Package roster keeps a club's people: members and coaches with their profiles, the dated list of send times that
// each belongs to, and the invites and tokens by which they prove who they are.
package roster

import "tallybell/content"

// Role tells what a person may do.
type Role string

// The two roles. A member sees their own things; everything else is the coach's.
const (
	RoleMember Role = "member"
	RoleCoach  Role = "coach"
)

// DatedBucket says which bucket a member belongs to from a date on. A zero Bucket is a pause.
type DatedBucket struct {
	From   content.Date   `json:"from"`
	Bucket content.Bucket `json:"bucket"`
}

// Member is one person's profile. Its JSON is what the store keeps and what the club's export holds; it never holds
// a token or an invite. A Member is a value: its slices and maps are shared and must not be changed.
type Member struct {
	ID        string            `json:"id"`                   // short, random, a to z and 0 to 9
	Name      string            `json:"name"`                 // 1 to 80 characters, not unique
	Role      Role              `json:"role"`                 // member or coach
	Division  string            `json:"division,omitempty"`   // one of the club's; "" stands on no division's board
	BirthYear int               `json:"birth_year,omitempty"` // 0 when not told
	Zone      string            `json:"zone"`                 // IANA name
	SendAt    content.Clock     `json:"send_at"`              // local
	Buckets   []DatedBucket     `json:"buckets,omitempty"`    // by From, ascending; empty before joining
	Kit       []string          `json:"kit,omitempty"`        // canonical kit names
	KitTold   bool              `json:"kit_told,omitempty"`   // Kit is all they have, even when it is none
	Level     string            `json:"level,omitempty"`      // "" is as written (for a newcomer: easier)
	Levels    map[string]string `json:"levels,omitempty"`     // by pattern, over Level
	Limits    []string          `json:"limits,omitempty"`     // only the coach sees them
	Swaps     []Swap            `json:"swaps,omitempty"`      // ways of their own choice
	Past      []DatedFit        `json:"past,omitempty"`       // what fitted them before, by Until, ascending
	Units     string            `json:"units,omitempty"`      // kg or lb; "" is kg
	OnBoards  bool              `json:"on_boards"`            // stands on boards; false until chosen
	Usual     content.Version   `json:"usual,omitempty"`      // the version settled by a word alone
	UsualOn   content.Date      `json:"usual_on,omitzero"`    // the date that it was settled; it holds 7 days
	NoRanks   bool              `json:"no_ranks,omitempty"`   // answers leave ranks out
	NoScores  bool              `json:"no_scores,omitempty"`  // logs being there without a score, and stands on no board
	Remind    bool              `json:"remind,omitempty"`     // wants the evening reminder
	Newcomer  bool              `json:"newcomer,omitempty"`   // fewer than three logged sessions and no level chosen
	NewUntil  content.Date      `json:"new_until,omitzero"`   // who is no newcomer any more still was one on this date
	JoinedN   int64             `json:"joined_n,omitempty"`   // the store's time of joining in microseconds, at most the club's number then; 0 before
	JoinedOn  content.Date      `json:"joined_on,omitzero"`   // local date of joining; zero before
	HeldN     int64             `json:"held_n,omitempty"`     // about the club's number when a warning sign held them; 0 never
	FreedN    int64             `json:"freed_n,omitempty"`    // about the club's number when the coach lifted it
	RemovedN  int64             `json:"removed_n,omitempty"`  // likewise of removal; 0 while here
	RemovedOn content.Date      `json:"removed_on,omitzero"`  // local date of removal; zero while here
}

// Joined reports whether the member has used an invite. Only then do they belong to a bucket.
func (m Member) Joined() bool { return !m.JoinedOn.IsZero() }

// Removed reports whether the member has left the club. Their name still stands beside old results.
func (m Member) Removed() bool { return !m.RemovedOn.IsZero() }

// Held reports whether a warning sign keeps sessions and ranks from the member until the coach lifts it.
func (m Member) Held() bool { return m.HeldN > m.FreedN }

// HeldAt reports whether the member was held when the club's number was n: what was posted then is not theirs.
func (m Member) HeldAt(n int64) bool { return m.HeldN > 0 && n > m.HeldN && (m.Held() || n < m.FreedN) }

// BucketOn returns the one bucket that the member belongs to for the session of date d: the zero Bucket before they
// joined, while they pause and after they left.
func (m Member) BucketOn(d content.Date) content.Bucket {
	for i := len(m.Buckets) - 1; i >= 0; i-- {
		if !d.Before(m.Buckets[i].From) {
			return m.Buckets[i].Bucket
		}
	}
	return content.Bucket{}
}

// PausedOn reports whether date d falls in a pause of a member who has joined and not left.
func (m Member) PausedOn(d content.Date) bool {
	if m.Removed() && !d.Before(m.RemovedOn) {
		return false
	}
	return len(m.Buckets) > 0 && !d.Before(m.Buckets[0].From) && m.BucketOn(d).IsZero()
}

// PauseEnds returns the date on which a pause that holds on date d, or begins after it, ends by itself: zero when the
// member does not pause, or pauses until they say otherwise.
func (m Member) PauseEnds(d content.Date) content.Date {
	for i := len(m.Buckets) - 1; i > 0; i-- {
		if !m.Buckets[i].Bucket.IsZero() && m.Buckets[i-1].Bucket.IsZero() && d.Before(m.Buckets[i].From) {
			return m.Buckets[i].From
		}
	}
	return content.Date{}
}
