package main

import (
	"strings"
	"testing"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
)

func demoForTest(t *testing.T) demoClub {
	t.Helper()
	d, err := loadDemo()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestDemoSheetsPassWithoutAWord(t *testing.T) {
	for day, text := range demoForTest(t).Sheets {
		if _, problems := content.Read(content.Builtin(), "2027-02-01.txt", text); len(problems) > 0 {
			t.Errorf("day %d: %s", day, problems[0].In("sheet"))
		}
	}
}

func TestDemoClubAndMembers(t *testing.T) {
	d := demoForTest(t)
	club, problems := roster.ParseClub("club.txt", d.ClubFile)
	if len(problems) > 0 {
		t.Fatal(problems[0].In("club.txt"))
	}
	nicks, zones := map[string]bool{}, map[string]bool{}
	on := 0
	for _, m := range d.Members {
		if nicks[m.Nick] {
			t.Errorf("two members are called %s", m.Nick)
		}
		nicks[m.Nick], zones[m.Zone] = true, true
		if m.OnBoards {
			on++
		}
	}
	if len(d.Members) != 24 || on <= 12 || len(zones) != 3 {
		t.Errorf("%d members, %d on boards, %d zones: want 24, most of them, 3", len(d.Members), on, len(zones))
	}
	for i, r := range d.Replies {
		if !nicks[r.Nick] {
			t.Errorf("replies.tsv:%d: nobody is called %s", i+1, r.Nick)
		}
	}
	if club.ID != "lantern-hall" || club.Coach != "Maren Oduya" {
		t.Errorf("club %+v", club)
	}
}

// Nearly all of what the demo's members type gives a result; the rest is talk, requests, and questions of the bot's
// that the next line answers.
func TestDemoRepliesAreReadAsResults(t *testing.T) {
	d := demoForTest(t)
	read := map[int]content.FittedSession{}
	first, _ := content.ParseDate("2027-02-08")
	for day, text := range d.Sheets {
		s, _ := content.Parse(first.AddDays(day).String()+".txt", text)
		read[day] = content.Unfitted(s)
	}
	results, asked := 0, 0
	for i, r := range d.Replies {
		got := reply.Read(r.Text, reply.Input{Session: read[r.Day], Library: content.Builtin(), Today: first.AddDays(r.Day),
			Sheet: func(at content.Date) (content.FittedSession, bool) { s, ok := read[at.DaysSince(first)]; return s, ok }})
		if got.Care == reply.CareStop {
			t.Errorf("replies.tsv:%d: a warning sign in a cheerful demo: %q", i+1, r.Text)
		}
		if len(got.Results) > 0 {
			results++
		}
		if len(got.Asks) > 0 {
			asked++
			t.Logf("asked about %s: %q", got.Asks[0].About, strings.ReplaceAll(r.Text, "\n", " / "))
		}
	}
	if n := len(d.Replies); results < n*85/100 || asked == 0 || asked > n/20 {
		t.Errorf("%d of %d replies give a result, %d are asked about", results, n, asked)
	}
}
