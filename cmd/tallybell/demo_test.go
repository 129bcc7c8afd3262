package main

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"tallybell/bot/roster"
	"tallybell/content"
)

// TestDemoLivesThroughItsWeek seeds a whole club and lets the schedule look at it now, tomorrow and after the
// programme's end: what went out is the week of the replies and today, nothing before it is made up for, nothing goes
// out early, and the programme starts over only once it is used up.
func TestDemoLivesThroughItsWeek(t *testing.T) {
	ctx := context.Background()
	d := demo(t)
	club, _ := roster.ParseClub("club.txt", d.ClubFile)
	a, err := build(ctx, zerolog.Nop(), settings{addr: "127.0.0.1:0", data: filepath.Join(t.TempDir(), "demo"), clubs: []roster.Club{club}, demo: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := a.stop(); err != nil {
			t.Error(err)
		}
	})
	if err := seed(ctx, a, d); err != nil {
		t.Fatal(err)
	}
	c := a.clubs[0]
	z, err := content.LoadZone(club.Zone)
	if err != nil {
		t.Fatal(err)
	}
	now := a.store.Now()
	today := content.DateOf(now.In(z))
	dates := func() []content.Date {
		t.Helper()
		dates, err := c.bot.SheetDates(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return dates
	}
	posted := func(last int) {
		t.Helper()
		for i := range d.Sheets {
			day := i - demoToday
			had, err := c.bot.Posted(ctx, today.AddDays(day))
			if err != nil {
				t.Fatal(err)
			}
			if want := day >= -demoDays && day <= last; len(had) > 0 != want {
				t.Errorf("day %d went out to %d groups, want any: %v", day, len(had), want)
			}
		}
	}
	if got := dates(); len(got) != len(d.Sheets) || got[0] != today.AddDays(-demoToday) {
		t.Errorf("%d sheets from %v on, want %d from day %d on", len(got), got[0], len(d.Sheets), -demoToday)
	}
	posted(0)
	for day, at := range []time.Time{now, now.AddDate(0, 0, 1).Add(18 * time.Hour)} {
		if err := c.runner.Tick(ctx, at); err != nil {
			t.Fatal(err)
		}
		if day == 0 {
			posted(0)
		}
	}
	had, err := c.bot.Posted(ctx, today.AddDays(1))
	if err != nil || len(had) == 0 {
		t.Errorf("tomorrow's session went out to %d groups by itself (%v)", len(had), err)
	}
	if err := startOver(ctx, c.bot, d, today.AddDays(len(d.Sheets)-demoToday-1)); err != nil {
		t.Fatal(err)
	}
	if got := dates(); len(got) != len(d.Sheets) {
		t.Errorf("%d sheets on the programme's last day, want the same %d", len(got), len(d.Sheets))
	}
	after := today.AddDays(len(d.Sheets) - demoToday)
	if err := startOver(ctx, c.bot, d, after); err != nil {
		t.Fatal(err)
	}
	if got := dates(); len(got) != 2*len(d.Sheets) {
		t.Errorf("%d sheets after the programme started over, want %d", len(got), 2*len(d.Sheets))
	}
	s, err := c.bot.Session(ctx, after)
	if err != nil || s.Programme != "Roof weeks, week 1 day 1" {
		t.Errorf("the day after the programme is %q (%v)", s.Programme, err)
	}
}
