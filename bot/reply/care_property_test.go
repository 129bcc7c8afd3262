package reply

import (
	"testing"

	"tallybell/content"
)

// The name of a movement alone worries nobody.
func TestNoNameOfAMovementIsAWorry(t *testing.T) {
	for _, sheet := range []string{"hall", "strong"} {
		in := inputFor(t, sheet)
		for _, e := range content.Builtin().Entries() {
			for _, name := range append([]string{e.Name}, e.Aliases...) {
				for _, text := range []string{name, "did 12 " + name + "s after", "the " + name + " was hard"} {
					if got := Read(text, in); got.Care != CareNone {
						t.Errorf("%q: care is %s, about %v", text, got.Care, got.CareAbout)
					}
				}
			}
		}
	}
}
