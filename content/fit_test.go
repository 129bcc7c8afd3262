package content

import (
	"os"
	"slices"
	"strings"
	"testing"
)

// fitted reads a sheet whose parts are lines, and fits it.
func fittedSheet(t *testing.T, f Fit, lines ...string) FittedSession {
	t.Helper()
	text := "session: x\ndate: 2027-02-01\n" + strings.Join(lines, "\n") + "\n"
	s, problems := Parse("x.txt", []byte(text))
	if errs := Errors(problems); len(errs) > 0 {
		t.Fatalf("sheet: %s", errs[0].In("x.txt"))
	}
	return Fitted(s, f, Builtin())
}

// line writes the first movement of part A as it was sent, and what was said of it.
func firstLine(fs FittedSession) string {
	out := movementText(fs.Session.Parts[0].Movements[0])
	for _, c := range fs.Changes {
		if c.Part != "A" || c.Movement != 0 {
			continue
		}
		out += " | " + c.Why
		for _, mark := range []struct {
			on   bool
			word string
		}{{c.Eased, "scaled"}, {c.LeaveOut, "leave out"}, {c.NoFit, "no fit"}} {
			if mark.on {
				out += " [" + mark.word + "]"
			}
		}
	}
	return out
}

func kit(names ...string) Fit { return Fit{Kit: names, KitKnown: true} }

func TestFittingTakesTheFirstWayThatIsThere(t *testing.T) {
	level := func(l string, f Fit) Fit { f.Level = l; return f }
	limit := func(f Fit, limits ...string) Fit { f.Limits = limits; return f }
	swap := func(f Fit, was, now string) Fit { f.Swaps = map[string]string{was: now}; return f }
	pull := []string{"A. 3 sets", "6 pull-up", "if kettlebell: 10 backpack row", "or: 10 table row", "easier: 10 towel row", "easier: 12 towel pull-apart row"}
	push := []string{"A. 3 sets", "10 push-up", "harder: 6 pike push-up", "easier: 8 incline push-up", "easier: wall push-up"}
	for _, c := range []struct {
		name  string
		fit   Fit
		sheet []string
		want  string
	}{
		{"kit never told: as the coach wrote it", Fit{}, pull, "6 pull-up"},
		{"the coach's if line for kit that is there", kit("kettlebell", "pull-up bar"), pull,
			"10 backpack row | you have a kettlebell: backpack row instead of pull-up"},
		{"the line itself", kit("pull-up bar"), pull, "6 pull-up"},
		{"the first or line whose kit is there", kit("sturdy table", "towel"), pull,
			"10 table row | no pull-up bar: table row instead of pull-up"},
		{"else the first easier line, scaled", kit("door", "towel"), pull,
			"10 towel row | no pull-up bar: towel row instead of pull-up [scaled]"},
		{"an easier line further down", kit("towel"), pull,
			"12 towel pull-apart row | no pull-up bar: towel pull-apart row instead of pull-up [scaled]"},
		{"level easier: the hardest easier line", level("easier", kit("worktop")), push,
			"8 incline push-up | easier for you: incline push-up instead of push-up [scaled]"},
		{"level easier: an amount left out is the line's", level("easier", kit()), push[:2:2], "10 push-up"},
		{"level harder counts as written", level("harder", kit()), push,
			"6 pike push-up | harder for you: pike push-up instead of push-up"},
		{"level by pattern rules over the level", Fit{Level: "easier", Levels: map[string]string{"level push": "as written"}}, push, "10 push-up"},
		{"a load without its kit is left away, scaled", kit(), []string{"A. 3 sets", "10 squat, backpack 8 kg"},
			"10 squat | no backpack: without a load [scaled]"},
		{"other kit of the movement's own counts as written", kit("kettlebell"), []string{"A. 3 sets", "10 backpack row, backpack 8 kg"},
			"10 backpack row, kettlebell 8 kg | with your kettlebell"},
		{"a stand-in of the library takes its factor", kit(), []string{"A. 3 sets", "10 backpack row"},
			"15 face-down row | no backpack: face-down row instead of backpack row [scaled]"},
		{"what a limit excludes is never sent", limit(kit(), LimitNoJumping), []string{"A. 3 sets", "10 jump squat", "easier: 12 squat"},
			"12 squat | no jumping: squat instead of squat jump [scaled]"},
		{"not even by the coach's if line", limit(kit("skipping rope"), LimitNoJumping),
			[]string{"A. 3 sets", "10 squat", "if skipping rope: 20 jump squat"}, "10 squat"},
		{"nothing remains: leave out", limit(kit(), LimitNoMaxEffort), []string{"A. most reps", "push-up"},
			"0 push-up | no max effort: leave this out [scaled] [leave out]"},
		{"nothing is there: no fit, the line stays", kit(), []string{"A. for quality", "200 m swim"},
			"200 m swim | no pool and nothing here in its place: ask your coach [no fit]"},
		{"one side at a time without kit has a way too", kit(), []string{"A. 3 sets", "12 one-arm press, 6 each side"},
			"12 self-resisted press, 6 each side | no dumbbell: self-resisted press instead of one-arm press [scaled]"},
		{"the member's own choice of the coach's lines", swap(kit("pull-up bar", "towel"), "pull-up", "towel pull-apart row"), pull,
			"12 towel pull-apart row | your choice: towel pull-apart row instead of pull-up [scaled]"},
		{"the member's choice of the line itself", level("easier", swap(kit("worktop"), "push-up", "push-up")), push, "10 push-up"},
		{"a choice that a limit excludes is let be", limit(swap(kit(), "push-up", "pike push-up"), LimitNoOverhead), push, "10 push-up"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := firstLine(fittedSheet(t, c.fit, c.sheet...)); got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestLimitsOfTheLibraryAreKnown(t *testing.T) {
	for _, l := range Limits() {
		if !slices.ContainsFunc(Builtin().Entries(), func(e *Entry) bool { return e.Excludes(l) }) && l != LimitNoMaxEffort {
			t.Errorf("limit %q excludes nothing", l)
		}
	}
}

func BenchmarkFit(b *testing.B) {
	text, err := os.ReadFile("testdata/sheets/sample.txt")
	if err != nil {
		b.Fatal(err)
	}
	s, _ := Parse("2027-02-01.txt", text)
	f := Fit{Kit: []string{"towel"}, Level: LevelEasier, Limits: []string{LimitNoJumping, LimitQuiet}}
	b.ReportAllocs()
	for b.Loop() {
		Fitted(s, f, Builtin())
	}
}
