package leaderboard

import (
	"cmp"
	"slices"

	"tallybell/content"
)

// History returns a member's records of one piece (content.Part.Fingerprint) from their records of all, earliest
// first. Those without a version are left out where the piece has one, since nobody knows what they compare with.
func History(all []Record, piece string) []Record {
	var out []Record
	for _, r := range all {
		if r.Piece == piece && piece != "" && (r.Result.Version != "" || r.Kind == content.KindDone) {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b Record) int {
		return cmp.Or(a.Date.Compare(b.Date), cmp.Compare(a.Part, b.Part))
	})
	return out
}

// LastBefore returns the latest record of a piece before a date in the same version; false when there is none. An
// unscored part's record counts only if something was told of it: loads or reps.
func LastBefore(all []Record, piece string, v content.Version, d content.Date) (Record, bool) {
	var last Record
	found := false
	for _, r := range History(all, piece) {
		if !r.Date.Before(d) {
			break
		}
		if r.Kind == content.KindDone && (r.Result.LoadG > 0 || len(r.Result.SetReps) > 0) || r.Kind != content.KindDone && r.Result.Version == v {
			last, found = r, true
		}
	}
	return last, found
}

// Best returns the best record of a piece in one version, the earliest of equals; false when there is none that ranks.
func Best(all []Record, piece string, v content.Version) (Record, bool) {
	var best Record
	var least int64
	found := false
	for _, r := range History(all, piece) {
		s, ok := r.Score()
		if ok && r.Result.Version == v && (!found || s < least) {
			best, least, found = r, s, true
		}
	}
	return best, found
}

// Repeated returns the pieces that the records hold at least twice (see History), the one done latest first.
func Repeated(all []Record) []string {
	latest := map[string]content.Date{}
	n := map[string]int{}
	for _, r := range all {
		if r.Piece == "" || r.Result.Version == "" && r.Kind != content.KindDone {
			continue
		}
		n[r.Piece]++
		if latest[r.Piece].IsZero() || latest[r.Piece].Before(r.Date) {
			latest[r.Piece] = r.Date
		}
	}
	var out []string
	for piece := range n {
		if n[piece] > 1 {
			out = append(out, piece)
		}
	}
	slices.SortFunc(out, func(a, b string) int { return cmp.Or(latest[b].Compare(latest[a]), cmp.Compare(a, b)) })
	return out
}

// Marks are the scores of a member's results that stand, by part of a date: what it takes to know their bests.
type Marks map[Slot]Mark

// Slot is a part of a date.
type Slot struct {
	Date content.Date
	Part string
}

// Mark is one score (see Score) of a piece in a version.
type Mark struct {
	Piece   string
	Version content.Version
	Score   int64
}

// MarksOf returns the marks of the records that stand.
func MarksOf(rs []Record) Marks {
	m := Marks{}
	for i := range rs {
		m.Move(nil, &rs[i])
	}
	return m
}

// Move takes one result in the place of another into account; either may be nil. Results without a score, and those
// that were insisted on though implausible, leave no mark.
func (m Marks) Move(old, new *Record) {
	if old != nil {
		delete(m, Slot{old.Date, old.Part})
	}
	if new == nil {
		return
	}
	if s, ok := new.Score(); ok && !new.Marked && new.Piece != "" {
		m[Slot{new.Date, new.Part}] = Mark{new.Piece, new.Result.Version, s}
	}
}

// IsBest reports whether a result is better than every other of the same piece and version, of which there must be one.
// An unfinished piece is never called a best.
func (m Marks) IsBest(r Record) bool {
	s, ok := r.Score()
	if !ok || r.Marked || r.Piece == "" || r.Kind == content.KindTime && !r.Result.IsFinished() {
		return false
	}
	others := 0
	for at, o := range m {
		if at == (Slot{r.Date, r.Part}) || o.Piece != r.Piece || o.Version != r.Result.Version {
			continue
		}
		if o.Score <= s {
			return false
		}
		others++
	}
	return others > 0
}
