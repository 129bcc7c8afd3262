package content

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"
)

func kitLibrary(t *testing.T, text string) *Library {
	t.Helper()
	kits, ps := ParseKit("kit.txt", []byte(text))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	l, err := newLibrary(nil, kits)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestOwns(t *testing.T) {
	l := Builtin()
	for _, c := range []struct {
		owned string
		need  string
		want  bool
	}{
		{"backpack", "backpack", true},
		{"two dumbbells", "dumbbell", true},
		{"dumbbell", "two dumbbells", false},
		{"bench", "sturdy chair", true},
		{"sturdy chair", "bench", false},
		{"two sturdy chairs", "sturdy chair", true},
		{"two water bottles", "water bottle", true},
		{"two kettlebells", "kettlebell", true},
		{"rings", "straps", true},
		{"straps", "rings", false},
		{"broom handle", "pull-up bar", false},
		{"towel", "resistance band", false},
		{"", "backpack", false},
		{"towel,door", "towel", true},
		{"backpack", "", false},
		{"backpack", "anvil", false},
	} {
		owned := splitList(c.owned, ",")
		if got := l.Owns(owned, c.need); got != c.want {
			t.Errorf("who owns %q has a %s: %v", c.owned, c.need, got)
		}
	}
	if !l.OwnsAll([]string{"pull-up bar", "towel"}, []string{"towel", "pull-up bar"}) || !l.OwnsAll(nil, nil) {
		t.Error("what is owned is missed")
	}
	if l.OwnsAll([]string{"pull-up bar"}, []string{"pull-up bar", "towel"}) {
		t.Error("one of two is taken for both")
	}
}

func TestStandInKitReachesThroughOthersAndRoundCircles(t *testing.T) {
	l := kitLibrary(t, "name: a\nfor: b\nname: b\nalso: bee\nfor: c\nname: c\nname: x\nfor: y\nname: y\nfor: x\nname: z\nfor: bees\n")
	for _, c := range []struct {
		owned, need string
		want        bool
	}{
		{"a", "c", true}, {"c", "a", false}, {"b", "c", true}, {"x", "y", true}, {"y", "x", true}, {"x", "c", false},
		{"z", "b", true}, {"z", "c", true},
	} {
		if got := l.Owns([]string{c.owned}, c.need); got != c.want {
			t.Errorf("%s does for %s: %v", c.owned, c.need, got)
		}
	}
	if k, _ := l.KitNamed("z"); !slices.Equal(k.For, []string{"b"}) {
		t.Errorf("for: bees is %v, want the canonical name", k.For)
	}
}

// Owns is what following every `for:` by hand says, whatever the kit.
func TestOwnsIsReachability(t *testing.T) {
	names := []string{"aa", "bb", "cc", "dd", "ee", "ff"}
	rapid.Check(t, func(t *rapid.T) {
		var kits []KitEntry
		does := map[string][]string{}
		for _, n := range names {
			for _, other := range names {
				if other != n && rapid.IntRange(0, 3).Draw(t, n+other) == 0 {
					does[n] = append(does[n], other)
				}
			}
			kits = append(kits, KitEntry{Name: n, For: does[n]})
		}
		l, err := newLibrary(nil, kits)
		if err != nil {
			t.Fatal(err)
		}
		var reached func(from, to string, depth int) bool
		reached = func(from, to string, depth int) bool {
			return from == to || depth > 0 && slices.ContainsFunc(does[from], func(n string) bool { return reached(n, to, depth-1) })
		}
		have, need := rapid.SampledFrom(names).Draw(t, "have"), rapid.SampledFrom(names).Draw(t, "need")
		if got, want := l.Owns([]string{have}, need), reached(have, need, len(names)); got != want {
			t.Fatalf("Owns(%s, %s) = %v, want %v with %v", have, need, got, want, does)
		}
	})
}

func TestLookingUpKitAndMovementsByNameDoesNotAllocate(t *testing.T) {
	l := Builtin()
	owned := []string{"backpack", "towel", "two dumbbells", "bench"}
	need := []string{"dumbbell", "sturdy chair"}
	for name, f := range map[string]func(){
		"Owns":     func() { l.Owns(owned, "sturdy chair"); l.Owns(owned, "pull-up bar") },
		"OwnsAll":  func() { l.OwnsAll(owned, need) },
		"KitNamed": func() { l.KitNamed("backpack") },
		"Named":    func() { l.Named("push-up") },
		"Find":     func() { l.Find("push-up") },
	} {
		if n := testing.AllocsPerRun(100, f); n > 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
}

func TestKitNamed(t *testing.T) {
	l := Builtin()
	if k, ok := l.KitNamed("sturdy chair"); !ok || k.Name != "sturdy chair" || len(k.Cares) == 0 || !k.Furniture {
		t.Errorf("got %+v", k)
	}
	for _, name := range []string{"chair", "Sturdy chair", "", "anvil"} {
		if k, ok := l.KitNamed(name); ok {
			t.Errorf("%q is %q", name, k.Name)
		}
	}
}

func TestNamedAndFindAgreeOnEveryName(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		if got, ok := l.Named(e.Name); !ok || got != e {
			t.Errorf("Named(%q) is not the entry", e.Name)
		}
		if got, ok := l.Find(e.Name); !ok || got != e {
			t.Errorf("Find(%q) is not the entry", e.Name)
		}
	}
	if _, ok := l.Named("Push-up"); ok {
		t.Error("Named reads names as typed")
	}
}

// Furniture, doors and whatever somebody hangs from brings a caution, wherever it is used (common practice, no source).
func TestKitThatCanLetSomebodyDownBringsACaution(t *testing.T) {
	for _, k := range Builtin().Kits() {
		if (k.Furniture || k.Weight) && len(k.Cares) == 0 {
			t.Errorf("%s: %q has no care:", k.source, k.Name)
		}
		if len(k.Cares) > 2 {
			t.Errorf("%s: %q has %d cautions, want two at most so that they are read", k.source, k.Name, len(k.Cares))
		}
		for _, text := range append(slices.Clone(k.Cares), k.Note) {
			if strings.HasSuffix(text, ".") || strings.Contains(text, "  ") || len([]rune(text)) > 130 {
				t.Errorf("%s: %q: untidy text %q", k.source, k.Name, text)
			}
		}
	}
	for name, words := range map[string][]string{
		"sturdy chair": {"four legs", "against the wall", "without wheels"}, "door": {"closed", "locked", "shuts"},
		"broom handle": {"not for hanging on"}, "backpack": {"zipped"}, "resistance band": {"tears", "face"},
		"sturdy table": {"tip", "slide", "glass"}, "pull-up bar": {"fixing", "do not drop"}, "rings": {"frayed"}, "belt": {"not for hanging on"},
	} {
		k, _ := Builtin().KitNamed(name)
		for _, w := range words {
			if !strings.Contains(strings.Join(k.Cares, " | "), w) {
				t.Errorf("the cautions of a %s do not say %q: %v", name, w, k.Cares)
			}
		}
	}
}

// Kit that stands in for other kit is as safe: furniture never does for what somebody hangs from, and nothing that is
// not weighed does for a weight.
func TestKitStandsInForItsLikeOnly(t *testing.T) {
	l := Builtin()
	for _, k := range l.Kits() {
		for _, name := range k.For {
			other, ok := l.KitNamed(name)
			if !ok {
				t.Errorf("%s: %q does for unknown %q", k.source, k.Name, name)
			}
			if k.Furniture != other.Furniture || k.Weight != other.Weight || k.Place || other.Place {
				t.Errorf("%s: %q is said to do for %q", k.source, k.Name, name)
			}
		}
	}
}

// Words that could mean something lighter, weaker or less fixed mean the lesser thing or nothing: a rail on the stairs
// is not to hang from, a bar stool no sturdy chair, weights not sure to be a pair.
func TestKitNamesDoNotOversell(t *testing.T) {
	for asked, want := range map[string]string{
		"railing": "", "handrail": "", "stool": "", "bar stool": "", "coffee table": "", "glass table": "", "windowsill": "", "sink": "",
		"office chair": "", "folding chair": "", "bag": "", "weights": "dumbbell", "dumbbells": "dumbbell", "chairs": "sturdy chair",
		"parallettes": "push-up handles", "desk": "", "shopping bags": "suitcase", "two shopping bags": "two bags", "yoga blocks": "books",
		"pair of kettlebells": "two kettlebells", "kettlebells": "kettlebell", "gym bag": "suitcase",
	} {
		if got, _ := Builtin().FindKit(asked); got != want {
			t.Errorf("FindKit(%q) = %q, want %q", asked, got, want)
		}
	}
}

func TestParseKitTellsWhatIsWrongAndWhere(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"unknown field":   {"name: towel\ncolour: red\n", `kit.txt:2:9: unknown field "colour"`},
		"unknown word":    {"name: towel\nis: soft\n", `kit.txt:2:5: is: want furniture, weight or place, got "soft"`},
		"too early":       {"also: cloth\n", `kit.txt:1:7: also: before the first name:`},
		"says nothing":    {"name: towel\ncare:\n", `kit.txt:2:6: care: says nothing`},
		"twice":           {"name: towel\nnote: dry\nnote: wet\n", `kit.txt:3:7: note: is given twice for "towel"`},
		"no name":         {"name: !\n", `kit.txt:1:7: kit without a name`},
		"empty alias":     {"name: towel\nalso: cloth, !\n", `kit.txt:2:7: also: "!" is no name`},
		"empty for":       {"name: towel\nfor: ?\n", `kit.txt:2:6: for: "?" is no name`},
		"unknown for":     {"name: towel\nname: bench\nfor: towel, anvil\n", `kit.txt:3:13: "bench" is said to do for "anvil", which no kit file lists`},
		"for itself":      {"name: towel\nalso: cloth\nfor: cloth\n", `kit.txt:3:6: "towel" is said to do for itself`},
		"taken alias":     {"name: towel\nalso: cloth\nname: rag\nalso: duster, cloth\n", `kit.txt:4:15: kit "cloth" is both "rag" and "towel" (kit.txt:1:7)`},
		"taken name":      {"name: towel\nalso: rag\nname: rag\n", `kit.txt:3:7: kit "rag" is both "rag" and "towel" (kit.txt:1:7)`},
		"name twice":      {"name: towel\nname: towel\n", `kit.txt:2:7: kit "towel" is listed already (kit.txt:1:7)`},
		"name in letters": {"name: towel\nname: Towels\n", `kit.txt:2:7: kit "Towels" is both "Towels" and "towel" (kit.txt:1:7)`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := loadLibrary(fstest.MapFS{"l/kit.txt": {Data: []byte(c.text)}}, "l")
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

// FuzzParseKit holds that no bytes panic, that problems stand inside the file, and that kit without problems is whole
// and either makes a library or is refused with a place.
func FuzzParseKit(f *testing.F) {
	text, err := builtinFiles.ReadFile("library/kit.txt")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text[:2000])
	f.Add([]byte("name: a\nfor: b\nname: b\nfor: a\ncare: hot\ncare: cold\nis: weight, furniture"))
	f.Add([]byte("name: a\nalso: a, a\nfor: c\nname: A's\n\xff: \xfe\nis: place,\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		lines := strings.Count(string(text), "\n") + 1
		kits, ps := ParseKit("k.txt", text)
		for _, p := range ps {
			if p.Line < 1 || p.Line > lines || p.Column < 1 || p.Message == "" {
				t.Errorf("problem out of place: %+v", p)
			}
		}
		if len(ps) > 0 {
			return
		}
		l, err := newLibrary(nil, kits)
		if err != nil {
			for _, line := range strings.Split(err.Error(), "\n") {
				if !strings.HasPrefix(line, "k.txt:") {
					t.Errorf("no place in %q", line)
				}
			}
			return
		}
		for _, k := range kits {
			if name, ok := l.FindKit(k.Name); !ok || name != k.Name {
				t.Errorf("FindKit(%q) = %q", k.Name, name)
			}
			for _, need := range k.For {
				if name, _ := l.FindKit(need); !l.Owns([]string{k.Name}, name) {
					t.Errorf("%q does not do for %q", k.Name, need)
				}
			}
		}
	})
}

func BenchmarkOwns(b *testing.B) {
	l := Builtin()
	owned := []string{"backpack", "bench", "broom handle", "towel", "two water bottles"}
	b.ReportAllocs()
	for b.Loop() {
		l.Owns(owned, "sturdy chair")
		l.Owns(owned, "pull-up bar")
	}
}
