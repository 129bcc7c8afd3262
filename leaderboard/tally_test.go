package leaderboard

import (
	"fmt"
	"testing"

	"tallybell/content"
)

func boardsText(bs []TallyBoard) string {
	out := ""
	for _, b := range bs {
		out += fmt.Sprintf("%s %s:", b.Division, b.Version)
		for _, l := range b.Entries {
			out += fmt.Sprintf(" %d %s %s;", l.Rank, l.Name, l.Result)
		}
		out += "\n"
	}
	return out
}

func TestTally(t *testing.T) {
	type line struct {
		name, division string
		do             func(*Tally, string, string)
	}
	set := func(r content.Result) func(*Tally, string, string) {
		return func(t *Tally, n, d string) { t.Set(n, d, r) }
	}
	correct := func(r content.Result) func(*Tally, string, string) {
		return func(t *Tally, n, d string) { t.Correct(n, d, r) }
	}
	version := func(v content.Version) func(*Tally, string, string) {
		return func(t *Tally, n, d string) { t.Version(n, d, v) }
	}
	remove := func(t *Tally, n, d string) { t.Remove(n, d) }
	aw, sc := content.AsWritten, content.Scaled
	tests := []struct {
		name  string
		lines []line
		want  string
	}{
		{"nobody", nil, ""},
		{"divisions by their first line, as written first", []line{
			{"Ann", "women", set(finished(900000, sc))}, {"Bo", "men", set(finished(800000, aw))},
			{"Cleo", "women", set(finished(950000, aw))}, {"Dot", "women", set(unfinished(74, aw))}},
			"women as_written: 1 Cleo 15:50; 2 Dot cap at 74 reps;\nwomen scaled: 1 Ann 15:00;\nmen as_written: 1 Bo 13:20;\n"},
		{"ties are listed by the first line, kept when corrected", []line{
			{"Zoe", "w", set(finished(60000, aw))}, {"Ann", "w", set(finished(70000, aw))}, {"Bea", "w", set(finished(70000, aw))},
			{"Zoe", "w", correct(finished(70000, ""))}},
			"w as_written: 1 Zoe 1:10; 1 Ann 1:10; 1 Bea 1:10;\n"},
		{"a removal ends who was first", []line{
			{"Zoe", "w", set(finished(70000, aw))}, {"Ann", "w", set(finished(70000, aw))}, {"Zoe", "w", remove},
			{"Zoe", "w", set(finished(70000, aw))}},
			"w as_written: 1 Ann 1:10; 1 Zoe 1:10;\n"},
		{"one name in two divisions is two members", []line{
			{"Jo", "w", set(finished(70000, aw))}, {"Jo", "50+", set(finished(90000, aw))}},
			"w as_written: 1 Jo 1:10;\n50+ as_written: 1 Jo 1:30;\n"},
		{"a version told later", []line{{"Jo", "w", set(finished(70000, ""))}, {"Jo", "w", version(sc)}}, "w scaled: 1 Jo 1:10;\n"},
		{"a version never told", []line{{"Jo", "w", set(finished(70000, ""))}}, ""},
		{"a version without a result", []line{{"Jo", "w", version(sc)}}, ""},
		{"done replaces a time", []line{{"Jo", "w", set(finished(70000, aw))}, {"Jo", "w", set(content.Result{Kind: content.KindDone})}}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			tally := NewTally(day, forTime(), forTime(), "kg")
			for _, l := range tt.lines {
				tally.Line(l.division)
				l.do(tally, l.name, l.division)
			}
			if got := boardsText(tally.Boards()); got != tt.want {
				t.Errorf("got\n%swant\n%s", got, tt.want)
			}
		})
	}
}
