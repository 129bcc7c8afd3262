package content

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// problemCase is a block of testdata/sheets/problems.txt: "=== name" or "=== name | file name", the sheet, "---",
// and the problems as the check command prints them. Blocks whose name begins with "head " are whole sheets; in the
// others a title and a date are put before the sheet, on its first line.
type problemCase struct {
	name, file, sheet, want string
}

const problemsFile = "testdata/sheets/problems.txt"

func problemCases(t testing.TB) []problemCase {
	t.Helper()
	text, err := os.ReadFile(problemsFile)
	if err != nil {
		t.Fatal(err)
	}
	var cases []problemCase
	for _, block := range strings.Split(string(text), "=== ")[1:] {
		name, rest, _ := strings.Cut(block, "\n")
		name, file, named := strings.Cut(name, " | ")
		if !named {
			file = "s.txt"
		}
		sheet, want, _ := strings.Cut(rest, "---\n")
		cases = append(cases, problemCase{name, file, sheet, want})
	}
	return cases
}

// text is the sheet that the case reads. Escapes such as \x00 and \u202E stand for what cannot be seen.
func (c problemCase) text(t testing.TB) string {
	s := c.sheet
	for _, e := range [][2]string{{`\x00`, "\x00"}, {`\xff`, "\xff"}, {`\x1b`, "\x1b"}, {`\r`, "\r"}, {`\u202E`, "\u202e"}, {`\u2066`, "\u2066"}, {`\u200B`, "\u200b"}, {`\uFEFF`, "\ufeff"}} {
		s = strings.ReplaceAll(s, e[0], e[1])
	}
	if !strings.HasPrefix(c.name, "head ") {
		s = "session: T\ndate: 2027-02-01\nWarm-up:\nwall slide\n" + s
	}
	return s
}

func TestProblemsOfSheets(t *testing.T) {
	var written bytes.Buffer
	for _, c := range problemCases(t) {
		_, ps := Read(Builtin(), c.file, []byte(c.text(t)))
		var got strings.Builder
		for _, p := range ps {
			got.WriteString(p.In("s") + "\n")
		}
		file := ""
		if c.file != "s.txt" {
			file = " | " + c.file
		}
		written.WriteString("=== " + c.name + file + "\n" + c.sheet + "---\n" + got.String())
		if !*update && got.String() != c.want {
			t.Errorf("%s:\n%s\ngot:\n%s\nwant:\n%s", c.name, c.sheet, got.String(), c.want)
		}
	}
	if *update {
		if err := os.WriteFile(filepath.FromSlash(problemsFile), written.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
