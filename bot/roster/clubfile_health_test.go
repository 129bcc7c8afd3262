package roster

import "testing"

func TestHowLongHealthNotesAreKept(t *testing.T) {
	for text, want := range map[string]int{
		"":                               180,
		"keep health notes: 30 days\n":   30,
		"Keep_health_notes: 365\n":       365,
		"keep health notes: 14 Days\n":   14,
		"keep health notes: 13 days\n":   0,
		"keep health notes: 3651 days\n": 0,
		"keep health notes: for ever\n":  0,
		"keep health notes: days\n":      0,
	} {
		c, problems := ParseClub("club.txt", []byte("zone: UTC\n"+text))
		switch {
		case want == 0 && (len(problems) != 1 || problems[0].Line != 2 || problems[0].Column != 20):
			t.Errorf("%q: %v", text, problems)
		case want > 0 && (len(problems) > 0 || c.HealthDays != want):
			t.Errorf("%q: %d days, %v", text, c.HealthDays, problems)
		}
	}
}
