package leaderboard

import (
	"testing"

	"pgregory.net/rapid"

	"tallybell/content"
)

func TestScoreIsTheStatedFormula(t *testing.T) {
	const top, half = 1 << 50, 1 << 49
	tests := []struct {
		name string
		part content.Part
		r    content.Result
		want int64
	}{
		{"a finished time is its milliseconds", forTime(), finished(872000, content.AsWritten), 872000},
		{"scaled is the top bit", forTime(), finished(872000, content.Scaled), top + 872000},
		{"unfinished is the next, more reps lower", forTime(), unfinished(74, content.AsWritten), half + half - 1 - 74},
		{"unfinished and scaled", forTime(), unfinished(0, content.Scaled), top + half + half - 1},
		{"reps", amrap(), counted(72, content.AsWritten), half - 1 - 72},
		{"grams", scheme(content.Heaviest), load(42500, content.Scaled), top + half - 1 - 42500},
		{"a hold is better the longer", scheme(content.LongestHold), content.Result{Kind: content.KindHold, TimeMS: 95000, Version: content.AsWritten}, half - 1 - 95000},
		{"millimetres", scheme(content.Farthest), content.Result{Kind: content.KindDistance, DistanceMM: 2400000, Version: content.AsWritten}, half - 1 - 2400000},
		{"nought reps is a result", amrap(), counted(0, content.AsWritten), half - 1},
		{"the most that fits", forTime(), finished(half-1, content.Scaled), top + half - 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := Score(tt.part, tt.r)
			if !ok || got != tt.want {
				t.Errorf("Score = %d, %t; want %d", got, ok, tt.want)
			}
		})
	}
}

func TestScoreStandsNowhere(t *testing.T) {
	notScored := amrap()
	notScored.Scoring = content.NotScored
	sets := scheme(content.Sets)
	sets.Scoring = content.Scored
	tests := []struct {
		name string
		part content.Part
		r    content.Result
	}{
		{"version not told", forTime(), finished(872000, "")},
		{"unknown version", forTime(), finished(872000, "rx")},
		{"done on a scored part", forTime(), content.Result{Kind: content.KindDone, Version: content.AsWritten}},
		{"part not scored", notScored, counted(72, content.AsWritten)},
		{"sets rank nobody, whatever they say", sets, content.Result{Kind: content.KindDone, Version: content.AsWritten}},
		{"kind of another part", forTime(), counted(72, content.AsWritten)},
		{"time without finished", forTime(), content.Result{Kind: content.KindTime, TimeMS: 872000, Version: content.AsWritten}},
		{"unfinished without reps", forTime(), content.Result{Kind: content.KindTime, Finished: ptr(false), Version: content.AsWritten}},
		{"reps not told", amrap(), content.Result{Kind: content.KindReps, Version: content.AsWritten}},
		{"negative reps", amrap(), counted(-1, content.AsWritten)},
		{"negative time", forTime(), finished(-1, content.AsWritten)},
		{"too large", amrap(), counted(1<<49, content.AsWritten)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got, ok := Score(tt.part, tt.r); ok {
				t.Errorf("Score = %d, want none", got)
			}
		})
	}
}

// better is the order within a part in the words of the rule, without any score.
func better(a, b content.Result) bool {
	if a.Version != b.Version {
		return a.Version == content.AsWritten
	}
	switch a.Kind {
	case content.KindTime:
		switch {
		case a.IsFinished() && b.IsFinished():
			return a.TimeMS < b.TimeMS
		case a.IsFinished() != b.IsFinished():
			return a.IsFinished()
		}
		return *a.Reps > *b.Reps
	case content.KindReps:
		return *a.Reps > *b.Reps
	case content.KindLoad:
		return a.LoadG > b.LoadG
	case content.KindHold:
		return a.TimeMS > b.TimeMS
	}
	return a.DistanceMM > b.DistanceMM
}

func TestScoreOrdersAsTheRuleSays(t *testing.T) {
	parts := scoredParts()
	rapid.Check(t, func(t *rapid.T) {
		k := kinds().Draw(t, "kind")
		a, b := results(k).Draw(t, "a"), results(k).Draw(t, "b")
		sa, okA := Score(parts[k], a)
		sb, okB := Score(parts[k], b)
		if !okA || !okB {
			t.Fatalf("no score for %+v or %+v", a, b)
		}
		if (sa < sb) != better(a, b) || (sb < sa) != better(b, a) {
			t.Fatalf("scores %d and %d do not follow the rule for %+v and %+v", sa, sb, a, b)
		}
	})
}

func TestScoreIsExactAndDecodes(t *testing.T) {
	parts := scoredParts()
	rapid.Check(t, func(t *rapid.T) {
		k := kinds().Draw(t, "kind")
		r := results(k).Draw(t, "r")
		s, _ := Score(parts[k], r)
		if s < 0 || s >= 1<<51 || int64(float64(s)) != s {
			t.Fatalf("score %d is not exact in a float64", s)
		}
		back, ok := Decode(k, s)
		if !ok {
			t.Fatalf("Decode(%s, %d) failed", k, s)
		}
		if again, ok := Score(parts[k], back); !ok || again != s {
			t.Fatalf("Decode(%s, %d) = %+v, which scores %d, %t", k, s, back, again, ok)
		}
		if back.Version != r.Version || back.IsFinished() != r.IsFinished() || back.TimeMS != r.TimeMS ||
			back.RepCount() != r.RepCount() || back.LoadG != r.LoadG || back.DistanceMM != r.DistanceMM {
			t.Fatalf("Decode(Score(%+v)) = %+v", r, back)
		}
	})
}

func TestDecodeRefusesWhatScoreNeverGives(t *testing.T) {
	tests := []struct {
		name string
		kind content.Kind
		s    int64
	}{
		{"negative", content.KindTime, -1},
		{"too large", content.KindTime, 1 << 51},
		{"unfinished reps", content.KindReps, 1 << 49},
		{"done has no score", content.KindDone, 5},
		{"a time of nothing", content.KindTime, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if r, ok := Decode(tt.kind, tt.s); ok {
				t.Errorf("Decode = %+v", r)
			}
		})
	}
}

func BenchmarkScore(b *testing.B) {
	p, r := forTime(), unfinished(74, content.Scaled)
	b.ReportAllocs()
	for b.Loop() {
		Score(p, r)
	}
}
