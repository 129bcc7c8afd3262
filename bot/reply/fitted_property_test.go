package reply

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

// drawScored makes a scored part of any movements of the library, with other ways of them.
func drawScored(t *rapid.T, names []string) content.Part {
	amount := func(label string) content.Amount {
		n := rapid.Int64Range(1, 30).Draw(t, label)
		return content.Amount{Kind: content.AmountReps, Low: n, High: n}
	}
	p := content.Part{Letter: "B", Scheme: rapid.SampledFrom([]content.Scheme{content.Rounds, content.Ladder, content.AMRAP, content.Stations, content.MostReps}).Draw(t, "scheme")}
	moves := rapid.IntRange(1, 5).Draw(t, "movements")
	switch p.Scheme {
	case content.Rounds:
		p.Rounds, p.Cap = rapid.IntRange(1, 5).Draw(t, "rounds"), 90*time.Minute
	case content.Ladder:
		p.Rungs, p.Cap = rapid.SliceOfN(rapid.IntRange(1, 20), 1, 4).Draw(t, "rungs"), 90*time.Minute
	case content.AMRAP:
		p.Duration = 90 * time.Minute
	case content.Stations:
		p.Work, p.Through = 2*time.Minute, rapid.IntRange(1, 2).Draw(t, "times through")
	case content.MostReps:
		moves = 1
	}
	for range moves {
		m := content.Movement{Name: rapid.SampledFrom(names).Draw(t, "movement")}
		counted := p.Scheme != content.Stations && p.Scheme != content.MostReps
		if counted && (p.Scheme != content.Ladder || rapid.Bool().Draw(t, "with a count")) {
			m.Amount = amount("reps")
		}
		for range rapid.IntRange(0, 3).Draw(t, "ways") {
			w := content.Movement{Name: rapid.SampledFrom(names).Draw(t, "way")}
			if counted && rapid.Bool().Draw(t, "with another amount") {
				w.Amount = amount("reps of the way")
			}
			m.Ways = append(m.Ways, content.Way{Movement: w, Kind: rapid.SampledFrom([]content.WayKind{content.Easier, content.Harder, content.Or}).Draw(t, "kind")})
		}
		p.Movements = append(p.Movements, m)
	}
	p.Stations = len(p.Movements)
	return p
}

// drawFitted makes a session of one unscored and one scored part, fitted to anybody.
func drawFitted(t *rapid.T) content.FittedSession {
	var names, kits []string
	for _, e := range content.Builtin().Entries() {
		names = append(names, e.Name)
	}
	for _, k := range content.Builtin().Kits() {
		kits = append(kits, k.Name)
	}
	sets := content.Part{Letter: "A", Scheme: content.Sets, Sets: 3, Movements: []content.Movement{{Name: rapid.SampledFrom(names).Draw(t, "set of")}}}
	s := content.Session{Date: content.Date{Year: 2027, Month: 2, Day: 1}, Parts: []content.Part{sets, drawScored(t, names)}}
	return content.Fitted(s, content.Fit{
		Kit:      rapid.SliceOfNDistinct(rapid.SampledFrom(kits), 0, 5, rapid.ID).Draw(t, "kit"),
		KitKnown: rapid.Bool().Draw(t, "kit known"),
		Level:    rapid.SampledFrom([]string{"", content.LevelEasier, content.LevelHarder}).Draw(t, "level"),
		Limits:   rapid.SliceOfNDistinct(rapid.SampledFrom(content.Limits()), 0, 3, rapid.ID).Draw(t, "limits"),
	}, content.Builtin())
}

// formatted is a result as it may be typed, and as brief writes it.
type formatted struct{ text, want string }

// formatFitted draws a result that the part as it was sent can hold; false when all of it was left out.
func formatFitted(t *rapid.T, p *content.Part) (formatted, bool) {
	pick := func(all ...string) string { return rapid.SampledFrom(all).Draw(t, "form") }
	round, total := p.RepsARound(), p.TotalReps()
	switch p.Scheme {
	case content.Rounds, content.Ladder:
		if total == 0 {
			return formatted{}, false
		}
		if rapid.Bool().Draw(t, "finished") {
			ms := rapid.Int64Range(total/2+1, 5399).Draw(t, "seconds") * 1000
			return formatted{clockText(ms), "time " + clockText(ms)}, true
		}
		n := rapid.Int64Range(0, total-1).Draw(t, "reps")
		forms := []string{fmt.Sprintf("capped, %d reps", n), fmt.Sprintf("%d left", total-n), fmt.Sprintf("cap + %d", total-n)}
		if p.Scheme == content.Rounds {
			forms = append(forms, fmt.Sprintf("capped, %d+%d", n/round, n%round), fmt.Sprintf("capped at %d rounds and %d reps", n/round, n%round))
		}
		return formatted{pick(forms...), fmt.Sprintf("time unfinished %d", n)}, true
	case content.AMRAP:
		if round == 0 {
			return formatted{}, false
		}
		n := rapid.Int64Range(0, 5400).Draw(t, "reps")
		form := pick(fmt.Sprintf("%d+%d", n/round, n%round), fmt.Sprintf("%d rounds %d reps", n/round, n%round), fmt.Sprintf("%d reps", n))
		return formatted{form, fmt.Sprintf("reps %d = %d+%d", n, n/round, n%round)}, true
	case content.Stations:
		return formatCounts(t, p)
	}
	n := rapid.Int64Range(0, 200).Draw(t, "reps")
	return formatted{pick(fmt.Sprintf("%d", n), fmt.Sprintf("%d reps", n)), fmt.Sprintf("reps %d", n)}, true
}

// formatCounts draws one count of at least 1 for each station that was sent; what was left out is skipped or told as 0.
func formatCounts(t *rapid.T, p *content.Part) (formatted, bool) {
	var all, typed []int64
	var sum int64
	skip := rapid.Bool().Draw(t, "skip what is left out")
	for range p.Through {
		for k := range p.Movements {
			if leftOut(&p.Movements[k]) {
				all = append(all, 0)
				if !skip {
					typed = append(typed, 0)
				}
				continue
			}
			n := rapid.Int64Range(1, 200).Draw(t, "count")
			all, typed, sum = append(all, n), append(typed, n), sum+n
		}
	}
	if sum == 0 {
		return formatted{}, false
	}
	if len(typed) == 1 {
		return formatted{itoa(sum), fmt.Sprintf("reps %d", sum)}, true
	}
	sep := rapid.SampledFrom([]string{"/", ", ", " "}).Draw(t, "parting")
	return formatted{join(typed, sep), fmt.Sprintf("reps %d %v", sum, all)}, true
}

// A result of the part as it was sent, written in any accepted way, reads back the same: scaled without asking where it
// was sent eased, else by the version that was typed.
func TestEveryFittedResultReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fs := drawFitted(t)
		in := Input{Session: fs, Library: content.Builtin(), Today: fs.Session.Date}
		f, ok := formatFitted(t, &fs.Session.Parts[1])
		if !ok {
			return
		}
		eased := fs.Eased("B")
		version := rapid.SampledFrom([]string{"", " rx", " scaled"}).Draw(t, "version")
		want := "B " + f.want
		switch {
		case eased && version == " rx", !eased && version == "":
			want += "; ?B version"
		case eased, version == " scaled":
			want += " scaled"
		default:
			want += " as written"
		}
		got := Read("B "+f.text+version, in)
		if brief(got) != want {
			t.Fatalf("%q\n got %s\nwant %s\nsent %+v", got.Reply, brief(got), want, fs.Session.Parts[1])
		}
	})
}

// The texts that are suggested when as written is typed in an eased part settle its version, one each way.
func TestSuggestedVersionsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fs := drawFitted(t)
		in := Input{Session: fs, Library: content.Builtin(), Today: fs.Session.Date}
		f, ok := formatFitted(t, &fs.Session.Parts[1])
		if !ok || !fs.Eased("B") {
			return
		}
		asked := Read("B "+f.text+" as written", in)
		if len(asked.Asks) != 1 || len(asked.Asks[0].Suggest) != 2 {
			t.Fatalf("%s suggests %q", brief(asked), suggestions(asked))
		}
		for k, want := range []string{"B version scaled correction", "B version as written correction"} {
			if got := Read(asked.Asks[0].Suggest[k], in); brief(got) != want {
				t.Fatalf("%q\n got %s\nwant %s", got.Reply, brief(got), want)
			}
		}
	})
}

func sameNames(p *content.Part) bool {
	seen := map[string]bool{}
	for k := range p.Movements {
		seen[p.Movements[k].Name] = true
	}
	return len(seen) < len(p.Movements)
}

// Counts that name their stations as the sheet does and as they were sent read the same, where the names are enough to
// tell the stations apart.
func TestNamesOfTheSheetAndOfTheFitAreTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fs := drawFitted(t)
		sheet, sent := &fs.Sheet.Parts[1], &fs.Session.Parts[1]
		if sent.Scheme != content.Stations || sent.Through != 1 || sameNames(sheet) || sameNames(sent) {
			return
		}
		in := Input{Session: fs, Library: content.Builtin(), Today: fs.Session.Date}
		say := func(p *content.Part) string {
			var out []string
			for k := range p.Movements {
				if !leftOut(&sent.Movements[k]) {
					out = append(out, fmt.Sprintf("%d %s", 11+k, p.Movements[k].Name))
				}
			}
			return "B " + strings.Join(out, ", ") + " scaled"
		}
		a, b := Read(say(sent), in), Read(say(sheet), in)
		if len(a.Results) == 1 && len(b.Results) == 1 && brief(a) != brief(b) {
			t.Fatalf("%q\n     is %s\n%q\n     is %s", a.Reply, brief(a), b.Reply, brief(b))
		}
	})
}
