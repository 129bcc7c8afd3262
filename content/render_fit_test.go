package content

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// fitCase is one member of the golden texts. All are invented.
type fitCase struct {
	name string
	fit  Fit
}

func fitCases() []fitCase {
	kits := func(names ...string) Fit { slices.Sort(names); return Fit{Kit: names, KitKnown: true} }
	with := func(f Fit, change func(*Fit)) Fit { change(&f); return f }
	return []fitCase{
		{"untold", Fit{}},
		{"nothing", kits()},
		{"pack_chair", kits("backpack", "sturdy chair")},
		{"bar_bell", with(kits("pull-up bar", "kettlebell"), func(f *Fit) { f.Units = "lb" })},
		{"easier", with(kits("backpack", "towel", "resistance band", "sturdy chair"), func(f *Fit) { f.Level = LevelEasier })},
		{"harder", with(kits("backpack", "pull-up bar", "rings", "skipping rope", "two dumbbells"), func(f *Fit) { f.Level = LevelHarder })},
		{"quiet", with(kits("backpack", "sturdy chair"), func(f *Fit) { f.Limits = []string{LimitNoJumping, LimitQuiet} })},
		{"gentle", with(kits(), func(f *Fit) {
			f.Limits = []string{LimitNoWrists, LimitNoInversion, LimitNoMaxEffort, LimitNoOverhead, LimitNotFaceDown}
			slices.Sort(f.Limits)
		})},
	}
}

// cardsToo are the combinations whose card is kept as well.
var cardsToo = []string{"ledge_pack_chair", "bells_bar_bell", "lanterns_quiet", "cliff_gentle", "percent_nothing"}

// fitSheets reads the invented sheets of testdata/fit.
func fitSheets(t *testing.T) map[string]Session {
	t.Helper()
	files, err := filepath.Glob("testdata/fit/*.txt")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d sheets, want a dozen (%v)", len(files), err)
	}
	out := map[string]Session{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		s, problems := Parse(filepath.Base(file), text)
		if errs := Errors(problems); len(errs) > 0 {
			t.Fatalf("%s", errs[0].In(file))
		}
		out[strings.TrimSuffix(filepath.Base(file), ".txt")] = s
	}
	return out
}

// Every sheet for every member: what is kept is read aloud before it is kept, and holds what must never be missing.
func TestFittedTextGolden(t *testing.T) {
	if *update {
		if err := os.MkdirAll("testdata/fit/golden", 0o755); err != nil {
			t.Fatal(err)
		}
	}
	lib := Builtin()
	for name, s := range fitSheets(t) {
		for _, c := range fitCases() {
			id := name + "_" + c.name
			t.Run(id, func(t *testing.T) {
				fs := Fitted(s, c.fit, lib)
				text, card := Text(fs, lib), NewCard(fs, lib)
				golden(t, "fit/golden/"+id+".txt", text)
				if slices.Contains(cardsToo, id) {
					b, err := json.MarshalIndent(card, "", "  ")
					if err != nil {
						t.Fatal(err)
					}
					golden(t, "fit/golden/"+id+".json", string(b)+"\n")
				}
				checkFittedText(t, fs, text, card, lib)
			})
		}
	}
}

func checkFittedText(t *testing.T, fs FittedSession, text string, card Card, lib *Library) {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		if n := len([]rune(line)); n > 400 {
			t.Errorf("a line of %d characters: %s", n, line)
		}
		if line != strings.TrimRight(line, " ") || strings.Contains(line, "\t") {
			t.Errorf("untidy line %q", line)
		}
	}
	for _, bad := range []string{"%!", "\n\n\n", " 0 ", "as_written", "()", "; )", ": \n"} {
		if strings.Contains(strings.ReplaceAll(text, "write 0 for it", ""), bad) {
			t.Errorf("the text holds %q", bad)
		}
	}
	checkCautions(t, fs, text, lib)
	checkKit(t, fs, text, lib)
	checkTextHoldsCard(t, text, card)
}

// sentIn lists the movements of a fitted session that are sent, by what Changes tells, without the renderer's help.
func sentIn(fs FittedSession) (sent []Movement, noFit []Movement) {
	look := func(part string, moves []Movement) {
		for i, m := range moves {
			out, no := false, false
			for _, c := range fs.Changes {
				if c.Part == part && c.Movement == i {
					out, no = out || c.LeaveOut, no || c.NoFit
				}
			}
			switch {
			case no:
				noFit = append(noFit, m)
			case !out:
				sent = append(sent, m)
			}
		}
	}
	look(WarmUpPart, fs.Session.WarmUp)
	for _, p := range fs.Session.Parts {
		look(p.Letter, p.Movements)
	}
	look(CoolDownPart, fs.Session.CoolDown)
	return sent, noFit
}

// teller is a test or a property's run.
type teller interface {
	Helper()
	Errorf(format string, args ...any)
	Fatal(args ...any)
}

// checkCautions wants every caution of the coach, of the library and of the kit, in full; those of a movement at least
// as often as it is sent.
func checkCautions(t teller, fs FittedSession, text string, lib *Library) {
	t.Helper()
	sent, noFit := sentIn(fs)
	want := map[string]int{}
	kits := map[string]bool{}
	for _, m := range append(sent, noFit...) {
		lines := map[string]bool{}
		for _, care := range m.Cares {
			lines["Take care: "+care+"\n"] = true
		}
		if e, ok := lib.Find(m.Name); ok {
			for _, care := range e.Cautions {
				lines["Take care: "+care+"\n"] = true
			}
			if e.Test != "" {
				lines["Test first: "+e.Test+"\n"] = true
			}
		}
		for l := range lines {
			want[l]++
		}
		for _, w := range m.Ways {
			e, ok := lib.Find(w.Movement.Name)
			if !ok {
				continue
			}
			for _, care := range e.Cautions {
				want["Take care: "+care+"\n"]++
			}
			if e.Test != "" {
				want["Test first: "+e.Test+"\n"]++
			}
			for _, k := range fs.KitUsed(w.Movement, lib) {
				kits[k] = !fs.Fit.KitKnown || lib.Owns(fs.Fit.Kit, k)
			}
		}
	}
	for _, m := range sent {
		if !fs.Fit.KitKnown {
			continue // the coach's kit line decides between alternatives
		}
		for _, k := range fs.KitUsed(m, lib) {
			kits[k] = true
		}
	}
	for line, n := range want {
		if got := strings.Count(text, line); got < n {
			t.Errorf("%d times %q, want %d", got, line, n)
		}
	}
	for k, used := range kits {
		entry, _ := lib.KitNamed(k)
		for _, care := range entry.Cares {
			if line := "Take care with the " + k + ": " + care + "\n"; used && fs.Fit.KitKnown && strings.Count(text, line) != 1 {
				t.Errorf("%q stands %d times, want once", line, strings.Count(text, line))
			}
		}
	}
}

// checkKit wants no kit asked for that the member lacks, and movements without kit marked as no fit.
func checkKit(t teller, fs FittedSession, text string, lib *Library) {
	t.Helper()
	_, needs, _ := strings.Cut(text, "You need: ")
	needs, _, _ = strings.Cut(needs, "\n")
	sent, noFit := sentIn(fs)
	if fs.Fit.KitKnown && needs != "" && needs != "nothing" {
		for _, k := range strings.Split(needs, ", ") {
			if !lib.Owns(fs.Fit.Kit, k) {
				t.Errorf("the text asks for a %s, which the member lacks", k)
			}
		}
	}
	if fs.Fit.KitKnown {
		for _, m := range sent {
			for _, k := range fs.KitUsed(m, lib) {
				if !strings.Contains(needs, k) {
					t.Errorf("%s is done with a %s, which is not under \"You need\" (%s)", m.Name, k, needs)
				}
			}
		}
	}
	if got := strings.Count(text, "No fit: "); got != len(noFit) {
		t.Errorf("%d lines are marked as no fit, want %d", got, len(noFit))
	}
	for _, c := range fs.Changes {
		if why := strings.TrimSuffix(c.Why, ": leave this out"); !strings.Contains(text, "("+why) {
			t.Errorf("the text does not say why: %q", c.Why)
		}
	}
}

// checkTextHoldsCard wants every word of the card in the text, but those for machines.
func checkTextHoldsCard(t teller, text string, card Card) {
	t.Helper()
	b, err := json.Marshal(card)
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(b, &v); err != nil {
		t.Fatal(err)
	}
	low := strings.ToLower(text)
	var walk func(key string, v any)
	walk = func(key string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				if k != "kind" && k != "pattern" && k != "date" {
					walk(k, x)
				}
			}
		case []any:
			for _, x := range v {
				walk(key, x)
			}
		case string:
			if !strings.Contains(low, strings.ToLower(v)) && !(key == "name" && strings.Contains(low, strings.ToLower(plural(v)))) {
				t.Errorf("the card's %s is not in the text: %q", key, v)
			}
		}
	}
	walk("card", v)
}

// Whatever the sheet and whoever the member: nothing panics, no caution is left out, no kit is asked for that is not
// there, and the card says nothing that the text does not.
func TestAnyFittedTextSaysAll(t *testing.T) {
	lib := Builtin()
	rapid.Check(t, func(rt *rapid.T) {
		fs := Fitted(anyDay(rt), anyFit(rt), lib)
		text, card := Text(fs, lib), NewCard(fs, lib)
		checkCautions(rt, fs, text, lib)
		checkKit(rt, fs, text, lib)
		checkTextHoldsCard(rt, text, card)
	})
}
