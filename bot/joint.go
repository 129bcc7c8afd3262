package bot

import "tallybell/leaderboard/store"

// ranked takes the ranks of a logged line out of those of its answer, from next on: for each division the rank among the
// line's version and, where the club asks for it, the one among both versions. after is where the next line's begin.
func (l logged) ranked(ranks []store.Rank, next int) (own, joint []store.Rank, after int) {
	each := 1
	if l.Joint {
		each = 2
	}
	after = next + each*len(l.Divisions)
	mine := ranks[min(next, len(ranks)):min(after, len(ranks))]
	for i, r := range mine {
		if i%each == 0 {
			own = append(own, r)
		} else {
			joint = append(joint, r)
		}
	}
	return own, joint, after
}
