package content

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

func TestLibraryIsLargeAndCoversEveryPattern(t *testing.T) {
	l := Builtin()
	if n := len(l.Entries()); n < 180 {
		t.Errorf("the library has %d movements, want at least 180", n)
	}
	count := map[Pattern]int{}
	for _, e := range l.Entries() {
		count[e.Pattern]++
	}
	for _, p := range Patterns() {
		if count[p] < 10 {
			t.Errorf("pattern %q has %d movements, want at least 10", p, count[p])
		}
	}
	if len(count) != len(Patterns()) || len(Patterns()) != 14 {
		t.Errorf("patterns used: %v", count)
	}
}

func TestEveryEntryIsComplete(t *testing.T) {
	for _, e := range Builtin().Entries() {
		if e.Main == "" || e.Rep == "" || len(e.Cues) == 0 || len(e.Cues) > 3 || e.Risk < 1 || e.Risk > 3 {
			t.Errorf("%s: incomplete: %+v", e.source, *e)
		}
		if !slices.Contains(entrySides, string(e.Sides)) {
			t.Errorf("%s: %q has sides %q", e.source, e.Name, e.Sides)
		}
		if !(e.SecondsLow > 0 && e.SecondsLow <= e.SecondsHigh && e.SecondsHigh <= 120) {
			t.Errorf("%s: %q takes %v to %v seconds", e.source, e.Name, e.SecondsLow, e.SecondsHigh)
		}
		if slices.Contains(e.Helping, e.Main) {
			t.Errorf("%s: %q: %s both works and helps", e.source, e.Name, e.Main)
		}
		for _, text := range append(append([]string{e.Rep}, e.Cues...), e.Cautions...) {
			if strings.HasSuffix(text, ".") || strings.Contains(text, "  ") {
				t.Errorf("%s: %q: untidy text %q", e.source, e.Name, text)
			}
		}
	}
}

// Beyond about 120 reps a minute any count is a typing error (common practice, no source); small quick steps, counted
// for each foot, are the only movements that may come faster.
func TestNoMovementIsQuickerThanAnybodyMoves(t *testing.T) {
	for _, e := range Builtin().Entries() {
		if e.SecondsLow < 0.5 && e.Sides != Alternating && e.Name != "rope skip" && e.Name != "ropeless skip" {
			t.Errorf("%q: %v seconds a rep", e.Name, e.SecondsLow)
		}
	}
}

// what a rule-4 stand-in may never be, whatever the library's author wrote.
func TestStandInsAreNeverRiskierThanWhatTheyReplace(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		for _, s := range e.StandIns {
			in, ok := l.Named(s.Name)
			if !ok {
				t.Errorf("%s: stand-in %q does not exist", e.source, s.Name)
				continue
			}
			if in == e {
				t.Errorf("%s: %q stands in for itself", e.source, e.Name)
			}
			if !in.StandIn || in.Risk > e.Risk {
				t.Errorf("%s: %q may not stand in for %q", e.source, in.Name, e.Name)
			}
			if s.SameRung && (in.Pattern != e.Pattern || in.Sides != e.Sides || s.Factor != 1) {
				t.Errorf("%s: %q is said to be like %q", e.source, e.Name, in.Name)
			}
			if s.Factor <= 0 || s.Factor > 3 {
				t.Errorf("%s: factor %v", e.source, s.Factor)
			}
		}
	}
}

func TestWhatOnlyACoachMaySendNeverStandsIn(t *testing.T) {
	for _, e := range Builtin().Entries() {
		pulls := e.Pattern == PatternRow || e.Pattern == PatternPull
		dangerous := e.Risk == 3 || e.FurnitureOrDoor() && pulls || slices.Contains(e.Loads, "inverted") ||
			slices.Contains(e.Loads, "impact") || slices.Contains(e.Loads, "overhead") && e.NeedsKit()
		if dangerous && e.StandIn {
			t.Errorf("%q may stand in", e.Name)
		}
	}
}

// reaches walks easier ways and stand-ins from e until one satisfies.
func reaches(l *Library, e *Entry, seen map[string]bool, ok func(*Entry) bool) bool {
	if ok(e) {
		return true
	}
	if seen[e.Name] {
		return false
	}
	seen[e.Name] = true
	next := slices.Clone(e.Easier)
	for _, s := range e.StandIns {
		next = append(next, s.Name)
	}
	for _, name := range next {
		if x, found := l.Named(name); found && reaches(l, x, seen, ok) {
			return true
		}
	}
	return false
}

func TestEveryMovementWithKitLeadsToOneWithoutOrSaysWhyNot(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		free := reaches(l, e, map[string]bool{}, func(x *Entry) bool { return !x.NeedsKit() })
		if !free && e.KitOnly == "" {
			t.Errorf("%s: %q has no way without kit and does not say why", e.source, e.Name)
		}
		if e.KitOnly != "" && !e.NeedsKit() {
			t.Errorf("%s: %q needs no kit but says why it does", e.source, e.Name)
		}
	}
}

func TestEveryPullHasAWayWithoutABarOrFurniture(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		if e.Pattern != PatternRow && e.Pattern != PatternPull {
			continue
		}
		plain := func(x *Entry) bool {
			return (x.Pattern == PatternRow || x.Pattern == PatternPull) && !x.NeedsKit() && !x.FurnitureOrDoor()
		}
		if !reaches(l, e, map[string]bool{}, plain) {
			t.Errorf("%s: %q has no way without a bar", e.source, e.Name)
		}
	}
}

func TestFurnitureAndDoorsHaveATestAndCautions(t *testing.T) {
	l := Builtin()
	furniture := map[string]bool{}
	for _, k := range l.Kits() {
		furniture[k.Name] = k.Furniture
	}
	for _, e := range l.Entries() {
		if e.FurnitureOrDoor() && len(e.Cautions) == 0 {
			t.Errorf("%s: %q has a test but no caution", e.source, e.Name)
		}
		for _, needed := range e.Kit {
			for _, k := range needed {
				if furniture[k] && e.Test == "" {
					t.Errorf("%s: %q uses a %s and has no test", e.source, e.Name, k)
				}
			}
		}
		if e.Pattern == PatternRow && slices.Contains(e.Place, "doorway") && e.Test == "" {
			t.Errorf("%s: %q pulls in a doorway and has no test", e.source, e.Name)
		}
		if e.Risk == 3 && e.Pattern != PatternSquat && e.Position == "hanging" && len(e.Cautions) == 0 {
			t.Errorf("%s: %q can hurt and has no caution", e.source, e.Name)
		}
	}
}

func TestLaddersClimb(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		for _, name := range e.Easier {
			below, ok := l.Named(name)
			if !ok {
				t.Fatalf("%s: dead link %q", e.source, name)
			}
			if below.Risk > e.Risk {
				t.Errorf("%s: %q is easier than %q but of higher risk", e.source, name, e.Name)
			}
			if !slices.Contains(below.Harder, e.Name) {
				t.Errorf("%q does not know that %q is harder", name, e.Name)
			}
		}
		if e.Risk >= 2 && len(e.Easier) == 0 && e.KitOnly == "" {
			t.Errorf("%s: %q of risk %d has no easier way", e.source, e.Name, e.Risk)
		}
	}
}

// Facts of the trade (common practice, no source).
func TestFactsOfTheTrade(t *testing.T) {
	l := Builtin()
	get := func(name string) *Entry {
		e, ok := l.Find(name)
		if !ok {
			t.Fatalf("no %q", name)
		}
		return e
	}
	says := func(e *Entry, words ...string) {
		t.Helper()
		all := strings.Join(append(append([]string{e.Rep, e.Test}, e.Cues...), e.Cautions...), " | ")
		for _, w := range words {
			if !strings.Contains(all, w) {
				t.Errorf("%s: %q does not say %q", e.source, e.Name, w)
			}
		}
	}
	// 16 split squats are 8 each leg.
	if e := get("split squat"); e.Sides != OneSide {
		t.Errorf("split squats are done %s", e.Sides)
	}
	// One pull-up is counted against two one-arm rows; nobody is given pull-ups for rows.
	if e := get("pull-up"); !slices.Contains(e.StandIns, StandIn{Name: "one-arm row", Factor: 2}) {
		t.Errorf("pull-up's stand-ins: %v", e.StandIns)
	}
	for _, e := range l.Entries() {
		if e.Pattern != PatternRow {
			continue
		}
		for _, s := range l.substitutes(e) {
			if s.entry.Pattern == PatternPull {
				t.Errorf("%q is replaced by %q", e.Name, s.entry.Name)
			}
		}
	}
	// A body-weight row is harder with the feet walked in or raised, easier walked out.
	says(get("table row"), "walked in or raised is harder", "walked out is easier")
	if !slices.Contains(get("table row").Harder, "feet-raised table row") {
		t.Error("raising the feet does not make a table row harder")
	}
	says(get("low-bar row"), "walk the feet in to make it harder")
	// A stick snaps and a stair rail is not made to hang from: nobody is sent to hang from either.
	for _, e := range l.Entries() {
		pulls := e.Pattern == PatternRow || e.Pattern == PatternPull
		for _, all := range e.Kit {
			if pulls && slices.Contains(all, "broom handle") {
				t.Errorf("%q hangs from a broom handle", e.Name)
			}
		}
	}
	// Raising the feet in a hip bridge moves work to the hamstrings, raising the shoulders to the glutes.
	if a, b := get("feet-raised bridge").Main, get("hip thrust").Main; a != "hamstrings" || b != "glutes" {
		t.Errorf("feet raised: %s; shoulders raised: %s", a, b)
	}
	// A two-hand swing to shoulder height is the usual standard at home.
	says(get("two-hand swing"), "shoulder height")
	// A table that cannot tip, a door that shuts towards the pull.
	says(get("table row"), "cannot tip")
	says(get("towel row"), "shuts towards your pull")
	// The weight stays over the whole foot, the heel down.
	for _, name := range []string{"split squat", "single-leg squat", "rear-foot-raised split squat"} {
		says(get(name), "whole", "heel down")
	}
	// A loaded pack is weighed once.
	for _, k := range l.Kits() {
		if k.Name == "backpack" && !strings.Contains(k.Note, "weighed once") {
			t.Errorf("a backpack: %q", k.Note)
		}
	}
}

func TestLibraryTellsWhatIsWrongAndWhere(t *testing.T) {
	whole := "main: abs\nrep: once\nseconds: 1-2\ncue: go\n"
	for name, c := range map[string]struct{ text, want string }{
		"no colon":         {"pattern: squat\n\njust words\n", `x.txt:3:1: want key: value, got "just words"`},
		"unknown pattern":  {"pattern: sideways\n", `x.txt:1:10: unknown pattern "sideways"`},
		"unknown field":    {"pattern: squat\nname: dip\n" + whole + "colour: red\n", `x.txt:7:9: unknown field "colour"`},
		"unknown muscle":   {"pattern: squat\nname: dip\nmain: wings\n", `x.txt:3:7: main: want one of`},
		"bad seconds":      {"pattern: squat\nname: dip\n" + "seconds: 3-1\n", `x.txt:3:10: want seconds from-to`},
		"incomplete":       {"pattern: squat\nname: dip\nmain: abs\n", `x.txt:2:1: "dip" lacks rep, seconds, cue`},
		"twice":            {"pattern: squat\nname: dip\n" + whole + "rep: again\n", `x.txt:7:6: rep: is given twice`},
		"field too early":  {"pattern: squat\nmain: abs\n", `x.txt:2:7: main: before the first name:`},
		"no pattern":       {"name: dip\n" + whole, `x.txt:1:7: a movement before the file's pattern: line`},
		"test, no caution": {"pattern: squat\nname: dip\n" + whole + "test: push it\n", `lacks care (there is a test:)`},
		"name taken":       {"pattern: squat\nname: dip\n" + whole + "name: Dips\n" + whole, `x.txt:7:7: "Dips" already names "dip" (x.txt:2:7)`},
		"dead link":        {"pattern: squat\nname: dip\n" + whole + "easier: nap\n", `x.txt:7:9: "dip" has easier way "nap", which is no movement's name`},
		"unknown kit":      {"pattern: squat\nname: dip\n" + whole + "kit: anvil\n", `x.txt:7:6: "dip" needs kit "anvil"`},
		"circle": {"pattern: squat\nname: dip\n" + whole + "easier: dop\nname: dop\n" + whole + "easier: dip\n",
			"x.txt:13:9: the ladder runs in a circle: dip > dop > dip"},
	} {
		t.Run(name, func(t *testing.T) {
			files := fstest.MapFS{"l/x.txt": {Data: []byte(c.text)}, "l/kit.txt": {Data: []byte("name: towel\n")}}
			_, err := loadLibrary(files, "l")
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func FuzzParseMovements(f *testing.F) {
	for _, name := range []string{"squat.txt", "row.txt", "kit.txt"} {
		text, err := builtinFiles.ReadFile("library/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text[:1500])
	}
	f.Add([]byte("pattern: squat\nname: x\nkit: a or b and c\ninstead: y x2, z xx\nseconds: NaN-1\n\xff: \xfe"))
	f.Fuzz(func(t *testing.T, text []byte) {
		lines := strings.Count(string(text), "\n") + 1
		es, ps := ParseMovements("f", text)
		_, kps := ParseKit("kit.txt", text)
		for _, p := range append(ps, kps...) {
			if p.Line < 1 || p.Line > lines || p.Column < 1 || p.Message == "" {
				t.Errorf("problem out of place: %+v", p)
			}
		}
		if len(ps) > 0 {
			return
		}
		for _, e := range es {
			if e.Name == "" || e.Pattern == "" || e.Main == "" || !(e.SecondsLow > 0) || len(e.Cues) == 0 {
				t.Errorf("no problem told, but incomplete: %+v", *e)
			}
		}
	})
}
