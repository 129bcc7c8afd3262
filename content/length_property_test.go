package content

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// TestMoreNeverShortens holds for sessions of every scheme that from is never after to, that a set, round, rung or
// rest more never shortens a part, and that a cap bounds it. A rest is lengthened where one is told: telling the first
// one of sets takes the place of the 0:30 to 1:30 that are taken when none is.
func TestMoreNeverShortens(t *testing.T) {
	lib := Builtin()
	rapid.Check(t, func(t *rapid.T) {
		p := drawDay(t, lib, Date{2027, 2, 1}).Parts[0]
		if p.Scheme != Every {
			p.Rest = time.Duration(rapid.IntRange(1, 120).Draw(t, "rest")) * time.Second
		}
		low, high := Estimate(p, lib)
		if low < 0 || low > high {
			t.Fatalf("%s: %v to %v", p.Scheme, low, high)
		}
		more := p
		switch what := rapid.IntRange(0, 1).Draw(t, "what"); {
		case what == 0 && p.Scheme != Every:
			more.Rest += time.Duration(rapid.IntRange(1, 60).Draw(t, "longer")) * time.Second
		case p.Scheme == Sets:
			more.Sets++
		case p.Scheme == Rounds:
			more.Rounds++
		case p.Scheme == Ladder:
			more.Rungs = append(append([]int{}, p.Rungs...), rapid.IntRange(1, 30).Draw(t, "rung"))
		case p.Scheme == Stations:
			more.Through++
		default:
			more.Duration += p.Interval
		}
		low2, high2 := Estimate(more, lib)
		if low2 < low || high2 < high {
			t.Fatalf("more of %s: from %v-%v to %v-%v", p.Scheme, low, high, low2, high2)
		}
		if p.ForTime() {
			p.Cap = time.Duration(rapid.IntRange(1, 3000).Draw(t, "cap")) * time.Second
			low3, high3 := Estimate(p, lib)
			if high3 > p.Cap || low3 > high3 || high3 != min(high, p.Cap) || low3 != min(low, p.Cap) {
				t.Fatalf("a cap of %v makes %v-%v of %v-%v", p.Cap, low3, high3, low, high)
			}
		}
	})
}

// TestAssumptionsAddUp holds that the lines that count are the whole estimate, but for rounding each to a second.
func TestAssumptionsAddUp(t *testing.T) {
	lib := Builtin()
	rapid.Check(t, func(t *rapid.T) {
		s := drawDay(t, lib, Date{2027, 2, 1})
		if rapid.Bool().Draw(t, "warm-up") {
			s.WarmUp = []Movement{{Name: "wall slide"}, reps(10, "dead bug")}
		}
		if rapid.Bool().Draw(t, "optional") {
			s.Parts[0].Optional = true
		}
		lines := Assumptions(s, lib)
		var low, high time.Duration
		for _, l := range lines {
			if l.Low > l.High || l.How == "" || l.Part == "" {
				t.Fatalf("%+v", l)
			}
			if l.Counts {
				low, high = low+l.Low, high+l.High
			}
		}
		wantLow, wantHigh := EstimateSession(s, lib)
		slack := time.Duration(len(lines)) * time.Second
		if (low-wantLow).Abs() > slack || (high-wantHigh).Abs() > slack {
			t.Fatalf("the lines make %v-%v, the estimate is %v-%v", low, high, wantLow, wantHigh)
		}
	})
}

// TestAssumptionsOfEveryScheme writes the explanation of a session with every scheme to a golden file.
func TestAssumptionsOfEveryScheme(t *testing.T) {
	s := mustParse(t, `session: Everything
date: 2027-02-01
length: 90 min
choose: G or H
Warm-up:
wall slide
16 dead bug, 8 each side
A. 4 sets, rest 1:30
16 split squat, 8 each side
  easier: 16 step-up, 8 each side
B. 3 sets in turn, rest 0:20 between, 1:30 after
8-12 push-up, tempo 3-1-1-0
30 s plank
C. 2 sets each
10 squat
max push-up
D. 4 stations of 1:00, rest 0:15, max reps, 2 times through
squat
push-up
dead bug
plank
E. 5 rounds for time, rest 0:30, cap 16:00
12 push-up
200 m run
F. 16-12-8-4 for time
squat
G. AMRAP 9:00
10 squat
H. EMOM 10:00
10 squat
I. heaviest 5
backpack row
J. most reps
push-up
K. longest hold, optional
plank
L. farthest in 12:00
run
M. for quality
10 squat
Cool-down:
pigeon stretch, 1:00 each side
`)
	text := LengthText(s, Builtin())
	golden(t, "length.txt", text)
	for _, p := range s.Parts {
		if !strings.Contains(text, "\n  "+p.Letter+": ") {
			t.Errorf("part %s is not explained", p.Letter)
		}
	}
}
