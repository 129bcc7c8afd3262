package leaderboard

import "testing"

// 1R1-1R6: values of both formulas, computed independently; that they agree at 10 reps is published (secondary source).
// 1R5 is the special case: Epley's formula alone gives 103.3333 for one rep of 100.
func TestStrengthEstimates(t *testing.T) {
	for _, tt := range []struct {
		id             string
		load           float64
		reps           int64
		epley, brzycki float64
	}{
		{"1R1", 100, 10, 133.3333, 133.3333},
		{"1R2", 100, 5, 116.6667, 112.5},
		{"1R3", 100, 8, 126.6667, 124.1379},
		{"1R4", 60, 8, 76, 74.4828},
		{"1R5", 100, 1, 100, 100},
		{"1R6", 225, 5, 262.5, 253.125},
	} {
		e, ok := Epley(tt.load, tt.reps)
		b, ok2 := Brzycki(tt.load, tt.reps)
		if !ok || !ok2 || !near(e, tt.epley, 5e-5) || !near(b, tt.brzycki, 5e-5) {
			t.Errorf("%s: %v and %v, want %v and %v", tt.id, e, b, tt.epley, tt.brzycki)
		}
		low, high, ok := OnceRange(tt.load, tt.reps)
		if !ok || low != min(e, b) || high != max(e, b) || low > high {
			t.Errorf("%s: from %v to %v", tt.id, low, high)
		}
	}
}

// 1R7, 1R8: above 10 reps the formulas cross (12 reps: 140 and 144), and from 37 on one of them divides by nothing, so
// there is no estimate.
func TestNoEstimateBeyondTenReps(t *testing.T) {
	for _, reps := range []int64{-1, 0, 11, 12, 36, 37, 38, 100} {
		_, a := Epley(100, reps)
		_, b := Brzycki(100, reps)
		_, _, c := OnceRange(100, reps)
		if a || b || c {
			t.Errorf("an estimate from %d reps", reps)
		}
	}
	if _, _, ok := OnceRange(0, 5); ok {
		t.Error("an estimate from no load")
	}
}
