package content

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestParseBounds(t *testing.T) {
	bounds, problems := ParseBounds([]byte("# what we want\nrow sets: 9-15\nPush to pull  reps: 0.7-1.3\nfront thighs sets: 8 to 20\n" +
		"days running: at most 3\nminutes a day: at most 60 min\nsingle-leg share: 30-60%\nsessions: 4\nrow days running: at most 2\nlats sets: at least 6\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	want := []Bound{{"row sets", 9, 15, 2, 1}, {"push to pull reps", 0.7, 1.3, 3, 1}, {"front thighs sets", 8, 20, 4, 1}, {"days running", 0, 3, 5, 1},
		{"minutes a day", 0, 60, 6, 1}, {"single-leg share", 30, 60, 7, 1}, {"sessions", 4, 4, 8, 1}, {"row days running", 0, 2, 9, 1},
		{"lats sets", 6, math.Inf(1), 10, 1}}
	if len(bounds) != len(want) {
		t.Fatalf("%d bounds, want %d: %+v", len(bounds), len(want), bounds)
	}
	for i, b := range bounds {
		if b != want[i] {
			t.Errorf("got %+v, want %+v", b, want[i])
		}
	}
}

func TestProblemsOfBounds(t *testing.T) {
	tests := []struct{ text, want string }{
		{"row stes: 9-15", "b:1:1: unknown number “row stes”; did you mean row sets?"},
		{"\n  rоw sets: 9-15", "b:2:3: unknown number “rоw sets”; the letter о in it is U+043E, which only looks like o; did you mean row sets?"},
		{"happiness: 9-15", "b:1:1: unknown number “happiness”; known are PATTERN or MUSCLE with sets or reps"},
		{"row sets 9-15", "b:1:1: expected a line such as row sets: 9-15; found “row sets 9-15”"},
		{"row sets:", "b:1:10: the bound is missing: write for example 9-15, at least 9 or at most 3"},
		{"row sets: some", "b:1:11: “some” is no bound: write"},
		{"row sets: 15-9", "b:1:11: “15-9”: a range goes from the smaller to the larger"},
		{"row sets: -3", "b:1:11: “-3” is no bound"},
		{"row sets: at most 10001", "b:1:11: “at most 10001” is too many"},
		{"row sets: 9-15 sets", "b:1:11: unexpected “sets” after a bound"},
		{"row sets: 9-15\nROW SETS: 1", "b:2:1: row sets is bounded twice, first in line 1"},
		{"row\x00 sets: 9", "b:1:4: control character U+0000"},
		{strings.Repeat("#", MaxSheet+1), "b:1:1: the bounds are larger than 256 KiB"},
	}
	for _, tt := range tests {
		_, ps := ParseBounds([]byte(tt.text))
		if len(ps) != 1 || !strings.HasPrefix(ps[0].In("b"), tt.want) {
			t.Errorf("%.40q: got %v, want %s", tt.text, ps, tt.want)
		}
	}
}

func TestOutside(t *testing.T) {
	weeks := Weeks(Builtin(), []Session{
		day(t, "2027-02-01", "A. 5 sets, rest 1:00\n10 push-up\n"),
		day(t, "2027-02-02", "A. 4 sets, rest 1:00\n10 backpack row, 10 kg\n"),
	})
	tests := []struct{ bound, want string }{
		{"row sets: 4-5", ""},
		{"row sets: 9-15", "week of 2027-02-01, 2 sessions: row sets 4, the club wants 9-15"},
		{"push to pull sets: 1.25", ""},
		{"push to pull sets: 0.7-1.2", "week of 2027-02-01, 2 sessions: push to pull sets 1.25, the club wants 0.7-1.2"},
		{"squat to hinge sets: 1", ""}, // nothing to nothing
		{"single-leg share: 50%", ""},
		{"days running: at most 1", "week of 2027-02-01, 2 sessions: days running 2, the club wants at most 1"},
		{"row days running: at most 1", ""},
		{"sessions: at least 3", "week of 2027-02-01, 2 sessions: sessions 2, the club wants at least 3"},
		{"chest sets: 5", ""},
		{"triceps sets: 2.5", ""}, // five sets that they help in
		{"minutes a day: at least 10 min", "week of 2027-02-01, 2 sessions: minutes a day"},
	}
	for _, tt := range tests {
		bounds, problems := ParseBounds([]byte("\n" + tt.bound))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		got := Outside(bounds, weeks)
		switch {
		case tt.want == "" && len(got) > 0, tt.want != "" && len(got) == 0:
			t.Errorf("%s: got %v, want %q", tt.bound, got, tt.want)
		case len(got) > 0 && (!strings.HasPrefix(got[0].Message, tt.want) || got[0].Line != 2 || !got[0].Warning):
			t.Errorf("%s: got %+v, want %q", tt.bound, got[0], tt.want)
		}
	}
}

// FuzzBounds holds that no bytes panic, that problems stand inside the file, and that what was read can be written and
// read again.
func FuzzBounds(f *testing.F) {
	f.Add([]byte("row sets: 9-15\npush to pull reps: 0.7-1.3\ndays running: at most 3\nminutes a day: 60 min\nsingle-leg share: 5%"))
	f.Add([]byte("\xef\xbb\xbfrow sets: 9\r\n\x00:\xff\n"))
	for _, n := range BoundNames() {
		f.Add([]byte(n + ": at least 0.001"))
	}
	weeks := Weeks(Builtin(), []Session{{Date: Date{2027, 2, 1}, Parts: []Part{{Letter: "A", Scheme: Sets, Sets: 3, Movements: []Movement{reps(10, "push-up")}}}}})
	f.Fuzz(func(t *testing.T, text []byte) {
		bounds, problems := ParseBounds(text)
		lines := strings.Count(string(text), "\n") + 1
		for _, p := range problems {
			if p.Line < 1 || p.Line > lines || p.Column < 1 || p.Message == "" || !utf8.ValidString(p.Message) {
				t.Fatalf("problem %+v in %q", p, text)
			}
		}
		for _, b := range bounds {
			again, ps := ParseBounds([]byte(b.Name + ": " + b.text()))
			if len(ps) > 0 || len(again) != 1 || again[0].Low != b.Low || again[0].High != b.High {
				t.Fatalf("%+v is written %q and read %+v, %v", b, b.text(), again, ps)
			}
		}
		Outside(bounds, weeks)
	})
}
