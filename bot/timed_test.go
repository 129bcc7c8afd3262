package bot

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
	"tallybell/schedule"
)

// undated is sheetA for any date.
var undated = strings.Replace(sheetA, "date: 2027-02-01\n", "", 1)

// restSheet is a day off.
const restSheet = `session: Nothing today
rest: yes
`

// ticks lets a schedule of the club's own look each minute from the clock's time up to an instant.
func (c *club) ticks(to time.Time, bots ...*Bot) {
	c.t.Helper()
	if len(bots) == 0 {
		bots = []*Bot{c.bot}
	}
	var runners []*schedule.Runner
	for _, b := range bots {
		r, err := schedule.New(schedule.Options{Book: b, Sender: b, Now: c.clock.Now, Daily: b.Daily, Log: zerolog.Nop()})
		if err != nil {
			c.t.Fatal(err)
		}
		runners = append(runners, r)
	}
	for c.clock.Now().Before(to) {
		c.clock.forward(time.Minute)
		var all sync.WaitGroup
		for _, r := range runners {
			all.Go(func() {
				if err := r.Tick(context.Background(), c.clock.Now()); err != nil {
					c.t.Error(err)
				}
			})
		}
		all.Wait()
	}
}

// mailOf returns the texts of a kind that came to somebody, in order.
func (c *club) mailOf(id string, kind PostKind) []string {
	c.t.Helper()
	log, err := c.bot.After(context.Background(), id, 0)
	if err != nil {
		c.t.Fatal(err)
	}
	var out []string
	for _, p := range log.Posts {
		if p.Kind == kind {
			out = append(out, p.Text)
		}
	}
	return out
}

func (c *club) coach() string { return c.bot.coaches()[0] }

func (c *club) patch(name string, p roster.Patch) {
	c.t.Helper()
	if _, err := c.bot.roster.Update(context.Background(), c.clock.Now(), c.ids[name], p); err != nil {
		c.t.Fatal(err)
	}
}

func at(t testing.TB, s string) time.Time {
	t.Helper()
	i, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

// TestReminders: only who wants one, once, at the club's hour by their own clock, and only when nothing was heard.
func TestReminders(t *testing.T) {
	c := newClub(t, "Ada", "Bo", "Cy", "Dee", "Eve", "Fay", "Gil")
	yes, no := true, false
	tokyo := "Asia/Tokyo"
	for _, n := range []string{"Ada", "Cy", "Dee", "Eve", "Fay", "Gil"} {
		c.patch(n, roster.Patch{Remind: &yes})
	}
	c.patch("Gil", roster.Patch{Zone: &tokyo})
	c.send(monday, sheetA)
	c.clock.set(at(t, "2027-02-01T08:00:00Z"))
	c.say("Cy", "D 14:32 scaled")
	c.say("Dee", "pause")
	c.say("Eve", "can't train today")
	c.patch("Fay", roster.Patch{Held: &yes})
	c.clock.set(at(t, "2027-02-01T08:59:00Z"))
	c.ticks(at(t, "2027-02-01T09:05:00Z")) // 18:00 in Tokyo
	if got := c.mailOf(c.ids["Gil"], NoticePost); !slices.Equal(got, []string{textReminder}) {
		t.Errorf("in Tokyo at 18:00 there is %q", got)
	}
	if got := c.mailOf(c.ids["Ada"], NoticePost); len(got) != 0 {
		t.Errorf("in London at 09:05 there is %q", got)
	}
	c.clock.set(at(t, "2027-02-01T17:58:00Z"))
	// Two replicas with a memory of their own look at the same minutes.
	other, err := New(context.Background(), Options{Club: c.bot.club, Roster: c.bot.roster, Clock: c.clock, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	c.ticks(at(t, "2027-02-01T18:10:00Z"), c.bot, other)
	c.ticks(at(t, "2027-02-01T18:20:00Z")) // after a restart
	for name, want := range map[string]int{"Ada": 1, "Bo": 0, "Cy": 0, "Dee": 0, "Eve": 0, "Fay": 0, "Gil": 1} {
		if got := c.mailOf(c.ids[name], NoticePost); len(got) != want {
			t.Errorf("%s has %q, want %d reminders", name, got, want)
		}
	}
	// A rest day has none, and a day without a sheet has none.
	c.clock.set(at(t, "2027-02-02T06:00:00Z"))
	c.patch("Fay", roster.Patch{Held: &no})
	c.send(monday.AddDays(1), restSheet)
	c.clock.set(at(t, "2027-02-02T17:58:00Z"))
	c.ticks(at(t, "2027-02-02T18:05:00Z"))
	c.clock.set(at(t, "2027-02-03T17:58:00Z"))
	c.ticks(at(t, "2027-02-03T18:05:00Z"))
	if got := c.mailOf(c.ids["Ada"], NoticePost); len(got) != 1 {
		t.Errorf("after a rest day and a day without a sheet: %q", got)
	}
	// A server that comes back three hours late leaves it.
	c.clock.set(at(t, "2027-02-04T06:00:00Z"))
	c.send(monday.AddDays(3), undated)
	c.clock.set(at(t, "2027-02-04T21:00:00Z"))
	c.ticks(at(t, "2027-02-04T21:05:00Z"))
	if got := c.mailOf(c.ids["Ada"], NoticePost); len(got) != 1 {
		t.Errorf("three hours late: %q", got)
	}
}

// TestAReminderKeepsTheQuestion: what was asked stays open, without being asked aloud again.
func TestAReminderKeepsTheQuestion(t *testing.T) {
	c := newMonday(t, "Ada")
	yes := true
	c.patch("Ada", roster.Patch{Remind: &yes})
	c.say("Ada", "D 14:32") // as written, or scaled?
	day := c.bot.Daily()[1]
	z, _ := content.LoadZone("UTC")
	c.clock.set(at(t, "2027-02-02T06:30:00Z"))
	c.send(monday.AddDays(1), undated)
	if err := day.Do(context.Background(), schedule.Turn{Zone: z, Date: monday.AddDays(1), Instant: c.clock.Now(), Now: c.clock.Now()}); err != nil {
		t.Fatal(err)
	}
	if got := c.mailOf(c.ids["Ada"], NoticePost); !slices.Equal(got, []string{textReminder}) {
		t.Fatalf("the reminder reads %q", got)
	}
	if p := c.say("Ada", "1"); !strings.Contains(p.Text, "14:32") {
		t.Errorf("the open question is lost: %q", p.Text)
	}
}

// TestTheReportIsComputedWhenItIsSent: what came a minute before counts, also after hours of downtime.
func TestTheReportIsComputedWhenItIsSent(t *testing.T) {
	c := newMonday(t, "Ada", "Bo", "Cy")
	c.say("Ada", "D 14:32 scaled")
	c.clock.set(at(t, "2027-02-02T11:58:00Z"))
	c.say("Bo", "B 10/10/10/10 scaled")
	c.ticks(at(t, "2027-02-02T12:05:00Z"))
	c.ticks(at(t, "2027-02-02T12:10:00Z"))
	want := "Monday 1 February, Ledge and landing: sent to 3, received by 0, opened by 0, heard from 2, missing 1."
	if got := c.mailOf(c.coach(), ReportPost); len(got) != 1 || !strings.HasPrefix(got[0], want) {
		t.Errorf("the coach reads %q, want %q", got, want)
	}
	for n, id := range c.ids {
		if got := c.mailOf(id, ReportPost); len(got) > 0 {
			t.Errorf("%s got %q", n, got)
		}
	}
}

// TestWeeks: who logged something is told what; nothing of missed days, no ranks; the coach has the counts.
func TestWeeks(t *testing.T) {
	c := newClub(t, "Ada", "Bo", "Cy")
	for i := range 5 {
		c.clock.set(at(t, "2027-02-01T07:00:00Z").AddDate(0, 0, i))
		c.send(monday.AddDays(i), undated)
		switch i {
		case 0:
			c.say("Ada", "D 14:32 scaled")
			c.say("Cy", "D 15:00 scaled")
		case 3:
			c.say("Ada", "D 13:30 scaled")
			c.say("Ada", "B 10/10/10/10 scaled")
		}
	}
	yes := true
	c.patch("Cy", roster.Patch{Held: &yes})
	c.clock.set(at(t, "2027-02-07T18:55:00Z"))
	c.ticks(at(t, "2027-02-07T19:10:00Z"))
	c.ticks(at(t, "2027-02-07T19:20:00Z"))
	want := "Your week: 2 sessions, 3 results.\nMonday 1 February: D 14:32, scaled\n" +
		"Thursday 4 February: B 40 reps, scaled; D 13:30, scaled (your best so far)"
	if got := c.mailOf(c.ids["Ada"], NoticePost); !slices.Equal(got, []string{want}) {
		t.Errorf("Ada reads\n%s\nwant\n%s", strings.Join(got, "\n--\n"), want)
	}
	for _, n := range []string{"Bo", "Cy"} {
		if got := c.mailOf(c.ids[n], NoticePost); len(got) > 0 {
			t.Errorf("%s reads %q", n, got)
		}
	}
	weeks := func() []string {
		return slices.DeleteFunc(c.mailOf(c.coach(), ReportPost), func(s string) bool { return !strings.HasPrefix(s, "The week to ") })
	}
	if week := weeks(); len(week) != 1 || week[0] != "The week to Sunday 7 February: 5 sessions went out, 2 members logged at least once, 4 results." {
		t.Errorf("the coach reads %q", week)
	}
	// The other days of the week have none.
	c.clock.set(at(t, "2027-02-08T18:55:00Z"))
	c.ticks(at(t, "2027-02-08T19:10:00Z"))
	if got := weeks(); len(got) != 1 {
		t.Errorf("on a Monday: %q", got)
	}
}

// TestMailOnceLeavesTheForgottenAlone: nothing comes back of who was forgotten while it was being written.
func TestMailOnceLeavesTheForgottenAlone(t *testing.T) {
	c := newMonday(t, "Ada")
	ctx := context.Background()
	asked := 0
	err := c.bot.mailOnce(ctx, c.ids["Ada"], "remind:2027-02-01", nil, func(present) (*answer, error) {
		if asked++; asked == 1 {
			if _, err := c.bot.club.Forget(ctx, c.clock.Now(), c.ids["Ada"]); err != nil {
				t.Fatal(err)
			}
		}
		return &answer{Kind: NoticePost, Words: "x"}, nil
	})
	if err != nil || asked != 1 {
		t.Errorf("asked %d times, %v", asked, err)
	}
	if m, err := c.bot.club.LastMail(ctx, c.ids["Ada"]); err != nil || m != nil {
		t.Errorf("there is mail again: %v %v", m, err)
	}
}

// TestACrashBetweenDecidingAndWriting: what failed is done at the next look, once.
func TestACrashBetweenDecidingAndWriting(t *testing.T) {
	c := newMonday(t, "Ada")
	ctx := context.Background()
	broken := errors.New("crash")
	first := true
	do := func() error {
		return c.bot.mailOnce(ctx, c.ids["Ada"], "remind:2027-02-01", nil, func(present) (*answer, error) {
			if first {
				first = false
				return nil, broken
			}
			return &answer{Kind: NoticePost, Words: "x"}, nil
		})
	}
	if err := do(); !errors.Is(err, broken) {
		t.Fatal(err)
	}
	for range 3 {
		if err := do(); err != nil {
			t.Fatal(err)
		}
	}
	if got := c.mailOf(c.ids["Ada"], NoticePost); len(got) != 1 {
		t.Errorf("%q, want it once", got)
	}
}

// TestSeenBy: the report counts whom the session reached and who opened it, over replicas; a correction begins anew.
func TestSeenBy(t *testing.T) {
	c := newMonday(t, "Ada", "Bo", "Cy")
	ctx := context.Background()
	log, err := c.bot.After(ctx, c.ids["Ada"], 0)
	if err != nil || len(log.Posts) == 0 {
		t.Fatal(err)
	}
	n := log.Posts[0].Cursor
	counts := func() (received, opened []string) {
		t.Helper()
		r, err := c.bot.Report(ctx, monday)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Received {
			received = append(received, p.Name)
		}
		for _, p := range r.Opened {
			opened = append(opened, p.Name)
		}
		slices.Sort(received)
		slices.Sort(opened)
		return received, opened
	}
	other, err := New(ctx, Options{Club: c.bot.club, Roster: c.bot.roster, Clock: c.clock, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	c.bot.Received(c.ids["Ada"], n-1)
	if r, o := counts(); len(r)+len(o) > 0 {
		t.Errorf("a cursor before the session counts: %q %q", r, o)
	}
	c.bot.Received(c.ids["Ada"], n)
	if err := other.Seen(ctx, c.ids["Bo"], n); err != nil {
		t.Fatal(err)
	}
	if err := other.Close(); err != nil { // writes down what it knows
		t.Fatal(err)
	}
	c.bot.Received(c.ids["Bo"], n-1) // another device of theirs, further behind
	if d, err := c.bot.OwnData(ctx, c.ids["Bo"]); err != nil || d.Seen != (store.Mark{Received: n, Opened: n}) {
		t.Errorf("Bo's own data has %v (%v)", d.Seen, err)
	}
	if r, o := counts(); !slices.Equal(r, []string{"Ada", "Bo"}) || !slices.Equal(o, []string{"Bo"}) {
		t.Errorf("received by %q, opened by %q", r, o)
	}
	if err := c.bot.Seen(ctx, c.ids["Ada"], -1); err == nil {
		t.Error("a cursor below zero is taken")
	}
	c.clock.forward(time.Minute)
	if _, err := c.bot.PutSheet(ctx, monday, []byte(strings.Replace(sheetA, "8 push-up", "9 push-up", 1)), PutOptions{}); err != nil {
		t.Fatal(err)
	}
	if r, o := counts(); len(r)+len(o) > 0 {
		t.Errorf("the corrected session was received by %q, opened by %q", r, o)
	}
}

// TestMarksAreCheap: a cursor is written once, however often it is told, and what could not be written is not lost.
func TestMarksAreCheap(t *testing.T) {
	var k sight
	for range 1000 {
		k.add("ada", store.Mark{Received: 7})
	}
	first := k.take()
	if len(first) != 1 || first["ada"] != (store.Mark{Received: 7}) {
		t.Errorf("to be written: %v", first)
	}
	k.add("ada", store.Mark{Received: 7})
	k.add("ada", store.Mark{Received: 3})
	if again := k.take(); len(again) != 0 {
		t.Errorf("written again: %v", again)
	}
	k.add("ada", store.Mark{Received: 9, Opened: 8})
	failed := k.take()
	k.add("ada", store.Mark{Received: 10})
	k.back(failed)
	if got := k.take(); got["ada"] != (store.Mark{Received: 10, Opened: 8}) {
		t.Errorf("after a failed write: %v", got)
	}
}
