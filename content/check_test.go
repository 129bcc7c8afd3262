package content

import (
	"os"
	"strings"
	"testing"
	"time"
)

// TestCheckNeedsNoSheet holds that a session alone gives the warnings of its sheet, in the same lines of movements.
func TestCheckNeedsNoSheet(t *testing.T) {
	text, err := os.ReadFile("testdata/sheets/sample.txt")
	if err != nil {
		t.Fatal(err)
	}
	s, read := Read(Builtin(), "s.txt", text)
	alone := Check(Builtin(), s)
	if len(read) == 0 || len(alone) != len(read) {
		t.Fatalf("the sheet gives %d warnings, its session %d", len(read), len(alone))
	}
	for i := range alone {
		if !alone[i].Warning || alone[i].Message != read[i].Message || alone[i].Line != read[i].Line {
			t.Errorf("the session says %+v, the sheet %+v", alone[i], read[i])
		}
	}
}

func day(t *testing.T, date, parts string) Session {
	t.Helper()
	return mustParse(t, "session: T\ndate: "+date+"\nWarm-up:\nwall slide\n"+parts)
}

// TestOneSideCountsHalf: one pull-up is counted against two one-arm rows, one each side (common practice, no source).
func TestOneSideCountsHalf(t *testing.T) {
	pulls := Balance(Builtin(), day(t, "2027-02-01", "A. 3 sets\n5 pull-up\n"))
	rows := Balance(Builtin(), day(t, "2027-02-01", "A. 3 sets\n10 one-arm row, 5 each side\n"))
	if p, r := pulls.Patterns[PatternPull], rows.Patterns[PatternRow]; p.Reps != 15 || r.Reps != 15 || p.Sets != 3 || r.Sets != 3 {
		t.Errorf("15 pull-ups count %+v, 30 one-arm rows %+v", p, r)
	}
}

func TestBalanceOfSchemes(t *testing.T) {
	tests := []struct {
		name, parts string
		want        Tally
	}{
		{"sets", "A. 4 sets\n8-12 push-up\n", Tally{4, 40}},
		{"rounds", "A. 5 rounds for time\n12 push-up\n", Tally{5, 60}},
		{"ladder", "A. 16-12-8-4 for time\npush-up\n", Tally{4, 40}},
		{"ladder, own count", "A. 16-12-8-4 for time\n5 push-up\n", Tally{4, 20}},
		{"in turn", "A. EMOM 9:00, in turn\n10 push-up\n10 squat\n", Tally{5, 50}},
		{"together", "A. EMOM 9:00, together\n10 push-up\n10 squat\n", Tally{9, 90}},
		{"one of two to choose", "choose: A or B\nA. 4 sets\n10 push-up\nB. 4 sets\n10 squat\n", Tally{2, 20}},
		{"a hold has no reps", "A. 3 sets\n30 s push-up\n", Tally{3, 0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Balance(Builtin(), day(t, "2027-02-01", tt.parts)).Patterns[PatternPush]; got != tt.want {
				t.Errorf("got %+v, want %+v", got, tt.want)
			}
		})
	}
}

func TestTwoHardDaysRunning(t *testing.T) {
	hard := "A. 8 sets\n10 push-up\n"
	tests := []struct {
		name, first, second, parts string
		want                       int
	}{
		{"next day", "2027-02-28", "2027-03-01", hard, 1},
		{"a day between", "2027-02-01", "2027-02-03", hard, 0},
		{"the other order", "2027-02-02", "2027-02-01", hard, 0},
		{"an easy second", "2027-02-01", "2027-02-02", "A. 3 sets\n10 push-up\n", 0},
		{"a light second", "2027-02-01", "2027-02-02", "effort: light\n" + hard, 0},
		{"another pattern", "2027-02-01", "2027-02-02", "A. 8 sets\n10 squat\n", 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := CheckWeek(Builtin(), []Session{day(t, tt.first, hard), day(t, tt.second, tt.parts)})
			if len(got) != 2 || len(got[1]) != tt.want {
				t.Errorf("got %v, want %d warnings on the second day", got, tt.want)
			}
		})
	}
}

func TestWeekText(t *testing.T) {
	days := []Session{
		day(t, "2027-02-03", "A. 3 sets, rest 1:00\n10 push-up\n10 backpack row, 10 kg\n"),
		day(t, "2027-02-01", "A. AMRAP 9:00\n10 squat\n10 hip hinge\n"),
		mustParse(t, "session: Rest\ndate: 2027-02-02\nrest: yes\nabout: sleep\n"),
		day(t, "2027-02-07", "A. 2 stations of 1:00\npush-up\nsquat\n"),
		day(t, "2027-02-08", "A. 16-12 for time\npush-up\n"),
	}
	golden(t, "week.txt", WeeksText(Weeks(Builtin(), days)))
}

// TestLeastTime: two reps a second, plus timed work and rests (common practice, no source).
func TestLeastTime(t *testing.T) {
	tests := []struct {
		parts string
		want  time.Duration
	}{
		{"A. 5 rounds for time\n100 push-up\n", 250 * time.Second},
		{"A. for time\n15 cal run\n200 m run\n", 8 * time.Second},
		{"A. 3 rounds for time, rest 2:00\n1:00 plank\n", 7 * time.Minute},
		{"A. 16-12 for time, rest 1:00\npush-up\n4 squat\n", 78 * time.Second},
		{"A. AMRAP 9:00\n10 push-up\n", 0},
	}
	for _, tt := range tests {
		if got := leastTime(day(t, "2027-02-01", tt.parts).Parts[0]); got != tt.want {
			t.Errorf("%s: got %s, want %s", strings.ReplaceAll(tt.parts, "\n", " / "), got, tt.want)
		}
	}
}

func TestIntended(t *testing.T) {
	tests := []struct {
		aim  string
		want Aim
		ok   bool
	}{
		{"11:00-14:00", Aim{AimTime, 660_000, 840_000}, true},
		{"12 min", Aim{AimTime, 720_000, 720_000}, true},
		{"150-180 reps", Aim{AimReps, 150, 180}, true},
		{"5 rounds", Aim{AimRounds, 5, 5}, true},
		{"45 lb", Aim{AimLoad, 20412, 20412}, true},
		{"2-2.4 km", Aim{AimDistance, 2_000_000, 2_400_000}, true},
		{"easy", Aim{}, false},
		{"", Aim{}, false},
		{"14:00-11:00", Aim{}, false},
		{"5.5 rounds", Aim{}, false},
	}
	for _, tt := range tests {
		if got, ok := (Part{Aim: tt.aim}).Intended(); got != tt.want || ok != tt.ok {
			t.Errorf("%q: got %+v, %v; want %+v, %v", tt.aim, got, ok, tt.want, tt.ok)
		}
	}
}
