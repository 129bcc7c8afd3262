package content

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// What an experienced coach would look for in every entry of the library. All of it is common practice, no source; each
// rule names the entry that breaks it.

// legsAndRest are the patterns whose every name and every way round has been held to the strictest rules below.
var legsAndRest = []Pattern{PatternSquat, PatternSplit, PatternHinge, PatternBridge, PatternCarry, PatternJump, PatternSmall,
	PatternMobility}

// words matches any of the alternatives as whole words.
func wordsOf(alternatives string) *regexp.Regexp {
	return regexp.MustCompile(`(?i)\b(` + alternatives + `)\b`)
}

func has(list []string, what string) bool { return slices.Contains(list, what) }

// namesOf returns all that an entry is called.
func namesOf(e *Entry) []string { return append([]string{e.Name}, e.Aliases...) }

// withoutKit lists what fitting may send in the place of e to somebody who has no kit and these limits, best first.
func withoutKit(l *Library, e *Entry, limits ...string) []*Entry {
	var out []*Entry
	for _, s := range l.substitutes(e) {
		if !s.entry.NeedsKit() && !slices.ContainsFunc(limits, s.entry.Excludes) {
			out = append(out, s.entry)
		}
	}
	return out
}

// A limit of no jumping or a quiet home relies on these two fields alone.
func TestWhatLeavesTheFloorHasImpactAndIsHeard(t *testing.T) {
	rep := wordsOf("jump|jumps|hop|hops|bound|run|running|leave the floor|springing")
	name := wordsOf("jump|jumping|hop|skip|run|running|bounding|double-under|sprint|explosive")
	for _, e := range Builtin().Entries() {
		if rep.MatchString(e.Rep) || name.MatchString(e.Name) {
			if !has(e.Loads, "impact") {
				t.Errorf("%s: %q leaves the floor and does not load impact", e.source, e.Name)
			}
		}
		if has(e.Loads, "impact") && e.Noise == "quiet" {
			t.Errorf("%s: %q has impact and is said to be quiet", e.source, e.Name)
		}
	}
}

func TestHandsAndKneesIsKneeling(t *testing.T) {
	rep := wordsOf("hands and knees|kneel|kneeling|on the knees")
	for _, e := range Builtin().Entries() {
		if rep.MatchString(e.Rep) && !e.Excludes(LimitNoKneeling) {
			t.Errorf("%s: %q is done kneeling and its position is %s", e.source, e.Name, e.Position)
		}
	}
}

func TestLoadedHingesLoadTheLowBackAndSayHowToKeepIt(t *testing.T) {
	for _, e := range Builtin().Entries() {
		if e.Pattern != PatternHinge || !e.NeedsKit() {
			continue
		}
		if !has(e.Loads, "low back") {
			t.Errorf("%s: %q is a loaded hinge and does not load the low back", e.source, e.Name)
		}
	}
	says := wordsOf("back flat|flat back|stays flat|back keeps its shape|hips")
	for _, e := range Builtin().Entries() {
		if e.Pattern == PatternHinge && e.NeedsKit() && !e.Hold() && e.Risk >= 2 &&
			!says.MatchString(strings.Join(append(append([]string{e.Rep}, e.Cues...), e.Cautions...), " | ")) {
			t.Errorf("%s: %q does not say what the back or the hips do", e.source, e.Name)
		}
	}
}

// Thighs to level, or the back knee to the floor, is a deep knee; a seat of a chair's height is not.
func TestDeepKneesAreNamed(t *testing.T) {
	rep := wordsOf("thighs? (is|are) (about |nearly )?level|thighs nearly level|thigh is level|deep squat|bottom of a squat|sit low|back knee (down|just)|" +
		"knee nearly touches|squat down|back towards the heels|wall sit")
	for _, e := range Builtin().Entries() {
		chair := e.Name == "box squat" || e.Name == "sit-to-stand"
		if rep.MatchString(e.Rep) && !has(e.Loads, "deep knee") && !chair {
			t.Errorf("%s: %q bends the knees deep and does not load them: %s", e.source, e.Name, e.Rep)
		}
	}
	// A squat, lunge or split squat is deep unless its name says that it is not.
	shallow := wordsOf("half|high|supported|short|box squat|sit-to-stand|wall slide|side step squat|side shift|fast step-back lunge")
	deepName := wordsOf("squat|lunge|wall sit|burpee")
	for _, e := range Builtin().Entries() {
		legs := e.Pattern == PatternSquat || e.Pattern == PatternSplit || e.Pattern == PatternJump
		if legs && deepName.MatchString(e.Name) && !has(e.Loads, "deep knee") && !shallow.MatchString(e.Name) &&
			!wordsOf("half squat|hands on").MatchString(e.Rep) {
			t.Errorf("%s: %q does not load the knees deep and its name does not say why", e.source, e.Name)
		}
	}
}

func TestUpsideDownCanHurt(t *testing.T) {
	for _, e := range Builtin().Entries() {
		if has(e.Loads, "inverted") && e.Risk < 3 && len(e.Cautions) == 0 {
			t.Errorf("%s: %q is upside down, of risk %d, and does not say why", e.source, e.Name, e.Risk)
		}
		if has(e.Loads, "inverted") && e.StandIn {
			t.Errorf("%s: %q is upside down and may stand in", e.source, e.Name)
		}
	}
}

// Weights lifted over the head of somebody who stands want a ceiling; sticks and towels go no higher than the hands.
func TestWeightsOverheadWantACeiling(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		if !has(e.Loads, "overhead") || !strings.Contains(e.Rep, "overhead") || e.Position != "standing" || e.Ceiling {
			continue
		}
		for _, needed := range e.Kit {
			for _, k := range needed {
				if kit, ok := l.KitNamed(k); ok && kit.Weight {
					t.Errorf("%s: %q lifts a %s overhead and needs no ceiling", e.source, e.Name, k)
				}
			}
		}
	}
}

// A name that says seated, lying or one-legged must not be borrowed by a movement that is not.
func TestNamesAgreeWithWhatTheyName(t *testing.T) {
	for _, e := range Builtin().Entries() {
		if !slices.Contains(legsAndRest, e.Pattern) {
			continue
		}
		for _, c := range []struct {
			word string
			ok   bool
			is   string
		}{
			{"kneeling|quadruped|hands-and-knees", e.Excludes(LimitNoKneeling), e.Position},
			{"seated|sitting", e.Position == "seated", e.Position},
			{"prone|face-down", e.Excludes(LimitNotFaceDown), e.Position},
			{"lying|supine", has([]string{"on the back", "on the side", "face down"}, e.Position), e.Position},
			{"hanging", e.Position == "hanging", e.Position},
			{"single-leg|one-leg|one-legged|single-arm|one-arm|one-hand", e.Sides != BothSides, string(e.Sides)},
			{"alternating", e.Sides == Alternating, string(e.Sides)},
			{"barbell", slices.ContainsFunc(e.Kit, func(all []string) bool { return has(all, "barbell") }), "without a barbell"},
			{"kettlebell", !e.NeedsKit() || slices.ContainsFunc(e.Kit, func(all []string) bool { return has(all, "kettlebell") }), "without a kettlebell"},
			{"treadmill", e.NeedsKit(), "without kit"},
			{"stairs?", has(e.Place, "stairs"), "not on stairs"},
			{"hold$", e.Hold(), "counted"},
		} {
			for _, name := range namesOf(e) {
				if !c.ok && regexp.MustCompile(`(?i)\b(`+c.word+`)`).MatchString(name) {
					t.Errorf("%s: %q is also called %q but is %s", e.source, e.Name, name, c.is)
				}
			}
		}
	}
}

// Fitting sends only what has the line's pattern and sides: any other stand-in is never used.
func TestStandInsHaveThePatternAndSidesOfWhatTheyReplace(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		for _, s := range e.StandIns {
			in, ok := l.Named(s.Name)
			if !ok {
				t.Fatalf("%s: no %q", e.source, s.Name)
			}
			if e.Sides == OneSide && in.Sides != OneSide {
				t.Errorf("%s: %q is done one side at a time and %q %s", e.source, e.Name, in.Name, in.Sides)
			}
			if slices.Contains(legsAndRest, e.Pattern) && (in.Pattern != e.Pattern || in.Sides != e.Sides) {
				t.Errorf("%s: %q (%s) is never replaced by %q (%s, %s)", e.source, e.Name, e.Sides, in.Name, in.Pattern, in.Sides)
			}
			if in.Hold() != e.Hold() && in.MetreHigh == 0 {
				t.Errorf("%s: %q and %q: one is held, the other counted", e.source, e.Name, in.Name)
			}
		}
	}
}

// What may be sent unasked, at any remove.
func TestNothingRiskyIsEverSentUnasked(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		for _, s := range l.substitutes(e) {
			in := s.entry
			if in.Risk > e.Risk || in.Risk == 3 || in.FurnitureOrDoor() || has(in.Loads, "impact") || has(in.Loads, "inverted") ||
				has(in.Loads, "overhead") && in.NeedsKit() {
				t.Errorf("%s: %q (risk %d) may be replaced by %q (risk %d, %v)", e.source, e.Name, e.Risk, in.Name, in.Risk, in.Loads)
			}
			if s.factor <= 0.3 || s.factor > 4.5 {
				t.Errorf("%s: one %q becomes %v %q", e.source, e.Name, s.factor, in.Name)
			}
		}
	}
}

func TestLaddersDownAddNoHazard(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		for _, name := range e.Easier {
			below, ok := l.Named(name)
			if !ok {
				t.Fatalf("%s: no %q", e.source, name)
			}
			for hazard, limit := range map[string]string{"impact": LimitNoJumping, "inverted": LimitNoInversion,
				"overhead": LimitNoOverhead, "max effort": LimitNoMaxEffort} {
				if has(below.Loads, hazard) && !e.Excludes(limit) {
					t.Errorf("%s: %q is no easier than %q: it loads %s", e.source, name, e.Name, hazard)
				}
			}
		}
	}
}

// As hard and easier cannot both be true.
func TestWhatIsAsHardIsNoRungOfTheLadder(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		for _, s := range e.StandIns {
			if s.SameRung && (has(e.Easier, s.Name) || has(e.Harder, s.Name)) {
				t.Errorf("%s: %q is like %q and on its ladder", e.source, e.Name, s.Name)
			}
			in, _ := l.Named(s.Name)
			if s.SameRung && e.NeedsKit() && !in.NeedsKit() && has(e.Loads, "low back") && e.Pattern != PatternHinge {
				t.Errorf("%s: %q is loaded and %q, said to be as hard, is not", e.source, e.Name, in.Name)
			}
		}
	}
}

func TestEveryWayOutOfKitKeepsPatternAndSides(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		if !slices.Contains(legsAndRest, e.Pattern) {
			continue
		}
		if e.NeedsKit() && e.KitOnly == "" && len(withoutKit(l, e)) == 0 {
			t.Errorf("%s: %q has no way without kit of its pattern and sides", e.source, e.Name)
		}
	}
}

// Many flats have no stairs, and not everybody can go out.
func TestStairsAndOutdoorsHaveAWayAtHome(t *testing.T) {
	l := Builtin()
	onlyThere := func(e *Entry) bool {
		return len(e.Place) > 0 && !has(e.Place, "wall") && !has(e.Place, "doorway")
	}
	for _, e := range l.Entries() {
		if !slices.Contains(legsAndRest, e.Pattern) || !onlyThere(e) {
			continue
		}
		if !slices.ContainsFunc(withoutKit(l, e), func(x *Entry) bool { return !onlyThere(x) }) {
			t.Errorf("%s: %q is done at %v and has no way elsewhere", e.source, e.Name, e.Place)
		}
		if has(e.Place, "stairs") && len(e.Cautions) == 0 {
			t.Errorf("%s: %q is done on stairs and has no caution", e.source, e.Name)
		}
	}
}

// Whoever has one limit and no kit can still train nearly everything.
func TestEachLimitLeavesEveryPatternSomething(t *testing.T) {
	const enough = 5
	for _, limit := range Limits() {
		rich := 0
		for _, p := range Patterns() {
			n := 0
			for _, e := range Builtin().Entries() {
				if e.Pattern == p && !e.NeedsKit() && !e.Excludes(limit) {
					n++
				}
			}
			if n >= enough {
				rich++
			}
			if n == 0 && !(limit == LimitNoOverhead && p == PatternOverhead) {
				t.Errorf("%s leaves nothing without kit of %s", limit, p)
			}
			if n < enough && slices.Contains(legsAndRest, p) {
				t.Errorf("%s leaves only %d without kit of %s", limit, n, p)
			}
		}
		if share := float64(rich) / float64(len(Patterns())); share < 0.75 {
			t.Errorf("%s leaves %d movements without kit in only %.0f %% of the patterns", limit, enough, 100*share)
		}
	}
}

// everyday are movements that stand on many sheets.
var everyday = []string{"squat", "split squat", "lunge", "step-up", "lateral step-down", "backpack good morning", "two-hand swing",
	"bridge", "single-leg bridge", "sliding leg curl", "push-up", "plank", "side plank", "sit-up", "bear crawl", "run", "farmer carry",
	"squat jump", "jumping jack", "burpee", "mountain climber", "high knees", "rope skip", "skater", "backpack clean", "thruster",
	"jumping lunge", "donkey kick", "calf raise", "hip flexor stretch", "child's pose", "cat-cow", "pigeon stretch", "pike push-up",
	"hamstring stretch", "lying twist", "thread the needle"}

func TestEverydayMovementsHaveAWayRoundEachLimit(t *testing.T) {
	l := Builtin()
	for _, name := range everyday {
		e, ok := l.Named(name)
		if !ok {
			t.Errorf("no movement is called %q", name)
			continue
		}
		for _, limit := range Limits() {
			if limit == LimitNoOverhead && e.Pattern == PatternOverhead || !e.Excludes(limit) {
				continue // the whole pattern is out: the coach names another way
			}
			if len(withoutKit(l, e, limit)) == 0 {
				t.Errorf("%s: %q has no way round %q", e.source, name, limit)
			}
		}
	}
}

// In the patterns held to the strictest rules, whatever a limit excludes has a way round it, everyday or not.
func TestEveryExcludedMovementHasAWayRound(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		if !slices.Contains(legsAndRest, e.Pattern) || e.KitOnly != "" {
			continue
		}
		for _, limit := range Limits() {
			if e.Excludes(limit) && len(withoutKit(l, e, limit)) == 0 {
				t.Errorf("%s: %q has no way round %q", e.source, e.Name, limit)
			}
		}
	}
}

// A small flat with neighbours below is four limits at once.
func TestASmallFlatWithNeighbours(t *testing.T) {
	l := Builtin()
	flat := []string{LimitNoJumping, LimitQuiet, LimitLowCeiling, LimitSmallFloor}
	for _, e := range l.Entries() {
		if !slices.Contains(legsAndRest, e.Pattern) || e.KitOnly != "" || !slices.ContainsFunc(flat, e.Excludes) {
			continue
		}
		if len(withoutKit(l, e, flat...)) == 0 {
			t.Errorf("%s: %q has no way in a small flat with neighbours", e.source, e.Name)
		}
	}
}

func TestNaturalWaysRoundComeFirst(t *testing.T) {
	l := Builtin()
	for _, c := range []struct{ name, limit, want string }{
		{"squat jump", LimitNoJumping, "fast squat"},
		{"squat", LimitNoDeepKnee, "half squat"},
		{"jumping jack", LimitQuiet, "step jack"},
		{"burpee", LimitNoJumping, "step-back burpee"},
		{"burpee", LimitNotFaceDown, "hands-raised burpee"},
		{"burpee", LimitNoWrists, "squat and lift"},
		{"mountain climber", LimitQuiet, "slow mountain climber"},
		{"mountain climber", LimitNoWrists, "forearm climber"},
		{"mountain climber", LimitNotFaceDown, "standing climber"},
		{"high knees", LimitQuiet, "high-knee march"},
		{"lunge", LimitNoDeepKnee, "short reverse lunge"},
		{"split squat", LimitNoDeepKnee, "supported split squat"},
		{"bridge", LimitNotOnBack, "kneeling hip drive"},
		{"run", LimitNoJumping, "brisk walk"},
		{"run", LimitSmallFloor, "indoor walk"},
		{"bear crawl", LimitSmallFloor, "bear crawl on the spot"},
		{"thruster", LimitNoOverhead, "squat and lift"},
		{"donkey kick", LimitNoKneeling, "standing hip extension"},
		{"hip flexor stretch", LimitNoKneeling, "standing hip flexor stretch"},
		{"child's pose", LimitNoKneeling, "wall lean stretch"},
		{"cat-cow", LimitNoWrists, "seated cat-cow"},
		{"lying twist", LimitNotOnBack, "seated twist stretch"},
	} {
		e, ok := l.Named(c.name)
		if !ok || !e.Excludes(c.limit) {
			t.Errorf("%q is not excluded by %s", c.name, c.limit)
			continue
		}
		ways := withoutKit(l, e, c.limit)
		if len(ways) == 0 || ways[0].Name != c.want {
			got := "nothing"
			if len(ways) > 0 {
				got = ways[0].Name
			}
			t.Errorf("%s: %s: %q becomes %q, want %q", e.source, c.limit, c.name, got, c.want)
		}
	}
}

// In squats on one leg and in split stances the weight stays over the whole foot, the heel down.
func TestWorkOnOneLegKeepsTheHeelDown(t *testing.T) {
	name, says := wordsOf("split squat|single-leg squat|single-leg box squat|staggered (half )?squat"), wordsOf("heel down|whole front foot|whole foot")
	for _, e := range Builtin().Entries() {
		if name.MatchString(e.Name) && !says.MatchString(strings.Join(e.Cues, " | ")) {
			t.Errorf("%s: %q does not say that the heel stays down: %v", e.source, e.Name, e.Cues)
		}
		if name.MatchString(e.Name) && e.Sides != OneSide {
			t.Errorf("%s: %q is counted %s; its amount is the sum of both sides", e.source, e.Name, e.Sides)
		}
	}
}

// Raising the feet in a hip bridge moves work to the hamstrings, raising the shoulders to the glutes; a heel further out
// does what raising the feet does.
func TestWhatABridgeTrains(t *testing.T) {
	for _, e := range Builtin().Entries() {
		if e.Pattern != PatternBridge {
			continue
		}
		want := ""
		switch {
		case wordsOf("feet-raised|long-lever|leg curl|walk-out").MatchString(e.Name):
			want = "hamstrings"
		case wordsOf("hip thrust").MatchString(e.Name):
			want = "glutes"
		}
		if want != "" && e.Main != want {
			t.Errorf("%s: %q trains the %s, want %s", e.source, e.Name, e.Main, want)
		}
	}
}

// A two-hand swing goes to shoulder height at home; overhead is another movement, of the highest risk.
func TestSwingsStopAtTheShoulders(t *testing.T) {
	for _, e := range Builtin().Entries() {
		if e.Pattern != PatternHinge || !wordsOf("swing").MatchString(e.Name) {
			continue
		}
		if e.Name == "overhead swing" {
			if e.Risk != 3 || !e.Ceiling {
				t.Errorf("%s: %q: risk %d, ceiling %v", e.source, e.Name, e.Risk, e.Ceiling)
			}
			continue
		}
		if !strings.Contains(e.Rep, "shoulder height") || has(e.Loads, "overhead") {
			t.Errorf("%s: %q goes higher than the shoulders: %s", e.source, e.Name, e.Rep)
		}
	}
}

// Off a box one steps down; a chair is not jumped on.
func TestBoxesAreSteppedDownFrom(t *testing.T) {
	for _, e := range Builtin().Entries() {
		if e.Pattern != PatternJump || !wordsOf("box jump").MatchString(e.Name) {
			continue
		}
		cautions := strings.Join(e.Cautions, " | ")
		if !strings.Contains(cautions, "step down") || !strings.Contains(cautions, "made to be jumped on") {
			t.Errorf("%s: %q: %s", e.source, e.Name, cautions)
		}
		for _, needed := range e.Kit {
			if !slices.Equal(needed, []string{"box"}) {
				t.Errorf("%s: %q is jumped onto %v", e.source, e.Name, needed)
			}
		}
	}
}
