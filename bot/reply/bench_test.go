package reply

import (
	"strings"
	"testing"
	"time"
)

func BenchmarkRead(b *testing.B) {
	in := inputFor(b, "hall")
	for name, text := range map[string]string{
		"usual":   "D 14:32 scaled rpe 8, left knee bit sore",
		"version": "14:32 as written",
		"counts":  "B 21/18/15/24 scaled, felt strong today",
		"talk":    "thanks coach, see you tomorrow at 6:30!!",
		"hostile": hostile(1000),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Read(text, in)
			}
		})
	}
}

// hostile is text of n bytes in which every word and figure may be something.
func hostile(n int) string {
	return strings.Repeat("D 1 2:3 squats 4+5 rows one oh kg not chest for A, ", n/50+1)[:n]
}

// TestHostileTextIsReadInTimeProportionalToIt compares texts of one kind, one eight times as long: four times the
// proportion is allowed for, a square would take eight times it.
func TestHostileTextIsReadInTimeProportionalToIt(t *testing.T) {
	if testing.Short() {
		t.Skip("measures time")
	}
	in := inputFor(t, "hall")
	for _, u := range hostileUnits {
		short, long := strings.Repeat(u, 4000/len(u)), strings.Repeat(u, 32000/len(u))
		// Other work on the machine can make any one measurement look bad: only what looks so every time is.
		var a, b time.Duration
		bad := 0
		for ; bad < 6; bad++ {
			if a, b = fastest(short, in), fastest(long, in); b <= 32*a || b <= 200*time.Millisecond {
				break
			}
		}
		if bad == 6 {
			t.Errorf("%q: %v for 4,000 bytes, %v for 32,000", u, a, b)
		}
	}
}

// fastest is the shortest of three readings.
func fastest(text string, in Input) time.Duration {
	best := time.Hour
	for range 3 {
		start := time.Now()
		Read(text, in)
		best = min(best, time.Since(start))
	}
	return best
}
