package roster

import (
	"strings"
	"testing"

	"tallybell/content"
)

func TestClubFileTellsTheAttentionList(t *testing.T) {
	c, problems := ParseClub("club.txt", []byte("zone: Europe/London\nclub: x\n"+
		"attention: Quiet after 1 day, effort 5.5 or less 3 times, 2 times in the fastest fifth of 20, load 80% above, no newcomer, no marked\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	want := DefaultAttention()
	want.QuietDays, want.LightEffort, want.LightTimes, want.LoadPercent = 1, 5.5, 3, 80
	want.FastestTimes, want.FastestOf, want.NewcomerDays, want.MarkedDays = 2, 20, 0, 0
	if c.Attention != want {
		t.Errorf("read %+v\nwant %+v", c.Attention, want)
	}
	if c, _ := ParseClub("club.txt", []byte("zone: Europe/London\nclub: x\n")); c.Attention != DefaultAttention() {
		t.Errorf("a file that says nothing: %+v", c.Attention)
	}
}

func TestClubFileTellsWhatIsWrongWithTheAttentionList(t *testing.T) {
	for _, tt := range []struct {
		line   string
		column int
		says   string
	}{
		{"attention: quiet after 3 days, louder after 4 days", 32, "no rule of the attention list"},
		{"attention: quiet after 0 days", 12, "not a number from 1 to 10"},
		{"attention: quiet after 2.5 days", 12, "not a number from 1 to 10"},
		{"attention: effort 6.3 or less 2 times", 12, "not a number from 1 to 10"},
		{"attention: effort NaN or less 2 times", 12, "not a number"},
		{"attention: no hurt", 12, "no rule"},
		{"attention: quiet after 3 days,,no load", 31, "no rule"},
		{"attention: ", 11, "says nothing"},
	} {
		_, problems := ParseClub("club.txt", []byte("zone: Europe/London\nclub: x\n"+tt.line+"\n"))
		errs := content.Errors(problems)
		if len(errs) != 1 || errs[0].Line != 3 || errs[0].Column != tt.column || !strings.Contains(errs[0].Message, tt.says) {
			t.Errorf("%q: %v, want 3:%d with %q", tt.line, errs, tt.column, tt.says)
		}
	}
}

// TestEveryAttentionRuleReadsAsItIsTold holds the forms that an error offers against the reader.
func TestEveryAttentionRuleReadsAsItIsTold(t *testing.T) {
	for _, r := range attentionRules {
		a := DefaultAttention()
		if err := readAttention(&a, strings.ReplaceAll(r.form, "#", "7")); err != nil || a == DefaultAttention() {
			t.Errorf("%q: %v %+v", r.form, err, a)
		}
		if r.name == "" {
			continue
		}
		if err := readAttention(&a, "no "+r.name); err != nil || a == DefaultAttention() {
			t.Errorf("no %s: %v %+v", r.name, err, a)
		}
	}
}
