package bot

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// sheetOf is a day with one piece for time.
func sheetOf(d content.Date) string {
	return fmt.Sprintf("session: Invented %s\ndate: %s\n\nA. 3 sets\n8 push-up\n  easier: 8 incline push-up\n\nB. 3 rounds for time\n10 air squat\n10 push-up\n", d, d)
}

// A week in which somebody pauses, somebody joins late, a result is removed, somebody leaves the boards and somebody the
// club: every total and every reason.
func TestStandingsOverTheStore(t *testing.T) {
	ctx := context.Background()
	c := newClub(t, "Ada", "Bo", "Cy", "Dee")
	at := func(day int) { c.clock.set(time.Date(2027, 2, day, 8, 0, 0, 0, time.UTC)) }
	send := func(day int) {
		at(day)
		c.send(content.Date{Year: 2027, Month: 2, Day: day}, sheetOf(content.Date{Year: 2027, Month: 2, Day: day}))
	}
	send(1)
	c.say("Ada", "B 5:00 as written")
	c.say("Bo", "B 5:00 as written")
	c.say("Cy", "B 6:00 as written")
	c.say("Dee", "B 4:00 scaled")
	c.say("Bo", "pause")
	send(2)
	c.say("Ada", "B 5:10 as written")
	c.say("Cy", "B 5:05 as written")
	send(3)
	c.join("Eve", "women")
	c.say("Bo", "resume")
	send(4)
	c.say("Eve", "B 4:30 as written")
	c.say("Cy", "B 5:30 as written")
	c.say("Dee", "B 7:00 as written")
	c.say("Dee", "A done")
	at(5)
	q := StandingsQuery{From: monday, To: monday.AddDays(6), Division: "WOMEN"}
	standings := func() string {
		t.Helper()
		s, err := c.bot.Standings(ctx, q)
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for _, r := range s.Rows {
			fmt.Fprintf(&b, "%d %s %s:", r.Rank, r.Name, r.Total)
			for _, sc := range r.Scores {
				fmt.Fprintf(&b, " %s %s", sc.Points, sc.Rule)
			}
			b.WriteString("\n")
		}
		return b.String()
	}
	// 3 races: the 3rd of February has no result at all. Bo pauses on the 2nd and 3rd; Eve joined on the 3rd; Dee is alone on
	// the scaled board of the 1st.
	want := "1 Eve 3: 1 A9 1 A9 1 A4\n2 Cy 6: 3 A4 1 A4 2 A4\n3 Ada 9.5: 1.5 A7 2 A4 6 A5.2\n4 Dee 10: 1 A4 6 A5.2 3 A4\n5 Bo 11.3: 1.5 A7 3.8 A9 6 A5.2\n"
	if got := standings(); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	club := c.bot.Club()
	changed := club
	changed.Discards, changed.MissedCame, changed.JointBoards = roster.Discards{Count: 1}, true, true
	c.bot.Run(changed)
	s, err := c.bot.Standings(ctx, q)
	if err != nil || s.Version != leaderboard.All || s.Discards != 1 || !strings.Contains(s.Missed, "A5.3") {
		t.Errorf("%v; by another club file: %s, %d left out, %s", err, s.Version, s.Discards, s.Missed)
	}
	for _, r := range s.Rows {
		if r.Name == "Dee" && (r.Scores[0].Rank != 4 || r.Scores[0].Version != leaderboard.All) {
			t.Errorf("on the board of everyone Dee is %+v", r.Scores[0])
		}
	}
	c.bot.Run(club)
	// A result taken away, and somebody off the boards, leave no trace; who left the club keeps their places.
	c.say("Cy", "scrap B on thursday")
	if err := c.bot.RemoveResult(ctx, "coach", "r1", monday.AddDays(3), "B", c.ids["Cy"], "typed twice"); err != nil && asProblem(err) == nil {
		t.Fatal(err)
	}
	c.say("Dee", "hide me")
	if err := c.bot.roster.Remove(ctx, c.clock.Now(), c.ids["Ada"]); err != nil {
		t.Fatal(err)
	}
	got := standings()
	for _, line := range []string{"1 Eve 3: 1 A9 1 A9 1 A4\n", "Cy 9: 3 A4 1 A4 5 A5.2\n", "Ada 8.5: 1.5 A7 2 A4 5 A5.2\n"} {
		if !strings.Contains(got, line) {
			t.Errorf("got\n%swant in it %s", got, line)
		}
	}
	if strings.Contains(got, "Dee") {
		t.Errorf("who is off the boards stands in the standings:\n%s", got)
	}
}

func TestStandingsAreRefused(t *testing.T) {
	c := newMonday(t, "Ada")
	for _, tt := range []struct {
		q    StandingsQuery
		want string
	}{
		{StandingsQuery{From: monday.AddDays(1), To: monday, Division: "women"}, "end before they begin"},
		{StandingsQuery{From: monday, To: monday.AddDays(366), Division: "women"}, "more than 366 days"},
		{StandingsQuery{From: monday, To: monday, Division: "giants"}, "they are women, men, open, 50+"},
		{StandingsQuery{From: monday, To: monday, Division: "women", Version: "half"}, "as_written, scaled or all"},
	} {
		_, err := c.bot.Standings(context.Background(), tt.q)
		if p := asProblem(err); p == nil || p.Code != "invalid" || !strings.Contains(p.Text, tt.want) {
			t.Errorf("%+v: %v", tt.q, err)
		}
	}
	s, err := c.bot.Standings(context.Background(), StandingsQuery{From: monday, To: monday.AddDays(365), Division: "women"})
	if err != nil || len(s.Rows) != 0 || s.Rows == nil {
		t.Errorf("nobody's standings: %+v, %v", s, err)
	}
}

// Two members of one name are told apart wherever they are shown, and names of every kind go through as they are.
func TestNamesakesAndNamesOfEveryKind(t *testing.T) {
	ctx := context.Background()
	long := strings.Repeat("Long ", 16)[:79] + "!"
	c := newMonday(t, "Ann Invented", "=1+1 🦊", "<b>Bo</b>", long)
	other, err := c.bot.roster.Add(ctx, c.clock.Now(), []roster.NewMember{{Name: "ann  INVENTED", Division: "women", OnBoards: true}}, "")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := c.bot.roster.Join(ctx, c.clock.Now(), other[0].Invite, ""); err != nil {
		t.Fatal(err)
	}
	c.ids["twin"] = other[0].ID
	for i, n := range []string{"Ann Invented", "twin", "=1+1 🦊", "<b>Bo</b>", long} {
		c.say(n, fmt.Sprintf("D 14:3%d as written", i))
	}
	text := c.say("Ann Invented", "board D").Text
	for _, want := range []string{"1. Ann Invented #" + c.ids["Ann Invented"] + ", 14:30", "2. ann INVENTED #" + c.ids["twin"] + ", 14:31", "3. =1+1 🦊, 14:32",
		"4. <b>Bo</b>, 14:33", long} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	page, err := c.bot.Board(ctx, monday, "D", leaderboard.Query{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := leaderboard.WriteCSV(&out, page); err != nil || !strings.Contains(out.String(), ",'=1+1 🦊,") {
		t.Errorf("%v: %s", err, out.String())
	}
	s, err := c.bot.Standings(ctx, StandingsQuery{From: monday, To: monday, Division: "women"})
	if err != nil || s.Rows[0].Shown() != "Ann Invented #"+c.ids["Ann Invented"] || s.Rows[2].Shown() != "=1+1 🦊" {
		t.Errorf("%v: %+v", err, s.Rows)
	}
	out.Reset()
	if err := s.WriteCSV(&out); err != nil || !strings.Contains(out.String(), ",'=1+1 🦊,") {
		t.Errorf("%v: %s", err, out.String())
	}
	e, err := c.bot.Explain(ctx, monday, "D", c.ids["twin"], "")
	if err != nil || !strings.Contains(strings.Join(e.Lines(), "\n"), "just ahead Ann Invented #"+c.ids["Ann Invented"]+", 14:30, by 0:01") {
		t.Errorf("%v: %q", err, e.Lines())
	}
	for _, bad := range [][2]string{{"Z", c.ids["twin"]}, {"D", "nobody"}, {"C", c.ids["twin"]}} {
		if _, err := c.bot.Explain(ctx, monday, bad[0], bad[1], ""); asProblem(err) == nil || asProblem(err).Code != "not_found" {
			t.Errorf("%v: %v", bad, err)
		}
	}
}

// Whoever stands beyond the first lines sees their own place among its neighbours, equals with equal ranks.
func TestBoardShowsWhoAsksWhereTheyStand(t *testing.T) {
	var names []string
	for i := range 12 {
		names = append(names, fmt.Sprintf("M%02d", i))
	}
	c := newMonday(t, names...)
	for i, n := range names {
		c.say(n, fmt.Sprintf("D 14:%02d as written", 10+i-i/10)) // M09 and M10 are equal
	}
	text := c.say("M10", "board D").Text
	want := "5. M04, 14:14\nAround you:\n9. M08, 14:18\n10. M09, 14:19\n10. M10, 14:19\n12. M11, 14:20"
	if !strings.Contains(text, want) {
		t.Errorf("got\n%s\nwant in it\n%s", text, want)
	}
	if text := c.say("M02", "board D").Text; strings.Contains(text, "Around") {
		t.Errorf("who is among the first is told twice:\n%s", text)
	}
	if text := c.say("M10", "board week").Text; !strings.Contains(text, "Around you:\n9. M08, 9 points\n10. M09, 10.5 points\n10. M10, 10.5 points\n12. M11") {
		t.Errorf("the week:\n%s", text)
	}
	club := c.bot.Club()
	club.JointRanks = true
	c.bot.Run(club)
	c.say("M11", "fix D 14:20 scaled")
	if text := c.say("M11", "fix D 14:21 scaled").Text; strings.Contains(text, "in all") {
		t.Errorf("below four on a board a rank is told:\n%s", text)
	}
	post := c.say("M00", "fix D 14:30 as written")
	if !strings.Contains(post.Text, "11th of 11 women as written, 11th of 12 in all.") {
		t.Errorf("with joint ranks an answer says %q", post.Text)
	}
	if card := string(post.Card); !strings.Contains(card, `{"division":"women","version":"all","rank":11,"of":12}`) {
		t.Errorf("and its card %s", card)
	}
	if text := c.say("M11", "board D").Text; !strings.Contains(text, "1. M11, 14:21, 12th in all") {
		t.Errorf("with joint ranks:\n%s", text)
	}
}
