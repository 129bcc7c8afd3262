package content

// Counted returns how many reps one set of m counts for: its reps, its calories, and 1 for a time or a distance
// (common practice, no source). A movement without a fixed count gives 0.
func (m Movement) Counted() int64 {
	switch m.Amount.Kind {
	case AmountReps, AmountCalories:
		if m.Amount.High > m.Amount.Low {
			return 0
		}
		return m.Amount.Low
	case AmountTime, AmountDistance:
		return 1
	}
	return 0
}

// RoundReps returns the reps of each movement in round i, from 0. In a ladder a movement without a count takes
// the rung's and one with a count keeps it.
func (p Part) RoundReps(i int) []int64 {
	out := make([]int64, len(p.Movements))
	for k, m := range p.Movements {
		out[k] = m.Counted()
		if p.Scheme == Ladder && m.Amount.Kind == AmountNone && i < len(p.Rungs) {
			out[k] = int64(p.Rungs[i])
		}
	}
	return out
}

// RepsARound returns the reps of one round (AMRAP, Rounds); for a ladder, of its first rung.
func (p Part) RepsARound() int64 { return sum(p.RoundReps(0)) }

// RoundCount returns how many rounds a for-time part has: 0 for other schemes.
func (p Part) RoundCount() int {
	switch p.Scheme {
	case Rounds:
		return p.Rounds
	case Ladder:
		return len(p.Rungs)
	}
	return 0
}

// TotalReps returns the reps of a whole for-time part (rounds times reps a round; a ladder's rungs summed); 0 for
// other schemes.
func (p Part) TotalReps() int64 {
	var t int64
	for i := range p.RoundCount() {
		t += sum(p.RoundReps(i))
	}
	return t
}

func sum(xs []int64) int64 {
	var t int64
	for _, x := range xs {
		t += x
	}
	return t
}

// ForTime reports whether the part's result is a time against the clock.
func (p Part) ForTime() bool { return p.Scheme == Rounds || p.Scheme == Ladder }

// IsScored reports whether results of the part rank. Sets, quality and every rank nobody, whatever they say.
func (p Part) IsScored() bool {
	return p.Kind() != KindDone && p.Scoring != NotScored
}

// Kind returns the kind of result that the part's scheme gives.
func (p Part) Kind() Kind {
	switch p.Scheme {
	case Rounds, Ladder:
		return KindTime
	case AMRAP, Stations, MostReps:
		return KindReps
	case Heaviest:
		return KindLoad
	case LongestHold:
		return KindHold
	case Farthest:
		return KindDistance
	}
	return KindDone
}
