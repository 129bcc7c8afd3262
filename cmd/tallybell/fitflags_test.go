package main

import (
	"bytes"
	"context"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v3"

	"tallybell/content"
)

// fitSheet is an invented session that kit, level and limits change.
const fitSheet = `session: Pack and table
date: 2027-02-10

Warm-up:
10 squat jump

A. 3 sets
12 hall press, 6 each side

B. 4 stations of 1:00, max reps
backpack row
squat
bridge
push-up
  easier: incline push-up

C. AMRAP 9:00
10 table row
  or: 12 backpack row
6 bridge
12 squat
  easier: 8 half squat

D. 3 rounds for time, cap 16:00
10 push-up
  easier: 12 incline push-up
8 bridge
10 backpack good morning
20 step-over
`

// clubMovements replace the library's, so that what these tests need does not hang on what it holds: a bridge with no
// way but on the back, a press with no way but a dumbbell.
const clubMovements = `pattern: bridge and leg curl

name: bridge
main: glutes
helping: hamstrings
rep: lying on the back, lift the hips, lower
seconds: 1.3-2.5
position: on the back
cue: squeeze at the top
`

const clubPresses = `pattern: overhead push

name: hall press
main: shoulders
helping: triceps
rep: press the dumbbell from the shoulder until the arm is straight, lower
kit: dumbbell
kit only: nothing else is pressed in this hall
sides: one at a time
seconds: 1.5-3
cue: ribs down
`

func fitFile(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, movementsFolder), 0o700); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"2027-02-10.txt": fitSheet, movementsFolder + "/bridge.txt": clubMovements, movementsFolder + "/press.txt": clubPresses} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, "2027-02-10.txt")
}

func TestFitFlags(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		want content.Fit
	}{
		{"nothing told", nil, content.Fit{}},
		{"kit by its aliases, sorted, once", []string{"--kit", "table, rucksack,backpack"}, content.Fit{KitKnown: true, Kit: []string{"backpack", "sturdy table"}}},
		{"no kit", []string{"--kit", ""}, content.Fit{KitKnown: true}},
		{"none", []string{"--kit", "None"}, content.Fit{KitKnown: true}},
		{"level", []string{"--level", "easier"}, content.Fit{Level: content.LevelEasier}},
		{"as written is no level", []string{"--level", "as_written"}, content.Fit{}},
		{"level by pattern", []string{"--level", "Easier, row=harder, lunge: as written"},
			content.Fit{Level: content.LevelEasier, Levels: map[string]string{"row": content.LevelHarder, "split, step and single leg": content.LevelAsWritten}}},
		{"whole names of patterns", []string{"--level", "split, step and single leg=harder, level push=easier"},
			content.Fit{Levels: map[string]string{"split, step and single leg": content.LevelHarder, "level push": content.LevelEasier}}},
		{"limits", []string{"--limits", "quiet, no_jumping, not on the back"}, content.Fit{Limits: []string{content.LimitNoJumping, content.LimitNotOnBack, content.LimitQuiet}}},
		{"limits without their no", []string{"--limits", "jumping, weight on wrists"}, content.Fit{Limits: []string{content.LimitNoJumping, content.LimitNoWrists}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got content.Fit
			cmd := &cli.Command{Name: "fit", Flags: fitFlags()}
			cmd.Action = func(_ context.Context, c *cli.Command) (err error) {
				got, err = fitFrom(c, content.Builtin())
				return err
			}
			if code, _, problems := runAlone(t, cmd, "", c.args...); code != 0 {
				t.Fatalf("exit %d: %s", code, problems)
			}
			if got.Key() != c.want.Key() || got.KitKnown != c.want.KitKnown || !slices.Equal(got.Kit, c.want.Kit) || !maps.Equal(got.Levels, c.want.Levels) {
				t.Errorf("got %+v, want %+v", got, c.want)
			}
		})
	}
}

// Each command that fits tells what it did not understand, what is near, and exits 2.
func TestFitFlagsTellWhatIsWrong(t *testing.T) {
	file := fitFile(t)
	commands := map[string]func(args ...string) (int, string, string){
		"show": func(args ...string) (int, string, string) {
			return runAlone(t, showCommand(), "", append(args, file)...)
		},
		"read": func(args ...string) (int, string, string) {
			return runAlone(t, readCommand(), "D 14:32\n", append(args, "--sheet", file)...)
		},
		"rank": func(args ...string) (int, string, string) {
			return runAlone(t, rankCommand(), "Ann\topen\tD 14:32\n", append(args, "--sheet", file, "--part", "D")...)
		},
	}
	for _, c := range []struct{ flag, value, want string }{
		{"--kit", "bakpack", "did you mean backpack?"},
		{"--kit", "towel, none", "write none alone"},
		{"--level", "hard", "did you mean harder?"},
		{"--level", "expert", "want easier, as written or harder"},
		{"--level", "easier, harder", "PATTERN=LEVEL"},
		{"--level", "rwo=easier", "did you mean row?"},
		{"--level", "row=easier, row=harder", "told twice"},
		{"--level", "row=", "is not a level"},
		{"--limits", "jumpin", "did you mean no jumping?"},
		{"--limits", "deaf", "want no jumping, quiet"},
	} {
		for name, run := range commands {
			code, out, problems := run(c.flag, c.value)
			if code != exitUsage || out != "" || !strings.Contains(problems, c.flag+": ") || !strings.Contains(problems, c.want) {
				t.Errorf("%s %s %q: exit %d, printed %q, told %q", name, c.flag, c.value, code, out, problems)
			}
		}
	}
}

func TestShowFits(t *testing.T) {
	file := fitFile(t)
	plain, without, told := "", "", ""
	for _, p := range []struct {
		out  *string
		args []string
	}{{&plain, nil}, {&without, []string{"--kit", "backpack,sturdy table,dumbbell"}}} {
		code, out, problems := runAlone(t, showCommand(), "", append(p.args, file)...)
		if code != 0 {
			t.Fatalf("exit %d: %s", code, problems)
		}
		*p.out, told = out, problems
	}
	if want := file + ": nothing changes for this member\n"; told != want {
		t.Errorf("told %q, want %q", told, want)
	}
	if without != plain {
		t.Errorf("with all the kit the session is another:\n%s", without)
	}
	code, out, told := runAlone(t, showCommand(), "", "--kit", "none", "--level", "push=easier", "--limits", "not on the back, no jumping", file)
	if code != 0 {
		t.Fatalf("exit %d: %s", code, told)
	}
	for _, want := range []string{"Eased for you", "12 incline push-ups", "15 hip hinges", "20 towel pull-apart rows", "Leave out: bridges (not on the back)"} {
		if !strings.Contains(out, want) {
			t.Errorf("the text lacks %q:\n%s", want, out)
		}
	}
	want := []string{
		":5: warm-up, squat jump: no jumping: fast squat instead of squat jump",
		":8: part A, hall press: no fit: no dumbbell and nothing here in its place: ask your coach",
		":11: part B, backpack row: scaled: no backpack: face-down row instead of backpack row",
		":13: part B, bridge: left out: not on the back: leave this out",
	}
	for _, w := range want {
		if !strings.Contains(told, file+w+"\n") {
			t.Errorf("the coach is not told %q:\n%s", w, told)
		}
	}
	code, out, told = runAlone(t, showCommand(), "", "--json", "--kit", "none", file)
	var card content.Card
	if err := json.Unmarshal([]byte(out), &card); err != nil || code != 0 {
		t.Fatalf("exit %d, %v: %s", code, err, told)
	}
	if d := card.Parts[3]; !d.Eased || d.Movements[2].Name != "hip hinge" || len(d.Movements[2].Why) != 1 {
		t.Errorf("the card has %+v", d)
	}
}

func TestReadAgainstAFittedSession(t *testing.T) {
	file := fitFile(t)
	for _, c := range []struct {
		args        []string
		reply, want string
	}{
		{nil, "D capped, 2+14", `"reps":110,"version":""`},
		{[]string{"--kit", ""}, "D capped, 2+14", `"reps":120,"version":"scaled"`},
		{[]string{"--kit", "backpack"}, "C 5+10 rx", `"reps":160,"rounds":5,"extra":10,"version":"as_written"`},
		{[]string{"--level", "push=easier"}, "D capped, 2+14", `"reps":114,"version":"scaled"`},
		{[]string{"--level", "push=easier"}, "D 14:32 as written", `"version":""}],"asks":[{"part":"D","about":"version","suggest":["D scaled, incline push-up","D as written, push-up"]}]`},
		{[]string{"--limits", "not on the back"}, "B 21/18/15", `"reps":54,"counts":[21,18,0,15],"version":"scaled"`},
	} {
		out, problems, code := readWith(t, c.reply+"\n", append(c.args, "--sheet", file)...)
		if code != 0 || problems != "" || !strings.Contains(out, c.want) {
			t.Errorf("%v %q: exit %d, told %q\n got %s\nwant %s", c.args, c.reply, code, problems, out, c.want)
		}
	}
}

// Boards of members of one fit: scaled where the part was sent eased, in the sheet's own reps.
func TestRankFittedReplies(t *testing.T) {
	file := fitFile(t)
	for _, c := range []struct {
		name  string
		args  []string
		lines []string
		want  string
	}{
		{"sent eased: the scaled board, without a word", []string{"--part", "D", "--kit", "none"},
			[]string{"Ann\topen\tD 14:32", "Bea\topen\tD 13:10 scaled", "Cleo\topen\tD capped, 2 rounds 10 push-ups 8 bridges 7 hinges", "Dot\topen\tD capped 2+10"},
			"open scaled: 1 Bea 13:10 2 Ann 14:32 3 Cleo cap at 118 reps 4 Dot cap at 106 reps; "},
		{"as written there is asked, and may be insisted on", []string{"--part", "D", "--kit", "none"},
			[]string{"Ann\topen\tD 14:32 rx", "Bea\topen\tD 14:40 rx", "Bea\topen\tD as written, backpack good morning", "Cleo\topen\tD 15:00 rx", "Cleo\topen\tscaled"},
			`open as_written: 1 Bea 14:40; open scaled: 1 Cleo 15:00; unread Ann "D 14:32 rx" D/version; `},
		{"the usual version does not make an eased part as written", []string{"--part", "D", "--level", "push=easier", "--usual", "as_written"},
			[]string{"Ann\topen\tD 14:32"}, "open scaled: 1 Ann 14:32; "},
		{"another way counts as written, in the sheet's reps: 11 of 12 rows are 9 of 10", []string{"--part", "C", "--kit", "backpack"},
			[]string{"Ann\topen\tC 5 rounds 11 rows rx", "Bea\topen\tC 5+9 rx", "Cleo\topen\tC 5+12 rx"},
			"open as_written: 1 Cleo 5 rounds + 10 (150 reps) 2 Ann 5 rounds + 9 (149 reps) 3 Bea 5 rounds + 7 (147 reps); "},
		{"a line left out is credited with its round", []string{"--part", "D", "--limits", "not on the back"},
			[]string{"Ann\topen\tD capped 2+14", "Bea\topen\tD 8 left"}, "open scaled: 1 Bea cap at 128 reps 2 Ann cap at 110 reps; "},
		{"stations without one of them", []string{"--part", "B", "--limits", "not on the back"},
			[]string{"Ann\topen\tB 21/18/15", "Bea\topen\tB 21/18/0/16", "Cleo\topen\tB 21/18/24/15", "Dot\topen\tB rows 21, squats 18, push-ups 15"},
			`open scaled: 1 Bea 55 reps 2 Ann 54 reps 2 Dot 54 reps; unread Cleo "B 21/18/24/15" B/value; `},
		{"without flags as before", []string{"--part", "C"},
			[]string{"Ann\topen\tC 5+10 rx", "Bea\topen\tC 5+10"}, `open as_written: 1 Ann 5 rounds + 10 (150 reps); unread Bea "C 5+10" C/version; `},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, problems := runAlone(t, rankCommand(), strings.Join(c.lines, "\n")+"\n", append(c.args, "--sheet", file)...)
			if code != 0 || problems != "" {
				t.Fatalf("exit %d, told %q", code, problems)
			}
			if got := ranked(t, []byte(out)); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// The help of each command tells of the flags.
func TestHelpTellsOfFitting(t *testing.T) {
	for _, name := range []string{"show", "read", "rank"} {
		var out bytes.Buffer
		root := commands()
		root.Writer = &out
		if err := root.Run(t.Context(), []string{"tallybell", name, "--help"}); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"--kit", "--level", "--limits", "row=harder"} {
			if !strings.Contains(out.String(), want) {
				t.Errorf("the help of %s lacks %s", name, want)
			}
		}
		if strings.Contains(out.String(), "not fitted yet") {
			t.Errorf("the help of %s speaks of what is past", name)
		}
	}
}

// A mistake in the club's own movements is told by its file and line, and nothing is fitted without them.
func TestFittingTellsTheClubsMistakes(t *testing.T) {
	file := fitFile(t)
	club := filepath.Join(filepath.Dir(file), movementsFolder, "bridge.txt")
	if err := os.WriteFile(club, []byte(strings.Replace(clubMovements, "seconds: 1.3-2.5", "seconds: soon", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, run := range []func() (int, string, string){
		func() (int, string, string) { return runAlone(t, showCommand(), "", "--kit", "none", file) },
		func() (int, string, string) { return runAlone(t, readCommand(), "A done\n", "--sheet", file) },
		func() (int, string, string) { return runAlone(t, rankCommand(), "", "--sheet", file, "--part", "D") },
	} {
		if code, out, problems := run(); code != exitInput || out != "" || !strings.Contains(problems, club+":7:") {
			t.Errorf("exit %d, printed %q, told %q", code, out, problems)
		}
	}
}
