package leaderboard

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tallybell/content"
)

// ageBand is a division that follows from age: "50+" or "40-49".
var ageBand = regexp.MustCompile(`^([1-9][0-9]?)(?:\+|-([1-9][0-9]?))$`)

// Divisions returns the divisions that a member stands in, in the club's order: the chosen one, if the club has it,
// and each age band of the club that their age falls in. Age is the session's year less the year of birth, whatever
// the day; birthYear 0 means not told. Division names compare without regard to case.
func Divisions(club []string, chosen string, birthYear int, session content.Date) []string {
	var out []string
	for _, d := range club {
		from, to, isBand := Band(d)
		age := session.Year - birthYear
		if isBand && birthYear > 0 && from <= age && age <= to ||
			!isBand && chosen != "" && strings.EqualFold(d, chosen) {
			if !slices.Contains(out, d) {
				out = append(out, d)
			}
		}
	}
	return out
}

// Band reads the name of an age band, "50+" or "40-49", both ends included; false for a division that is chosen.
func Band(name string) (from, to int, ok bool) {
	m := ageBand.FindStringSubmatch(name)
	if m == nil {
		return 0, 0, false
	}
	from, _ = strconv.Atoi(m[1])
	if m[2] == "" {
		return from, 1000, true
	}
	to, _ = strconv.Atoi(m[2])
	return from, to, from <= to
}

// CheckDivision returns an error that says how to mend a division's name, or nil: 1 to 40 characters, without colons,
// braces and control characters, no blanks around it.
func CheckDivision(name string) error {
	switch {
	case strings.TrimSpace(name) == "":
		return errors.New("a division needs a name")
	case name != strings.TrimSpace(name):
		return fmt.Errorf("division %q has blanks around its name: take them away", name)
	case len([]rune(name)) > 40:
		return fmt.Errorf("division %q is too long: at most 40 characters", name)
	case strings.ContainsAny(name, ":{}"):
		return fmt.Errorf("division %q holds a colon or a brace: take it out", name)
	case strings.ContainsFunc(name, func(r rune) bool { return r < ' ' || r == 0x7f || r == 0xfffd }):
		return fmt.Errorf("division %q holds a character that does not print: take it out", name)
	}
	return nil
}
