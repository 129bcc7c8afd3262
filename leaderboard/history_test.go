package leaderboard

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

// pastOf makes records of one piece from (day, seconds, version); 0 seconds is unfinished with 40 reps.
func pastOf(t interface{ Fatal(...any) }, days []int, seconds []int64, versions []content.Version) []Record {
	part := content.Part{Letter: "D", Scheme: content.Rounds, Rounds: 3,
		Movements: []content.Movement{{Name: "squat", Amount: content.Amount{Kind: content.AmountReps, Low: 20, High: 20}}}}
	var out []Record
	for i := range days {
		finished, ms, reps := true, seconds[i]*1000, int64(40)
		r := content.Result{Kind: content.KindTime, Finished: &finished, TimeMS: ms, Version: versions[i]}
		if ms == 0 {
			finished = false
			r.Reps = &reps
		}
		d := content.Date{Year: 2027, Month: time.January, Day: 1}.AddDays(days[i])
		out = append(out, NewRecord("m", d, part, part, r, 0, time.UnixMilli(int64(i+1)), nil))
	}
	return out
}

func TestHistoryFindsLastAndBest(t *testing.T) {
	const aw, sc = content.AsWritten, content.Scaled
	all := pastOf(t, []int{0, 7, 14, 21, 28}, []int64{900, 840, 0, 850, 700}, []content.Version{aw, aw, aw, aw, sc})
	other := pastOf(t, []int{20}, []int64{100}, []content.Version{aw})
	other[0].Piece = "another"
	all = append(all, other...)
	piece := all[0].Piece
	on := func(day int) content.Date {
		return content.Date{Year: 2027, Month: time.January, Day: 1}.AddDays(day)
	}
	if got := len(History(all, piece)); got != 5 {
		t.Errorf("%d in the history, want 5", got)
	}
	if last, ok := LastBefore(all, piece, aw, on(28)); !ok || last.Date != on(21) {
		t.Errorf("last is of %s, want %s", last.Date, on(21))
	}
	if last, ok := LastBefore(all, piece, sc, on(28)); ok {
		t.Errorf("a scaled last time of %s where there was none", last.Date)
	}
	if _, ok := LastBefore(all, piece, aw, on(0)); ok {
		t.Error("something came before the first")
	}
	if best, ok := Best(all, piece, aw); !ok || best.Date != on(7) {
		t.Errorf("best is of %s, want %s", best.Date, on(7))
	}
}

// TestBestIsRankedFirst holds the best against the ranking of the same records.
func TestBestIsRankedFirst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		var days []int
		var seconds []int64
		var versions []content.Version
		for i := range n {
			days = append(days, i)
			seconds = append(seconds, int64(rapid.IntRange(0, 5).Draw(t, "s"))*60)
			versions = append(versions, rapid.SampledFrom([]content.Version{content.AsWritten, content.Scaled}).Draw(t, "v"))
		}
		all := pastOf(t, days, seconds, versions)
		for _, v := range []content.Version{content.AsWritten, content.Scaled} {
			best, ok := Best(all, all[0].Piece, v)
			ranked := Rank(Of(all, v))
			if ok != (len(ranked) > 0) {
				t.Fatalf("a best: %v, with %d ranked", ok, len(ranked))
			}
			if ok && (ranked[0].Record.Date != best.Date) {
				t.Fatalf("best of %s, ranked first %s", best.Date, ranked[0].Record.Date)
			}
		}
	})
}
