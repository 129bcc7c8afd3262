package leaderboard

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// Record is one member's result for one part of one date, with all that decides where it stands.
type Record struct {
	Member string         `json:"member"`
	Date   content.Date   `json:"date"`
	Part   string         `json:"part"` // letter
	Kind   content.Kind   `json:"kind"` // the result's
	Result content.Result `json:"result"`
	// Credited is the result's reps in the sheet's own, where the member did another way with another amount; nil
	// where it is the same. Result keeps what was typed.
	Credited *Credited `json:"credited,omitempty"`

	// First is the instant, in Unix milliseconds of the store's clock, of the message that first gave a result for the
	// part. Corrections and replacements keep it; a removal ends it.
	First int64 `json:"first"`
	At    int64 `json:"at"` // Unix milliseconds of the message that gave this result

	Divisions []string `json:"divisions,omitempty"`  // the boards it stands on; none for who is on no board
	SetMember string   `json:"set_member,omitempty"` // its name in the sorted sets; see store.SetMember
	Late      bool     `json:"late,omitempty"`       // told after its day
	Piece     string   `json:"piece,omitempty"`      // what it was a result of; see content.Part.Fingerprint
	Way       string   `json:"way,omitempty"`        // another way done ("towel row"), shown beside it
	Eased     bool     `json:"eased,omitempty"`      // its part was sent eased; the coach alone sees it
	Marked    bool     `json:"marked,omitempty"`     // insisted on though implausible; the coach alone sees it
	Off       Off      `json:"off,omitempty"`        // why it is kept off all boards
}

// Credited is a count in the sheet's own reps.
type Credited struct {
	Reps   int64  `json:"reps"`
	Rounds *int64 `json:"rounds,omitempty"` // AMRAP only
	Extra  *int64 `json:"extra,omitempty"`
}

// Off is why a result is kept off all boards; empty when it is not.
type Off string

// Reasons to keep a result off boards.
const (
	OffUnscored    Off = "not_scored"   // its part ranks nobody
	OffChangedKind Off = "changed_kind" // the sheet was replaced by force, and the part now gives another kind
)

// NewRecord returns the record of a result as typed, for a part as the coach wrote it (sheet) and as the member
// received it (fitted). first is the First of the record it replaces, or 0 when there is none; at is the message's
// instant, whose milliseconds count; divisions are the boards it is to stand on.
func NewRecord(member string, date content.Date, sheet, fitted content.Part, r content.Result, first int64, at time.Time, divisions []string) Record {
	rec := Record{Member: member, Date: date, Part: sheet.Letter, Kind: r.Kind, Result: r,
		First: first, At: at.UnixMilli(), Divisions: slices.Clone(divisions), Piece: sheet.Fingerprint()}
	if first == 0 {
		rec.First = rec.At
	}
	rec.SetMember = store.SetMemberMS(rec.First, member)
	if c := Credit(sheet, fitted, r); c.Reps != nil && *c.Reps != *r.Reps {
		rec.Credited = &Credited{*c.Reps, c.Rounds, c.Extra}
	}
	switch {
	case r.Kind == content.KindDone || r.Kind == sheet.Kind() && !sheet.IsScored():
		rec.Off = OffUnscored
	case r.Kind != sheet.Kind():
		rec.Off = OffChangedKind
	}
	return rec
}

// Counted returns the result as boards count it: as typed, but for its reps, which are the sheet's own.
func (r Record) Counted() content.Result {
	out := r.Result
	if c := r.Credited; c != nil {
		reps := c.Reps
		out.Reps, out.Rounds, out.Extra = &reps, c.Rounds, c.Extra
	}
	return out
}

// Score returns the record's score; false when it stands nowhere.
func (r Record) Score() (int64, bool) {
	if r.Off != "" || r.Kind != r.Result.Kind {
		return 0, false
	}
	return score(r.Counted())
}

// Field names the record in the store.
func (r Record) Field() store.Field {
	return store.Field{Date: r.Date.String(), Part: r.Part, Kind: string(r.Kind), Member: r.Member}
}

// setMember is the name in sorted sets, made when the record does not carry it.
func (r Record) setMember() string {
	if r.SetMember != "" {
		return r.SetMember
	}
	return store.SetMemberMS(r.First, r.Member)
}

// Places returns the board places that the record stands on; nil when it stands nowhere.
func (r Record) Places() []store.Place {
	s, ok := r.Score()
	if !ok || len(r.Divisions) == 0 {
		return nil
	}
	out := make([]store.Place, 0, len(r.Divisions))
	board := store.Board{Date: r.Date.String(), Part: r.Part, Kind: string(r.Kind)}
	name := r.setMember()
	for i, d := range r.Divisions {
		if slices.Contains(r.Divisions[:i], d) {
			continue
		}
		board.Division = d
		out = append(out, store.Place{Board: board, SetMember: name, Score: s})
	}
	return out
}

// Encode returns the record as the store keeps it.
func (r Record) Encode() ([]byte, error) {
	b, err := json.Marshal(r)
	if err != nil {
		return nil, fmt.Errorf("result of %s, %s %s: %w", r.Member, r.Date, r.Part, err)
	}
	return b, nil
}

// ReadRecord reads what Encode wrote. Anything that Encode cannot have written is an error.
func ReadRecord(b []byte) (Record, error) {
	var r Record
	if err := json.Unmarshal(b, &r); err != nil {
		return Record{}, fmt.Errorf("stored result: %w", err)
	}
	if err := r.check(); err != nil {
		return Record{}, fmt.Errorf("stored result: %w", err)
	}
	return r, nil
}

func isLetter(part string) bool { return len(part) == 1 && 'A' <= part[0] && part[0] <= 'Z' }

func (r Record) check() error {
	switch {
	case r.Member == "":
		return errors.New("no member")
	case r.Date.IsZero():
		return errors.New("no date")
	case !isLetter(r.Part):
		return fmt.Errorf("part %q is not a letter from A to Z", r.Part)
	case r.Kind != r.Result.Kind:
		return fmt.Errorf("kind %q, but its result is of kind %q", r.Kind, r.Result.Kind)
	case r.First < 0 || r.At < 0:
		return errors.New("an instant before 1970")
	case r.SetMember != "" && r.SetMember != store.SetMemberMS(r.First, r.Member):
		return fmt.Errorf("set member %q, want %q", r.SetMember, store.SetMemberMS(r.First, r.Member))
	}
	for _, d := range r.Divisions {
		if err := CheckDivision(d); err != nil {
			return err
		}
	}
	return nil
}
