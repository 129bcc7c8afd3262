package content

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestEstimateIsExactWhereTheSchemeIs(t *testing.T) {
	four := []Movement{{Name: "squat"}, {Name: "push-up"}, {Name: "plank"}, {Name: "row"}}
	for _, c := range []struct {
		name string
		p    Part
		want time.Duration
	}{
		{"AMRAP", Part{Scheme: AMRAP, Duration: 9 * minute}, 9 * minute},
		{"every", Part{Scheme: Every, Interval: 90 * time.Second, Duration: 12 * minute}, 12 * minute},
		{"farthest", Part{Scheme: Farthest, Duration: 12 * minute}, 12 * minute},
		// N stations of a minute without rest are an N-minute clock; with rest after each, N times work and rest
		// (common practice, no source).
		{"stations", Part{Scheme: Stations, Stations: 4, Work: minute, Through: 1, Movements: four}, 4 * minute},
		{"stations with rest, twice", Part{Scheme: Stations, Stations: 4, Work: minute, Rest: 15 * time.Second, Through: 2, Movements: four}, 10 * minute},
	} {
		if low, high := Estimate(c.p, Builtin()); low != c.want || high != c.want {
			t.Errorf("%s: %v to %v, want %v", c.name, low, high, c.want)
		}
	}
}

func TestEstimateOfSetsAndPieces(t *testing.T) {
	tempo := reps(10, "squat")
	tempo.Tempo = "3-1-1-0"
	for _, c := range []struct {
		name      string
		p         Part
		low, high time.Duration
	}{
		{"ten squats at 1.3 to 3 seconds", Part{Scheme: Sets, Sets: 1, Movements: []Movement{reps(10, "squat")}}, 13 * time.Second, 30 * time.Second},
		{"two sets with a minute between", Part{Scheme: Sets, Sets: 2, Rest: minute, Movements: []Movement{reps(10, "squat")}}, 86 * time.Second, 2 * minute},
		{"rest not told: 0:30 to 1:30", Part{Scheme: Sets, Sets: 2, Movements: []Movement{reps(10, "squat")}}, 56 * time.Second, 150 * time.Second},
		{"tempo rules", Part{Scheme: Sets, Sets: 1, Movements: []Movement{tempo}}, 50 * time.Second, 50 * time.Second},
		{"a hold is its time", Part{Scheme: Sets, Sets: 1, Movements: []Movement{held(45*time.Second, "plank")}}, 45 * time.Second, 45 * time.Second},
		{"a ladder adds its rungs", Part{Scheme: Ladder, Rungs: []int{6, 4}, Movements: []Movement{{Name: "squat"}}}, 13 * time.Second, 41 * time.Second},
		{"never beyond the cap", Part{Scheme: Rounds, Rounds: 100, Cap: 10 * minute, Movements: []Movement{reps(50, "burpee")}}, 10 * minute, 10 * minute},
		{"each: a rest after every set but the last", Part{Scheme: Sets, Sets: 2, Order: Each, Rest: minute,
			Movements: []Movement{held(10*time.Second, "plank"), held(10*time.Second, "bridge hold")}}, 220 * time.Second, 230 * time.Second},
	} {
		if low, high := Estimate(c.p, Builtin()); low != c.low || high != c.high {
			t.Errorf("%s: %v to %v, want %v to %v", c.name, low, high, c.low, c.high)
		}
	}
}

func TestEstimateSessionCountsOneOfTheChoices(t *testing.T) {
	s := Session{Choose: []string{"B", "C"}, Parts: []Part{
		{Letter: "A", Scheme: AMRAP, Duration: 10 * minute},
		{Letter: "B", Scheme: AMRAP, Duration: 5 * minute},
		{Letter: "C", Scheme: AMRAP, Duration: 8 * minute},
		{Letter: "D", Scheme: AMRAP, Duration: 4 * minute, Optional: true},
	}}
	low, high := EstimateSession(s, Builtin())
	if low != 15*minute+30*time.Second || high != 24*minute {
		t.Errorf("%v to %v", low, high)
	}
}

// More of anything never takes less time, and from is never after to.
func TestEstimateGrows(t *testing.T) {
	l := Builtin()
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.SampledFrom(l.Entries()).Draw(t, "entry")
		n := rapid.Int64Range(1, 1000).Draw(t, "reps")
		p := Part{Scheme: rapid.SampledFrom([]Scheme{Sets, Rounds, Quality, Heaviest, MostReps, LongestHold}).Draw(t, "scheme"),
			Sets: rapid.IntRange(1, 50).Draw(t, "sets"), Movements: []Movement{span2(n, n+rapid.Int64Range(0, 9).Draw(t, "more"), e.Name)}}
		p.Rounds = p.Sets
		low, high := Estimate(p, l)
		if low < 0 || low > high {
			t.Fatalf("%v to %v", low, high)
		}
		p.Movements = append(p.Movements, held(minute, "plank"))
		low2, high2 := Estimate(p, l)
		if low2 < low || high2 < high {
			t.Fatalf("a movement more: from %v-%v to %v-%v", low, high, low2, high2)
		}
	})
}
