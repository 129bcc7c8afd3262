package reply

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Several parts in one message read the same in any order, with any label and separator of the contract.
func TestPartsReadTheSameInAnyOrderAndDress(t *testing.T) {
	in := inputFor(t, "hall")
	values := map[string][]string{
		"A": {"done", "✅", "3x12", "12/10/9", "14 kg", "done, 14 kg"},
		"B": {"21/18/15/24", "21 18 15 24", "21,18,15,24", "21-18-15-24", "78", "21 18 15 24 = 78"},
		"C": {"5+12", "5 rounds 12 reps", "5 rds + 12", "5r 12", "132 reps", "5 rounds", "five rounds plus twelve", "5 rounds and 12", "5 full rounds"},
		"D": {"14:32", "14.32", "14m32s", "14m 32", "14m32", "14 min 32", "14 min 32 sec", "14'32\"", "4:10 4:45 5:37", "capped 2+14", "8 left", "fourteen thirty-two", "fourteen oh five", "14 minutes and 32 seconds", "cap + 8", "ran out of time, 74 reps", "13:57 (4:10 4:45 5:02)"},
	}
	dress := []string{" scaled", ", scaled", " sc rpe 8", ", scaled, 8/10", " as written @8", " rx", " rx'd rpe 7.5", " scaled 💪"}
	readsAs := func(letter, value, dress string) string { // alone, with the usual label
		got := Read(letter+" "+value+strings.TrimSuffix(dress, " 💪"), in)
		if len(got.Results) != 1 || len(got.Asks) != 0 || got.Note != "" {
			t.Fatalf("%s %s: %s", letter, value, brief(got))
		}
		return outcome(got.Results[0])
	}
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.Permutation([]string{"A", "B", "C", "D"}).Draw(t, "order")[:rapid.IntRange(1, 4).Draw(t, "parts")]
		between := rapid.SampledFrom([]string{", ", " ", "\n", ". ", "; ", " and ", " & ", " + ", "\n\n", "; and "}).Draw(t, "between")
		label := rapid.SampledFrom([]string{"%s %s", "%s: %s", "%s:%s", "%s) %s", "%s - %s", "part %s %s", "%s. %s", "%s = %s", "(%s) %s", "*%s* %s", "%s → %s", "%s -> %s", "%s:\n%s", "- %s %s", "• %s: %s"}).Draw(t, "label")
		if strings.HasPrefix(label, "-") || strings.HasPrefix(label, "•") || strings.Contains(label, "\n") {
			between = "\n"
		}
		var text, want []string
		for _, letter := range order {
			value := rapid.SampledFrom(values[letter]).Draw(t, letter)
			l := letter
			if rapid.Bool().Draw(t, "lower") {
				l = strings.ToLower(l)
			}
			version := rapid.SampledFrom(dress).Draw(t, "version")
			text = append(text, fmt.Sprintf(label, l, value+version))
			want = append(want, readsAs(letter, value, version))
		}
		reply := strings.Join(text, between)
		read := Read(reply, in)
		if strings.Trim(read.Note, "💪; ") == "" {
			read.Note = ""
		}
		if got := brief(read); got != strings.Join(want, "; ") {
			t.Fatalf("%q\n got %s\nwant %s", reply, got, strings.Join(want, "; "))
		}
	})
}
