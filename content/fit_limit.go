package content

import "slices"

// Limits that a member may have. Only the coach sees them.
const (
	LimitNoJumping   = "no jumping"
	LimitQuiet       = "quiet"
	LimitLowCeiling  = "low ceiling"
	LimitSmallFloor  = "small floor"
	LimitNoOverhead  = "no overhead"
	LimitNoWrists    = "no weight on wrists"
	LimitNoKneeling  = "no kneeling"
	LimitNoDeepKnee  = "no deep knee"
	LimitNotOnBack   = "not on the back"
	LimitNotFaceDown = "not face down"
	LimitNoInversion = "no inversion"
	LimitNoMaxEffort = "no max effort"
)

// Limits lists every limit.
func Limits() []string {
	return []string{LimitNoJumping, LimitQuiet, LimitLowCeiling, LimitSmallFloor, LimitNoOverhead, LimitNoWrists,
		LimitNoKneeling, LimitNoDeepKnee, LimitNotOnBack, LimitNotFaceDown, LimitNoInversion, LimitNoMaxEffort}
}

// Excludes reports whether a limit excludes the movement, by what the library says of it.
func (e *Entry) Excludes(limit string) bool {
	loads := func(what string) bool { return slices.Contains(e.Loads, what) }
	switch limit {
	case LimitNoJumping:
		return loads("impact")
	case LimitQuiet:
		return e.Noise == "loud" || e.Noise == "some"
	case LimitLowCeiling:
		return e.Ceiling
	case LimitSmallFloor:
		return e.Floor == "wide" || e.Floor == "lane"
	case LimitNoOverhead:
		return e.Pattern == PatternOverhead || loads("overhead") || e.In("hanging")
	case LimitNoWrists:
		return loads("wrist")
	case LimitNoKneeling:
		return e.In("kneeling")
	case LimitNoDeepKnee:
		return loads("deep knee")
	case LimitNotOnBack:
		return e.In("on the back")
	case LimitNotFaceDown:
		return e.In("face down")
	case LimitNoInversion:
		return loads("inverted")
	case LimitNoMaxEffort:
		return loads("max effort")
	}
	return false
}

// excluded returns the first of the member's limits that excludes a movement of a part, "" when none does. Heaviest
// sets, most reps, longest holds and as many as one can are efforts to the maximum.
func (t *fitter) excluded(p Part, m Movement, e *Entry) string {
	for _, limit := range t.fit.Limits {
		if e.Excludes(limit) || limit == LimitNoMaxEffort && maximal(p, m) {
			return limit
		}
	}
	return ""
}

func maximal(p Part, m Movement) bool {
	switch p.Scheme {
	case Heaviest, MostReps, LongestHold:
		return true
	}
	return m.Amount.Kind == AmountMax
}
