package bot

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"tallybell/content"
	"tallybell/leaderboard"
)

// enter imports a table of results under the usual header.
func (c *club) enter(partial bool, lines ...string) Imported {
	c.t.Helper()
	got, err := c.bot.ImportResults(context.Background(), "coach", []byte("date,part,name,result,version\n"+strings.Join(lines, "\n")), partial)
	if err != nil {
		c.t.Fatal(err)
	}
	return got
}

func told(ps []content.Problem) string {
	var out []string
	for _, p := range ps {
		out = append(out, p.In("t"))
	}
	return strings.Join(out, "\n")
}

// A line goes through the reader like a reply: what a member could not say for certain, a table cannot either.
func TestLinesThatAreNotEntered(t *testing.T) {
	c := newMonday(t, "Ada", "Bo", "Twin", "Mo")
	second := c.ids["Twin"]
	c.join("Twin", "men")
	for line, want := range map[string]string{
		"2027-13-01,D,Ada,14:32,scaled":                      "t:2:1: ",
		"2027-03-01,D,Ada,14:32,scaled":                      "t:2:1: 2027-03-01 is still to come",
		"2026-01-01,D,Ada,14:32,scaled":                      "t:2:1: there is no published sheet for 2026-01-01",
		"2027-02-01,E,Ada,14:32,scaled":                      "t:2:12: the session of 2027-02-01 has no part \"E\"",
		"2027-02-01,,Ada,14:32,scaled":                       "has no part \"\"",
		"2027-02-01,D,ada,14:32,scaled":                      "t:2:14: no member is named \"ada\", to the letter",
		"2027-02-01,D,,14:32,scaled":                         "t:2:14: no member is named",
		"2027-02-01,D,Twin,14:32,scaled":                     "t:2:14: 2 members are named \"Twin\"",
		"2027-02-01,D,#nobody,14:32,scaled":                  "t:2:14: no member has the id \"nobody\"",
		"2027-02-01,D,#coach,14:32,scaled":                   "no member has the id",
		"2027-02-01,D,Ada,,scaled":                           "t:2:18: there is no result",
		"2027-02-01,D,Ada,quite fast,scaled":                 "t:2:18: \"quite fast\" cannot be read",
		"2027-02-01,D,Ada,0:04,scaled":                       "t:2:18: \"0:04\" is hardly possible",
		"2027-02-01,D,Ada,14:32,upside down":                 "t:2:24: \"upside down\" is not a version",
		"2027-02-01,D,Ada,14:32 my knee hurts,":              "t:2:18: \"14:32 my knee hurts\" holds words beside the result",
		"2027-02-01,D,Ada,yesterday 14:32,":                  "t:2:18: ",
		"2027-02-01,D,Ada,scrap D,":                          "cannot be read",
		"2027-02-01,D,Ada,forget me for good,":               "cannot be read",
		"2027-02-01,D,Ada,D 14:32 B 21/18/15/24,":            "cannot be read",
		"2027-02-01,D,Ada," + strings.Repeat("1", 300) + ",": "a result of more than 200 bytes",
	} {
		got := c.enter(true, line)
		if got.Written != 0 || len(got.Problems) != 1 || !strings.Contains(told(got.Problems), want) {
			t.Errorf("%s: %d written, told %q, want %q", line, got.Written, told(got.Problems), want)
		}
	}
	if got := c.enter(false, "2027-02-01,D,#"+second+",14:32,scaled", "2027-02-01,D,Ada,12:00,", "2027-02-01,D,Mo,13:00,as_written"); got.Written != 3 ||
		!strings.Contains(told(got.Warnings), "no version is told") {
		t.Errorf("by #id, without a version, and plainly: %+v", got)
	}
	if got := c.enter(true, "2027-02-01,B,Bo,\"21, 18, 15, 24\",scaled", "2027-02-01,B,Bo,\"21, 18, 15, 25\",scaled"); got.Written != 1 ||
		!strings.Contains(told(got.Problems), "t:3:17: line 2 tells another result") {
		t.Errorf("two results for one part: %+v", got)
	}
}

func TestAThousandBadRows(t *testing.T) {
	c := newMonday(t, "Ada")
	lines := []string{"2027-02-01,D,Ada,14:32,scaled"}
	for i := range 1000 {
		lines = append(lines, fmt.Sprintf("2027-02-01,D,Stranger %d,14:32,scaled", i))
	}
	got := c.enter(false, lines...)
	if len(got.Problems) != 1000 || got.Written != 0 || c.board("D") != "" {
		t.Errorf("%d told, %d written, board %q", len(got.Problems), got.Written, c.board("D"))
	}
	for i, p := range got.Problems {
		if p.Line != i+3 || p.Column != 14 {
			t.Fatalf("problem %d is at %d:%d", i, p.Line, p.Column)
		}
	}
	if got := c.enter(true, lines...); got.Written != 1 || len(got.Problems) != 1000 {
		t.Errorf("partial: %d written, %d told", got.Written, len(got.Problems))
	}
}

// The second import of a table changes nothing at all: not after a correction, not after the conversation forgot.
func TestATableTwiceIsOnce(t *testing.T) {
	c := newMonday(t, "Ada", "Bo")
	c.say("Bo", "D 15:00 as written")
	table := []string{"2027-02-01,D,Ada,14:32,as_written", "2027-02-01,B,Ada,21/18/15/24,scaled", "2027-02-01,D,Bo,14:50,as_written"}
	got := c.enter(false, table...)
	if got.Rows != 3 || got.Written != 3 || !strings.Contains(told(got.Warnings), "t:4:17: warning: takes the place of 15:00") {
		t.Fatalf("%+v", got)
	}
	if b := c.board("D"); b != "women as_written: 1 Ada 14:32 2 Bo 14:50\n" {
		t.Errorf("board %q", b)
	}
	c.say("Ada", "fix D 14:23")
	before := exportOf(t, c)
	if got := c.enter(false, table...); got.Written != 0 || got.Unchanged != 3 {
		t.Errorf("again: %+v", got)
	}
	if exportOf(t, c) != before {
		t.Error("the second import changed the club")
	}
	entries, err := c.bot.ledger(context.Background(), c.ids["Ada"])
	if err != nil || len(entries) != 3 || entries[0].Why != WhyImported || entries[0].Who != "coach" || entries[0].New.Late {
		t.Errorf("the ledger: %+v %v", entries, err)
	}
	if log, err := c.bot.After(context.Background(), c.ids["Ada"], -1); err != nil || !strings.Contains(fmt.Sprint(log.Posts), "entered 2 results of yours") {
		t.Errorf("she was not told: %v", err)
	}
	if found, err := c.bot.Rebuild(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("ledger and boards differ: %v %v", found, err)
	}
}

// A table of boards that this program wrote reads back: into the same club it changes nothing, into one without the
// results it brings the same boards.
func TestOurOwnTableReadsBack(t *testing.T) {
	from := newMonday(t, "Ada", "Bo", "Mo")
	from.say("Ada", "B 21/18/15/24 as written, D 14:32 as written, C 5 rounds and 3, scaled")
	from.say("Bo", "D 15:01 as written")
	from.say("Bo", "C 4+7 as written")
	from.say("Mo", "D capped, 3 rounds and 14, scaled")
	for _, part := range []string{"B", "C", "D"} {
		page, err := from.bot.Board(context.Background(), monday, part, boardQuery)
		if err != nil {
			t.Fatal(err)
		}
		var table bytes.Buffer
		if err := leaderboard.WriteCSV(&table, page); err != nil {
			t.Fatal(err)
		}
		got, err := from.bot.ImportResults(context.Background(), "coach", table.Bytes(), false)
		if err != nil || got.Written != 0 || len(got.Problems) > 0 || got.Unchanged == 0 {
			t.Errorf("%s into the same club: %+v %v\n%s", part, got, err, table.String())
		}
		to := newMonday(t, "Ada", "Bo", "Mo")
		named := table.String()
		for name, id := range from.ids {
			named = strings.ReplaceAll(named, id, to.ids[name])
		}
		if got, err = to.bot.ImportResults(context.Background(), "coach", []byte(named), false); err != nil || len(got.Problems) > 0 {
			t.Errorf("%s into another: %+v %v", part, got, err)
		}
		if a, b := from.board(part), to.board(part); a != b || a == "" {
			t.Errorf("%s: board %q became %q", part, a, b)
		}
	}
}

func exportOf(t testing.TB, c *club) string {
	t.Helper()
	var b bytes.Buffer
	if err := c.bot.Export(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}
