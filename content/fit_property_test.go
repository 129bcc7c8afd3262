package content

import (
	"fmt"
	"reflect"
	"slices"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// anyLine makes a line of any movement of the library, with ways of any others.
func anyLine(t *rapid.T, p Part) Movement {
	names := everyName()
	m := Movement{Name: rapid.SampledFrom(names).Draw(t, "movement")}
	m.Amount = someAmount(t, p)
	e, _ := Builtin().Find(m.Name)
	if m.Amount.Kind == AmountReps && e.Sides != BothSides && rapid.Bool().Draw(t, "sides told") {
		m.PerSide = m.Amount.Low / 2
	}
	m.Load = anyLoad(t, nil)
	m.Cares = maybe(t, "care", func() []string { return []string{"one hand on the rail"} })
	for range rapid.IntRange(0, 3).Draw(t, "ways") {
		w := Way{Kind: rapid.SampledFrom([]WayKind{Easier, Harder, If, Or}).Draw(t, "kind"),
			Movement: Movement{Name: rapid.SampledFrom(names).Draw(t, "way")}}
		if rapid.Bool().Draw(t, "own amount") {
			w.Movement.Amount = someAmount(t, p)
		}
		if w.Kind == If {
			w.Kit = anyKit(t)
		}
		m.Ways = append(m.Ways, w)
	}
	return m
}

func someAmount(t *rapid.T, p Part) Amount {
	switch p.Scheme {
	case Stations, MostReps, LongestHold, Ladder:
		return Amount{}
	}
	n := int64(rapid.IntRange(1, 100).Draw(t, "half")) * 2
	kind := rapid.SampledFrom([]AmountKind{AmountReps, AmountReps, AmountReps, AmountTime, AmountDistance, AmountCalories}).Draw(t, "amount")
	if p.Scheme == Sets && rapid.Bool().Draw(t, "as many") {
		return Amount{Kind: AmountMax}
	}
	if kind == AmountTime || kind == AmountDistance {
		n *= 1000
	}
	return Amount{Kind: kind, Low: n, High: n}
}

func anyKit(t *rapid.T) string {
	kits := Builtin().Kits()
	return kits[rapid.IntRange(0, len(kits)-1).Draw(t, "kit")].Name
}

// everyName returns the names of the whole library.
var everyName = sync.OnceValue(func() (names []string) {
	for _, e := range Builtin().Entries() {
		names = append(names, e.Name)
	}
	return names
})

func anyFit(t *rapid.T) Fit {
	f := Fit{KitKnown: rapid.IntRange(0, 5).Draw(t, "told") > 0, Level: rapid.SampledFrom([]string{"", LevelEasier, LevelAsWritten, LevelHarder}).Draw(t, "level")}
	if f.KitKnown {
		for range rapid.IntRange(0, 5).Draw(t, "kits") {
			f.Kit = append(f.Kit, anyKit(t))
		}
		slices.Sort(f.Kit)
		f.Kit = slices.Compact(f.Kit)
	}
	for _, l := range Limits() {
		if rapid.IntRange(0, 5).Draw(t, l) == 0 {
			f.Limits = append(f.Limits, l)
		}
	}
	slices.Sort(f.Limits)
	return f
}

func anyDay(t *rapid.T) Session {
	s := Session{Title: "any", Date: Date{2027, 2, 1}}
	for i := range rapid.IntRange(1, 3).Draw(t, "parts") {
		p := Part{Letter: string(rune('A' + i)), Scheme: rapid.SampledFrom([]Scheme{Sets, Stations, Rounds, Ladder, AMRAP, Heaviest, MostReps}).Draw(t, "scheme"),
			Sets: 3, Rounds: 4, Rungs: []int{12, 8, 4}, Duration: 9 * time.Minute, Work: time.Minute, Through: 1, SetReps: 5}
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			p.Movements = append(p.Movements, anyLine(t, p))
		}
		p.Stations = len(p.Movements)
		s.Parts = append(s.Parts, p)
	}
	if f := rapid.SampledFrom(everyName()).Draw(t, "chosen"); f != "" {
		s.WarmUp = []Movement{{Name: f, Amount: Amount{Kind: AmountReps, Low: 10, High: 10}}}
	}
	return s
}

// sent is one movement as it was sent, with the line it stands for and what fitting said.
type sent struct {
	part      Part
	line, now Movement
	change    Changed
}

func everySent(fs FittedSession) []sent {
	var out []sent
	change := func(part string, i int) Changed {
		for _, c := range fs.Changes {
			if c.Part == part && c.Movement == i {
				return c
			}
		}
		return Changed{}
	}
	for i, p := range fs.Sheet.Parts {
		for k, m := range p.Movements {
			out = append(out, sent{p, m, fs.Session.Parts[i].Movements[k], change(p.Letter, k)})
		}
	}
	for k, m := range fs.Sheet.WarmUp {
		out = append(out, sent{Part{}, m, fs.Session.WarmUp[k], change(WarmUpPart, k)})
	}
	return out
}

func forEverySent(t *testing.T, hold func(f Fit, x sent) error) {
	rapid.Check(t, func(t *rapid.T) {
		s, f := anyDay(t), anyFit(t)
		if rapid.Bool().Draw(t, "a choice") {
			line := s.Parts[0].Movements[0]
			if choices := Choices(s, f, "A", 0, Builtin()); len(choices) > 0 {
				f.Swaps = map[string]string{line.Name: rapid.SampledFrom(choices).Draw(t, "swap").Name}
			}
		}
		for _, x := range everySent(Fitted(s, f, Builtin())) {
			if err := hold(f, x); err != nil {
				t.Fatalf("%s -> %s (%+v): %v", movementText(x.line), movementText(x.now), x.change, err)
			}
		}
	})
}

// TestNobodyIsSentWhatTheyCannotOrMustNotDo holds the promises of fitting over any session and any fit.
func TestNobodyIsSentWhatTheyCannotOrMustNotDo(t *testing.T) {
	forEverySent(t, func(f Fit, x sent) error {
		e, _ := Builtin().Find(x.now.Name)
		if f.KitKnown && !x.change.NoFit && !x.change.LeaveOut {
			if e.NeedsKit() && !slices.ContainsFunc(e.Kit, func(all []string) bool { return Builtin().OwnsAll(f.Kit, all) }) {
				return fmt.Errorf("needs %v, has %v", e.Kit, f.Kit)
			}
			if k := x.now.Load.Kit; k != "" && !Builtin().Owns(f.Kit, k) {
				return fmt.Errorf("is loaded with %s, has %v", k, f.Kit)
			}
		}
		if x.change.LeaveOut {
			if x.now.Counted() != 0 {
				return fmt.Errorf("is left out and counts %d", x.now.Counted())
			}
			return nil
		}
		for _, l := range f.Limits {
			if e.Excludes(l) {
				return fmt.Errorf("%s excludes it", l)
			}
		}
		return nil
	})
}

func TestTheLibraryNeverRaisesTheRisk(t *testing.T) {
	forEverySent(t, func(_ Fit, x sent) error {
		written := x.now.Name == x.line.Name || slices.ContainsFunc(x.line.Ways, func(w Way) bool { return w.Movement.Name == x.now.Name })
		if written {
			return nil
		}
		now, _ := Builtin().Find(x.now.Name)
		was, _ := Builtin().Find(x.line.Name)
		switch {
		case now.Risk > was.Risk:
			return fmt.Errorf("risk %d instead of %d", now.Risk, was.Risk)
		case now.Test != "", slices.Contains(now.Loads, "impact"), slices.Contains(now.Loads, "inverted"):
			return fmt.Errorf("only a coach may send %s", now.Name)
		case slices.Contains(now.Loads, "overhead") && now.NeedsKit():
			return fmt.Errorf("%s is loaded overhead", now.Name)
		case now.Pattern != was.Pattern || now.Sides != was.Sides:
			return fmt.Errorf("other pattern or sides")
		}
		return nil
	})
}

func TestSidesStayEven(t *testing.T) {
	forEverySent(t, func(_ Fit, x sent) error {
		e, _ := Builtin().Find(x.now.Name)
		a := x.now.Amount
		if e.Sides == OneSide && a.Kind == AmountReps && (a.Low%2 != 0 || a.High%2 != 0) {
			return fmt.Errorf("%d to %d cannot be split", a.Low, a.High)
		}
		if x.now.PerSide != 0 && x.now.PerSide*2 != a.Low {
			return fmt.Errorf("%d each side of %d", x.now.PerSide, a.Low)
		}
		return nil
	})
}

func TestEveryChangeSaysWhyAndCautionsStay(t *testing.T) {
	forEverySent(t, func(_ Fit, x sent) error {
		if x.change.Why == "" && (x.now.Name != x.line.Name || x.now.Amount != x.line.Amount || x.now.Load != x.line.Load) {
			return fmt.Errorf("changed without a word")
		}
		if !x.change.LeaveOut && !reflect.DeepEqual(x.now.Cares, x.line.Cares) {
			return fmt.Errorf("cautions were %v and are %v", x.line.Cares, x.now.Cares)
		}
		return nil
	})
}

// TestFittingIsAFixedPoint holds that a fitted session suits its member: with the level's and the member's own choices
// made, fitting it again changes nothing. Fitting twice gives the same, and leaves the sheet as it was.
func TestFittingIsAFixedPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, f := anyDay(t), anyFit(t)
		before := asText(s)
		one, two := Fitted(s, f, Builtin()), Fitted(s, f, Builtin())
		if !reflect.DeepEqual(one, two) {
			t.Fatalf("twice the same, and two results:\n%s\n%s", asText(one.Session), asText(two.Session))
		}
		if asText(s) != before {
			t.Fatalf("the sheet was changed to %s", asText(s))
		}
		chosen := f
		chosen.Level = ""
		if again := Fitted(one.Session, chosen, Builtin()); asText(again.Session) != asText(one.Session) {
			t.Fatalf("fitted again:\n%s\nwas\n%s", asText(again.Session), asText(one.Session))
		}
	})
}
