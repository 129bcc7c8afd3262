package leaderboard

import (
	"fmt"
	"strconv"
)

// Points is a score in a series in whole tenths of a point, so that sums are exact.
type Points int64

// WholePoints returns n points.
func WholePoints(n int) Points { return Points(n) * 10 }

// String returns the points with a decimal only where there is one: "16", "2.5".
func (p Points) String() string {
	sign := ""
	if p < 0 {
		sign, p = "-", -p
	}
	out := sign + strconv.FormatInt(int64(p)/10, 10)
	if p%10 != 0 {
		out += fmt.Sprintf(".%d", p%10)
	}
	return out
}

// MarshalJSON writes a JSON number.
func (p Points) MarshalJSON() ([]byte, error) { return []byte(p.String()), nil }

// The functions below are single rules of the Racing Rules of Sailing, 2025-2028, Appendix A (low points); each names
// its rule.

// placePoints scores a finishing place (A4): a point a place. Results that share it (A7) have the points of their place
// and of the places right below it added together and divided equally: 2 in 2nd place score 2.5 each.
func placePoints(rank, sharing int) Points {
	return WholePoints(rank) + Points(5*(sharing-1))
}

// absentPoints scores who has no result (A5.2): one more than the entries in the series.
func absentPoints(entries int) Points { return WholePoints(entries + 1) }

// cameOnlyPoints scores who came that day but has no rank, where the club takes A5.3: one more than those who came.
// Who did not come scores absentPoints there as well.
func cameOnlyPoints(came int) Points { return WholePoints(came + 1) }

// averagePoints scores a paused day after the guidance of A9: the average of the member's other days to the nearest
// tenth, 0.05 rounded upward. It is false when there are none.
func averagePoints(others []Points) (Points, bool) {
	if len(others) == 0 {
		return 0, false
	}
	var total Points
	for _, p := range others {
		total += p
	}
	n := Points(len(others))
	return (2*total + n) / (2 * n), true
}

// worst returns the indexes of the n scores to exclude (A2.1): the worst, and of equal worst scores those earliest in
// the series, which scores follow from first to last. Fixed ones may not be excluded (90.3(b)).
func worst(scores []SeriesScore, fixed []bool, n int) []int {
	var out []int
	taken := make([]bool, len(scores))
	for range n {
		at := -1
		for i := range scores {
			if !taken[i] && !fixed[i] && (at < 0 || scores[i].Points > scores[at].Points) {
				at = i
			}
		}
		if at < 0 {
			break
		}
		taken[at] = true
		out = append(out, at)
	}
	return out
}
