package leaderboard

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"tallybell/content"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares text with a file under testdata.
func golden(t *testing.T, file, got string) {
	t.Helper()
	path := "testdata/" + file
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; read it, then -update.\ngot:\n%s\nwant:\n%s", path, got, want)
	}
}

func TestShow(t *testing.T) {
	noCap := forTime()
	noCap.Cap = 0
	uncounted := amrap()
	uncounted.Movements = nil
	hold := func(ms int64) content.Result { return content.Result{Kind: content.KindHold, TimeMS: ms} }
	far := func(mm int64) content.Result { return content.Result{Kind: content.KindDistance, DistanceMM: mm} }
	rounds := func(n, extra int64) content.Result {
		return content.Result{Kind: content.KindReps, Reps: ptr(n*12 + extra), Rounds: &n, Extra: &extra}
	}
	rows := []struct {
		what  string
		p     content.Part
		r     content.Result
		units string
	}{
		{"a time", forTime(), finished(872000, ""), "kg"},
		{"a time to the tenth", forTime(), finished(872400, ""), "kg"},
		{"a time to the millisecond", forTime(), finished(872005, ""), "kg"},
		{"below a minute", forTime(), finished(48000, ""), "kg"},
		{"over an hour", forTime(), finished(3735000, ""), "kg"},
		{"out of time", forTime(), unfinished(74, ""), "kg"},
		{"out of time with one", forTime(), unfinished(1, ""), "kg"},
		{"stopped, no cap", noCap, unfinished(74, ""), "kg"},
		{"rounds and reps", amrap(), rounds(5, 12-1), "kg"},
		{"full rounds", amrap(), rounds(5, 0), "kg"},
		{"one round", amrap(), rounds(1, 3), "kg"},
		{"less than a round", amrap(), rounds(0, 9), "kg"},
		{"reps of an amrap alone", amrap(), counted(72, ""), "kg"},
		{"an amrap of lines that do not count", uncounted, counted(72, ""), "kg"},
		{"stations", scheme(content.Stations), counted(78, ""), "kg"},
		{"one rep", scheme(content.MostReps), counted(1, ""), "kg"},
		{"a load", scheme(content.Heaviest), load(42500, ""), "kg"},
		{"95 lb read in kg", scheme(content.Heaviest), load(43091, ""), "kg"},
		{"95 lb read in lb", scheme(content.Heaviest), load(43091, ""), "lb"},
		{"100 kg read in lb", scheme(content.Heaviest), load(100000, ""), "lb"},
		{"a hold", scheme(content.LongestHold), hold(95000), "kg"},
		{"a distance", scheme(content.Farthest), far(2400000), "kg"},
		{"800 yd", scheme(content.Farthest), far(731520), "kg"},
		{"1.5 mi", scheme(content.Farthest), far(2414016), "kg"},
		{"done", scheme(content.Sets), content.Result{Kind: content.KindDone}, "kg"},
		{"done with sets", scheme(content.Sets), content.Result{Kind: content.KindDone, SetReps: []int64{12, 10, 9}, LoadG: 14000}, "kg"},
		{"done with a load", scheme(content.Sets), content.Result{Kind: content.KindDone, LoadG: 14000}, "kg"},
	}
	var b strings.Builder
	for _, row := range rows {
		fmt.Fprintf(&b, "%-38s%s\n", row.what, ShowIn(row.p, row.r, row.units))
	}
	golden(t, "show.txt", b.String())
}

func TestShowClockReadsNegatives(t *testing.T) {
	if got := ShowClock(-65000); got != "-1:05" {
		t.Errorf("got %q", got)
	}
}

func TestBeside(t *testing.T) {
	r := recordOf("m1", forTime(), finished(872000, content.AsWritten), 0)
	if got := Beside(r, "kg"); got != "" {
		t.Errorf("nothing told: %q", got)
	}
	r.Way, r.Result.LoadG = "towel row", 12000
	if got := Beside(r, "kg"); got != "towel row, 12 kg" {
		t.Errorf("got %q", got)
	}
}

func TestShowStep(t *testing.T) {
	yes, no := true, false
	timed := func(ms int64) content.Result {
		return content.Result{Kind: content.KindTime, Finished: &yes, TimeMS: ms}
	}
	open := func(n int64) content.Result { return content.Result{Kind: content.KindTime, Finished: &no, Reps: &n} }
	reps := func(n int64) content.Result { return content.Result{Kind: content.KindReps, Reps: &n} }
	for _, tt := range []struct {
		a, b  content.Result
		units string
		want  string
	}{
		{timed(872_000), timed(850_000), "kg", "0:22 faster"},
		{timed(850_000), timed(872_500), "kg", "0:22.5 slower"},
		{timed(850_000), timed(850_000), "kg", "the same"},
		{timed(850_000), open(70), "kg", ""},
		{open(70), timed(850_000), "kg", ""},
		{open(70), open(71), "kg", "1 rep more"},
		{reps(78), reps(72), "kg", "6 reps less"},
		{content.Result{Kind: content.KindLoad, LoadG: 60_000}, content.Result{Kind: content.KindLoad, LoadG: 62_500}, "kg", "2.5 kg more"},
		{content.Result{Kind: content.KindHold, TimeMS: 60_000}, content.Result{Kind: content.KindHold, TimeMS: 95_000}, "kg", "0:35 longer"},
		{content.Result{Kind: content.KindDistance, DistanceMM: 2_400_000}, content.Result{Kind: content.KindDistance, DistanceMM: 2_300_000}, "kg", "100 m less far"},
		{content.Result{Kind: content.KindDone, LoadG: 12_000}, content.Result{Kind: content.KindDone, LoadG: 14_000}, "kg", "2 kg more"},
		{content.Result{Kind: content.KindDone}, content.Result{Kind: content.KindDone, LoadG: 14_000}, "kg", ""},
		{reps(3), timed(1000), "kg", ""},
	} {
		if got := ShowStep(tt.a, tt.b, tt.units); got != tt.want {
			t.Errorf("from %+v to %+v: %q, want %q", tt.a, tt.b, got, tt.want)
		}
	}
}

func TestMarksFollowCorrectionsAndRemovals(t *testing.T) {
	const aw, sc = content.AsWritten, content.Scaled
	all := pastOf(t, []int{0, 7, 14, 21}, []int64{900, 840, 0, 800}, []content.Version{aw, aw, aw, sc})
	m := MarksOf(all)
	better := all[1]
	better.Date, better.Result.TimeMS = all[1].Date.AddDays(30), 839_999
	equal, open, marked := better, all[2], better
	equal.Result.TimeMS, open.Date, marked.Marked = 840_000, better.Date, true
	if !m.IsBest(better) || m.IsBest(equal) || m.IsBest(open) || m.IsBest(marked) {
		t.Errorf("better %v, equal %v, unfinished %v, marked %v", m.IsBest(better), m.IsBest(equal), m.IsBest(open), m.IsBest(marked))
	}
	if m.IsBest(all[3]) {
		t.Error("the first scaled one is a best of one")
	}
	m.Move(&all[1], nil)
	if !m.IsBest(equal) {
		t.Error("a removed result still stands in the way")
	}
	m.Move(&all[0], &better)
	other := equal
	other.Date = equal.Date.AddDays(1)
	if m.IsBest(other) {
		t.Error("a replacement is not seen")
	}
}
