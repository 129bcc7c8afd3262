package gateway

import (
	"context"

	"tallybell/bot"
	"tallybell/content"
	"tallybell/leaderboard"
)

// History is a past of a piece done four times: as written, scaled, unfinished, as written again; and one set. All of
// it is invented.
func (f *fakeClub) History(_ context.Context, member string, coach bool) (bot.History, error) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	m, ok := f.members[member]
	if !ok {
		return bot.History{}, &bot.Problem{Code: "not_found", Text: "There is no such member."}
	}
	h := bot.History{Person: bot.Person{Member: member, Name: m.Name}}
	yes, no, reps, effort := true, false, int64(74), 7.0
	piece := bot.PastPiece{Piece: "00aa", Name: "5 rounds for time: 16 <b>air squat</b>, 12 push-up", Kind: content.KindTime}
	for i, x := range []struct {
		show    string
		result  content.Result
		best    bool
		change  string
		eased   bool
		daysAgo int
	}{
		{"14:50", content.Result{Kind: content.KindTime, Finished: &yes, TimeMS: 890_000, Version: content.AsWritten, Effort: &effort}, false, "", false, 42},
		{"13:40", content.Result{Kind: content.KindTime, Finished: &yes, TimeMS: 820_000, Version: content.Scaled}, false, "", true, 28},
		{"cap at 74 reps", content.Result{Kind: content.KindTime, Finished: &no, Reps: &reps, Version: content.AsWritten}, false, "", false, 14},
		{"14:23", content.Result{Kind: content.KindTime, Finished: &yes, TimeMS: 863_000, Version: content.AsWritten}, true, "0:27 faster", false, 0},
	} {
		r := bot.PastResult{Date: testDate.AddDays(-x.daysAgo), Session: "Ledge and landing", Part: string(rune('B' + i%2)), Piece: piece.Piece,
			Show: x.show, Result: x.result, Best: x.best, Change: x.change, Eased: x.eased && coach, Marked: x.daysAgo == 14 && coach}
		piece.Results = append(piece.Results, r)
		h.Results = append([]bot.PastResult{r}, h.Results...)
	}
	h.Results = append(h.Results, bot.PastResult{Date: testDate.AddDays(-50), Part: "A", Show: "done, 8/8/8 at 60 kg", Way: "towel row", Late: true,
		Result: content.Result{Kind: content.KindDone, SetReps: []int64{8, 8, 8}, LoadG: 60_000}})
	h.Pieces = []bot.PastPiece{piece}
	if coach {
		h.Heaviest = []bot.HeavySet{{Movement: "backpack squat", Date: testDate.AddDays(-50), LoadG: 60_000, Reps: 8, EpleyG: 76_000, BrzyckiG: 74_483},
			{Movement: "pack swing", Date: testDate, LoadG: 20_000, Reps: 15}}
	}
	return h, nil
}

func (f *fakeClub) Load(_ context.Context, member string) (bot.Loads, error) {
	l := bot.Loads{Person: bot.Person{Member: member}}
	for w := range 4 {
		week := bot.LoadWeek{From: testDate.AddDays(-6 - 7*w), To: testDate.AddDays(-7 * w), Untold: w % 2}
		var loads []float64
		for i := range 7 {
			load := float64(i * 50 * (w % 3)) // the first and the last week are without any
			loads = append(loads, load)
			week.Days = append(week.Days, bot.LoadDay{Date: week.From.AddDays(i), Load: &load})
		}
		sums := leaderboard.WeekOf(loads)
		week.Sum, week.Mean, week.Monotony, week.Strain = &sums.Sum, &sums.Mean, sums.Monotony, sums.Strain
		l.Weeks = append(l.Weeks, week)
	}
	return l, nil
}
