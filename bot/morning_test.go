package bot

import (
	"context"
	"strings"
	"testing"
	"time"

	"tallybell/bot/roster"
)

// TestReportGoesOutOnceAtItsTime lets the minutes of a morning pass, on two replicas.
func TestReportGoesOutOnceAtItsTime(t *testing.T) {
	ctx := context.Background()
	c := newClub(t, "Ada", "Bo")
	var coach string
	for _, m := range c.bot.roster.All() {
		if m.Role == roster.RoleCoach {
			coach = m.ID
		}
	}
	other, err := New(ctx, Options{Club: c.bot.club, Roster: c.bot.roster, Clock: c.clock, Log: c.bot.log})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = other.Close() })
	c.on(monday)
	c.say("Ada", "D 14:32 scaled, left knee sore")
	c.say("Bo", "legs were heavy")
	reports := func() []Post {
		t.Helper()
		log, err := c.bot.After(ctx, coach, -1)
		if err != nil {
			t.Fatal(err)
		}
		var out []Post
		for _, p := range log.Posts {
			if p.Kind == ReportPost {
				out = append(out, p)
			}
		}
		return out
	}
	tick := func(at time.Time) {
		t.Helper()
		c.clock.set(at.Add(-time.Minute))
		c.ticks(at, c.bot, other, c.bot)
	}
	seven := time.Date(2027, 2, 2, 7, 0, 0, 0, time.UTC)
	tick(seven.Add(-time.Minute))
	if got := reports(); len(got) != 0 {
		t.Fatalf("before its time: %q", got[0].Text)
	}
	for i := range 3 {
		tick(seven.Add(time.Duration(i) * time.Minute))
	}
	got := reports()
	if len(got) != 1 || got[0].Date != monday {
		t.Fatalf("%d reports: %+v", len(got), got)
	}
	want := "Monday 1 February, Ledge and landing: sent to 2, received by 0, opened by 0, heard from 2, missing 0.\nAda: wrote of pain or of their health (Mon 1 Feb)"
	if got[0].Text != want {
		t.Errorf("the report says\n%s\nwant\n%s", got[0].Text, want)
	}
	// The day after there was no session, but the pain of the day before is still told; a week later there is nothing.
	tick(seven.AddDate(0, 0, 1))
	tick(seven.AddDate(0, 0, 7))
	if got := reports(); len(got) != 2 || !strings.Contains(got[1].Text, "Ada: wrote of pain") {
		t.Errorf("%d reports: %+v", len(got), got)
	}
}
