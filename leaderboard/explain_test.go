package leaderboard

import (
	"context"
	"strings"
	"testing"
	"time"

	"tallybell/content"
)

func explained(t *testing.T, rs []Record, who string, part content.Part, off string) Explained {
	t.Helper()
	b := &Boards{Store: memoryOf(t, rs), Name: func(id string) (string, bool) { return strings.ToUpper(id[:1]) + id[1:], true },
		Namesake: func(id string) bool { return id == "bea" }}
	for _, r := range rs {
		if r.Member == who && r.Part == part.Letter {
			e, err := b.Explain(context.Background(), part, part, r, "kg", off)
			if err != nil {
				t.Fatal(err)
			}
			return e
		}
	}
	t.Fatal("no such record")
	return Explained{}
}

func TestExplain(t *testing.T) {
	p := forTime()
	ann := recordOf("ann", p, finished(872_000, content.AsWritten), 1, "women", "50+")
	ann.Late, ann.Way = true, "towel row"
	rs := []Record{ann,
		recordOf("bea", p, finished(872_000, content.AsWritten), 2, "women"),
		recordOf("cleo", p, finished(871_999, content.AsWritten), 3, "women"),
		recordOf("dot", p, unfinished(74, content.AsWritten), 4, "women"),
		recordOf("eve", p, unfinished(70, content.AsWritten), 5, "women"),
		recordOf("fay", p, finished(100_000, content.Scaled), 6, "women"),
		recordOf("gus", p, finished(100_000, ""), 7, "women"),
		recordOf("hal", p, finished(100_000, content.AsWritten), 8),
		recordOf("ida", p, counted(20, content.AsWritten), 9, "women"),
	}
	const rule = "Order: less time first, to the millisecond; whoever did not finish comes after every finisher, more completed reps first; " +
		"scaled apart from as written; equal results share a rank, and the next rank counts them all"
	for _, tt := range []struct {
		who  string
		off  string
		want []string
	}{
		{"ann", "", []string{"Ann, 2027-02-01 D: 14:32, as written, towel row", "Told after its day: it counts, and is marked late", rule,
			"women, as written: rank 2 of 5 (among both versions 2 of 6); shared with Bea #bea; just ahead Cleo, 14:31.999, by 0:00.001; just behind Dot, cap at 74 reps, by one finished, the other did not",
			"50+, as written: rank 1 of 1 (among both versions 1 of 1)"}},
		{"dot", "", []string{"Dot, 2027-02-01 D: cap at 74 reps, as written", rule,
			"women, as written: rank 4 of 5 (among both versions 4 of 6); just ahead Bea #bea, 14:32, by one finished, the other did not; just behind Eve, cap at 70 reps, by 4 reps"}},
		{"fay", "", []string{"Fay, 2027-02-01 D: 1:40, scaled", rule, "women, scaled: rank 1 of 1 (among both versions 6 of 6)"}},
		{"gus", "chosen", []string{"Gus, 2027-02-01 D: 1:40", "On no board: its version, as written or scaled, was not told"}},
		{"hal", "the member has not chosen to stand on boards", []string{"Hal, 2027-02-01 D: 1:40, as written", "On no board: the member has not chosen to stand on boards"}},
		{"ida", "", []string{"Ida, 2027-02-01 D: 20 reps, as written", "On no board: the sheet was replaced, and the part now gives another kind of result"}},
	} {
		if got := explained(t, rs, tt.who, p, tt.off).Lines(); strings.Join(got, "\n") != strings.Join(tt.want, "\n") {
			t.Errorf("%s:\n%s\nwant\n%s", tt.who, strings.Join(got, "\n"), strings.Join(tt.want, "\n"))
		}
	}
}

func TestExplainUnscored(t *testing.T) {
	p := content.Part{Letter: "A", Scheme: content.Sets, Rounds: 3, Movements: []content.Movement{reps(8, "push-up")}}
	rec := NewRecord("ann", day, p, p, content.Result{Kind: content.KindDone, Version: content.AsWritten}, 0, time.UnixMilli(1), []string{"women"})
	e := explained(t, []Record{rec}, "ann", p, "")
	if e.Off != "its part ranks nobody" || e.Rule != "this part ranks nobody" {
		t.Errorf("off %q, rule %q", e.Off, e.Rule)
	}
}

// Who did another way with another amount sees what was typed, what counts, and how.
func TestExplainCredit(t *testing.T) {
	sheet, fitted := amrap(), amrap()
	fitted.Movements = []content.Movement{reps(4, "pull-up"), reps(12, "calf raise")}
	rec := NewRecord("ann", day, sheet, fitted, content.Result{Kind: content.KindReps, Reps: ptr(int64(40)), Rounds: ptr(int64(2)), Extra: ptr(int64(8)),
		Version: content.AsWritten}, 0, at(1), []string{"women"})
	b := &Boards{Store: memoryOf(t, []Record{rec}), Name: func(string) (string, bool) { return "Ann", true }}
	e, err := b.Explain(context.Background(), sheet, fitted, rec, "kg", "")
	if err != nil {
		t.Fatal(err)
	}
	// two rounds are 24 of the sheet's, then 4 pull-ups, then 4 of 12 calf raises: 4/12 of 8, rounded down
	want := "Ann, 2027-02-01 C: 2 rounds + 6 (30 reps), as written\nTold as: 2 rounds + 8 (40 reps)\n" +
		"40 reps typed count as 30 reps of the sheet's own\n12 calf raise done counts as 8 side lunge; a share of it is rounded down"
	if got := strings.Join(e.Lines()[:4], "\n"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
