package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/urfave/cli/v3"
)

// runCommand runs one command as the program does, and returns its output and exit code.
func runCommand(t *testing.T, command *cli.Command, args ...string) (out, problems string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	root := &cli.Command{
		Name: "tallybell", Writer: &o, ErrWriter: &e, Commands: []*cli.Command{command},
		ExitErrHandler: func(context.Context, *cli.Command, error) {},
	}
	err := root.Run(context.Background(), append([]string{"tallybell"}, args...))
	return o.String(), e.String(), exitOf(err)
}

const goodSheet = `session: Plain
date: 2027-02-01
Warm-up:
wall slide

A. 3 sets
10 push-up
`

func TestCheckTellsProblems(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "s.txt")
	tests := []struct {
		name, text, want string
		code             int
	}{
		{"nothing wrong", goodSheet, "", 0},
		{"an error", strings.Replace(goodSheet, "push-up", "pish-up", 1), file + ":7:4: unknown movement “pish-up”; did you mean push-up", 1},
		{"a warning alone", strings.Replace(goodSheet, "push-up", "push-up, 20 stone", 1), file + ":7:13: warning: “20 stone” is read as words", 0},
		{"a megabyte", strings.Repeat("x", 1<<20), file + ":1:1: the sheet is larger than 256 KiB", 1},
		{"nothing at all", "", file + ":1:1: no date: line", 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if err := os.WriteFile(file, []byte(tt.text), 0o600); err != nil {
				t.Fatal(err)
			}
			out, problems, code := runCommand(t, checkCommand(), "check", file)
			if !strings.HasPrefix(out, tt.want) || tt.want == "" && out != "" || code != tt.code || problems != "" {
				t.Errorf("got %q, %q, exit %d; want %q, exit %d", out, problems, code, tt.want, tt.code)
			}
		})
	}
}

func TestCheckUsageAndUnreadableFiles(t *testing.T) {
	if _, _, code := runCommand(t, checkCommand(), "check"); code != exitUsage {
		t.Errorf("no file: exit %d", code)
	}
	dir := t.TempDir()
	bad := filepath.Join(dir, "bad.txt")
	if err := os.WriteFile(bad, []byte("session: T\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out, problems, code := runCommand(t, checkCommand(), "check", filepath.Join(dir, "none.txt"), bad)
	if code != exitOutside || !strings.Contains(problems, "none.txt") || !strings.Contains(out, "bad.txt:1:1: ") {
		t.Errorf("a missing file and a bad one: %q, %q, exit %d", out, problems, code)
	}
}

func TestCheckJSON(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"2027-02-01.txt": goodSheet,
		"2027-02-02.txt": "session: <T> & co\nA. 3 sets\n10 pish-up\n",
		"notes.md":       "no sheet",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	out, problems, code := runCommand(t, checkCommand(), "check", "--json", "./")
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if code != exitInput || problems != "" || len(lines) != 2 {
		t.Fatalf("exit %d, %q, lines:\n%s", code, problems, out)
	}
	if want := `{"file":"./2027-02-01.txt","errors":[],"warnings":[]}`; lines[0] != want {
		t.Errorf("got  %s\nwant %s", lines[0], want)
	}
	var r struct {
		File             string
		Errors, Warnings []struct {
			Line, Column int
			Message      string
		}
	}
	if err := json.Unmarshal([]byte(lines[1]), &r); err != nil {
		t.Fatal(err)
	}
	if r.File != "./2027-02-02.txt" || len(r.Errors) != 1 || r.Errors[0].Line != 3 || r.Errors[0].Column != 4 || len(r.Warnings) != 1 {
		t.Errorf("got %+v", r)
	}
}

func TestCheckFolderGivesTheWeek(t *testing.T) {
	dir := t.TempDir()
	day := func(date, part string) {
		text := "session: Day\nWarm-up:\nwall slide\n" + part
		if err := os.WriteFile(filepath.Join(dir, date+".txt"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	day("2027-02-01", "A. 10 sets, rest 1:00\n10 push-up\n10 backpack row, 10 kg\n  easier: 10 towel row\n")
	day("2027-02-02", "A. 9 sets, rest 1:00\n8 push-up\n")
	day("2027-02-09", "A. 3 sets\n10 squat\n")
	out, problems, code := runCommand(t, checkCommand(), "check", dir)
	if code != 0 || problems != "" {
		t.Fatalf("exit %d, %q\n%s", code, problems, out)
	}
	for _, want := range []string{
		"2027-02-02.txt:4:1: warning: level push is hit hard on two days running, 2027-02-01 and this one",
		"Week of 2027-02-01: 2 sessions, 2 days in a row at most\n",
		"Week of 2027-02-08: 1 session, 1 day in a row at most\n",
		"  level push                       19    172      2        2\n",
		"  push to pull: 19 to 10 sets (1.9 to 1), 172 to 100 reps (1.7 to 1)\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("the output lacks %q:\n%s", want, out)
		}
	}
}

func TestFormatPrintsThePlainForm(t *testing.T) {
	file := writeSheet(t, "Session: Plain\nWarm up\n- wall slides\npart a) 3 SETS own pace\n• 10 pushups\n")
	out, problems, code := runCommand(t, formatCommand(), "format", file)
	want := "session: Plain\ndate: 2027-02-01\n\nWarm-up:\nwall slide\n\nA. 3 sets, own pace\n10 push-up\n"
	if out != want || problems != "" || code != 0 {
		t.Errorf("got %q, %q, exit %d", out, problems, code)
	}
	bad := writeSheet(t, "session: Plain\nA. 3 sets\n10 pish-up\n")
	out, problems, code = runCommand(t, formatCommand(), "format", bad)
	if out != "" || !strings.HasPrefix(problems, bad+":3:4: unknown movement") || code != exitInput {
		t.Errorf("a sheet with errors: %q, %q, exit %d", out, problems, code)
	}
	if _, _, code := runCommand(t, formatCommand(), "format"); code != exitUsage {
		t.Errorf("no file: exit %d", code)
	}
	if _, problems, code := runCommand(t, formatCommand(), "format", bad+".none"); code != exitOutside {
		t.Errorf("a missing file: %q, exit %d", problems, code)
	}
}
