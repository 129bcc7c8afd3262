package content

import (
	"testing"

	"pgregory.net/rapid"
)

// The quick bound that spares edit distances must never exceed one.
func TestLeastEditsNeverExceedsTheDistance(t *testing.T) {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abcdxyzéß9")), 0, 12, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b := newNamedAs(word.Draw(t, "a"), ""), newNamedAs(word.Draw(t, "b"), "")
		if least, real := leastEdits(a, b), EditDistance(string(a.key), string(b.key)); least > real {
			t.Fatalf("%q, %q: bound %d, distance %d", string(a.key), string(b.key), least, real)
		}
	})
}
