package reply

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"tallybell/content"
)

// A time written in every accepted way reads back as the same time.
func TestEveryWayOfATimeReadsBack(t *testing.T) {
	in := inputFor(t, "twin") // A: no cap; 100 reps, so from 50 s on
	rapid.Check(t, func(t *rapid.T) {
		m, s := rapid.Int64Range(1, 179).Draw(t, "minutes"), rapid.Int64Range(0, 59).Draw(t, "seconds")
		ms := (m*60 + s) * 1000
		forms := []string{
			fmt.Sprintf("%d:%02d", m, s), fmt.Sprintf("%d.%02d", m, s), fmt.Sprintf(`%d'%02d"`, m, s), fmt.Sprintf("%dm%02ds", m, s), fmt.Sprintf("%dm %02d", m, s),
			fmt.Sprintf("%d min %d sec", m, s), fmt.Sprintf("%d minutes and %d seconds", m, s), fmt.Sprintf("%d mins %ds", m, s), fmt.Sprintf("%d s", m*60+s),
			fmt.Sprintf("%d seconds", m*60+s), clockText(ms), fmt.Sprintf("%dh %dm %ds", m/60, m%60, s), fmt.Sprintf("%d：%02d", m, s),
		}
		form := rapid.SampledFrom(forms).Draw(t, "form")
		got := Read("A "+form+" rx", in)
		if len(got.Results) != 1 || got.Results[0].TimeMS != ms || len(got.Asks) != 0 || got.Note != "" {
			t.Fatalf("%q: got %s, want %d ms", form, brief(got), ms)
		}
	})
}

// Rounds and reps, and counts, read back as well.
func TestEveryWayOfRoundsReadsBack(t *testing.T) {
	in := inputFor(t, "hall") // C: 24 a round
	rapid.Check(t, func(t *rapid.T) {
		rounds, extra := rapid.Int64Range(1, 40).Draw(t, "rounds"), rapid.Int64Range(0, 23).Draw(t, "extra")
		form := rapid.SampledFrom([]string{"%d+%d", "%d + %d", "%d rounds %d reps", "%d rounds and %d", "%d rds + %d", "%dr %d", "%dr%d", "%d rounds, %d reps", "%d rounds plus %d", "%d full rounds and %d reps"}).Draw(t, "form")
		text := "C " + fmt.Sprintf(form, rounds, extra) + " scaled"
		want := fmt.Sprintf("C reps %d = %d+%d scaled", rounds*24+extra, rounds, extra)
		if got := brief(Read(text, in)); got != want {
			t.Fatalf("%q: got %s, want %s", text, got, want)
		}
	})
}

func TestEveryWayOfCountsReadsBack(t *testing.T) {
	in := inputFor(t, "hall")
	rapid.Check(t, func(t *rapid.T) {
		counts := rapid.SliceOfN(rapid.Int64Range(0, 120), 4, 4).Draw(t, "counts")
		sep := rapid.SampledFrom([]string{" ", ", ", ",", "/", " / ", "+", " + ", "-"}).Draw(t, "sep")
		text := "B " + join(counts, sep)
		sum := int64(0)
		for _, n := range counts {
			sum += n
		}
		text += rapid.SampledFrom([]string{"", fmt.Sprintf(" = %d", sum), fmt.Sprintf(", total %d", sum), fmt.Sprintf(" (total %d)", sum)}).Draw(t, "total")
		want := fmt.Sprintf("B reps %d %v as written", sum, counts)
		if got := brief(Read(text+" rx", in)); got != want {
			t.Fatalf("%q: got %s, want %s", text, got, want)
		}
	})
}

// A loads reads back to the gram in every form, whatever the member's units.
func TestEveryWayOfALoadReadsBack(t *testing.T) {
	in := inputFor(t, "strong")
	rapid.Check(t, func(t *rapid.T) {
		tenths := rapid.Int64Range(10, 4999).Draw(t, "tenths")
		in.Units = rapid.SampledFrom([]string{"", "kg", "lb"}).Draw(t, "units")
		form := rapid.SampledFrom([]string{"%d.%d kg", "%d.%dkg", "%d,%d kg", "%d.%d kilos", "5x%d.%d kg", "%d.%d kg x 5"}).Draw(t, "form")
		text := "B " + fmt.Sprintf(form, tenths/10, tenths%10) + " rx"
		if got := Read(text, in); len(got.Results) != 1 || got.Results[0].LoadG != tenths*100 {
			t.Fatalf("%q: got %s, want %d g", text, brief(got), tenths*100)
		}
	})
}

// drawReply makes replies of pieces that people type, in any order.
func drawReply(t *rapid.T) string {
	pieces := rapid.SliceOfN(rapid.SampledFrom([]string{
		"D", "B", "C", "A", "14:32", "5+12", "21/18/15/24", "scaled", "rx", "as written", "rpe 8", "8/10", "@7", "done", "capped", "2+14", "74 reps", "8 left", ",", ".", ";", "\n", "and", "but",
		"knee hurts", "no", "felt good", "yesterday", "monday", "fix", "oops", "not", "for", "about", "187", "5 rounds", "12", "kg", "20 kg", "3x12", "4:10 4:45 5:02", "✅", "💪", "?", "all done", "vs 15:10",
		"fourteen thirty-two", "easier", "no watch", "squats", "6 squats", "total", "=", "(", ")", "1.5", "14,32", "16:00", "stopped", "chest pain", "part D", "2027-01-12", "½",
		"dizzy", "fell off the chair", "pregnant", "can't breathe", "for 5 minutes", "after 10 mins", "last friday", "from", "to", ":", "that was", "*", "sorry", "I meant", "2027-1-2", "1.",
	}), 0, 9).Draw(t, "pieces")
	seps := rapid.SliceOfN(rapid.SampledFrom([]string{" ", " ", " ", "", ", "}), len(pieces), len(pieces)).Draw(t, "seps")
	var b strings.Builder
	for i, p := range pieces {
		b.WriteString(p)
		b.WriteString(seps[i])
	}
	return b.String()
}

func drawInput(t *rapid.T, all map[string]Input) Input {
	return all[rapid.SampledFrom(slices.Sorted(maps.Keys(all))).Draw(t, "sheet")]
}

func allInputs(t testing.TB) map[string]Input {
	all := map[string]Input{}
	for _, s := range []string{"hall", "strong", "twin", "short"} {
		all[s] = inputFor(t, s)
	}
	for name, fit := range map[string]content.Fit{
		"no kit": {KitKnown: true}, "easier": {Level: content.LevelEasier}, "not on the back": {Limits: []string{content.LimitNotOnBack}},
	} {
		in := inputFor(t, "fitted")
		in.Session = content.Fitted(in.Session.Sheet, fit, in.Library)
		all["fitted: "+name] = in
	}
	return all
}

// Adding "thanks!" changes nothing but the note.
func TestThanksChangesNothing(t *testing.T) {
	all := allInputs(t)
	rapid.Check(t, func(t *rapid.T) {
		in, text := drawInput(t, all), drawReply(t)
		if strings.TrimSpace(text) == "" || strings.HasSuffix(strings.TrimSpace(text), "?") {
			return
		}
		a, b := Read(text, in), Read(strings.TrimRight(text, " \n")+" thanks!", in)
		a.Note, b.Note, a.Reply, b.Reply = "", "", "", ""
		if encodeIn(a) != encodeIn(b) {
			t.Fatalf("%q:\n without %s\n with    %s", text, brief(a), brief(b))
		}
	})
}

// Case never matters.
func TestCaseNeverMatters(t *testing.T) {
	all := allInputs(t)
	rapid.Check(t, func(t *rapid.T) {
		in, text := drawInput(t, all), drawReply(t)
		a, b := Read(text, in), Read(strings.ToUpper(text), in)
		if x, y := strings.ToUpper(brief(a)), strings.ToUpper(brief(b)); x != y {
			t.Fatalf("%q:\n as typed %s\n upper    %s", text, x, y)
		}
	})
}

// A reading never holds a number that neither stands in the text nor follows from it by a stated rule: times and loads
// are made of figures of the text, totals of its sums and products.
func TestNumbersComeFromTheText(t *testing.T) {
	all := allInputs(t)
	rapid.Check(t, func(t *rapid.T) {
		in, text := drawInput(t, all), drawReply(t)
		got := Read(text, in)
		digits := figuresOf(text)
		for _, x := range got.Results {
			for _, n := range slices.Concat(x.Counts, x.SetReps) {
				if n == 0 && strings.HasPrefix(in.Session.Session.Title, "Pack") {
					continue // a station that was left out
				}
				if !slices.Contains(digits, n) {
					t.Fatalf("%q: %d is not in the text: %s", text, n, brief(got))
				}
			}
			if x.Finished != nil && *x.Finished && x.SplitsMS == nil && !timeOf(digits, x.TimeMS) {
				t.Fatalf("%q: %d ms is not in the text: %s", text, x.TimeMS, brief(got))
			}
			if x.LoadG != 0 && !slices.ContainsFunc(digits, func(n int64) bool { return x.LoadG/1000 == n || behindPoint(n, x.LoadG) }) {
				t.Fatalf("%q: %d g is not in the text: %s", text, x.LoadG, brief(got))
			}
		}
	})
}

// behindPoint reports whether grams are the figure n behind a bare point: .5 kg is 500 g, .2027 kg 203 g.
func behindPoint(n, grams int64) bool {
	for scale := 10.0; scale <= 1e9; scale *= 10 {
		if float64(n) < scale {
			return math.Abs(float64(n)*1000/scale-float64(grams)) <= 0.5
		}
	}
	return false
}

// timeOf reports whether the time is made of figures: minutes and seconds, or one of both.
func timeOf(figures []int64, ms int64) bool {
	s := ms / 1000
	return slices.Contains(figures, s) || slices.Contains(figures, s/60) && (s%60 == 0 || slices.Contains(figures, s%60) || s%60 == 30)
}

func figuresOf(text string) []int64 {
	p := normalise(text)
	var out []int64
	for _, tok := range spellOut(scan(&p, nil)) {
		if tok.kind == numToken {
			out = append(out, tok.n)
		}
	}
	return out
}

func encodeIn(r Reading) string {
	b, err := json.Marshal(r)
	if err != nil {
		return err.Error()
	}
	return string(b)
}

// wordsOf returns the letters and digits of a text, without case.
func wordsOf(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// The note holds nothing that was not typed, in order.
func TestTheNoteIsOfTheText(t *testing.T) {
	all := allInputs(t)
	rapid.Check(t, func(t *rapid.T) {
		in, text := drawInput(t, all), drawReply(t)
		note := []rune(wordsOf(Read(text, in).Note))
		for _, r := range wordsOf(text) {
			if len(note) > 0 && note[0] == r {
				note = note[1:]
			}
		}
		if len(note) > 0 {
			t.Fatalf("%q: the note has %q that is not in the text", text, string(note))
		}
	})
}
