package leaderboard

import (
	"math/bits"
	"slices"

	"tallybell/content"
)

// Credit returns r with its reps in the sheet's own: whoever did another way of a line, with another amount, is
// credited the line as written once it is done, and its share, rounded down, where it was left unfinished. A line that
// fitting left out is credited with the round it belongs to, so that who did all that was asked has the whole. sheet is
// the part as the coach wrote it, fitted the part as this member received it, r the result as typed. With equal
// amounts, and for results that are not counted through rounds, r comes back as it is.
func Credit(sheet, fitted content.Part, r content.Result) content.Result {
	if r.Reps == nil || len(sheet.Movements) != len(fitted.Movements) || equalAmounts(sheet, fitted) {
		return r
	}
	switch {
	case sheet.Scheme == content.AMRAP && fitted.Scheme == content.AMRAP:
	case sheet.ForTime() && fitted.Scheme == sheet.Scheme && !r.IsFinished():
	default:
		return r
	}
	reps, rounds, extra := credited(sheet, fitted, *r.Reps)
	if reps == *r.Reps {
		return r
	}
	r.Reps = &reps
	if sheet.Scheme == content.AMRAP {
		r.Rounds, r.Extra = &rounds, &extra
	}
	return r
}

// equalAmounts reports whether each line counts the same in both, in every round.
func equalAmounts(sheet, fitted content.Part) bool {
	for i := range max(1, len(sheet.Rungs)) {
		if !slices.Equal(sheet.RoundReps(i), fitted.RoundReps(i)) {
			return false
		}
	}
	return true
}

// credited walks through done reps of the fitted part and returns what they come to in the sheet's, with the full
// rounds and what lies beyond them. More than the whole piece comes to the whole piece.
func credited(sheet, fitted content.Part, done int64) (reps, rounds, extra int64) {
	if sheet.Scheme == content.Ladder {
		for i := range min(len(sheet.Rungs), len(fitted.Rungs)) {
			got, left := creditRound(sheet.RoundReps(i), fitted.RoundReps(i), done)
			reps += got
			done = left
		}
		return reps, 0, 0
	}
	round := fitted.RepsARound()
	if round <= 0 { // all of it was left out: nothing can be credited
		return 0, 0, 0
	}
	rounds = done / round
	if sheet.Scheme == content.Rounds && rounds >= int64(sheet.Rounds) {
		rounds, done = int64(sheet.Rounds), 0
	}
	extra, _ = creditRound(sheet.RoundReps(0), fitted.RoundReps(0), done%round)
	return rounds*sheet.RepsARound() + extra, rounds, extra
}

// creditRound credits up to one round and returns what is left of done after it. What was left out is credited when
// the round is complete; a round of which all was left out, never.
func creditRound(sheet, fitted []int64, done int64) (got, left int64) {
	var leftOut, asked int64
	for k, own := range fitted {
		if own <= 0 {
			leftOut += sheet[k]
			continue
		}
		asked += own
		if done < own {
			return got + share(done, sheet[k], own), 0
		}
		got += sheet[k]
		done -= own
	}
	if asked == 0 {
		return 0, done
	}
	return got + leftOut, done
}

// share returns done/own of written, rounded down, for 0 <= done < own. The product is taken in 128 bits, so that no
// amount on a sheet can overflow it.
func share(done, written, own int64) int64 {
	if written <= 0 {
		return 0
	}
	high, low := bits.Mul64(uint64(done), uint64(written))
	q, _ := bits.Div64(high, low, uint64(own)) // below written, since done < own
	return int64(q)
}
