package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/urfave/cli/v3"

	"tallybell/bot/reply"
	"tallybell/content"
	"tallybell/leaderboard"
)

// rankSheet is an invented session.
const rankSheet = `session: Kitchen floor
date: 2027-02-01

A. 3 sets, own pace
8 push-up

B. 4 stations of 1:00, max reps
push-up
squat
mountain climber
glute bridge

C. for quality
8 squat

D. 3 rounds for time, cap 18:00
12 squat
16 push-up
`

// readings answer for the reader, so that what is done with a reading is tested apart from how it is read.
func readings() map[string]reply.Reading {
	timed := func(part string, ms int64, v content.Version) reply.PartResult {
		yes := true
		return reply.PartResult{Part: part, Result: content.Result{Kind: content.KindTime, Finished: &yes, TimeMS: ms, Version: v}}
	}
	corrected := func(r reply.PartResult) reply.PartResult { r.Correction = true; return r }
	on := func(day string, r reply.PartResult) reply.PartResult { r.Day = day; return r }
	word := func(part string, v content.Version) reply.PartResult {
		return reply.PartResult{Part: part, Result: content.Result{Version: v}, Correction: true}
	}
	results := func(rs ...reply.PartResult) reply.Reading { return reply.Reading{Results: rs} }
	asking := func(r reply.Reading, part, about string) reply.Reading {
		r.Asks = append(r.Asks, reply.Ask{Part: part, About: about, Suggest: []string{}})
		return r
	}
	return map[string]reply.Reading{
		"14:32 aw":           results(timed("D", 872000, content.AsWritten)),
		"14:32 scaled":       results(timed("D", 872000, content.Scaled)),
		"13:00 aw":           results(timed("D", 780000, content.AsWritten)),
		"14:32":              asking(results(timed("D", 872000, "")), "D", "version"),
		"14:75":              asking(results(), "D", "value"),
		"21/18":              asking(results(), "B", "value"),
		"B aw, D ?":          asking(results(reply.PartResult{Part: "B", Result: content.Result{Kind: content.KindReps, Version: content.AsWritten}}), "D", "value"),
		"B 78":               asking(results(reply.PartResult{Part: "B", Result: content.Result{Kind: content.KindReps}}), "B", "version"),
		"fix D 14:23":        results(corrected(timed("D", 863000, ""))),
		"that was scaled":    results(word("", content.Scaled)),
		"D was scaled":       results(word("D", content.Scaled)),
		"scrap D":            {Command: "scrap", Results: []reply.PartResult{{Part: "D"}}},
		"scrap B":            {Command: "scrap", Results: []reply.PartResult{{Part: "B"}}},
		"thanks":             {Note: "thanks"},
		"done, no score":     results(reply.PartResult{Part: "D", Result: content.Result{Kind: content.KindDone}}),
		"yesterday 12:00 aw": results(on("2027-01-31", timed("D", 720000, content.AsWritten))),
		"monday 12:00 aw":    results(on("2027-02-01", timed("D", 720000, content.AsWritten))),
	}
}

func testRanking(problems *bytes.Buffer) *ranking {
	part := content.Part{Letter: "D", Scheme: content.Rounds, Rounds: 3, Cap: 18 * time.Minute}
	known := readings()
	return &ranking{part: part, date: "2027-02-01", errors: problems, members: map[string]*rankedMember{},
		tally: leaderboard.NewTally(content.Date{Year: 2027, Month: 2, Day: 1}, part, part, "kg"),
		read: func(text string) reply.Reading {
			r, ok := known[text]
			if !ok {
				panic("the test knows no reading of " + text)
			}
			return r
		}}
}

// ranked is the command's output in one line.
func ranked(t *testing.T, out []byte) string {
	t.Helper()
	var got struct {
		Boards []leaderboard.TallyBoard
		Unread []struct {
			Name, Reply string
			Asks        []reply.Ask
		}
	}
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	var b strings.Builder
	for _, board := range got.Boards {
		fmt.Fprintf(&b, "%s %s:", board.Division, board.Version)
		for _, e := range board.Entries {
			fmt.Fprintf(&b, " %d %s %s", e.Rank, e.Name, e.Result)
		}
		b.WriteString("; ")
	}
	for _, u := range got.Unread {
		fmt.Fprintf(&b, "unread %s %q", u.Name, u.Reply)
		for _, a := range u.Asks {
			fmt.Fprintf(&b, " %s", a.Part+"/"+a.About)
		}
		b.WriteString("; ")
	}
	return b.String()
}

func TestRankLines(t *testing.T) {
	tests := []struct {
		name  string
		lines []string // of Ann, in women
		want  string
	}{
		{"a result", []string{"14:32 aw"}, "women as_written: 1 Ann 14:32; "},
		{"a later result replaces the earlier, better or not", []string{"13:00 aw", "14:32 scaled"}, "women scaled: 1 Ann 14:32; "},
		{"talk is not listed", []string{"thanks"}, ""},
		{"no version", []string{"14:32"}, `unread Ann "14:32" D/version; `},
		{"a replacement without a version stands on no board", []string{"13:00 aw", "14:32"}, `unread Ann "14:32" D/version; `},
		{"the version told after", []string{"14:32", "that was scaled"}, "women scaled: 1 Ann 14:32; "},
		{"the version told by its part", []string{"14:32", "D was scaled"}, "women scaled: 1 Ann 14:32; "},
		{"the version mended", []string{"14:32 aw", "that was scaled"}, "women scaled: 1 Ann 14:32; "},
		{"a word about the last result, of another part", []string{"14:32 aw", "B 78", "that was scaled"}, "women as_written: 1 Ann 14:32; "},
		{"a word when both wait is for both", []string{"14:32", "B 78", "that was scaled"}, "women scaled: 1 Ann 14:32; "},
		{"a version of nothing", []string{"D was scaled"}, `unread Ann "D was scaled" D/value; `},
		{"a result with all it needs ends the question", []string{"14:32", "13:00 aw"}, "women as_written: 1 Ann 13:00; "},
		{"not to be read", []string{"14:75", "14:32 aw"}, `women as_written: 1 Ann 14:32; unread Ann "14:75" D/value; `},
		{"a correction keeps the version", []string{"14:32 scaled", "fix D 14:23"}, "women scaled: 1 Ann 14:23; "},
		{"a correction while the version is open", []string{"14:32", "fix D 14:23", "D was scaled"}, "women scaled: 1 Ann 14:23; "},
		{"a correction of nothing asks the version", []string{"fix D 14:23"}, `unread Ann "fix D 14:23" D/version; `},
		{"a correction of done asks it too", []string{"done, no score", "fix D 14:23"}, `unread Ann "fix D 14:23" D/version; `},
		{"scrapped", []string{"14:32 aw", "scrap D"}, ""},
		{"scrapped while open", []string{"14:32", "scrap D"}, ""},
		{"another part scrapped", []string{"14:32 aw", "scrap B"}, "women as_written: 1 Ann 14:32; "},
		{"other parts are ignored", []string{"B 78", "21/18"}, ""},
		{"of two parts the one that counts", []string{"B aw, D ?"}, `unread Ann "B aw, D ?" D/value; `},
		{"done without a score ranks nobody", []string{"14:32 aw", "done, no score"}, ""},
		{"another day is another board", []string{"yesterday 12:00 aw"}, ""},
		{"the day by its name", []string{"monday 12:00 aw"}, "women as_written: 1 Ann 12:00; "},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var in strings.Builder
			for _, l := range tt.lines {
				in.WriteString("Ann\twomen\t" + l + "\n")
			}
			var out, problems bytes.Buffer
			if err := testRanking(&problems).run(strings.NewReader(in.String()), &out); err != nil || problems.Len() > 0 {
				t.Fatalf("error %v, told %s", err, problems.String())
			}
			if got := ranked(t, out.Bytes()); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func TestRankBadLines(t *testing.T) {
	in := "\ufeffAnn\twomen\t14:32 aw\r\n" + // a byte order mark and CRLF are no mistake
		"\n" +
		"Bo 14:32\n" +
		"\twomen\t14:32 aw\n" +
		"Cleo\ta:b\t14:32 aw\n" +
		"Dot\twomen\t13:00 aw"
	var out, problems bytes.Buffer
	err := testRanking(&problems).run(strings.NewReader(in), &out)
	var coder cli.ExitCoder
	if !errors.As(err, &coder) || coder.ExitCode() != exitInput {
		t.Errorf("error %v, want exit %d", err, exitInput)
	}
	want := "stdin:3:1: want NAME, DIVISION and REPLY with a tab between each\n" +
		"stdin:4:1: no name before the first tab\n" +
		"stdin:5:6: division \"a:b\" holds a colon or a brace: take it out\n"
	if problems.String() != want {
		t.Errorf("told\n%swant\n%s", problems.String(), want)
	}
	if got, want := ranked(t, out.Bytes()), "women as_written: 1 Dot 13:00 2 Ann 14:32; "; got != want {
		t.Errorf("the good lines give %s, want %s", got, want)
	}
}

func TestRankEmptyInputPrintsEmptyLists(t *testing.T) {
	var out, problems bytes.Buffer
	if err := testRanking(&problems).run(strings.NewReader(""), &out); err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(strings.Fields(out.String()), ""); got != `{"boards":[],"unread":[]}` {
		t.Errorf("got %s", got)
	}
}

// runAlone runs one command with arguments and returns its exit code and what it wrote.
func runAlone(t *testing.T, cmd *cli.Command, stdin string, args ...string) (code int, out, problems string) {
	t.Helper()
	var o, p bytes.Buffer
	root := &cli.Command{Name: "tallybell", Reader: strings.NewReader(stdin), Writer: &o, ErrWriter: &p,
		ExitErrHandler: func(context.Context, *cli.Command, error) {}, Commands: []*cli.Command{cmd}}
	err := root.Run(context.Background(), append([]string{"tallybell", cmd.Name}, args...))
	if err == nil {
		return 0, o.String(), p.String()
	}
	var coder cli.ExitCoder
	if errors.As(err, &coder) {
		return coder.ExitCode(), o.String(), p.String() + err.Error()
	}
	return exitUsage, o.String(), p.String() + err.Error()
}

func TestRankUsage(t *testing.T) {
	dir := t.TempDir()
	sheet, broken := filepath.Join(dir, "s.txt"), filepath.Join(dir, "b.txt")
	for file, text := range map[string]string{sheet: rankSheet, broken: "session: x\ndate: 2027-02-01\n\nA. 3 wat\n"} {
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	tests := []struct {
		name string
		args []string
		code int
		want string
	}{
		{"nothing to do", []string{"--sheet", sheet, "--part", "D"}, 0, ""},
		{"a small letter", []string{"--sheet", sheet, "--part", "d"}, 0, ""},
		{"no sheet", []string{"--part", "D"}, exitUsage, "--sheet"},
		{"no part", []string{"--sheet", sheet}, exitUsage, "--part"},
		{"a part that is not there", []string{"--sheet", sheet, "--part", "E"}, exitUsage, "no such part: it has A, B, C, D"},
		{"a part that is not scored", []string{"--sheet", sheet, "--part", "A"}, exitUsage, "not scored"},
		{"arguments", []string{"--sheet", sheet, "--part", "D", "x"}, exitUsage, "no arguments"},
		{"an unknown flag", []string{"--sheet", sheet, "--part", "D", "--wat"}, exitUsage, "wat"},
		{"units", []string{"--sheet", sheet, "--part", "D", "--units", "stone"}, exitUsage, "--units stone: want kg or lb"},
		{"usual", []string{"--sheet", sheet, "--part", "D", "--usual", "rx"}, exitUsage, "--usual rx"},
		{"date", []string{"--sheet", sheet, "--part", "D", "--date", "2027-02-30"}, exitUsage, "2027-02-30"},
		{"kit", []string{"--sheet", sheet, "--part", "D", "--kit", "bakpack"}, exitUsage, "backpack"},
		{"level", []string{"--sheet", sheet, "--part", "D", "--level", "hero"}, exitUsage, "--level"},
		{"a sheet with errors", []string{"--sheet", broken, "--part", "A"}, exitInput, "b.txt:4:"},
		{"a sheet that cannot be read", []string{"--sheet", dir + "/none.txt", "--part", "D"}, exitOutside, "cannot read"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, out, problems := runAlone(t, rankCommand(), "", tt.args...)
			if code != tt.code || !strings.Contains(problems, tt.want) {
				t.Errorf("exit %d, told %q; want exit %d and %q", code, problems, tt.code, tt.want)
			}
			if code != 0 && out != "" {
				t.Errorf("stdout has %q", out)
			}
		})
	}
}
