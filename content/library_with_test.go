package content

import (
	"slices"
	"strings"
	"testing"
)

func TestAClubAddsItsOwnMovements(t *testing.T) {
	text := "pattern: squat\nname: lantern squat\nalso: hall squat\nmain: front thighs\nrep: once\nseconds: 1-2\ncue: go\neasier: squat\nkit: hall bench\n"
	es, ps := ParseMovements("club.txt", []byte(text))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	kits, ps := ParseKit("kit.txt", []byte("name: hall bench\nis: furniture\n"))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	l, err := Builtin().With(es, kits)
	if err != nil {
		t.Fatal(err)
	}
	if e, ok := l.Find("Hall Squats"); !ok || e.Name != "lantern squat" {
		t.Errorf("got %v", e)
	}
	if e, _ := l.Find("squat"); !slices.Contains(e.Harder, "lantern squat") {
		t.Error("the ladder does not hold the club's movement")
	}
	if e, _ := Builtin().Find("squat"); slices.Contains(e.Harder, "lantern squat") {
		t.Error("the built-in library was changed")
	}
}

// clubMovement writes a whole movement with the lines given beside what every movement must have.
func clubMovement(name string, lines ...string) string {
	return "name: " + name + "\nmain: abs\nrep: the hall's own way\nseconds: 1-2\ncue: go\n" + strings.Join(lines, "\n") + "\n"
}

// clubLibrary adds a club's files to the built-in library.
func clubLibrary(t *testing.T, movements, kit string) (*Library, error) {
	t.Helper()
	es, ps := ParseMovements("hall.txt", []byte(movements))
	kits, kps := ParseKit("hallkit.txt", []byte(kit))
	if ps = append(ps, kps...); len(ps) > 0 {
		t.Fatal(ps)
	}
	return Builtin().With(es, kits)
}

func TestAClubReplacesABuiltInMovement(t *testing.T) {
	l, err := clubLibrary(t, "pattern: level push\n"+clubMovement("Push Ups", "easier: knee push-up"), "")
	if err != nil {
		t.Fatal(err)
	}
	for _, asked := range []string{"push-up", "press-ups"} {
		if e, ok := l.Find(asked); !ok || e.Name != "push-up" || e.Rep != "the hall's own way" {
			t.Errorf("Find(%q) = %+v, want the club's", asked, e)
		}
	}
	if e, _ := l.Named("push-up"); !slices.Contains(e.Harder, "hand-release push-up") || len(e.Easier) != 1 {
		t.Errorf("the ladder passes the club's movement by: easier %v, harder %v", e.Easier, e.Harder)
	}
	if e, _ := l.Named("incline push-up"); slices.Contains(e.Harder, "push-up") {
		t.Error("the ladder of the movement that was replaced is still there")
	}
	if got, want := len(l.Entries()), len(Builtin().Entries()); got != want {
		t.Errorf("%d movements, want %d", got, want)
	}
	if e, _ := Builtin().Find("push-up"); e.Rep == "the hall's own way" {
		t.Error("the built-in library was changed")
	}
}

func TestAClubThatGivesOtherNamesTakesTheOldOnesAway(t *testing.T) {
	text := "pattern: level push\n" + clubMovement("push-up", "also: hall press") + clubMovement("press-up")
	l, err := clubLibrary(t, text, "")
	if err != nil {
		t.Fatal(err)
	}
	for asked, want := range map[string]string{"hall press": "push-up", "press-ups": "press-up", "floor push-up": ""} {
		got := ""
		if e, ok := l.Find(asked); ok {
			got = e.Name
		}
		if got != want {
			t.Errorf("Find(%q) = %q, want %q", asked, got, want)
		}
	}
}

func TestAClubReplacesBuiltInKit(t *testing.T) {
	l, err := clubLibrary(t, "", "name: sturdy chairs\ncare: the blue ones only\nis: furniture\nname: hall block\nfor: chair\n")
	if err != nil {
		t.Fatal(err)
	}
	if k, ok := l.KitNamed("sturdy chair"); !ok || !slices.Equal(k.Cares, []string{"the blue ones only"}) {
		t.Errorf("got %+v", k)
	}
	if name, _ := l.FindKit("kitchen chair"); name != "sturdy chair" {
		t.Errorf("a kitchen chair is %q", name)
	}
	if !l.Owns([]string{"hall block"}, "sturdy chair") || !l.Owns([]string{"bench"}, "sturdy chair") {
		t.Error("what does for a chair is lost")
	}
	if got, want := len(l.Kits()), len(Builtin().Kits())+1; got != want {
		t.Errorf("%d kits, want %d", got, want)
	}
}

func TestAClubIsToldOfClashesWithBothPlaces(t *testing.T) {
	for name, c := range map[string]struct{ movements, kit, want string }{
		"name is another's alias": {movements: clubMovement("air squat"), want: `hall.txt:2:7: "air squat" already names "squat" (squat.txt:`},
		"alias is another's name": {movements: clubMovement("hall squat", "also: deep one, lunges"),
			want: `hall.txt:7:17: "lunges" already names "lunge" (split.txt:`},
		"alias of a replacing one": {movements: clubMovement("push-up", "also: lunge"), want: `"lunge" already names`},
		"twice in the club's file": {movements: clubMovement("hall squat") + clubMovement("Hall Squats"),
			want: `hall.txt:8:7: "Hall Squats" already names "hall squat" (hall.txt:2:7)`},
		"replaced twice":     {movements: clubMovement("push-up") + clubMovement("push ups"), want: `hall.txt:8:7: "push ups" already names "push-up" (hall.txt:2:7)`},
		"kit alias taken":    {kit: "name: hall seat\nalso: red one, chair\n", want: `hallkit.txt:2:16: kit "chair" is both "hall seat" and "sturdy chair" (kit.txt:`},
		"kit twice":          {kit: "name: hall seat\nname: hall seat\n", want: `hallkit.txt:2:7: kit "hall seat" is listed already (hallkit.txt:1:7)`},
		"kit for nothing":    {kit: "name: hall seat\nfor: anvil\n", want: `hallkit.txt:2:6: "hall seat" is said to do for "anvil"`},
		"unknown easier way": {movements: clubMovement("hall squat", "easier: squat, nap"), want: `hall.txt:7:16: "hall squat" has easier way "nap"`},
		"unknown stand-in":   {movements: clubMovement("hall squat", "like: squat, nap"), want: `hall.txt:7:14: "hall squat" has stand-in "nap"`},
		"the piece, not a part of a word": {movements: clubMovement("hall squat", "also: lungeing, hall lunge, lunge"),
			want: `hall.txt:7:29: "lunge" already names`},
		"unknown kit": {movements: clubMovement("hall squat", "kit: towel or anvil"), want: `hall.txt:7:15: "hall squat" needs kit "anvil"`},
		"a circle":    {movements: clubMovement("squat", "easier: goblet squat"), want: "the ladder runs in a circle"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := clubLibrary(t, "pattern: squat\n"+c.movements, c.kit)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}
