package reply

import (
	"bufio"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tallybell/content"
)

var update = flag.Bool("update", false, "rewrite the expectations of testdata/cases with what is read now; read the difference")

// Cases are in testdata/cases/*.txt. A line
//
//	@ sheet NAME          reads what follows against testdata/sheets/NAME.txt and resets the settings
//	@ usual scaled        and "@ units lb", "@ today 2027-02-02", "@ eased D": settings
//	@ kit towel, door     (or none), "@ level easier", "@ level row=harder" (a pattern's name), "@ limits quiet",
//	                      "@ swap squat=half squat": the session is fitted
//	> TEXT                is a reply; \n stands for a line break, and "..." is a quoted string with Go's escapes
//	= READING             is all of what it says, in the form of brief
//	~ TEXT | TEXT         are the suggestions of the first ask, where they matter
//	! WHY                 says that the case is known to fail; the test fails when it passes
//
// and # starts a comment.
type testCase struct {
	file    string
	line    int
	reply   string
	want    string
	suggest string
	fails   string
	in      Input
}

func TestCases(t *testing.T) {
	for _, c := range loadCases(t) {
		t.Run(fmt.Sprintf("%s:%d", filepath.Base(c.file), c.line), func(t *testing.T) {
			got := Read(c.reply, c.in)
			right := brief(got) == c.want && (c.suggest == "" || suggestions(got) == c.suggest)
			switch {
			case c.fails != "" && right:
				t.Errorf("%q is listed as a known failure and passes: take the ! line away", c.reply)
			case c.fails == "" && !right:
				t.Errorf("%q\n got %s\nwant %s", c.reply, brief(got), c.want)
				if c.suggest != "" {
					t.Errorf("suggests %s, want %s", suggestions(got), c.suggest)
				}
			}
		})
	}
}

// TestThereAreManyCases keeps the corpus from being lost to a renamed folder.
func TestThereAreManyCases(t *testing.T) {
	if n := len(loadCases(t)); n < 400 {
		t.Errorf("%d cases, want at least 400", n)
	}
}

func suggestions(r Reading) string {
	if len(r.Asks) == 0 {
		return ""
	}
	return strings.Join(r.Asks[0].Suggest, " | ")
}

func loadCases(t testing.TB) []testCase {
	t.Helper()
	files, err := filepath.Glob("testdata/cases/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	var all []testCase
	for _, file := range files {
		all = append(all, loadFile(t, file)...)
	}
	return all
}

func loadFile(t testing.TB, file string) []testCase {
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []testCase
	var in Input
	lines := bufio.NewScanner(f)
	for n := 1; lines.Scan(); n++ {
		mark, rest, _ := strings.Cut(lines.Text(), " ")
		switch mark {
		case "", "#":
		case "@":
			in = setting(t, in, rest)
		case ">":
			out = append(out, testCase{file: file, line: n, reply: unquote(t, rest), in: in})
		case "=":
			out[len(out)-1].want = rest
		case "~":
			out[len(out)-1].suggest = rest
		case "!":
			out[len(out)-1].fails = rest
		default:
			t.Fatalf("%s:%d: unknown mark %q", file, n, mark)
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	if *update {
		rewrite(t, file, out)
	}
	return out
}

func unquote(t testing.TB, s string) string {
	if strings.HasPrefix(s, `"`) && strings.HasSuffix(s, `"`) {
		u, err := strconv.Unquote(s)
		if err != nil {
			t.Fatalf("%s: %v", s, err)
		}
		return u
	}
	return strings.ReplaceAll(s, `\n`, "\n")
}

func setting(t testing.TB, in Input, line string) Input {
	key, value, _ := strings.Cut(line, " ")
	switch key {
	case "sheet":
		return inputFor(t, value)
	case "usual":
		in.Usual = content.Version(value)
	case "units":
		in.Units = value
	case "today":
		d, err := content.ParseDate(value)
		if err != nil {
			t.Fatal(err)
		}
		in.Today = d
	case "only":
		posted := in.Session
		in.Sheet = func(d content.Date) (content.FittedSession, bool) { return posted, d == posted.Session.Date }
	case "eased":
		in.Session.Changes = append(in.Session.Changes, content.Changed{Part: value, Eased: true, Was: "push-up", Now: "knee push-up"})
	case "kit", "level", "limits", "swap":
		in.Session = content.Fitted(in.Session.Sheet, fitWith(t, in.Session.Fit, key, value), in.Library)
	default:
		t.Fatalf("unknown setting %q", key)
	}
	return in
}

// fitWith adds one setting to a fit.
func fitWith(t testing.TB, f content.Fit, key, value string) content.Fit {
	var list []string
	for _, s := range strings.Split(value, ",") {
		if s = strings.TrimSpace(s); s != "none" {
			list = append(list, s)
		}
	}
	name, now, one := strings.Cut(value, "=")
	switch key {
	case "kit":
		for _, k := range list {
			if _, ok := content.Builtin().KitNamed(k); !ok {
				t.Fatalf("no such kit: %q", k)
			}
		}
		f.Kit, f.KitKnown = list, true
	case "limits":
		for _, l := range list {
			if !slices.Contains(content.Limits(), l) {
				t.Fatalf("no such limit: %q", l)
			}
		}
		f.Limits = list
	case "level":
		if one {
			f.Levels = map[string]string{name: now}
		} else {
			f.Level = value
		}
	case "swap":
		f.Swaps = map[string]string{name: now}
	}
	return f
}

// clubLibrary is the library with the movements of testdata/club in the place of its own.
func clubLibrary(t testing.TB) *content.Library {
	t.Helper()
	files, err := filepath.Glob("testdata/club/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no movements: %v", err)
	}
	var entries []*content.Entry
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		es, problems := content.ParseMovements(file, text)
		for _, p := range problems {
			t.Fatal(p.In(file))
		}
		entries = append(entries, es...)
	}
	lib, err := content.Builtin().With(entries, nil)
	if err != nil {
		t.Fatal(err)
	}
	return lib
}

// inputFor reads a sheet of testdata/sheets; today is its date. The sheets that cases fit are read with the movements
// of testdata/club.
func inputFor(t testing.TB, name string) Input {
	t.Helper()
	text, err := os.ReadFile("testdata/sheets/" + name + ".txt")
	if err != nil {
		t.Fatal(err)
	}
	lib := content.Builtin()
	if name == "fitted" || name == "sided" {
		lib = clubLibrary(t)
	}
	s, problems := content.ParseWith(lib, name+".txt", text)
	for _, p := range content.Errors(problems) {
		t.Fatal(p.In(name))
	}
	return Input{Session: content.Unfitted(s), Library: lib, Today: s.Date}
}

// rewrite replaces the = lines of a file with what is read now.
func rewrite(t testing.TB, file string, cases []testCase) {
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	k := 0
	for _, line := range strings.Split(string(text), "\n") {
		if strings.HasPrefix(line, "= ") || line == "=" {
			continue
		}
		out = append(out, line)
		if strings.HasPrefix(line, "> ") {
			out = append(out, "= "+brief(Read(cases[k].reply, cases[k].in)))
			k++
		}
	}
	if err := os.WriteFile(file, []byte(strings.Join(out, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
}
