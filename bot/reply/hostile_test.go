package reply

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

// hostileUnits are what a text is repeated of to make reading it dear.
var hostileUnits = []string{
	"D 1 2:3 squats 4+5 rows one oh kg not chest for A, ", "one ", "one-", "1 ", "1,", "1:", "1:1 ", "14 min ", "no ", "rpe ", "not 14:32 ", "A, ", "A B ", "fix ", "yesterday ", "? ", "5 rounds ", "1x1 ", "=1 total ",
	"rx ", "rx but ", "easier ", "knee hurts ", "don't ", "(", "~1 ", "for D ", "8/10 ", "✅ ", "💪", "½", "\u200b", "e\u0301", "capped ", "8 left ", ".", "done ", "lunge ", "push-", "oops 1 ", "vs 1:1 ", "bleeding ", "\n", "hundred ", "one hundred ", "thousand ",
	"A, B, ", "4:10 ", "5+", "1) A ", "fix D 14:32 ", "last time 5+4 ", "10 push-ups ", "between 1:00 and ", "a bit ", "one hundred and ", "14.32.4 ", "chest pain ", "no chest pain ", "for B and ", "mon ", "if ", "'", "1'1\"",
	"12 jan ", "yesterday: ", "that was scaled, ", "for 5 minutes ", "fell on lunges ", "hit head ", "vs monday ", "a 20 minute run ",
}

// thousand is 1,000 characters of one unit.
func thousand(unit string) string {
	chars := []rune(strings.Repeat(unit, 1000/utf8.RuneCountInString(unit)+1))
	return string(chars[:1000])
}

// thousands are texts of 1,000 characters: of each unit, and of all of them in any order.
func thousands() []string {
	var out []string
	for _, u := range hostileUnits {
		out = append(out, thousand(u))
	}
	seeded := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		var b strings.Builder
		for b.Len() < 4000 {
			b.WriteString(hostileUnits[seeded.IntN(len(hostileUnits))])
		}
		out = append(out, thousand(b.String()))
	}
	return out
}

const (
	mostTime  = raceFactor * time.Millisecond // that 1,000 characters may take
	mostRatio = 15                            // to plain talk of the same length, measured beside it
)

var plainThousand = thousand("thanks coach, that was a lovely session and the weather was kind ")

// TestNoThousandCharactersTakeAMillisecond catches squares and hangs. A text fails only when it is slow by the clock and
// beside plain talk, every time: a busy machine slows both.
func TestNoThousandCharactersTakeAMillisecond(t *testing.T) {
	if testing.Short() {
		t.Skip("measures time")
	}
	for _, sheet := range []string{"hall", "strong", "twin"} {
		in := inputFor(t, sheet)
		for _, text := range thousands() {
			var took, plain time.Duration
			bad := 0
			for ; bad < 6; bad++ {
				took, plain = fastest(text, in), fastest(plainThousand, in)
				if took <= mostTime || took <= mostRatio*plain {
					break
				}
			}
			if bad == 6 {
				t.Errorf("%s: %v, and %v for plain talk: %.40q", sheet, took, plain, text)
			}
		}
	}
}

// BenchmarkThousandCharacters reports the dearest of the hostile texts: its time, and its ratio to plain talk.
func BenchmarkThousandCharacters(b *testing.B) {
	in := inputFor(b, "hall")
	texts := thousands()
	var worst, ratio float64
	for b.Loop() {
		worst, ratio = 0, 0
		plain := float64(fastest(plainThousand, in))
		for _, text := range texts {
			took := float64(fastest(text, in))
			worst, ratio = max(worst, took), max(ratio, took/plain)
		}
	}
	b.ReportMetric(worst/1000, "worst-µs")
	b.ReportMetric(ratio, "worst/plain")
	b.ReportMetric(0, "ns/op")
	if worst > float64(mostTime) && ratio > mostRatio {
		b.Errorf("the dearest takes %v, %.1f times plain talk", time.Duration(worst), ratio)
	}
}
