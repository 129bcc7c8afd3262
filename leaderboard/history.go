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
