package leaderboard

// mostEstimated is the most reps that an estimate is given for: beyond it the formulas part ways.
const mostEstimated = 10

// Epley estimates the load that could be lifted once from a load lifted r times: w(1 + r/30), and w itself for one rep,
// where the formula alone would give more than was lifted. After Epley 1985, the formula from secondary sources (some
// print 0.033 for 1/30). It is false below 1 and above 10 reps, or for no load. It is an estimate for a set near the
// limit, fits people and movements unequally, and is no advice to try it: Nuzzo et al., Sports Med 2024;54:303-321.
func Epley(load float64, reps int64) (float64, bool) {
	switch {
	case reps < 1 || reps > mostEstimated || load <= 0:
		return 0, false
	case reps == 1:
		return load, true
	}
	return load * (1 + float64(reps)/30), true
}

// Brzycki is Epley by another formula: 36w / (37 - r), after Brzycki 1993 (J Phys Educ Recreat Dance), the formula from
// secondary sources. The two agree at 10 reps.
func Brzycki(load float64, reps int64) (float64, bool) {
	if reps < 1 || reps > mostEstimated || load <= 0 {
		return 0, false
	}
	return load * 36 / float64(37-reps), true
}

// OnceRange returns the lower and the higher of the two estimates, in the unit of load.
func OnceRange(load float64, reps int64) (low, high float64, ok bool) {
	e, ok := Epley(load, reps)
	if !ok {
		return 0, 0, false
	}
	b, _ := Brzycki(load, reps)
	return min(e, b), max(e, b), true
}
