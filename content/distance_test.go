package content

import (
	"testing"

	"pgregory.net/rapid"
)

// Worked examples common in textbooks, from memory: kitten and sitting are 3 apart; a swap counts once, and letters
// may be put between the swapped ones (CA and ABC are 2 apart, 3 where that is not allowed).
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"flaw", "lawn", 2}, {"ca", "abc", 2}, {"ab", "ba", 1},
		{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"same", "same", 0}, {"sqaut", "squat", 1}, {"plié", "plie", 1},
	} {
		if got := EditDistance(c.a, c.b); got != c.want {
			t.Errorf("EditDistance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func TestEditDistanceIsAMetric(t *testing.T) {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abcé")), 0, 8, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := word.Draw(t, "a"), word.Draw(t, "b"), word.Draw(t, "c")
		ab := EditDistance(a, b)
		if ab != EditDistance(b, a) {
			t.Fatal("not symmetric")
		}
		if (ab == 0) != (a == b) {
			t.Fatal("nought for different words, or not for the same")
		}
		if EditDistance(a, c) > ab+EditDistance(b, c) {
			t.Fatal("a detour is shorter")
		}
		if longer := max(len([]rune(a)), len([]rune(b))); ab > longer {
			t.Fatal("more edits than letters")
		}
	})
}
