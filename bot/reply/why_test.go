package reply

import (
	"go/ast"
	"go/parser"
	gotoken "go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// steps reads a reply and returns the steps as well.
func steps(text string, in Input) (Reading, []Step) {
	var out []Step
	in.Why = &out
	return Read(text, in), out
}

// Every result and every ask of the corpus is owed to a rule, and asking why changes no reading.
func TestEveryResultAndAskTellsWhy(t *testing.T) {
	for _, c := range loadCases(t) {
		got, why := steps(c.reply, c.in)
		if plain := Read(c.reply, c.in); encode(t, got) != encode(t, plain) {
			t.Errorf("%q is read otherwise when it is asked why", c.reply)
		}
		if lacks := notTold(got, why); lacks != "" {
			t.Errorf("%q: no step for %s in\n%s", c.reply, lacks, lines(why))
		}
		if got.Note != "" && len(why) == 0 {
			t.Errorf("%q: no step at all", c.reply)
		}
	}
}

// notTold is the first result or ask that no step comes to, "" when there is none.
func notTold(r Reading, why []Step) string {
	for _, x := range r.Results {
		begins := strings.TrimSpace(x.Part + " " + string(x.Kind))
		if !slices.ContainsFunc(why, func(s Step) bool { return s.Came == outcome(x) || begins != "" && strings.HasPrefix(s.Came, begins) }) {
			return outcome(x)
		}
	}
	for _, a := range r.Asks {
		if !slices.ContainsFunc(why, func(s Step) bool { return s.Came == "?"+a.Part+" "+a.About }) {
			return "?" + a.Part + " " + a.About
		}
	}
	return ""
}

func lines(why []Step) string {
	var b strings.Builder
	for _, s := range why {
		b.WriteString("  " + s.String() + "\n")
	}
	return b.String()
}

// The steps of some replies, as read --why tells them: testdata/why.txt, a reply a block.
func TestWhyGolden(t *testing.T) {
	const file = "testdata/why.txt"
	in := inputFor(t, "hall")
	eased := inputFor(t, "fitted")
	eased = setting(t, eased, "level easier")
	var b strings.Builder
	tell := func(in Input, sheet, text string) {
		got, why := steps(text, in)
		b.WriteString("> " + strconv.Quote(text) + " (" + sheet + ")\n= " + brief(got) + "\n" + lines(why) + "\n")
	}
	for _, text := range []string{
		"D 14:32 scaled rpe 8, left knee a bit sore", "A ✅ B 21/18/15/24, C 5+12 rx", "D 14.32 rx", "fourteen thirty-two, as written", "D 14:75 scaled",
		"capped at 2+14 rx", "D 8 left scaled", "D 4:10 8:55 13:57 rx", "about 14:32", "12 for B and 9:10 for D rx", "yesterday: D 14:32, C 5+12 scaled", "D 14:32 rx, see you at 6:30",
		"fix D to 14:23", "D 14:32 on incline", "D 14½ min aw", "scrap D", "is the board up?", "a 14:32 rx 11/10", "no chest pain, 14:32 rx",
	} {
		tell(in, "hall", text)
	}
	tell(eased, "fitted, level easier", "D 12:10")
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("differs from %s; -update rewrites it\n%s", file, b.String())
	}
}

// Every rule has a name of its own, one line, a use in the reader, and a case of the corpus that meets it.
func TestRulesAreComplete(t *testing.T) {
	names := map[string]Rule{} // by constant
	uses := map[string]int{}
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(gotoken.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ValueSpec:
				if id, ok := n.Type.(*ast.Ident); ok && id.Name == "Rule" && len(n.Values) == 1 {
					name, err := strconv.Unquote(n.Values[0].(*ast.BasicLit).Value)
					if err != nil {
						t.Fatal(err)
					}
					names[n.Names[0].Name] = Rule(name)
				}
			case *ast.Ident:
				if file != "rules.go" {
					uses[n.Name]++
				}
			}
			return true
		})
	}
	met := map[Rule]bool{}
	for _, c := range loadCases(t) {
		_, why := steps(c.reply, c.in)
		for _, s := range why {
			met[s.Rule] = true
		}
	}
	in := inputFor(t, "hall")
	in.Insist = true
	_, why := steps("D 0:20 rx", in)
	for _, s := range why {
		met[s.Rule] = true
	}
	told := map[Rule]string{}
	for _, r := range Rules() {
		if told[r.Name] != "" || r.Does == "" || strings.Contains(r.Does, "\n") {
			t.Errorf("%q is told twice, or not in one line", r.Name)
		}
		told[r.Name] = r.Does
	}
	for constant, name := range names {
		if told[name] == "" {
			t.Errorf("Rules() does not tell %q", name)
		}
		if uses[constant] == 0 && !strings.HasPrefix(string(name), "asks ") {
			t.Errorf("nothing is owed to %s", constant)
		}
		if !met[name] {
			t.Errorf("no case meets %q", name)
		}
		delete(met, name)
		delete(told, name)
	}
	for name := range told {
		t.Errorf("Rules() tells %q, which is no rule", name)
	}
	for name := range met {
		t.Errorf("a step names %q, which is no rule", name)
	}
}
