package content

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares got with testdata/NAME, or writes it with -update.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run the test with -update to write it)", err)
	}
	if got != string(want) {
		t.Errorf("%s differs; got\n%s", file, got)
	}
}

func reps(n int64, name string) Movement {
	return Movement{Amount: Amount{Kind: AmountReps, Low: n, High: n}, Name: name}
}

func span2(low, high int64, name string) Movement {
	return Movement{Amount: Amount{Kind: AmountReps, Low: low, High: high}, Name: name}
}

func held(d time.Duration, name string) Movement {
	return Movement{Amount: Amount{Kind: AmountTime, Low: d.Milliseconds(), High: d.Milliseconds()}, Name: name}
}

func metres(n int64, name string) Movement {
	return Movement{Amount: Amount{Kind: AmountDistance, Low: n * 1000, High: n * 1000, Unit: "m"}, Name: name}
}

func (m Movement) sides(n int64) Movement { m.PerSide = n; return m }

func (m Movement) way(k WayKind, w Movement) Movement {
	m.Ways = append(m.Ways, Way{Kind: k, Movement: w})
	return m
}

const minute = time.Minute

// Sessions of an invented club, for the golden texts. The first is the sample sheet of the contract.
func goldenSessions() map[string]FittedSession {
	ledge := Session{Title: "Ledge and landing", Date: Date{2027, 2, 1}, Programme: "Roof weeks, week 3 day 1",
		Focus: "single-leg strength, pressing", Kit: []string{"backpack", "sturdy chair"}, HasKit: true, Length: 45 * minute,
		About:  "Unhurried pairs, then a little extra for whoever wants it.",
		Choose: []string{"C", "D"}, Short: []string{"A"},
		WarmUp: []Movement{reps(10, "wall slide"), reps(16, "dead bug").sides(8)},
	}
	down := reps(16, "lateral step-down").sides(8)
	down.Tempo, down.Reserve, down.HasReserve = "3-1-1-0", 2, true
	down.Cares = []string{"lowest stair, one hand on the rail"}
	ledge.Parts = []Part{
		{Letter: "A", Scheme: Sets, Sets: 4, Order: InTurn, OwnPace: true, RestBetween: 20 * time.Second, RestAfter: 90 * time.Second,
			Movements: []Movement{down.way(Easier, reps(16, "step-up").sides(8)),
				span2(8, 12, "close-grip push-up").way(Easier, span2(8, 12, "incline push-up")).way(Harder, reps(8, "pike push-up"))}},
		{Letter: "B", Scheme: Every, Duration: 10 * minute, Interval: minute, Order: InTurn,
			Movements: []Movement{reps(8, "backpack clean"), reps(12, "plank shoulder tap").sides(6)}},
		{Letter: "C", Scheme: Rounds, Rounds: 5, Cap: 16 * minute, Aim: "11:00-14:00", Movements: []Movement{
			reps(16, "backpack good morning"), reps(12, "hand-release push-up").way(Easier, reps(12, "incline push-up")),
			reps(30, "step-over").way(Or, metres(200, "run"))}},
		{Letter: "D", Scheme: AMRAP, Duration: 9 * minute, Movements: []Movement{reps(4, "pack pull-through"),
			reps(8, "cossack squat").sides(4).way(Easier, reps(8, "side lunge").sides(4)), reps(12, "bridge march").sides(6)}},
	}
	ledge.CoolDown = []Movement{held(2*minute, "pigeon stretch").sides(60000)}

	pull := span2(3, 5, "pull-up")
	pull.Ways = []Way{{Kind: Easier, Movement: reps(8, "towel row")}, {Kind: If, Kit: "resistance band", Movement: reps(5, "band-assisted pull-up")}}
	pull.Cues = []string{"quiet legs"}
	pull.Watches = []string{"https://example.org/pull"}
	doors := Session{Title: "Doors and towels", Date: Date{2027, 2, 2}, Kit: []string{"towel", "pull-up bar"}, HasKit: true, Effort: "hard", Level: "second month",
		Note: "Test the door before anybody leans on it.",
		Parts: []Part{
			{Letter: "A", Scheme: Sets, Sets: 3, Order: Each, Rest: 2 * minute, Movements: []Movement{pull, held(minute, "side plank").sides(30000)}},
			{Letter: "B", Scheme: Stations, Stations: 4, Work: minute, Through: 2, Rest: 15 * time.Second, Movements: []Movement{
				{Name: "backpack row"}, {Name: "squat"}, {Name: "mountain climber"}, {Name: "plank"}}},
		}}

	loaded := reps(12, "backpack squat")
	loaded.Load = Load{Grams: 12000, Unit: "kg", Kit: "backpack"}
	ladder := Session{Title: "Down the stairwell", Date: Date{2027, 2, 3}, Parts: []Part{
		{Letter: "A", Scheme: Heaviest, SetReps: 5, Movements: []Movement{{Name: "deadlift"}}},
		{Letter: "B", Scheme: Ladder, Rungs: []int{16, 12, 8, 4}, Cap: 12 * minute, Note: "Quiet feet after nine.", Movements: []Movement{
			{Name: "push-up"}, {Name: "split squat"}, loaded}},
		{Letter: "C", Scheme: MostReps, Optional: true, Movements: []Movement{{Name: "knee push-up"}}},
		{Letter: "D", Scheme: Quality, Movements: []Movement{reps(5, "get-up"), {Name: "deep breathing", Amount: Amount{Kind: AmountMax}}}},
	}}

	tests := Session{Title: "Test day", Date: Date{2027, 2, 4}, Effort: "test", HasKit: true, Parts: []Part{
		{Letter: "A", Scheme: LongestHold, Movements: []Movement{{Name: "plank"}}},
		{Letter: "B", Scheme: Farthest, Duration: 12 * minute, Movements: []Movement{{Name: "run"}}},
		{Letter: "C", Scheme: Sets, Sets: 2, Scoring: Scored, Movements: []Movement{
			{Name: "push-up", Amount: Amount{Kind: AmountPercent, Low: 60, High: 60, Of: "A"}}}},
		{Letter: "D", Scheme: Rounds, Rounds: 1, Scoring: NotScored, Movements: []Movement{metres(400, "run"),
			{Name: "machine row", Amount: Amount{Kind: AmountCalories, Low: 15, High: 15}}}},
	}}

	fitted := Unfitted(doors)
	fitted.Session.Parts = []Part{doors.Parts[0]}
	fitted.Session.Parts[0].Movements = []Movement{reps(8, "towel row"), held(minute, "side plank").sides(30000), reps(10, "box jump")}
	fitted.Changes = []Changed{
		{Part: "A", Movement: 0, Was: "pull-up", Now: "towel row", Eased: true, Why: "no pull-up bar: towel row instead"},
		{Part: "A", Movement: 2, Was: "box jump", LeaveOut: true, Why: "no jumping"},
	}

	rest := Session{Title: "Rest", Date: Date{2027, 2, 7}, Rest: true, About: "Walk somewhere you like. Nothing to log."}
	return map[string]FittedSession{"ledge": Unfitted(ledge), "doors": Unfitted(doors), "ladder": Unfitted(ladder), "tests": Unfitted(tests),
		"fitted": fitted, "rest": Unfitted(rest)}
}

func TestTextAndCardGolden(t *testing.T) {
	for name, fs := range goldenSessions() {
		t.Run(name, func(t *testing.T) {
			golden(t, "text_"+name+".txt", Text(fs, Builtin()))
			b, err := json.MarshalIndent(NewCard(fs, Builtin()), "", "  ")
			if err != nil {
				t.Fatal(err)
			}
			golden(t, "card_"+name+".json", string(b)+"\n")
		})
	}
}

// Cautions are always shown, whole: the coach's, the library's, and the tests before use.
func TestCautionsAreNeverLeftOut(t *testing.T) {
	l := Builtin()
	for _, e := range l.Entries() {
		m := reps(2, e.Name)
		m.Cares = []string{"mind the " + e.Name}
		s := Session{Title: "T", Date: Date{2027, 2, 1}, Parts: []Part{{Letter: "A", Scheme: Sets, Sets: 1, Movements: []Movement{
			m, reps(2, "squat").way(Easier, reps(2, e.Name))}}}}
		text := Text(Unfitted(s), l)
		for _, want := range append([]string{"mind the " + e.Name}, e.Cautions...) {
			if !strings.Contains(text, "Take care: "+want+"\n") {
				t.Errorf("%s: the text leaves out %q", e.Name, want)
			}
		}
		for _, want := range e.Cautions {
			if strings.Count(text, "Take care: "+want+"\n") < 2 {
				t.Errorf("%s: as an easier way, %q is left out", e.Name, want)
			}
		}
		if e.Test != "" && strings.Count(text, "Test first: "+e.Test+"\n") < 2 {
			t.Errorf("%s: the text leaves out the test %q", e.Name, e.Test)
		}
	}
}

func TestTextReadsOnAPhone(t *testing.T) {
	for name, fs := range goldenSessions() {
		text := Text(fs, Builtin())
		for _, bad := range []string{"\t", "|", "%!", "\n\n\n", " \n", "as_written", "for_time"} {
			if strings.Contains(text, bad) {
				t.Errorf("%s: holds %q", name, bad)
			}
		}
		if strings.HasPrefix(text, "\n") || !strings.HasSuffix(text, "\n") {
			t.Errorf("%s: begins or ends untidily", name)
		}
	}
}

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{sayTempo("3-1-1-0"), "3-1-1-0 (3 s down, 1 s still, 1 s up)"},
		{sayTempo("2-0-X-1"), "2-0-X-1 (2 s down, fast up, 1 s still)"},
		{sayTempo("3-1-X"), "3-1-X (3 s down, 1 s still, fast up)"},
		{sayTempo("0-1-2"), "0-1-2 (down, 1 s still, 2 s up)"},
		{sayTempo("odd"), "odd"},
		{sayLoad(Load{Grams: 12000, Unit: "kg", Kit: "backpack"}, ""), "backpack, 12 kg or more"},
		{sayLoad(Load{Grams: 20412, Unit: "lb"}, ""), "45 lb or more"},
		{sayLoad(Load{Percent: 80, Of: "C"}, ""), "80% of your load in C"},
		{sayLoad(Load{Kit: "backpack"}, ""), "backpack"},
		// 1 lb is 0.45359237 kg by definition, so 12 kg are 26.455 lb: told as 26.5, never as less than is asked.
		{sayLoad(Load{Grams: 12000, Unit: "kg"}, "lb"), "12 kg (26.5 lb) or more"},
		{sayLoad(Load{Grams: 20412, Unit: "lb"}, "kg"), "45 lb (20.5 kg) or more"},
		{sayLoad(Load{Grams: 20412, Unit: "lb"}, "lb"), "45 lb or more"},
		{sayLoad(Load{}, ""), ""},
		{sayQuantity(Amount{Kind: AmountDistance, Unit: "km"}, 2500000, 2500000), "2.5 km"},
		{sayQuantity(Amount{Kind: AmountDistance, Unit: "mi"}, 1609344, 1609344), "1 mi"},
		{sayQuantity(Amount{Kind: AmountTime}, 30000, 90000), "0:30-1:30"},
		{sayQuantity(Amount{Kind: AmountTime}, 30500, 30500), "0:30.5"},
		{plural("push-up"), "push-ups"}, {plural("overhead press"), "overhead presses"}, {plural("crunch"), "crunches"},
		{plural("chest fly"), "chest flies"}, {plural("burpee over backpack"), "burpees over backpack"},
		{plural("march in place"), "marches in place"}, {plural("high knees"), "high knees"}, {plural("deep breathing"), "deep breathing"},
		{plural("two-hand swing"), "two-hand swings"}, {plural("backpack clean and press"), "backpack clean and presses"}, {plural("backpack good morning"), "backpack good mornings"},
		{capital("über"), "Über"}, {capital(""), ""}, {capital("\xff!"), "\xff!"},
		{sayLine(reps(1, "squat"), nil, true), "1 squat"},
		{sayDate(Date{2027, 2, 1}), "Mon 1 Feb 2027"}, {sayDate(Date{}), ""},
		{withArticle("exercise ball"), "an exercise ball"}, {withArticle("two dumbbells"), "two dumbbells"}, {withArticle("stairs"), "stairs"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// An amount for a movement done one side at a time is the sum of both sides: 16 split squats are 8 each leg (common
// practice, no source).
func TestSidesAreSpelledOut(t *testing.T) {
	l := Builtin()
	for _, c := range []struct {
		m    Movement
		want string
	}{
		{reps(16, "split squat"), "16 split squats, 8 each side"},
		{span2(16, 20, "split squat"), "16-20 split squats, 8-10 each side"},
		{span2(16, 24, "split squat").sides(8), "16-24 split squats, 8-12 each side"},
		{held(minute, "side plank"), "1:00 side plank, 0:30 each side"},
		{metres(100, "suitcase carry"), "100 m suitcase carry, 50 m each side"},
		{reps(13, "lunge"), "13 lunges"},
		{reps(10, "squat"), "10 squats"},
		{Movement{Name: "side plank", Amount: Amount{Kind: AmountMax}}, "Side plank, as long as you can"},
		{Movement{Name: "split squat"}, "Split squat"},
	} {
		e, _ := l.Find(c.m.Name)
		if got := sayLine(c.m, e, false); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestExampleReplies(t *testing.T) {
	easier := reps(10, "push-up").way(Easier, reps(10, "knee push-up"))
	for _, c := range []struct {
		p          Part
		eased      bool
		want, late string
	}{
		{Part{Letter: "A", Scheme: Sets}, false, "A done", ""},
		{Part{Letter: "C", Scheme: Rounds, Rounds: 5, Cap: 16 * minute, Movements: []Movement{easier, reps(20, "squat")}}, false,
			"C 14:32 scaled", "C capped, 2 rounds and 14 scaled"},
		{Part{Letter: "C", Scheme: Rounds, Rounds: 5, Cap: 16 * minute, Movements: []Movement{easier, reps(20, "squat")}}, true,
			"C 14:32", "C capped, 2 rounds and 14"},
		{Part{Letter: "C", Scheme: Rounds, Rounds: 1, Cap: 10 * minute, Movements: []Movement{reps(100, "squat")}}, false,
			"C 9:00 as written", "C capped, 75 reps as written"},
		{Part{Letter: "C", Scheme: Rounds, Rounds: 3, Movements: []Movement{reps(10, "squat")}, Scoring: NotScored}, false, "C done", ""},
		{Part{Letter: "B", Scheme: Ladder, Rungs: []int{8, 4}, Movements: []Movement{{Name: "squat"}}}, false, "B 14:32 as written", ""},
		{Part{Letter: "D", Scheme: AMRAP, Duration: 9 * minute, Movements: []Movement{reps(4, "squat"), reps(20, "lunge")}}, false, "D 5+12 as written", ""},
		{Part{Letter: "D", Scheme: AMRAP, Duration: 9 * minute, Movements: []Movement{reps(1, "burpee")}}, false, "D 135 rounds as written", ""},
		{Part{Letter: "B", Scheme: Stations, Stations: 4, Work: minute, Through: 1, Movements: make([]Movement, 4)}, false, "B 21/18/15/24 as written", ""},
		{Part{Letter: "B", Scheme: Stations, Stations: 4, Work: minute, Through: 3, Movements: make([]Movement, 4)}, false, "B 234 as written", ""},
		{Part{Letter: "A", Scheme: Farthest, Duration: 12 * minute}, false, "A 1.8 km as written", ""},
		{Part{Letter: "A", Scheme: Farthest, Duration: 2 * minute}, false, "A 300 m as written", ""},
	} {
		fs := FittedSession{}
		if c.eased {
			fs.Changes = []Changed{{Part: c.p.Letter, Eased: true}}
		}
		got, late := fs.exampleReply(c.p, Builtin())
		if got != c.want || late != c.late {
			t.Errorf("%s: got %q and %q, want %q and %q", c.p.Scheme, got, late, c.want, c.late)
		}
	}
}
