package leaderboard

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"tallybell/content"
)

// Happened is what a ledger entry tells of.
type Happened string

// What can happen to a member's results. Stood tells that a result was left as it is but stands elsewhere: its
// divisions, the choice to be on boards, or the kind of its part has changed.
const (
	Logged    Happened = "result"
	Replaced  Happened = "replace"
	Corrected Happened = "correct"
	Removed   Happened = "remove"
	Stood     Happened = "stand"
)

// LedgerEntry is one line of a member's ledger: what happened to one result, who did it and why. Entries are only
// ever added.
type LedgerEntry struct {
	Kind Happened `json:"kind"`
	Who  string   `json:"who"`           // member id, of the member or of the coach
	Why  string   `json:"why,omitempty"` // in the words of who did it
	At   int64    `json:"at"`            // Unix milliseconds of the store's clock
	ID   string   `json:"id,omitempty"`  // of the message it came by
	Old  *Record  `json:"old,omitempty"` // what stood; nil for a first result
	New  *Record  `json:"new,omitempty"` // what stands from now on; nil for a removal
}

// Encode returns the entry as the store keeps it.
func (e LedgerEntry) Encode() ([]byte, error) {
	b, err := json.Marshal(e)
	if err != nil {
		return nil, fmt.Errorf("ledger entry: %w", err)
	}
	return b, nil
}

// ReadLedgerEntry reads what Encode wrote. Anything that Encode cannot have written is an error.
func ReadLedgerEntry(b []byte) (LedgerEntry, error) {
	var e LedgerEntry
	if err := json.Unmarshal(b, &e); err != nil {
		return LedgerEntry{}, fmt.Errorf("ledger entry: %w", err)
	}
	for _, r := range []*Record{e.Old, e.New} {
		if r == nil {
			continue
		}
		if err := r.check(); err != nil {
			return LedgerEntry{}, fmt.Errorf("ledger entry: %w", err)
		}
	}
	return e, e.check()
}

func (e LedgerEntry) check() error {
	var wantOld, wantNew bool
	switch e.Kind {
	case Logged:
		wantNew = true
	case Replaced, Corrected, Stood:
		wantOld, wantNew = true, true
	case Removed:
		wantOld = true
	default:
		return fmt.Errorf("ledger entry: unknown kind %q", e.Kind)
	}
	if (e.Old != nil) != wantOld || (e.New != nil) != wantNew {
		return fmt.Errorf("ledger entry: a %s has old=%t new=%t", e.Kind, e.Old != nil, e.New != nil)
	}
	if wantOld && wantNew && slot(*e.Old) != slot(*e.New) {
		return fmt.Errorf("ledger entry: a %s of %s by %s", e.Kind, slot(*e.Old), slot(*e.New))
	}
	return nil
}

// slot names what a member can have one result for: a part of a date.
func slot(r Record) string { return r.Date.String() + " " + r.Part + " " + r.Member }

// Current returns the records that stand after a member's ledger entries, which are in the order they were written:
// at most one for each part of a date, by date and part.
func Current(entries []LedgerEntry) []Record {
	stand := map[string]*Record{}
	for _, e := range entries {
		if e.Old != nil {
			delete(stand, slot(*e.Old))
		}
		if e.New != nil {
			stand[slot(*e.New)] = e.New
		}
	}
	out := make([]Record, 0, len(stand))
	for _, k := range slices.Sorted(maps.Keys(stand)) {
		out = append(out, *stand[k])
	}
	return out
}

// Restood returns r standing on other divisions, or off boards for a reason, and whether that changes anything; their
// order does not.
func Restood(r Record, divisions []string, off Off) (Record, bool) {
	if slices.Equal(slices.Sorted(slices.Values(r.Divisions)), slices.Sorted(slices.Values(divisions))) && r.Off == off {
		return r, false
	}
	r.Divisions, r.Off = slices.Clone(divisions), off
	return r, true
}

// PartKinds counts, for each part of the records, the results of each kind that stands; it answers whether a new sheet
// would change the kind of a part that has results.
func PartKinds(rs []Record) map[string]map[content.Kind]int {
	out := map[string]map[content.Kind]int{}
	for _, r := range rs {
		if out[r.Part] == nil {
			out[r.Part] = map[content.Kind]int{}
		}
		out[r.Part][r.Kind]++
	}
	return out
}
