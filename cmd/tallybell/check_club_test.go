package main

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// clubFolder makes a folder of sheets with what else a club keeps beside them, and goes there.
func clubFolder(t *testing.T, files map[string]string) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		file := filepath.Join(dir, "sheets", name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
}

// The invented club's own row, hung from a roof beam.
const (
	beamRow = "pattern: row\n\nname: beam row\nmain: upper back\nhelping: biceps\nrep: pull the chest up to the beam\nseconds: 1.5-3\nkit: roof beam\ncue: ribs down\n"
	beamKit = "name: roof beam\nalso: beam\n"
	beamDay = "session: Beam\nkit: beam\nWarm-up:\nwall slide\n\nA. 3 sets, rest 1:00\n6 beam row\n"
)

func TestCheckUsesTheClubsOwnMovements(t *testing.T) {
	clubFolder(t, map[string]string{"movements/rows.txt": beamRow, "movements/kit.txt": beamKit, "movements/notes.md": "no movements",
		"2027-02-01.txt": beamDay, "2027-02-03.txt": beamDay})
	out, problems, code := runCommand(t, checkCommand(), "check", "sheets")
	if code != 0 || problems != "" || !strings.Contains(out, "  row                               6     36      2        1\n") {
		t.Errorf("the folder: exit %d, %q\n%s", code, problems, out)
	}
	for _, args := range [][]string{{"check", "sheets/2027-02-01.txt"}, {"check", "--json", "sheets/2027-02-01.txt"}} {
		out, problems, code = runCommand(t, checkCommand(), args...)
		if code != 0 || problems != "" || strings.Contains(out, "beam") {
			t.Errorf("%v: exit %d, %q, %q", args, code, problems, out)
		}
	}
	t.Chdir("sheets")
	if out, problems, code = runCommand(t, checkCommand(), "check", "2027-02-01.txt"); code != 0 || out+problems != "" {
		t.Errorf("from the folder itself: exit %d, %q, %q", code, problems, out)
	}
}

func TestMistakesInTheClubsOwnFiles(t *testing.T) {
	clubFolder(t, map[string]string{
		"movements/rows.txt":    strings.Replace(beamRow, "main: upper back", "main: uper back", 1),
		"movements/kit.txt":     beamKit,
		"movements/ladders.txt": strings.NewReplacer("beam row", "beam hang", "roof beam", "roof baem").Replace(beamRow),
		"week/bounds.txt":       "row stes: 9-15\n",
		"2027-02-01.txt":        strings.Replace(beamDay, "6 beam row", "6 push-up", 1),
	})
	out, problems, code := runCommand(t, checkCommand(), "check", "sheets")
	for _, want := range []string{
		"sheets/movements/rows.txt:4:7: main: want one of ",
		"sheets/movements/ladders.txt:8:6: \"beam hang\" needs kit \"roof baem\"",
		"sheets/week/bounds.txt:1:1: unknown number “row stes”; did you mean row sets?",
	} {
		if strings.Count(out, want) != 1 {
			t.Errorf("%q is not told once:\n%s", want, out)
		}
	}
	if code != exitInput || problems != "" {
		t.Errorf("exit %d, %q", code, problems)
	}
	out, _, code = runCommand(t, checkCommand(), "check", "sheets/2027-02-01.txt")
	if code != exitInput || !strings.Contains(out, "sheets/movements/rows.txt:4:7: ") || strings.Contains(out, "bounds") {
		t.Errorf("one sheet: exit %d\n%s", code, out)
	}
	if out, problems, code = runCommand(t, checkCommand(), "check", "sheets/movements", "sheets/week"); code != exitInput ||
		!strings.Contains(out, "rows.txt:4:7: ") || strings.Contains(out, "no session: line") || !strings.Contains(problems, "no sheets in sheets/week/") {
		t.Errorf("the club's folders themselves: exit %d, %q\n%s", code, problems, out)
	}
}

func TestBoundsOfTheClub(t *testing.T) {
	clubFolder(t, map[string]string{"2027-02-01.txt": strings.Replace(goodSheet, "10 push-up", "10 push-up\n8 backpack row, 8 kg\n  easier: 8 towel row\n  care: pull the door shut first", 1),
		"week/bounds.txt": "# invented\nrow sets: 9-15\nlevel push sets: 1-15\n"})
	out, problems, code := runCommand(t, checkCommand(), "check", "sheets")
	if want := "sheets/week/bounds.txt:2:1: warning: week of 2027-02-01, 1 session: row sets 3, the club wants 9-15\n"; !strings.Contains(out, want) || code != 0 || problems != "" {
		t.Errorf("exit %d, %q; want %q in\n%s", code, problems, want, out)
	}
	out, _, _ = runCommand(t, checkCommand(), "check", "--json", "sheets")
	if lines := strings.Split(strings.TrimSpace(out), "\n"); len(lines) != 2 || !strings.HasPrefix(lines[1], `{"file":"sheets/week/bounds.txt","errors":[],"warnings":[{"line":2,"column":1,`) {
		t.Errorf("lines of JSON:\n%s", out)
	}
}

func TestTwoSheetsOfOneDate(t *testing.T) {
	clubFolder(t, map[string]string{"2027-02-01.txt": goodSheet, "draft.txt": goodSheet})
	out, _, code := runCommand(t, checkCommand(), "check", "sheets")
	if code != 0 || !strings.Contains(out, "by pattern") || !strings.Contains(out, "sheets/2027-02-01.txt:2:7: warning: 2027-02-01 is the date of draft.txt too") ||
		!strings.Contains(out, "sheets/draft.txt:2:7: warning: 2027-02-01 is the date of 2027-02-01.txt too") || !strings.Contains(out, ": 1 session,") {
		t.Errorf("exit %d\n%s", code, out)
	}
	if err := os.WriteFile("sheets/2027-02-01.txt", []byte(strings.Replace(goodSheet, "push-up", "pish-up", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, _, code = runCommand(t, checkCommand(), "check", "sheets"); code != exitInput || strings.Contains(out, "by pattern") {
		t.Errorf("the first has a mistake, and the week counts the second: exit %d\n%s", code, out)
	}
}

func TestBalanceFiles(t *testing.T) {
	clubFolder(t, map[string]string{"2027-02-01.txt": goodSheet, "2027-02-02.txt": "session: <T> & co\nA. 3 sets\n10 pish-up\n"})
	plain, _, _ := runCommand(t, checkCommand(), "check", "sheets")
	for _, name := range []string{"week.txt", "week.json", "week.svg"} {
		out, problems, code := runCommand(t, checkCommand(), "check", "--balance", name, "sheets")
		if out != plain || problems != "" || code != exitInput {
			t.Errorf("%s: exit %d, %q, and other output than without it:\n%s", name, code, problems, out)
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		switch filepath.Ext(name) {
		case ".txt":
			if !strings.HasSuffix(plain, "\n"+string(text)) || len(text) == 0 {
				t.Errorf("the text is not what is printed:\n%s", text)
			}
		case ".json":
			var w struct {
				Weeks []struct {
					Start    string
					Sessions int
					Patterns []struct {
						Pattern    string
						Sets, Reps float64
					}
					Muscles []struct {
						Muscle         string
						FractionalSets float64 `json:"fractional_sets"`
					}
				}
			}
			if err := json.Unmarshal(text, &w); err != nil || len(w.Weeks) != 1 || w.Weeks[0].Start != "2027-02-01" || w.Weeks[0].Sessions != 1 ||
				w.Weeks[0].Patterns[0].Sets != 3 || w.Weeks[0].Muscles[1].FractionalSets != 1.5 {
				t.Errorf("%v: %+v", err, w)
			}
		case ".svg":
			d := xml.NewDecoder(strings.NewReader(string(text)))
			for {
				if _, err := d.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	for _, args := range [][]string{
		{"--balance", "week.pdf", "sheets"}, {"--balance", "", "sheets"}, {"--balance", "week.svg", "sheets", "sheets"},
		{"--balance", "week.svg", "sheets/2027-02-01.txt"}, {"--json", "--length", "sheets"},
		{"--balance", "sheets/2027-02-01.txt", "sheets"}, {"--balance", "./sheets/week.txt", "sheets/"},
	} {
		if _, _, code := runCommand(t, checkCommand(), append([]string{"check"}, args...)...); code != exitUsage {
			t.Errorf("%v: exit %d, want %d", args, code, exitUsage)
		}
	}
	if _, _, code := runCommand(t, checkCommand(), "check", "--balance", "none/week.svg", "sheets"); code != exitOutside {
		t.Errorf("a file that cannot be written: exit %d", code)
	}
}

func TestCheckShowsTheLength(t *testing.T) {
	clubFolder(t, map[string]string{"2027-02-01.txt": goodSheet})
	out, _, code := runCommand(t, checkCommand(), "check", "--length", "sheets/2027-02-01.txt")
	want := "sheets/2027-02-01.txt: about 1:59-5:30\n  warm-up: once through wall slide (20-60 s), up to 5 s to change: 0:20-1:00\n" +
		"  A: 3 sets of 10 push-up (1.3-3 s a rep), rest 0:30-1:30 (none told) after each of 2 sets: 1:39-4:30\n"
	if out != want || code != 0 {
		t.Errorf("exit %d, got\n%s\nwant\n%s", code, out, want)
	}
}
