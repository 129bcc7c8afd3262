package leaderboard

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

// amount returns a movement that counts n reps.
func amount(n int64) content.Movement { return reps(n, "invented") }

func run200() content.Movement {
	return content.Movement{Name: "run", Amount: content.Amount{Kind: content.AmountDistance, Low: 200000, High: 200000}}
}

func TestCredit(t *testing.T) {
	written := content.Part{Letter: "C", Scheme: content.Rounds, Rounds: 5, Cap: 16 * time.Minute,
		Movements: []content.Movement{amount(16), amount(12), amount(30)}}
	withRun := written
	withRun.Movements = []content.Movement{amount(16), amount(12), run200()}
	ladder := content.Part{Letter: "D", Scheme: content.Ladder, Rungs: []int{16, 12, 8},
		Movements: []content.Movement{{Name: "squat"}, amount(10)}}
	half := ladder
	half.Movements = []content.Movement{{Name: "squat"}, amount(5)}
	am := content.Part{Letter: "D", Scheme: content.AMRAP, Movements: []content.Movement{amount(4), amount(8)}}
	doubled := am
	doubled.Movements = []content.Movement{amount(8), amount(8)}
	tests := []struct {
		name          string
		sheet, fitted content.Part
		done, want    int64
	}{
		{"equal amounts change nothing", written, written, 74, 74},
		{"a run counts as one rep, and as the line once done", written, withRun, 29, 58},
		{"before the run nothing changes", written, withRun, 28, 28},
		{"two rounds and 10 more", written, withRun, 2*29 + 10, 2*58 + 10},
		{"nothing done", written, withRun, 0, 0},
		{"a ladder rung with half the second line", ladder, half, 16 + 5 + 6, 16 + 10 + 6},
		{"half of a half line, rounded down", ladder, half, 16 + 3, 16 + 6},
		{"amrap with twice the first line: 3 rounds and 5 of 8", am, doubled, 3*16 + 5, 3*12 + 2},
		{"amrap, the first line done", am, doubled, 8, 4},
		{"amrap, 7 of 8 are 3 of 4", am, doubled, 7, 3},
		{"more than the whole piece is the whole piece", ladder, half, 1000, 16 + 12 + 8 + 30},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := content.Result{Kind: content.KindTime, Finished: ptr(false), Reps: ptr(tt.done), Version: content.AsWritten}
			if tt.sheet.Scheme == content.AMRAP {
				r = counted(tt.done, content.AsWritten)
			}
			if got := Credit(tt.sheet, tt.fitted, r); *got.Reps != tt.want {
				t.Errorf("credited %d, want %d", *got.Reps, tt.want)
			}
			if *r.Reps != tt.done {
				t.Errorf("what was typed changed to %d", *r.Reps)
			}
		})
	}
}

func TestCreditLeavesOtherResultsAlone(t *testing.T) {
	sheet, fitted := forTime(), forTime()
	fitted.Movements = []content.Movement{amount(24), amount(16)}
	if got := Credit(sheet, fitted, finished(872000, content.AsWritten)); got.Reps != nil || got.TimeMS != 872000 {
		t.Errorf("a finished time became %+v", got)
	}
	most := scheme(content.MostReps)
	if got := Credit(most, most, counted(20, content.AsWritten)); *got.Reps != 20 {
		t.Errorf("most reps became %d", *got.Reps)
	}
}

func TestCreditKeepsTheOrderOfOneFit(t *testing.T) {
	amounts := rapid.SliceOfN(rapid.Int64Range(1, 40), 3, 3)
	rapid.Check(t, func(t *rapid.T) {
		own, written := amounts.Draw(t, "own"), amounts.Draw(t, "written")
		sheet, fitted := amrap(), amrap()
		sheet.Movements, fitted.Movements = nil, nil
		for i := range own {
			sheet.Movements = append(sheet.Movements, amount(written[i]))
			fitted.Movements = append(fitted.Movements, amount(own[i]))
		}
		n := rapid.Int64Range(0, 400).Draw(t, "reps")
		a, b := Credit(sheet, fitted, counted(n, content.Scaled)), Credit(sheet, fitted, counted(n+1, content.Scaled))
		if *a.Reps > *b.Reps {
			t.Fatalf("%d reps are credited %d, %d only %d", n, *a.Reps, n+1, *b.Reps)
		}
		if round := fitted.RepsARound(); n%round == 0 && *a.Reps != n/round*sheet.RepsARound() {
			t.Fatalf("%d full rounds are credited %d", n/round, *a.Reps)
		}
	})
}

func TestNewRecordKeepsWhatWasTyped(t *testing.T) {
	sheet, fitted := amrap(), amrap()
	fitted.Movements = []content.Movement{reps(8, "towel row"), reps(8, "side lunge")}
	r := content.Result{Kind: content.KindReps, Reps: ptr(int64(53)), Rounds: ptr(int64(3)), Extra: ptr(int64(5)), Version: content.AsWritten}
	rec := NewRecord("m001", day, sheet, fitted, r, 0, at(0), []string{"women"})
	if *rec.Result.Reps != 53 || *rec.Counted().Reps != 38 {
		t.Errorf("typed %d, counted %d; want 53 and 38", *rec.Result.Reps, *rec.Counted().Reps)
	}
	if got := Show(sheet, rec.Counted()); got != "3 rounds + 2 (38 reps)" {
		t.Errorf("shown as %q", got)
	}
	want, _ := Score(sheet, counted(38, content.AsWritten))
	if got, _ := rec.Score(); got != want {
		t.Errorf("score %d, want that of 38 reps, %d", got, want)
	}
}
