package content

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

// FuzzParse holds that no bytes panic, that problems stand inside the sheet and in order, and that a sheet without
// errors formats to one that parses to the same session.
func FuzzParse(f *testing.F) {
	for _, c := range problemCases(f) {
		f.Add([]byte(c.text(f)))
	}
	files, _ := filepath.Glob("testdata/sheets/*.txt")
	for _, name := range files {
		if text, err := os.ReadFile(name); err == nil {
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		s, ps := Read(Builtin(), "s.txt", text)
		lines := strings.Count(string(text), "\n") + 1
		for i, p := range ps {
			if p.Line < 1 || p.Line > lines || p.Column < 1 || p.Message == "" || !utf8.ValidString(p.Message) {
				t.Fatalf("problem %+v in %q", p, text)
			}
			if i > 0 && (p.Line < ps[i-1].Line || p.Line == ps[i-1].Line && p.Column < ps[i-1].Column) {
				t.Fatalf("problems are not in order: %+v", ps)
			}
		}
		if len(Errors(ps)) > 0 {
			return
		}
		sameAgain(t, s)
		WeeksText(Weeks(Builtin(), []Session{s}))
		CheckWeek(Builtin(), []Session{s, s})
	})
}

// TestHostileSheets holds that sheets made to be slow or to break a reader are told in reasonable time.
func TestHostileSheets(t *testing.T) {
	head := "session: T\ndate: 2027-02-01\n"
	many := func(s string, n int) string { return strings.Repeat(s, n) }
	tests := []struct{ name, text string }{
		{"a megabyte line", head + "A. 3 sets\n10 " + many("x", 1<<20)},
		{"one byte too many", many("#", MaxSheet+1)},
		{"the longest line that is read", head + "A. 3 sets\n10 " + many("x", MaxSheet-60)},
		{"ten thousand parts", head + many("A. for quality\n1 plank\n", 10_000)},
		{"ten thousand unknown movements", head + "A. for quality\n" + many("7 plonk\n8 zzqx9\n", 10_000)},
		{"different unknown movements", head + "A. for quality\n" + differentNames(20_000)},
		{"settings without commas", head + "A. 3 sets " + many("optional ", 20_000)},
		{"settings with commas", head + "A. 3 sets" + many(", optional", 20_000)},
		{"commas", head + "A. 3 sets\n10 push-up" + many(",", 200_000)},
		{"words", head + "A. 3 sets\n10 push-up" + many(", a", 60_000)},
		{"rungs", head + "A. 1" + many("-1", 100_000) + " for time\npush-up"},
		{"blank words", head + "A. 3 sets\n" + many("a ", 120_000)},
		{"bullets", head + "A. 3 sets\n" + many("- ", 120_000) + "10 push-up"},
		{"NULs", many("\x00", 250_000)},
		{"NUL lines", many("\x00\n", 120_000)},
		{"broken bytes", many("\xff\xfe", 120_000)},
		{"line ends", many("\n", 250_000)},
		{"colons", head + "A. 3 sets\n" + many("1:", 100_000)},
		{"keys", many("a:\n", 80_000)},
		{"letters to choose", head + "choose: " + many("A ", 100_000) + "\nA. 3 sets\n10 push-up"},
		{"kit", head + "kit: " + many("chair,", 40_000)},
		{"unknown kit", head + "kit: " + many("chear,", 40_000)},
		{"many movements in many rounds", head + "A. 10000 rounds for time, cap 1:00\n" + many("10 push-up\n", 20_000)},
		{"comments", head + many("#\n", 100_000)},
		{"ways", head + "A. 3 sets\n1 plank\n" + many("or: 1 plank\n", 20_000)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			begin := time.Now()
			_, ps := Read(Builtin(), "s.txt", []byte(tt.text))
			if len(tt.text) > MaxSheet && len(ps) != 1 {
				t.Errorf("%d problems for a sheet that is too large, want one", len(ps))
			}
			for _, p := range ps {
				if len(p.Message) > 1000 {
					t.Fatalf("a message of %d bytes", len(p.Message))
				}
			}
			if took := time.Since(begin); took > 60*time.Second { // a hang, not a speed: seconds are what a busy machine takes with the race detector
				t.Errorf("took %s", took)
			}
		})
	}
}

func differentNames(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString("5 q" + itoa(i) + "\n")
	}
	return b.String()
}

// TestNoPanicOnCutSheets parses every beginning of every sheet of the tests.
func TestNoPanicOnCutSheets(t *testing.T) {
	text, err := os.ReadFile("testdata/sheets/untidy.txt")
	if err != nil {
		t.Fatal(err)
	}
	for i := range text {
		s, ps := Parse("s.txt", text[:i])
		if len(ps) == 0 {
			again, ps := Parse("s.txt", Format(s))
			if len(ps) > 0 || !reflect.DeepEqual(plain(s), plain(again)) {
				t.Fatalf("cut at %d: %v\n%s", i, ps, Format(s))
			}
		}
	}
}

func BenchmarkParseSheetOf60Lines(b *testing.B) {
	text, err := os.ReadFile("testdata/sheets/sample.txt")
	if err != nil {
		b.Fatal(err)
	}
	body := string(text) + "\n\n"
	body = strings.Replace(body, "Cool-down:", "E. 3 sets\n10 push-up\n  cue: slow\n\nF. for quality\n8 squat\n10 push-up\n  care: slow\n10 dead bug\n\nG. EMOM 4:00, in turn\n8 squat\n8 push-up\n\nCool-down:", 1)
	if n := strings.Count(body, "\n"); n < 58 {
		b.Fatalf("%d lines", n)
	}
	if _, ps := Parse("s.txt", []byte(body)); len(ps) > 0 {
		b.Fatal(ps)
	}
	b.ReportAllocs()
	for b.Loop() {
		Parse("s.txt", []byte(body))
	}
}
