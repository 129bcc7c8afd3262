package content

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The generators below make any session that a sheet can hold.

func anyTime(t *rapid.T, label string) time.Duration {
	return time.Duration(rapid.IntRange(1, 5400).Draw(t, label)) * time.Second
}

func anyText(t *rapid.T, label string) string {
	return rapid.StringMatching(`[A-Za-zäéß’(“&!?][A-Za-z0-9 ,:;#äéß-]{0,30}[a-z.!]`).Draw(t, label)
}

func maybe[T any](t *rapid.T, label string, make func() T) (v T) {
	if rapid.Bool().Draw(t, label) {
		return make()
	}
	return v
}

// anyMovement makes a movement that fits the part; earlier are the letters of the parts before.
func anyMovement(t *rapid.T, p Part, warm bool, earlier []Part, way bool) Movement {
	names := map[Sides][]string{BothSides: {"push-up", "squat", "plank"}, OneSide: {"lateral step-down", "side plank", "split squat"}, Alternating: {"dead bug", "step-over"}}
	sides := rapid.SampledFrom([]Sides{BothSides, OneSide, Alternating}).Draw(t, "sides")
	m := Movement{Name: rapid.SampledFrom(names[sides]).Draw(t, "name")}
	m.Amount = anyAmount(t, p, warm, earlier, way, sides)
	a := m.Amount
	if (a.Kind == AmountReps || a.Kind == AmountTime) && a.Low%2000 == 0 && a.High%2000 == 0 && a.Low > 0 || a.Kind == AmountReps && a.Low%2 == 0 && a.High%2 == 0 {
		m.PerSide = maybe(t, "per side", func() int64 { return a.Low / 2 })
	}
	m.Load = anyLoad(t, earlier)
	m.Tempo = maybe(t, "tempo", func() string { return rapid.SampledFrom([]string{"3-1-1-0", "3-1-X", "10-0-X-1"}).Draw(t, "figures") })
	m.HasReserve = rapid.Bool().Draw(t, "has reserve")
	if m.HasReserve {
		m.Reserve = rapid.IntRange(0, 9).Draw(t, "reserve")
	}
	m.Words = maybe(t, "words", func() string {
		return rapid.SampledFrom([]string{"slow", "slow, as last week", "5 breaths, then on"}).Draw(t, "free")
	})
	return m
}

func anyAmount(t *rapid.T, p Part, warm bool, earlier []Part, way bool, sides Sides) Amount {
	count := func(kind AmountKind) Amount {
		low := int64(rapid.IntRange(1, 60).Draw(t, "low")) * 2
		return Amount{Kind: kind, Low: low, High: low}
	}
	switch p.Scheme {
	case Stations, MostReps, LongestHold:
		return Amount{}
	case Heaviest:
		if sides == OneSide || rapid.Bool().Draw(t, "left out") {
			return Amount{}
		}
		return Amount{Kind: AmountReps, Low: int64(p.SetReps), High: int64(p.SetReps)}
	case Ladder:
		if sides != OneSide && rapid.Bool().Draw(t, "takes the rung") {
			return Amount{}
		}
		return count(AmountReps)
	}
	kinds := []AmountKind{AmountReps, AmountTime, AmountDistance, AmountCalories}
	counted := (p.Scheme == Rounds || p.Scheme == AMRAP) && !warm
	if !counted {
		kinds = append(kinds, AmountMax)
		if len(giving(earlier, false)) > 0 {
			kinds = append(kinds, AmountPercent)
		}
	}
	if warm || way || p.Scheme == Farthest {
		kinds = append(kinds, AmountNone)
	}
	a := count(rapid.SampledFrom(kinds).Draw(t, "kind"))
	switch a.Kind {
	case AmountNone, AmountMax:
		return Amount{Kind: a.Kind}
	case AmountPercent:
		a.Of = rapid.SampledFrom(giving(earlier, false)).Draw(t, "of")
		return a
	case AmountTime:
		a.Low *= 1000
		a.High = a.Low
	case AmountDistance:
		unit := rapid.SampledFrom([]string{"m", "km", "mi", "yd"}).Draw(t, "unit")
		a = distanceAmount(unit, a.Low*250, a.Low*250)
	}
	if !counted && a.Kind != AmountDistance && rapid.Bool().Draw(t, "range") {
		a.High *= 2
	}
	return a
}

// giving returns the letters of the parts whose results a percentage can be taken of, as a load or as an amount.
func giving(parts []Part, load bool) (letters []string) {
	for _, p := range parts {
		if noPercentOf(p, load) == "" {
			letters = append(letters, p.Letter)
		}
	}
	return letters
}

func anyLoad(t *rapid.T, earlier []Part) Load {
	l := Load{Kit: maybe(t, "kit", func() string { return rapid.SampledFrom([]string{"backpack", "dumbbell", "towel"}).Draw(t, "which") })}
	if earlier := giving(earlier, true); len(earlier) > 0 && rapid.Bool().Draw(t, "percent of") {
		l.Percent, l.Of = rapid.IntRange(1, 150).Draw(t, "percent"), rapid.SampledFrom(earlier).Draw(t, "part")
		return l
	}
	if rapid.Bool().Draw(t, "weighs") {
		l.Unit = rapid.SampledFrom([]string{"kg", "lb"}).Draw(t, "load unit")
		l.Grams = grams(int64(rapid.IntRange(1, 900).Draw(t, "load"))*250, l.Unit)
	}
	return l
}

func anyMovements(t *rapid.T, p Part, warm bool, earlier []Part, n int) []Movement {
	var ms []Movement
	for range n {
		m := anyMovement(t, p, warm, earlier, false)
		for range rapid.IntRange(0, 2).Draw(t, "ways") {
			w := Way{Kind: rapid.SampledFrom([]WayKind{Easier, Harder, If, Or}).Draw(t, "way"), Movement: anyMovement(t, p, warm, earlier, true)}
			if w.Kind == If {
				w.Kit = "towel"
			}
			m.Ways = append(m.Ways, w)
		}
		for range rapid.IntRange(0, 2).Draw(t, "cues") {
			m.Cues = append(m.Cues, anyText(t, "cue"))
			m.Cares = append(m.Cares, anyText(t, "care"))
		}
		if rapid.Bool().Draw(t, "watch") {
			m.Watches = []string{"https://example.org/a?b=c&d#e"}
		}
		ms = append(ms, m)
	}
	return ms
}

func anyPart(t *rapid.T, letter string, earlier []Part) Part {
	p := Part{Letter: letter, Scheme: rapid.SampledFrom([]Scheme{Sets, Quality, Stations, Rounds, Ladder, AMRAP, Every, Heaviest, MostReps, LongestHold, Farthest}).Draw(t, "scheme")}
	n := rapid.IntRange(1, 4).Draw(t, "movements")
	count := func(label string) int { return rapid.IntRange(1, 12).Draw(t, label) }
	switch p.Scheme {
	case Sets:
		p.Sets, p.OwnPace = count("sets"), rapid.Bool().Draw(t, "own pace")
		p.Order = rapid.SampledFrom([]Order{"", InTurn, Each}).Draw(t, "order")
		switch {
		case p.Order != Each && rapid.Bool().Draw(t, "two rests"):
			p.RestBetween, p.RestAfter = anyTime(t, "between"), maybe(t, "has after", func() time.Duration { return anyTime(t, "after") })
		default:
			p.Rest = maybe(t, "has rest", func() time.Duration { return anyTime(t, "rest") })
		}
	case Stations:
		p.Stations, p.Work, p.Through = n, anyTime(t, "work"), count("through")
		p.Rest = maybe(t, "has rest", func() time.Duration { return anyTime(t, "rest") })
	case Rounds:
		p.Rounds = count("rounds")
	case Ladder:
		for range rapid.IntRange(2, 6).Draw(t, "rungs") {
			p.Rungs = append(p.Rungs, 2*count("rung"))
		}
	case AMRAP, Farthest:
		p.Duration = anyTime(t, "clock")
	case Every:
		p.Interval = anyTime(t, "interval")
		p.Duration = p.Interval * time.Duration(count("intervals"))
		p.Order = rapid.SampledFrom([]Order{"", InTurn, Together}).Draw(t, "order")
	case Heaviest:
		p.SetReps = count("reps")
	case MostReps, LongestHold:
		n = 1
	}
	p.Scoring = rapid.SampledFrom([]Scoring{"", Scored, NotScored}).Draw(t, "scoring")
	p.Optional = rapid.Bool().Draw(t, "optional")
	p.Note = maybe(t, "note", func() string { return anyText(t, "note text") })
	p.Aim = rapid.SampledFrom([]string{"", "11:00-14:00", "5-6 rounds", "60 reps", "42.5 kg", "45-55.25 lb", "2.4 km", "as you like"}).Draw(t, "aim")
	p.Movements = anyMovements(t, p, false, earlier, n)
	if p.ForTime() && rapid.Bool().Draw(t, "capped") {
		p.Cap = leastTime(p).Round(time.Second) + anyTime(t, "cap")
	}
	return p
}

func anySession(t *rapid.T) Session {
	s := Session{Title: anyText(t, "title"), Date: Date{2027, 2, 1}.AddDays(rapid.IntRange(0, 400).Draw(t, "day"))}
	texts := []*string{&s.Programme, &s.Focus, &s.About, &s.Level, &s.Note}
	for _, v := range texts {
		*v = maybe(t, "head line", func() string { return anyText(t, "value") })
	}
	s.Effort = rapid.SampledFrom([]string{"", "light", "normal", "hard", "test"}).Draw(t, "effort")
	s.Length = maybe(t, "length", func() time.Duration { return anyTime(t, "long") })
	if s.HasKit = rapid.Bool().Draw(t, "kit line"); s.HasKit {
		s.Kit = [][]string{nil, {"towel"}, {"backpack", "sturdy chair"}}[rapid.IntRange(0, 2).Draw(t, "kit list")]
	}
	if s.Rest = rapid.Bool().Draw(t, "rest day"); s.Rest {
		return s
	}
	warm := Part{}
	s.WarmUp = anyMovements(t, warm, true, nil, rapid.IntRange(0, 2).Draw(t, "warm-up"))
	var letters []string
	for i := range rapid.IntRange(1, 5).Draw(t, "parts") {
		l := string(rune('A' + i))
		s.Parts = append(s.Parts, anyPart(t, l, s.Parts))
		letters = append(letters, l)
	}
	s.CoolDown = anyMovements(t, warm, true, s.Parts, rapid.IntRange(0, 2).Draw(t, "cool-down"))
	if len(letters) > 1 && rapid.Bool().Draw(t, "choice") {
		s.Choose = letters[:2]
		s.Short = letters[1:]
	}
	lines := len(canonical(s))
	at := 0
	for range rapid.IntRange(0, 3).Draw(t, "comments") {
		at = rapid.IntRange(at, lines).Draw(t, "before")
		s.Comments = append(s.Comments, Comment{Before: at, Text: rapid.SampledFrom([]string{"", "a word", "# b", "10 squat"}).Draw(t, "comment")})
	}
	return s
}

// TestAnySessionSurvivesItsSheet holds that formatting any session and parsing that gives the session.
func TestAnySessionSurvivesItsSheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySession(t)
		sheet := Format(s)
		again, ps := Parse("s.txt", sheet)
		if len(ps) > 0 {
			t.Fatalf("problems %v in\n%s", ps, sheet)
		}
		if got, want := asText(again), asText(s); got != want {
			t.Fatalf("sheet\n%s\nread as %s\nwant    %s", sheet, got, want)
		}
		Check(Builtin(), s)
	})
}
