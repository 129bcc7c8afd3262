package content

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFind(t *testing.T) {
	for asked, want := range map[string]string{
		"step-overs": "step-over", "step over": "step-over", "StepOver": "step-over", "Push Ups": "push-up", "pushups": "push-up",
		"press ups": "push-up", "squat": "squat", "SQUATS": "squat", "air squats": "squat", "row": "backpack row", "rows": "backpack row",
		"bridge": "bridge", "bridges": "bridge", "glute bridges": "bridge", "climber": "mountain climber", "climbers": "mountain climber",
		"lunge": "lunge", "alternating lunges": "lunge", "run": "run", "running": "run", "plank": "plank", "bridge march": "bridge march",
		"plank shoulder taps": "plank shoulder tap", "shoulder taps": "plank shoulder tap", "Cossack squats": "cossack squat",
		"pack pull-through": "pack pull-through", "backpack pull throughs": "pack pull-through", "hand release push ups": "hand-release push-up",
		"incline push-up": "incline push-up", "lateral step-down": "lateral step-down", "side step downs": "lateral step-down",
		"close grip push up": "close-grip push-up", "diamond push-ups": "diamond push-up", "narrow push-ups": "close-grip push-up", "pike push-ups": "pike push-up",
		"wall slides": "wall slide", "dead bugs": "dead bug", "deadbug": "dead bug", "pigeon stretch": "pigeon stretch",
		"pigeon stretches": "pigeon stretch", "side lunges": "side lunge", "lateral lunge": "side lunge", "two-hand swing": "two-hand swing",
		"2-hand swings": "two-hand swing", "swings": "two-hand swing", "towel row": "towel row", "table rows": "table row",
		"inverted rows": "table row", "backpack good mornings": "backpack good morning", "rucksack good morning": "backpack good morning",
		"backpack cleans": "backpack clean", "pack clean": "backpack clean", "step-ups": "step-up", "burpees": "burpee",
		"jumping jacks": "jumping jack", "star jumps": "jumping jack", "high knees": "high knees", "skipping rope": "rope skip",
		"jump rope": "rope skip", "one-legged glute bridge": "single-leg bridge", "1-leg bridge": "single-leg bridge",
		"Bulgarian split squats": "rear-foot-raised split squat", "pistols": "single-leg squat", "RDL": "Romanian deadlift",
		"sit ups": "sit-up", "V-ups": "V-up", "calf raises": "calf raise", "child's pose": "child's pose", "childs pose": "child's pose",
		"bodyweight squats": "squat", "body weight squat": "squat", "strict pull-ups": "pull-up", "chin ups": "chin-up",
		"plié squat": "sumo squat", "farmer's carry": "farmer carry", "farmers walk": "farmer carry", "deep breathing": "deep breathing",
		"wall sits": "wall sit", "flies": "chest fly", "push-ups, ": "push-up", "one-arm rows": "one-arm row", "single arm row": "one-arm row",
		"inchworms": "inchworm", "backpack thrusters": "thruster", "side planks": "side plank", "calves stretch": "calf stretch",
	} {
		if e, ok := Builtin().Find(asked); !ok || e.Name != want {
			got := "nothing"
			if ok {
				got = e.Name
			}
			t.Errorf("Find(%q) = %s, want %s", asked, got, want)
		}
	}
	for _, asked := range []string{"", " ", "-", "flying saucer", "the", "bodyweight", "alternating", "x y z", "bodyweight deadlift", "alternating split squat"} {
		if e, ok := Builtin().Find(asked); ok {
			t.Errorf("Find(%q) = %s, want nothing", asked, e.Name)
		}
	}
}

func TestFindKit(t *testing.T) {
	for asked, want := range map[string]string{
		"rucksack": "backpack", "mop handle": "broom handle", "bath towel": "towel", "Bath Towels": "towel", "chair": "sturdy chair",
		"sturdy chair": "sturdy chair", "bar": "pull-up bar", "pull up bar": "pull-up bar", "Pullup Bar": "pull-up bar", "table": "sturdy table",
		"2 chairs": "two sturdy chairs", "kettle bell": "kettlebell", "backpacks": "backpack", "stairs": "stairs", "jump rope": "skipping rope",
		"broomstick": "broom handle", "resistance bands": "resistance band", "tea-towel": "towel", "DUMBBELL": "dumbbell",
	} {
		if got, ok := Builtin().FindKit(asked); !ok || got != want {
			t.Errorf("FindKit(%q) = %q, want %q", asked, got, want)
		}
	}
	if k, ok := Builtin().FindKit("anvil"); ok {
		t.Errorf("an anvil is %q", k)
	}
}

// However a name is cased, joined or put in the plural, it is the same movement.
func TestFindIgnoresCasePluralAndHyphens(t *testing.T) {
	l := Builtin()
	type pair struct {
		as string
		e  *Entry
	}
	var all []pair
	for _, e := range l.Entries() {
		for _, n := range append([]string{e.Name}, e.Aliases...) {
			all = append(all, pair{n, e})
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		c := all[rapid.IntRange(0, len(all)-1).Draw(t, "name")]
		as := c.as
		if rapid.Bool().Draw(t, "upper") {
			as = strings.ToUpper(as)
		}
		as = strings.ReplaceAll(as, "-", rapid.SampledFrom([]string{"-", " ", "  ", "–"}).Draw(t, "hyphen"))
		as = rapid.SampledFrom([]string{"", " ", "\t"}).Draw(t, "before") + as
		if got, ok := l.Find(as); !ok || got != c.e {
			t.Fatalf("Find(%q) is not %q", as, c.e.Name)
		}
	})
	for _, e := range l.Entries() {
		if got, ok := l.Find(plural(e.Name)); !ok || got != e {
			t.Errorf("the plural %q is not %q", plural(e.Name), e.Name)
		}
	}
}

func TestFindNeverPanics(t *testing.T) {
	l := Builtin()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "s")
		l.Find(s)
		l.FindKit(s)
		if got := l.Suggest(s, 3); len(got) > 3 || got == nil {
			t.Fatalf("Suggest(%q) = %v", s, got)
		}
	})
}

func TestSuggest(t *testing.T) {
	l := Builtin()
	for asked, want := range map[string]string{
		"sqaut": "squat", "pushp": "push-up", "burpeee": "burpee", "lung": "lunge", "cosack squat": "cossack squat", "pul-upp": "pull-up",
		"dead bgu": "dead bug", "brige march": "bridge march", "stepovr": "step-over", "montain climer": "mountain climber",
		"hand relese push-up": "hand-release push-up", "lateral stepdwn": "lateral step-down",
	} {
		if got := l.Suggest(asked, 3); !slices.Contains(got, want) {
			t.Errorf("Suggest(%q) = %v, want %q among them", asked, got, want)
		}
	}
	for _, asked := range []string{"", "qqqqqq", "xylophone concerto", "zzz", strings.Repeat("squat", 500)} {
		if got := l.Suggest(asked, 3); len(got) != 0 || got == nil {
			t.Errorf("Suggest(%q) = %#v, want an empty list", asked, got)
		}
	}
	if got := l.SuggestKit("bakpack", 1); !slices.Equal(got, []string{"backpack"}) {
		t.Errorf("got %v", got)
	}
	if got := l.SuggestKit("sturdy chiar", 1); !slices.Equal(got, []string{"sturdy chair"}) {
		t.Errorf("got %v", got)
	}
	if got := l.SuggestKit("submarine", 3); len(got) != 0 {
		t.Errorf("got %v", got)
	}
	if got := l.Suggest("sqaut", 0); len(got) != 0 {
		t.Errorf("asked for none, got %v", got)
	}
}
