package main

import (
	"strings"
	"testing"

	"tallybell/content"
	"tallybell/leaderboard"
)

// Names of every kind and results at the edges in a table: columns hold, nothing is cut, namesakes have their ids.
func TestPrintBoard(t *testing.T) {
	long := strings.Repeat("Ångström ", 22) + "!!" // 200 characters
	line := func(rank int, id, name, result string) leaderboard.Line {
		return leaderboard.Line{Rank: rank, Member: id, Name: name, Result: result, Version: content.Scaled}
	}
	late := line(2, "a1", "Ann Invented", "23:59:59.999")
	late.Late, late.Way, late.Load, late.Namesake, late.Joint = true, "towel row", "500 kg", true, 14
	page := leaderboard.Page{Date: content.Date{Year: 2027, Month: 2, Day: 1}, Part: "D", Boards: []leaderboard.Block{{Division: "women", Version: content.Scaled, Of: 9,
		Entries: []leaderboard.Line{line(1, "b2", "<b>=Bo</b> 🦊", "0 reps"), late, line(2, "c3", long, "500 kg")},
		Around:  []leaderboard.Line{line(8, "d4", "Dee", "1 rep"), line(9, "e5", "Eve", "0 reps")}}}}
	var out strings.Builder
	if err := printBoard(&out, page, "e5"); err != nil {
		t.Fatal(err)
	}
	want := "2027-02-01 D, women, scaled (9)\n" +
		"  1. <b>=Bo</b> 🦊" + strings.Repeat(" ", 30) + "0 reps\n" +
		"  2. Ann Invented #a1" + strings.Repeat(" ", 26) + "23:59:59.999  towel row, 500 kg, late, 14 in all\n" +
		"  2. " + long + "  500 kg\n  …\n  8. Dee           1 rep\n  9. Eve           0 reps\n"
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
	out.Reset()
	page.Boards = nil
	if err := printBoard(&out, page, ""); err != nil || out.String() != "Nobody stands on a board of 2027-02-01, part D.\n" {
		t.Errorf("%v: %q", err, out.String())
	}
}
