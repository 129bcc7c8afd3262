package content

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The tests of this file hold an entry's words against its fields: limits exclude by fields, so a word without its
// field sends a movement to somebody who must not do it. All of it is common practice, no source.

// upper lists the patterns of push, pull and trunk.
var upper = []Pattern{PatternPush, PatternOverhead, PatternRow, PatternPull, PatternBrace, PatternTrunk}

func loads(e *Entry, what string) bool { return slices.Contains(e.Loads, what) }

// everyEntry calls hold for each movement, service groups left out, whose name or rep says words, and wants it to be
// called at all.
func everyEntry(t *testing.T, words string, hold func(e *Entry)) {
	t.Helper()
	re, n := regexp.MustCompile(words), 0
	for _, e := range Builtin().Entries() {
		if !e.Pattern.Service() && re.MatchString(e.Name+": "+e.Rep) {
			hold(e)
			n++
		}
	}
	if n == 0 {
		t.Errorf("no movement says %s: the test holds nothing", words)
	}
}

func TestWeightOnTheHandsLoadsTheWrists(t *testing.T) {
	everyEntry(t, `push-up|straight-arm plank|handstand|hands and (toes|knees)|hands? on (the|a) (floor|wall|stair|edge)|walk the hands|crab|bar dip|ring dip|chair dip|muscle-up|L-sit|inchworm|shoulder tap`,
		func(e *Entry) {
			steadied := e.Pattern == PatternSplit || e.Pattern == PatternSquat || e.Pattern == PatternHinge // a hand for balance
			if e.Position != "on the back" && !steadied && !loads(e, "wrist") {
				t.Errorf("%s: %q bears weight on the hands and does not load the wrists: %s", e.source, e.Name, e.Rep)
			}
		})
}

func TestOnForearmsNothingLoadsTheWrists(t *testing.T) {
	everyEntry(t, `in a forearm plank|: forearm plank|: forearms and (toes|knees)|: on one forearm|wall with the forearms`, func(e *Entry) {
		if loads(e, "wrist") {
			t.Errorf("%s: %q is done on the forearms and is kept from those whose wrists must not bear weight", e.source, e.Name)
		}
	})
}

func TestPositionsAreThoseOfTheText(t *testing.T) {
	for words, position := range map[string]string{
		`: (lying )?on the back`:                                                        "on the back",
		`: (lying )?face down|from lying face down`:                                     "face down",
		`: on the knees|: (from |on )hands and knees|: on (one|both) knees?|: kneeling`: "kneeling",
		`: hanging|: from hanging`:                                                      "hanging",
		`: seated|: sitting`:                                                            "seated",
		`: in a straight-arm plank|: in a forearm plank|: one push-up`:                  "face down",
	} {
		everyEntry(t, words, func(e *Entry) {
			if !e.In(position) {
				t.Errorf("%s: %q is done %s and says %s: %s", e.source, e.Name, position, e.Position, e.Rep)
			}
		})
	}
}

func TestJumpsHaveImpactAndAreHeard(t *testing.T) {
	everyEntry(t, `\bjump`, func(e *Entry) {
		if strings.Contains(e.Rep, "no jump") || strings.Contains(e.Rep, "without") {
			return
		}
		if !loads(e, "impact") || e.Noise == "quiet" {
			t.Errorf("%s: %q jumps: loads %v, noise %s", e.source, e.Name, e.Loads, e.Noise)
		}
	})
}

func TestOverheadIsToldOverhead(t *testing.T) {
	everyEntry(t, `overhead`, func(e *Entry) {
		if !e.Excludes(LimitNoOverhead) {
			t.Errorf("%s: %q goes overhead and reaches those who must not: %s", e.source, e.Name, e.Rep)
		}
	})
	for _, e := range Builtin().Entries() {
		if e.In("hanging") && !e.Ceiling {
			t.Errorf("%s: %q hangs under a low ceiling", e.source, e.Name)
		}
		weight := slices.ContainsFunc(e.Kit, func(all []string) bool {
			return slices.ContainsFunc(all, func(k string) bool { kit, _ := Builtin().KitNamed(k); return kit.Weight })
		})
		if e.Pattern == PatternOverhead && loads(e, "overhead") && weight && e.Position == "standing" && !e.Ceiling && e.Name != "halo" {
			t.Errorf("%s: %q takes a load overhead under a low ceiling", e.source, e.Name)
		}
	}
}

func TestHoldsAreCountedInSecondsAndNothingElseIs(t *testing.T) {
	for _, e := range Builtin().Entries() {
		says := strings.HasSuffix(e.Rep, "hold")
		if slices.Contains(upper, e.Pattern) && says != e.Hold() {
			t.Errorf("%s: %q takes %v to %v seconds and says %q", e.source, e.Name, e.SecondsLow, e.SecondsHigh, e.Rep)
		}
		for _, s := range e.StandIns {
			if in, _ := Builtin().Named(s.Name); in.Hold() != e.Hold() {
				t.Errorf("%s: seconds for reps: %q for %q", e.source, s.Name, e.Name)
			}
		}
		for _, name := range e.Easier {
			if below, _ := Builtin().Named(name); slices.Contains(upper, e.Pattern) && below.Hold() != e.Hold() {
				t.Errorf("%s: seconds for reps: %q is no step below %q", e.source, name, e.Name)
			}
		}
	}
}

func TestSidesAreThoseOfTheText(t *testing.T) {
	everyEntry(t, `the next one`, func(e *Entry) {
		if e.Sides != Alternating {
			t.Errorf("%s: %q changes sides each rep and is done %s", e.source, e.Name, e.Sides)
		}
	})
	everyEntry(t, `^(one-arm|single-arm|single-leg|one-leg|half-kneeling|self-resisted|side plank|knee side plank)|other leg|opposite (leg|knee|elbow|arm|foot)|other hand`, func(e *Entry) {
		if e.Sides == BothSides {
			t.Errorf("%s: %q works one side and is done %s: %s", e.source, e.Name, e.Sides, e.Rep)
		}
	})
}

// Furniture is whatever the text leans on or pulls at, beside what the kit says.
func TestWhatLeansOnFurnitureIsTestedFirst(t *testing.T) {
	everyEntry(t, `\b(chair|seat|sofa|table|door|doorway|frame|worktop|bench)\b`, func(e *Entry) {
		if !slices.Contains(upper, e.Pattern) || regexp.MustCompile(`firm seat`).MatchString(e.Rep) {
			return // sitting on a seat, as one does, is no test of it
		}
		if e.Test == "" || len(e.Cautions) == 0 {
			t.Errorf("%s: %q has a test %q and cautions %v: %s", e.source, e.Name, e.Test, e.Cautions, e.Rep)
		}
	})
}

// leaveOut holds, by limit, what has no way around it that keeps pattern, sides and risk: the coach decides.
var leaveOut = map[string][]string{
	LimitNoKneeling:  {"kneeling shoulder-blade push-up", "get-up", "stand-up from floor"},
	LimitNoWrists:    {"forearm push-up", "kneeling shoulder-blade push-up", "shoulder-blade push-up", "ring dip", "handstand push-up", "get-up", "stand-up from floor"},
	LimitNotFaceDown: {"arch hold"},
	LimitNotOnBack:   {"pelvic tilt", "get-up", "stand-up from floor"},
	LimitSmallFloor:  {"get-up", "stand-up from floor"},
	LimitQuiet:       {},
	LimitNoJumping:   {},
	LimitNoInversion: {},
	LimitLowCeiling:  {},
	LimitNoMaxEffort: {},
}

func TestEveryLimitLeavesAWayWithoutKit(t *testing.T) {
	l := Builtin()
	for limit, names := range leaveOut {
		for _, e := range l.Entries() {
			if !slices.Contains(upper, e.Pattern) || !e.Excludes(limit) {
				continue
			}
			way := slices.ContainsFunc(l.substitutes(e), func(s substitute) bool { return !s.entry.Excludes(limit) && !s.entry.NeedsKit() })
			if known := slices.Contains(names, e.Name); way == known {
				t.Errorf("%s: %q with %q: a way without kit: %v, listed as left out: %v", e.source, e.Name, limit, way, known)
			}
		}
	}
}

// The mirror of what a stand-in needs: same pattern, same sides, no furniture, nothing upside down, no impact.
func TestKitLeadsToNoKitByWhatFittingMaySend(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		if !slices.Contains(upper, e.Pattern) || !e.NeedsKit() {
			continue
		}
		var free []string
		for _, s := range l.substitutes(e) {
			x := s.entry
			if x.NeedsKit() {
				continue
			}
			if x.Pattern != e.Pattern || x.Sides != e.Sides || x.Risk > e.Risk || x.Test != "" || loads(x, "inverted") || loads(x, "impact") {
				t.Errorf("%s: fitting may send %q for %q", e.source, x.Name, e.Name)
			}
			free = append(free, x.Name)
		}
		if (len(free) == 0) == (e.KitOnly == "") {
			t.Errorf("%s: %q: ways without kit %v, kit only: %q", e.source, e.Name, free, e.KitOnly)
		}
	}
}

// A name that coaches use for one movement is not an alias of an easier, a harder or another one.
func TestAliasesDoNotStealNames(t *testing.T) {
	for asked, want := range map[string]string{
		"diamond push-up": "diamond push-up", "dive-bomber push-up": "dive-bomber push-up", "Hindu push-up": "wave push-up",
		"ring dip": "ring dip", "bench dip": "chair dip", "dip": "", "toes-to-bar": "toes-to-bar", "hanging leg raise": "hanging leg raise",
		"knees-to-elbows": "", "wide-grip pull-up": "wide-grip pull-up", "gorilla row": "gorilla row", "bent press": "", "split jerk": "",
		"typewriter push-up": "", "chair push-up": "chair push-up", "stair push-up": "incline push-up", "crab dip": "crab dip",
		"seated row": "band row", "isometric row": "", "dumbbell row": "", "tall-kneeling press": "tall-kneeling press", "Z press": "long-sitting press",
		"hip dip": "plank hip dip", "plank rotation": "plank to side plank", "weighted side bend": "loaded side bend", "half get-up": "",
		"standing toe touch": "cross toe touch", "incline pike push-up": "incline pike push-up", "push-up plus": "",
		"prone lat pull-down": "face-down pull-down", "snow angel": "floor angel", "reverse snow angel": "reverse snow angel",
		"broomstick row": "", "kettlebell windmill": "", "anchored sit-up": "", "tuck L-sit": "tucked L-sit", "single-leg plank": "", "standing side crunch": "standing side crunch",
	} {
		got := ""
		if e, ok := Builtin().Find(asked); ok {
			got = e.Name
		}
		if got != want {
			t.Errorf("Find(%q) = %q, want %q", asked, got, want)
		}
	}
}
