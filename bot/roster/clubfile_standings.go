package roster

import (
	"fmt"
	"strconv"
	"strings"
)

// Discards says how many of a series' worst scores are left out: one for every OneIn races, or else Count.
type Discards struct{ OneIn, Count int }

// Of returns the discards of so many races: at least one race counts.
func (d Discards) Of(races int) int {
	n := d.Count
	if d.OneIn > 0 {
		n = races / d.OneIn
	}
	return max(0, min(n, races-1))
}

// mostDiscards is the most that a club file may tell.
const mostDiscards = 99

// readDiscards reads "one in 4", "none" or a number.
func readDiscards(value string) (Discards, error) {
	words := strings.Fields(strings.ToLower(value))
	last := words[len(words)-1]
	n, err := strconv.Atoi(last)
	switch {
	case len(words) == 1 && last == "none":
		return Discards{}, nil
	case len(words) == 1 && err == nil && n >= 0 && n <= mostDiscards:
		return Discards{Count: n}, nil
	case len(words) == 3 && (words[0] == "one" || words[0] == "1") && words[1] == "in" && err == nil && n >= 2 && n <= mostDiscards:
		return Discards{OneIn: n}, nil
	}
	return Discards{}, fmt.Errorf("%q is not understood: write one in 4 (one of every four races), none, or a number up to %d", value, mostDiscards)
}

// readMissed reads "entries + 1" (false) or "came + 1" (true).
func readMissed(value string) (bool, error) {
	switch strings.ReplaceAll(strings.ToLower(strings.Join(strings.Fields(value), "")), "+1", "") {
	case "entries":
		return false, nil
	case "came":
		return true, nil
	}
	return false, fmt.Errorf("%q is not understood: write entries + 1 (rule A5.2) or came + 1 (rule A5.3)", value)
}

func yesOrNo(value string) (bool, error) { return oneOfTwo(value, "no", "yes") }

// oneOfTwo tells which of two choices a value is: false for the first.
func oneOfTwo(value, first, second string) (bool, error) {
	choice, ok := oneOf(value, []string{first, second})
	if !ok {
		return false, fmt.Errorf("%q is not understood: write %s or %s", value, first, second)
	}
	return choice == second, nil
}
