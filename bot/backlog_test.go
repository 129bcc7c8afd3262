package bot

import (
	"strings"
	"testing"
	"time"
)

// TestABacklogTellsLastTimes holds that answers read again say of the past what they said at first, each what was known
// then: a backlog reads the ledger once for all of them.
func TestABacklogTellsLastTimes(t *testing.T) {
	c := newClub(t, "Ada")
	c.send(monday, sheetA)
	c.say("Ada", "D 14:32 scaled")
	c.clock.forward(24 * time.Hour)
	next := strings.Replace(sheetA, monday.String(), monday.AddDays(1).String(), 1)
	c.send(monday.AddDays(1), next)
	first := c.say("Ada", "D 14:02 scaled").Text
	if !strings.Contains(first, "Last time: 14:32") {
		t.Fatalf("the answer tells no last time: %s", first)
	}
	c.say("Ada", "D 13:50 scaled")
	log, err := c.bot.After(t.Context(), c.ids["Ada"], -1)
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	for _, p := range log.Posts {
		if strings.Contains(p.Text, "Last time: 14:32") {
			told++
		}
		if p.Said == "D 14:02 scaled" && p.Text != first {
			t.Errorf("read again it says\n%s\nat first\n%s", p.Text, first)
		}
	}
	if told != 2 {
		t.Errorf("%d answers tell the last time, want 2", told)
	}
}
