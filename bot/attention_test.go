package bot

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// on begins a day: its sheet goes out at seven.
func (c *club) on(d content.Date) {
	c.t.Helper()
	c.clock.set(time.Date(d.Year, d.Month, d.Day, 7, 0, 0, 0, time.UTC))
	c.send(d, strings.Replace(sheetA, "2027-02-01", d.String(), 1))
}

// list is the attention list of a date: "name: rule" each.
func (c *club) list(d content.Date) string {
	c.t.Helper()
	r, err := c.bot.Report(context.Background(), d)
	if err != nil {
		c.t.Fatal(err)
	}
	var out []string
	for _, n := range r.Attention {
		out = append(out, n.Name+": "+string(n.Rule))
	}
	return strings.Join(out, ", ")
}

// TestAttentionOfALivedWeek has members live through four days of sessions, by what they type.
func TestAttentionOfALivedWeek(t *testing.T) {
	c := newClub(t, "Ada", "Bo", "Cy", "Dee", "Eve", "Fay", "Gil")
	for day := range 4 {
		c.on(monday.AddDays(day))
		c.say("Ada", "D 14:00 as written\nrpe 5")
		c.say("Bo", "capped 2+14 scaled")
		if day == 0 {
			c.say("Cy", "D 14:30 as written")
			c.say("Eve", "pause")
			c.say("Gil", "D 14:30 as written rpe 5")
		}
		if day == 1 {
			c.say("Gil", "D 14:31 as written rpe 6")
		}
		if day == 3 {
			c.say("Eve", "the chair tipped while I was on it")
			c.say("Dee", "left knee hurts a bit")
			c.say("Fay", "how high should the stair be?")
			c.say("Gil", "D 14:32 as written rpe 8")
		}
	}
	c.clock.forward(18 * time.Hour) // to the night after
	last := monday.AddDays(3)
	if got, want := c.list(last), "Dee: hurt, Eve: incident, Fay: question, Cy: quiet, Bo: out_of_time, Ada: light"; got != want {
		t.Errorf("the list is\n%s\nwant\n%s", got, want)
	}
	// The day before: nobody had hurt or asked yet, Cy was quiet for two days, and Gil's effort 8 was still to come.
	if got, want := c.list(last.AddDays(-1)), "Dee: newcomer, Fay: newcomer, Bo: out_of_time, Ada: light, Gil: light"; got != want {
		t.Errorf("the day before the list is\n%s\nwant\n%s", got, want)
	}
	// An answer of the coach, "no pain" of the member and a result settle it.
	if _, err := c.bot.Tell(context.Background(), "coach", "t1", c.ids["Fay"], "As low as you like."); err != nil {
		t.Fatal(err)
	}
	c.say("Dee", "no pain")
	c.say("Eve", "no pain")
	c.say("Cy", "D 14:10 scaled")
	c.say("Bo", "fix D 15:10 scaled")
	if got, want := c.list(last), "Ada: light"; got != want {
		t.Errorf("settled, the list is\n%s\nwant\n%s", got, want)
	}
}

// TestPlacesAreTheBoards holds the ranks behind the list against the boards themselves.
func TestPlacesAreTheBoards(t *testing.T) {
	var names []string
	for i := range 12 {
		names = append(names, fmt.Sprintf("M%02d", i))
	}
	c := newClub(t, names...)
	for day := range 3 {
		c.on(monday.AddDays(day))
		for i, n := range names {
			c.say(n, fmt.Sprintf("D 14:%02d as written", 10+(i/2)*2)) // equal in pairs
		}
	}
	last := monday.AddDays(2)
	days, err := c.bot.past(context.Background(), []content.Date{last})
	if err != nil {
		t.Fatal(err)
	}
	ranks := ranksOf(days[last].records)
	page, err := c.bot.Board(context.Background(), last, "D", leaderboard.Query{})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]leaderboard.Standing{}
	for _, l := range page.Boards[0].Entries {
		want[l.Member] = leaderboard.Standing{Division: "women", Rank: int64(l.Rank), Of: page.Boards[0].Of}
	}
	for i := range days[last].records {
		r := &days[last].records[i]
		if got := ranks.of(r); len(got) != 1 || got[0] != want[r.Member] {
			t.Errorf("%s stands at %v, on the board at %v", r.Member, got, want[r.Member])
		}
	}
	if got, want := c.list(last), "M00: fastest, M01: fastest"; got != want {
		t.Errorf("the list is %q, want %q: the first fifth of twelve is two", got, want)
	}
}

// TestNobodyAwayIsCalledQuiet takes members out of days at random: by pause, by removal, by away.
func TestNobodyAwayIsCalledQuiet(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := newClub(t, "Ada", "Bo", "Cy")
		gone := map[string]bool{}
		for day := range 5 {
			c.on(monday.AddDays(day))
			for _, n := range []string{"Ada", "Bo", "Cy"} {
				if gone[n] {
					continue
				}
				switch rapid.IntRange(0, 7).Draw(rt, n) {
				case 0:
					c.say(n, "pause")
				case 1:
					c.say(n, "resume")
				case 2:
					c.say(n, "can't today")
				case 3:
					c.say(n, "D 14:32 scaled")
				case 4:
					if err := c.bot.roster.Remove(context.Background(), c.clock.Now(), c.ids[n]); err != nil {
						rt.Fatal(err)
					}
					gone[n] = true
				}
			}
		}
		last := monday.AddDays(4)
		c.clock.forward(24 * time.Hour)
		r, err := c.bot.Report(context.Background(), last)
		if err != nil {
			rt.Fatal(err)
		}
		for _, n := range r.Attention {
			m, _ := c.bot.roster.Get(n.Member)
			if m.Removed() || m.Role != roster.RoleMember || m.PausedOn(last) && (n.Rule == leaderboard.RuleQuiet || n.Rule == leaderboard.RuleNewcomer) {
				rt.Fatalf("%s, away, is told of: %+v", n.Name, n)
			}
		}
	})
}

func TestLoadOfAWeek(t *testing.T) {
	c := newClub(t, "Ada")
	c.on(monday)
	c.say("Ada", "D 15:00 as written rpe 8") // 15 minutes, a part's effort
	c.on(monday.AddDays(1))
	c.say("Ada", "D 15:00 as written rpe 8\nrpe 6") // the whole session's goes before it
	c.on(monday.AddDays(2))
	c.say("Ada", "capped 2+14 as written rpe 10") // the cap: 16 minutes
	c.on(monday.AddDays(3))
	c.say("Ada", "B 20/20/20/20 as written rpe 5") // the sheet's four minutes
	c.on(monday.AddDays(4))
	c.say("Ada", "D 15:00 as written")
	c.on(monday.AddDays(6))
	c.clock.forward(24 * time.Hour)
	l, err := c.bot.Load(context.Background(), c.ids["Ada"])
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, d := range l.Weeks[0].Days {
		if d.Load == nil {
			got = append(got, "?")
			continue
		}
		got = append(got, fmt.Sprint(*d.Load))
	}
	if s := strings.Join(got, " "); s != "120 90 160 20 ? 0 0" {
		t.Errorf("the days' loads are %s", s)
	}
	if w := l.Weeks[0]; *w.Sum != 390 || w.Untold != 1 || w.Monotony != nil || w.From != monday || w.To != monday.AddDays(6) {
		t.Errorf("%+v", w)
	}
	// They joined on the last day of the week before, and rested: a sum of nothing is 0, its monotony is not.
	if w := l.Weeks[1]; len(l.Weeks) != 2 || *w.Sum != 0 || w.Monotony != nil || w.Strain != nil {
		t.Errorf("a week of nothing: %+v", w)
	}
	c.on(monday.AddDays(7))
	c.say("Ada", "D 15:00 as written")
	c.clock.forward(24 * 7 * time.Hour)
	l, err = c.bot.Load(context.Background(), c.ids["Ada"])
	if err != nil {
		t.Fatal(err)
	}
	if w := l.Weeks[0]; w.Sum != nil || w.Mean != nil || w.Untold != 1 {
		t.Errorf("a week of which nobody knows the load: %+v", w)
	}
	if _, err := c.bot.Load(context.Background(), "nobody"); asProblem(err) == nil {
		t.Errorf("nobody's load: %v", err)
	}
}
