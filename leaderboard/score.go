package leaderboard

import "tallybell/content"

// The bits of a score. The top bit tells the version, so that all results as written come before all scaled ones;
// the next tells an unfinished piece, so that it comes after every finisher of its version.
const (
	scaledBit     int64 = 1 << 50
	unfinishedBit int64 = 1 << 49
	most          int64 = unfinishedBit - 1 // the largest value that a score can hold
)

// Score returns the place of a result of p in one integer, lower is better:
//
//	scaled * 2^50 + unfinished * 2^49 + v      0 <= v < 2^49
//
// where v is the milliseconds of a finished time, and 2^49 - 1 less the reps, grams, held milliseconds, millimetres or
// reps completed of everything else. It is exact in a float64. It is false when the result stands nowhere: its version
// is not told, its kind is not the part's, the part is not scored, or the value is missing or out of range.
func Score(p content.Part, r content.Result) (int64, bool) {
	if !p.IsScored() || r.Kind != p.Kind() {
		return 0, false
	}
	return score(r)
}

// score is Score for a result that is known to belong to a scored part of its kind.
func score(r content.Result) (int64, bool) {
	var s int64
	switch r.Version {
	case content.AsWritten:
	case content.Scaled:
		s = scaledBit
	default:
		return 0, false
	}
	x, finished, ok := value(r)
	switch {
	case !ok || x < 0 || x > most:
		return 0, false
	case finished:
		return s + x, true
	case r.Kind == content.KindTime:
		return s + unfinishedBit + most - x, true
	}
	return s + most - x, true
}

// value returns the number that orders a result, and whether it is a finished time (where less is better). It is
// false when the result does not say its value.
func value(r content.Result) (x int64, finished, ok bool) {
	switch r.Kind {
	case content.KindTime:
		if r.Finished == nil {
			return 0, false, false
		}
		if *r.Finished {
			return r.TimeMS, true, r.TimeMS > 0
		}
		return r.RepCount(), false, r.Reps != nil
	case content.KindReps:
		return r.RepCount(), false, r.Reps != nil
	case content.KindLoad:
		return r.LoadG, false, r.LoadG > 0
	case content.KindHold:
		return r.TimeMS, false, r.TimeMS > 0
	case content.KindDistance:
		return r.DistanceMM, false, r.DistanceMM > 0
	}
	return 0, false, false
}

// Decode returns the result that a score of that kind stands for: its version, and the one value that orders it. It is
// false for a number that Score never gives.
func Decode(kind content.Kind, s int64) (content.Result, bool) {
	r := content.Result{Kind: kind, Version: content.AsWritten}
	if s < 0 || s >= 2*scaledBit {
		return content.Result{}, false
	}
	if s >= scaledBit {
		r.Version = content.Scaled
		s -= scaledBit
	}
	unfinished := s >= unfinishedBit
	if unfinished {
		s -= unfinishedBit
	}
	finished := kind == content.KindTime && !unfinished
	x := most - s
	switch kind {
	case content.KindTime:
		r.Finished = &finished
		if finished {
			r.TimeMS = s
		} else {
			r.Reps = &x
		}
	case content.KindReps:
		r.Reps = &x
	case content.KindLoad:
		r.LoadG = x
	case content.KindHold:
		r.TimeMS = x
	case content.KindDistance:
		r.DistanceMM = x
	}
	if _, _, ok := value(r); !ok || unfinished && kind != content.KindTime {
		return content.Result{}, false
	}
	return r, true
}

// versionOf returns the version that a score belongs to.
func versionOf(s int64) content.Version {
	if s >= scaledBit {
		return content.Scaled
	}
	return content.AsWritten
}
