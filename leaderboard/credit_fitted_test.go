package leaderboard

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

// fittedSheet is an invented session in which kit, level and limits change something in every part.
const fittedSheet = `session: Pack and table
date: 2027-02-10

C. AMRAP 9:00
10 table row
  or: 12 backpack row
6 bridge
12 squat
  easier: 8 half squat

D. 3 rounds for time, cap 16:00
10 push-up
  easier: 12 incline push-up
8 bridge
10 backpack good morning
20 step-over
  or: 200 m run

E. 12-9-6 for time, cap 10:00
Romanian deadlift
bridge
5 push-up
  easier: 4 incline push-up

F. AMRAP 6:00
10 one-arm row, 5 each side
20 step-over

G. AMRAP 6:00
6 bridge
8 squat

H. AMRAP 6:00
8 bridge
`

// clubRows, clubBridges and clubHinges replace movements of the library, so that what is sent in their place, and at
// which factor, stands here.
const (
	clubRows = `pattern: row

name: table row
main: upper back
helping: biceps
rep: hanging below the edge, pull the chest to it, lower
kit: sturdy table
seconds: 1.5-2.8
risk: 3
position: on the back
instead: towel pull-apart row x2
cue: heels down
care: only a table that cannot tip
test: hang with the feet taking half the weight first

name: one-arm row
main: lats
helping: biceps
rep: bent forward, pull the load to the hip, lower
kit: backpack
sides: one at a time
seconds: 1.5-2.8
instead: one-arm towel row x1.5
cue: shoulders square
`
	clubBridges = `pattern: bridge and leg curl

name: bridge
main: glutes
helping: hamstrings
rep: lying on the back, lift the hips, lower
seconds: 1.3-2.5
position: on the back
cue: squeeze at the top
`
	clubHinges = `pattern: hinge

name: backpack good morning
main: hamstrings
helping: glutes
rep: pack on the back, hips back, stand up
kit: backpack
seconds: 1.5-2.8
risk: 2
instead: hip hinge x1.5
cue: back flat
`
)

// clubLibrary is the library with these in the place of its own.
func clubLibrary(t testing.TB) *content.Library {
	t.Helper()
	var entries []*content.Entry
	for _, text := range []string{clubRows, clubBridges, clubHinges} {
		es, problems := content.ParseMovements("club.txt", []byte(text))
		for _, p := range problems {
			t.Fatal(p.In("club.txt"))
		}
		entries = append(entries, es...)
	}
	lib, err := content.Builtin().With(entries, nil)
	if err != nil {
		t.Fatal(err)
	}
	return lib
}

func sessionOf(t testing.TB, lib *content.Library, text string) content.Session {
	t.Helper()
	// Letters run from A in a sheet: what is not tested stands before.
	text = strings.Replace(text, "\nC. ", "\nA. 3 sets\n5 squat\n\nB. 3 sets\n5 squat\n\nC. ", 1)
	s, problems := content.ParseWith(lib, "s.txt", []byte(text))
	for _, p := range content.Errors(problems) {
		t.Fatal(p.In("s.txt"))
	}
	return s
}

func parts(t testing.TB, fs content.FittedSession, letter string) (sheet, fitted content.Part) {
	t.Helper()
	a, ok := fs.Sheet.Part(letter)
	b, ok2 := fs.Session.Part(letter)
	if !ok || !ok2 {
		t.Fatalf("no part %s", letter)
	}
	return *a, *b
}

// The figures are counted by hand from the rule of different ways of one line.
func TestCreditOfFittedSessions(t *testing.T) {
	none := content.Fit{KitKnown: true}
	easier := content.Fit{Level: content.LevelEasier}
	notOnBack := content.Fit{Limits: []string{content.LimitNotOnBack}}
	pack := content.Fit{Kit: []string{"backpack"}}
	tests := []struct {
		name       string
		fit        content.Fit
		part       string
		done, want int64
		shown      string
	}{
		{"as written", content.Fit{}, "D", 74, 74, "cap at 74 reps"},
		{"stand-in of half as many again: 7 of 15 are 4 of 10", none, "D", 2*53 + 10 + 8 + 7, 2*48 + 10 + 8 + 4, "cap at 118 reps"},
		{"two rounds", none, "D", 2 * 53, 2 * 48, "cap at 96 reps"},
		{"one short of everything", none, "D", 3*53 - 1, 3*48 - 1, "cap at 143 reps"},
		{"stand-in of twice as many", none, "C", 5*38 + 12, 5*28 + 6, "5 rounds + 6 (146 reps)"},
		{"the whole of it done", none, "C", 5*38 + 20, 5*28 + 10, "5 rounds + 10 (150 reps)"},
		{"an or line with more reps", pack, "C", 5*30 + 11, 5*28 + 9, "5 rounds + 9 (149 reps)"},
		{"easier lines of a ladder", easier, "E", 28 + 22 + 6 + 6 + 3, 29 + 23 + 6 + 6 + 3, "cap at 67 reps"},
		{"left out: not before the round is done", notOnBack, "D", 2*40 + 14, 2*48 + 14, "cap at 110 reps"},
		{"left out, one short of everything", notOnBack, "D", 119, 2*48 + 10 + 10 + 19, "cap at 135 reps"},
		{"left out of a ladder: two rungs", notOnBack, "E", 17 + 14, 29 + 23, "cap at 52 reps"},
		{"left out of a ladder: in the third rung", notOnBack, "E", 17 + 14 + 10, 29 + 23 + 10, "cap at 62 reps"},
		{"left out first: nothing done is nothing", notOnBack, "G", 0, 0, "0 rounds (0 reps)"},
		{"left out first: within the round", notOnBack, "G", 3*8 + 7, 3*14 + 7, "3 rounds + 7 (49 reps)"},
		{"left out first: the round", notOnBack, "G", 4 * 8, 4 * 14, "4 rounds (56 reps)"},
		{"15 are 16 where sides are even: 8 of 16 are 5 of 10", none, "F", 2*36 + 8, 2*30 + 5, "2 rounds + 5 (65 reps)"},
		{"all of it left out", notOnBack, "H", 12, 0, "0 rounds (0 reps)"},
	}
	lib := clubLibrary(t)
	session := sessionOf(t, lib, fittedSheet)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			sheet, fitted := parts(t, content.Fitted(session, tt.fit, lib), tt.part)
			r := unfinished(tt.done, content.Scaled)
			if sheet.Scheme == content.AMRAP {
				round := max(fitted.RepsARound(), 1)
				r = counted(tt.done, content.Scaled)
				r.Rounds, r.Extra = ptr(tt.done/round), ptr(tt.done%round)
			}
			rec := NewRecord("m001", day, sheet, fitted, r, 0, at(0), []string{"open"})
			if got := *rec.Counted().Reps; got != tt.want {
				t.Errorf("%d reps count as %d, want %d", tt.done, got, tt.want)
			}
			if *rec.Result.Reps != tt.done {
				t.Errorf("what was typed became %d", *rec.Result.Reps)
			}
			if got := Show(sheet, rec.Counted()); got != tt.shown {
				t.Errorf("shown as %q, want %q", got, tt.shown)
			}
			if s, ok := rec.Score(); ok {
				if back, _ := Decode(rec.Kind, s); *back.Reps != tt.want {
					t.Errorf("the score tells %d reps", *back.Reps)
				}
			} else {
				t.Error("no score")
			}
		})
	}
}

// drawSession makes one part of a scheme that counts through rounds, of any movements of the library, with other ways.
func drawSession(t *rapid.T) content.Session {
	var names []string
	for _, e := range content.Builtin().Entries() {
		names = append(names, e.Name)
	}
	movement := func(label string) content.Movement {
		return reps(rapid.Int64Range(1, 30).Draw(t, label+" reps"), rapid.SampledFrom(names).Draw(t, label))
	}
	p := content.Part{Letter: "A", Cap: 20 * time.Minute, Rounds: rapid.IntRange(1, 5).Draw(t, "rounds"),
		Scheme: rapid.SampledFrom([]content.Scheme{content.Rounds, content.Ladder, content.AMRAP}).Draw(t, "scheme")}
	if p.Scheme == content.Ladder {
		p.Rungs = rapid.SliceOfN(rapid.IntRange(1, 20), 1, 4).Draw(t, "rungs")
	}
	for range rapid.IntRange(1, 5).Draw(t, "movements") {
		m := movement("movement")
		switch rapid.IntRange(0, 5).Draw(t, "amount") {
		case 0:
			m.Amount = content.Amount{Kind: content.AmountDistance, Low: 200_000, High: 200_000}
		case 1:
			if p.Scheme == content.Ladder {
				m.Amount = content.Amount{}
			}
		}
		for range rapid.IntRange(0, 3).Draw(t, "ways") {
			w := movement("way")
			if rapid.Bool().Draw(t, "without an amount") {
				w.Amount = content.Amount{}
			}
			m.Ways = append(m.Ways, content.Way{Movement: w, Kind: rapid.SampledFrom([]content.WayKind{content.Easier, content.Harder, content.Or}).Draw(t, "kind")})
		}
		p.Movements = append(p.Movements, m)
	}
	return content.Session{Date: day, Parts: []content.Part{p}}
}

func drawFit(t *rapid.T) content.Fit {
	var kits []string
	for _, k := range content.Builtin().Kits() {
		kits = append(kits, k.Name)
	}
	return content.Fit{
		Kit:      rapid.SliceOfNDistinct(rapid.SampledFrom(kits), 0, 5, rapid.ID).Draw(t, "kit"),
		KitKnown: rapid.Bool().Draw(t, "kit known"),
		Level:    rapid.SampledFrom([]string{"", content.LevelEasier, content.LevelHarder}).Draw(t, "level"),
		Limits:   rapid.SliceOfNDistinct(rapid.SampledFrom(content.Limits()), 0, 4, rapid.ID).Draw(t, "limits"),
	}
}

// Whatever was sent: who did all that was asked has the sheet's whole, nobody has more, and one rep more is never less.
func TestCreditOfAnyFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSession(t)
		fs := content.Fitted(s, drawFit(t), content.Builtin())
		sheet, fitted := s.Parts[0], fs.Session.Parts[0]
		credit := func(n int64) int64 {
			r := unfinished(n, content.Scaled)
			if sheet.Scheme == content.AMRAP {
				r = counted(n, content.Scaled)
			}
			got := Credit(sheet, fitted, r)
			if sheet.Scheme == content.AMRAP && got.Rounds != nil && *got.Rounds*sheet.RepsARound()+*got.Extra != *got.Reps {
				t.Fatalf("%d rounds and %d are %d reps", *got.Rounds, *got.Extra, *got.Reps)
			}
			return *got.Reps
		}
		whole, total := fitted.TotalReps(), sheet.TotalReps()
		if sheet.Scheme == content.AMRAP {
			rounds := rapid.Int64Range(0, 30).Draw(t, "rounds done")
			whole, total = rounds*fitted.RepsARound(), rounds*sheet.RepsARound()
		}
		if whole > 0 {
			if got := credit(whole); got != total {
				t.Fatalf("all of it, %d reps, is credited %d of %d", whole, got, total)
			}
		}
		n := rapid.Int64Range(0, whole+5).Draw(t, "done")
		less, more := credit(n), credit(n+1)
		if less > more {
			t.Fatalf("%d reps are credited %d, one more only %d", n, less, more)
		}
		if n < whole && less >= total {
			t.Fatalf("%d of %d reps are credited %d of %d", n, whole, less, total)
		}
		if sheet.ForTime() && (n < whole || !equalAmounts(sheet, fitted)) && more > total {
			t.Fatalf("%d reps are credited %d of %d", n+1, more, total)
		}
		if credit(0) != 0 {
			t.Fatal("nothing done is credited")
		}
	})
}
