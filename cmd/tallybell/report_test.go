package main

import (
	"strings"
	"testing"
	"time"

	"tallybell/bot"
	"tallybell/content"
	"tallybell/leaderboard"
)

func TestReportIsPrintedInTheCoachsOrder(t *testing.T) {
	ada, bo := bot.Person{Member: "a", Name: "Ada"}, bot.Person{Member: "b", Name: "Bo"}
	r := bot.Report{Date: content.Date{Year: 2027, Month: time.February, Day: 1}, Title: "Ledge and landing", Sent: 3,
		Concerns:  []bot.Concern{{Person: ada, Care: "check", Said: "left knee sore"}},
		Questions: []bot.Question{{Person: bo, Said: "how high?"}},
		Attention: []leaderboard.Notice{
			{Name: "Ada", Rule: leaderboard.RuleHurt, Reason: "wrote of pain or of their health", Because: "Mon 1 Feb"},
			{Name: "Bo", Rule: leaderboard.RuleQuestion, Reason: "1 question without an answer", Because: "Mon 1 Feb"},
			{Name: "Cy", Rule: leaderboard.RuleQuiet, Reason: "no result for 3 scheduled days", Because: "Sat 30 Jan, Sun 31 Jan, Mon 1 Feb"},
			{Name: "Bo", Rule: leaderboard.RuleLight, Reason: "as written with effort 6 or less twice", Because: "effort 5 on Sun 31 Jan, effort 6 on Mon 1 Feb",
				Offer: "you may offer a harder line; the bot never does"}},
		Answered: []bot.Attendance{{Person: bo, Note: "fine", Results: []bot.ResultRow{{Part: "D", Show: "14:32", Result: content.Result{Version: content.AsWritten}}}}},
		Missing:  []bot.Person{{Name: "Cy"}}}
	var out strings.Builder
	if err := printReport(&out, r); err != nil {
		t.Fatal(err)
	}
	want := `2027-02-01  Ledge and landing
sent to 3, heard from 1, missing 1
hurts (check): Ada: left knee sore
asks: Bo: how high?
look: Ada: wrote of pain or of their health (Mon 1 Feb)
look: Cy: no result for 3 scheduled days (Sat 30 Jan, Sun 31 Jan, Mon 1 Feb)
look: Bo: as written with effort 6 or less twice (effort 5 on Sun 31 Jan, effort 6 on Mon 1 Feb); you may offer a harder line; the bot never does
Bo: D 14:32 as written; “fine”
missing: Cy
`
	if out.String() != want {
		t.Errorf("printed\n%s\nwant\n%s", out.String(), want)
	}
}
