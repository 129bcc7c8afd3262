package content

import (
	"os"
	"strings"
	"testing"
)

// TestCoachsTrial mends a first sheet from its messages alone, one after the other: what is typed each time stands in
// the message of the step before, or is what it asks to be made equal.
func TestCoachsTrial(t *testing.T) {
	text, err := os.ReadFile("testdata/trial/before.txt")
	if err != nil {
		t.Fatal(err)
	}
	mends := []struct {
		name, old, new string
		says           string // what of the message tells how
	}{
		{"a day that does not exist", "date: 2027-02-30", "date: 2027-02-01", "2027-02-01"},
		{"kit with a slip", "bakpack", "backpack", "did you mean backpack?"},
		{"a setting with a slip", "rset 1:00", "rest 1:00", "did you mean rest?"},
		{"sides that do not add up", "20 step-up, 8 each side", "16 step-up, 8 each side", "8 each side makes 16 in all"},
		{"a movement with a slip", "pushh-up", "push-up", "did you mean push-up"},
		{"a station too many", "4 stations", "3 stations", "4 stations and 3 movements"},
	}
	sheet := string(text)
	tell := func() (lines []string) {
		_, ps := Read(Builtin(), "gutters.txt", []byte(sheet))
		for _, p := range ps {
			lines = append(lines, p.In("gutters.txt"))
		}
		return lines
	}
	golden(t, "trial/before.messages", strings.Join(tell(), "\n")+"\n")
	for i, m := range mends {
		messages := tell()
		if len(messages) != len(mends)-i {
			t.Fatalf("before %s: %d messages, want %d: a slip told more than once, or not at all\n%s", m.name, len(messages), len(mends)-i, strings.Join(messages, "\n"))
		}
		if !strings.Contains(messages[0], m.says) {
			t.Fatalf("%s: the message does not tell how it is mended (%q):\n%s", m.name, m.says, messages[0])
		}
		if strings.Count(sheet, m.old) != 1 {
			t.Fatalf("%s: %q does not stand once in the sheet", m.name, m.old)
		}
		sheet = strings.Replace(sheet, m.old, m.new, 1)
	}
	if left := tell(); len(left) > 0 {
		t.Errorf("mended, and still told: %s", left)
	}
	golden(t, "trial/after.txt", sheet)
}
