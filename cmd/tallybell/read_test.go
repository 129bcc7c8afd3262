package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/urfave/cli/v3"
)

const readSheet1 = `session: Kitchen and stairwell
date: 2027-02-01

A. 3 sets
12 backpack row

D: wrong
`

const readSheetGood = `session: Kitchen and stairwell
date: 2027-02-01

A. 3 sets
12 push-up

B. for time, cap 16:00
40 push-up
60 air squat

C. heaviest 5
5 backpack row
`

// readWith runs the read command with that input.
func readWith(t *testing.T, stdin string, args ...string) (out, problems string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	root := &cli.Command{
		Name: "tallybell", Reader: strings.NewReader(stdin), Writer: &o, ErrWriter: &e, Commands: []*cli.Command{readCommand()},
		ExitErrHandler: func(context.Context, *cli.Command, error) {},
	}
	err := root.Run(t.Context(), append([]string{"tallybell", "read"}, args...))
	if err != nil {
		code = exitUsage
		if coder, ok := err.(cli.ExitCoder); ok {
			code = coder.ExitCode()
		}
		e.WriteString(err.Error())
	}
	return o.String(), e.String(), code
}

func sheetFile(t *testing.T, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "2027-02-01.txt")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestReadCommandPrintsOneObjectALine(t *testing.T) {
	file := sheetFile(t, readSheetGood)
	out, problems, code := readWith(t, "B 14:32 scaled\n\nlegs <3\r\nA done", "--sheet", file)
	want := `{"reply":"B 14:32 scaled","results":[{"part":"B","kind":"time","finished":true,"time_ms":872000,"version":"scaled"}],"asks":[],"care":"none","note":"","command":"","question":false}
{"reply":"","results":[],"asks":[],"care":"none","note":"","command":"","question":false}
{"reply":"legs <3","results":[],"asks":[],"care":"none","note":"legs <3","command":"","question":false}
{"reply":"A done","results":[{"part":"A","kind":"done","version":""}],"asks":[],"care":"none","note":"","command":"","question":false}
`
	if out != want || code != 0 || problems != "" {
		t.Errorf("exit %d, %s\n got %s\nwant %s", code, problems, out, want)
	}
}

func TestReadCommandTakesItsSettings(t *testing.T) {
	file := sheetFile(t, readSheetGood)
	out, _, code := readWith(t, "C 95\n", "--sheet", file, "--units", "lb", "--usual", "scaled", "--date", "2027-02-02")
	want := `"results":[{"part":"C","kind":"load","load_g":43091,"version":"scaled","day":"2027-02-01"}]`
	if !strings.Contains(out, want) || code != 0 {
		t.Errorf("exit %d: %s", code, out)
	}
}

func TestReadCommandTellsBadLines(t *testing.T) {
	file := sheetFile(t, readSheetGood)
	out, problems, code := readWith(t, `{"reply":"B 14:32\nrpe 8","more":1}
{"reply":5}
nonsense
{"text":"B 14:32"}
{"reply":"A done"}
`, "--sheet", file, "--jsonl")
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if len(lines) != 5 || code != exitInput {
		t.Fatalf("exit %d:\n%s", code, out)
	}
	for i, want := range []string{`"effort":8`, `{"error":"`, `{"error":"`, `{"error":"`, `"part":"A"`} {
		if !strings.Contains(lines[i], want) {
			t.Errorf("line %d: %s, want %s", i+1, lines[i], want)
		}
	}
	for _, want := range []string{"stdin:2: ", "stdin:3: ", "stdin:4: "} {
		if !strings.Contains(problems, want) {
			t.Errorf("stderr does not tell %q: %s", want, problems)
		}
	}
	_, problems, code = readWith(t, "B 14:32\n\xff\xfe\n", "--sheet", file)
	if code != exitInput || !strings.Contains(problems, "stdin:2: ") {
		t.Errorf("exit %d: %s", code, problems)
	}
}

// --why leaves stdout as it is and tells the rules of each line on stderr.
func TestReadCommandTellsWhy(t *testing.T) {
	file := sheetFile(t, readSheetGood)
	stdin := "B 14.32 scaled\nB 14 rx\n"
	plain, _, _ := readWith(t, stdin, "--sheet", file)
	out, problems, code := readWith(t, stdin, "--sheet", file, "--why")
	want := `stdin:1: why: label: "B" -> part B
stdin:1: why: version word: "scaled" -> scaled
stdin:1: why: form: minutes and seconds with a point: "14.32" -> 14:32
stdin:1: why: time: "B 14.32 scaled" -> B time 14:32
stdin:2: why: label: "B" -> part B
stdin:2: why: version word: "rx" -> as written
stdin:2: why: form: bare number: "14" -> 14
stdin:2: why: asks value: bare number on a time: "B 14 rx" -> ?B value
`
	if out != plain || problems != want || code != 0 {
		t.Errorf("exit %d\n%s\n got %s\nwant %s", code, out, problems, want)
	}
	if out, problems, code = readWith(t, "", "--rules"); code != 0 || problems != "" || !strings.Contains(out, "\nasks value: seconds of 60 and over ") {
		t.Errorf("exit %d: %s\n%s", code, problems, out)
	}
}

func TestReadCommandReadsLinesOfAnyLength(t *testing.T) {
	file := sheetFile(t, readSheetGood)
	long := "B 14:32 rx, " + strings.Repeat("what a session ", 20_000)
	out, _, code := readWith(t, long+"\nA done\n", "--sheet", file)
	if code != 0 || !strings.Contains(out, `"time_ms":872000`) || !strings.Contains(out, `"part":"A"`) {
		t.Errorf("exit %d, %d bytes", code, len(out))
	}
}

func TestReadCommandUsage(t *testing.T) {
	file, bad := sheetFile(t, readSheetGood), sheetFile(t, readSheet1)
	for name, c := range map[string]struct {
		args []string
		code int
	}{
		"no sheet":         {nil, exitUsage},
		"unknown version":  {[]string{"--sheet", file, "--usual", "rx"}, exitUsage},
		"unknown units":    {[]string{"--sheet", file, "--units", "stone"}, exitUsage},
		"bad date":         {[]string{"--sheet", file, "--date", "2027-02-30"}, exitUsage},
		"bad level":        {[]string{"--sheet", file, "--level", "expert"}, exitUsage},
		"unknown flag":     {[]string{"--sheet", file, "--loud"}, exitUsage},
		"an argument":      {[]string{"--sheet", file, "more"}, exitUsage},
		"no such file":     {[]string{"--sheet", file + ".none"}, exitOutside},
		"sheet has errors": {[]string{"--sheet", bad}, exitInput},
	} {
		if out, problems, code := readWith(t, "A done\n", c.args...); code != c.code || out != "" {
			t.Errorf("%s: exit %d, want %d: %s%s", name, code, c.code, out, problems)
		}
	}
	if _, problems, _ := readWith(t, "", "--sheet", bad); !strings.Contains(problems, bad+":") {
		t.Errorf("problems are not told by file and line: %s", problems)
	}
}

// A reading leaves before the next line is waited for.
func TestReadCommandAnswersAsLinesCome(t *testing.T) {
	file := sheetFile(t, readSheetGood)
	in, feed, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	got, answer, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() {
		root := &cli.Command{Name: "tallybell", Reader: in, Writer: answer, ErrWriter: os.Stderr, Commands: []*cli.Command{readCommand()}}
		done <- root.Run(t.Context(), []string{"tallybell", "read", "--sheet", file})
		answer.Close()
	}()
	for range 2 {
		if _, err := feed.WriteString("A done\n"); err != nil {
			t.Fatal(err)
		}
		if err := got.SetReadDeadline(time.Now().Add(10 * time.Second)); err != nil {
			t.Fatal(err)
		}
		b := make([]byte, 4096)
		n, err := got.Read(b)
		if err != nil || !strings.HasSuffix(string(b[:n]), "}\n") {
			t.Fatalf("%q, %v", b[:n], err)
		}
	}
	feed.Close()
	if err := <-done; err != nil {
		t.Error(err)
	}
}
