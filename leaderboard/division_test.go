package leaderboard

import (
	"slices"
	"strings"
	"testing"

	"tallybell/content"
)

func TestDivisions(t *testing.T) {
	club := []string{"women", "men", "open", "40-49", "50+", "60+"}
	feb := content.Date{Year: 2027, Month: 2, Day: 1}
	tests := []struct {
		name   string
		chosen string
		birth  int
		want   []string
	}{
		{"chosen alone", "women", 0, []string{"women"}},
		{"as the club writes it", "Women", 0, []string{"women"}},
		{"age is years, whatever the day", "men", 1977, []string{"men", "50+"}},
		{"a year too young", "men", 1978, []string{"men", "40-49"}},
		{"every band that fits", "open", 1960, []string{"open", "50+", "60+"}},
		{"nothing chosen", "", 1960, []string{"50+", "60+"}},
		{"a division the club has not", "juniors", 0, nil},
		{"a band cannot be chosen", "50+", 2000, nil},
		{"born after the session", "open", 2030, []string{"open"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Divisions(club, tt.chosen, tt.birth, feb); !slices.Equal(got, tt.want) {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestCheckDivision(t *testing.T) {
	for _, good := range []string{"women", "50+", "Über 40", "kitchen crew"} {
		if err := CheckDivision(good); err != nil {
			t.Errorf("%q: %v", good, err)
		}
	}
	for _, bad := range []string{"", " ", "a:b", "{a}", "a\tb", " a", strings.Repeat("x", 41)} {
		if CheckDivision(bad) == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}
