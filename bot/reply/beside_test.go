package reply

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// What members say beside a result (testdata/beside.txt) changes nothing of it, wherever it stands.
func TestTalkBesideAResultChangesNothing(t *testing.T) {
	text, err := os.ReadFile("testdata/beside.txt")
	if err != nil {
		t.Fatal(err)
	}
	in := inputFor(t, "hall")
	for _, talk := range strings.Split(strings.TrimSpace(string(text)), "\n")[1:] {
		for _, frame := range []string{
			"D 14:32 scaled, %s", "D 14:32 scaled. %s", "D 14:32 scaled\n%s", "14:32 scaled, %s", "14:32 scaled %s", "%s. D 14:32 scaled", "%s\n14:32 scaled", "D 14:32 scaled - %s",
		} {
			got := Read(fmt.Sprintf(frame, talk), in)
			got.Note, got.Care, got.Question = "", CareNone, false
			if brief(got) != "D time 14:32 scaled" {
				t.Errorf("%q in %q: %s", talk, frame, brief(got))
			}
		}
	}
}
