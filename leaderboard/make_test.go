package leaderboard

import (
	"fmt"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

// day is the date of the invented sessions in these tests.
var day = content.Date{Year: 2027, Month: 2, Day: 1}

func ptr[T any](v T) *T { return &v }

func reps(n int64, name string) content.Movement {
	return content.Movement{Name: name, Amount: content.Amount{Kind: content.AmountReps, Low: n, High: n}}
}

// One part of each scored scheme.
func forTime() content.Part {
	return content.Part{Letter: "D", Scheme: content.Rounds, Rounds: 3, Cap: 18 * time.Minute,
		Movements: []content.Movement{reps(12, "squat"), reps(16, "step-up")}}
}

func amrap() content.Part {
	return content.Part{Letter: "C", Scheme: content.AMRAP, Duration: 9 * time.Minute,
		Movements: []content.Movement{reps(4, "pull-up"), reps(8, "side lunge")}}
}

func scheme(s content.Scheme) content.Part { return content.Part{Letter: "B", Scheme: s} }

func finished(ms int64, v content.Version) content.Result {
	return content.Result{Kind: content.KindTime, Finished: ptr(true), TimeMS: ms, Version: v}
}

func unfinished(n int64, v content.Version) content.Result {
	return content.Result{Kind: content.KindTime, Finished: ptr(false), Reps: ptr(n), Version: v}
}

func counted(n int64, v content.Version) content.Result {
	return content.Result{Kind: content.KindReps, Reps: ptr(n), Version: v}
}

func load(g int64, v content.Version) content.Result {
	return content.Result{Kind: content.KindLoad, LoadG: g, Version: v}
}

// at is the instant of the n-th message of a test.
func at(n int) time.Time { return time.UnixMilli(1_801_000_000_000 + int64(n)).UTC() }

// recordOf makes a record of a part without any other way of its lines.
func recordOf(member string, p content.Part, r content.Result, n int, divisions ...string) Record {
	return NewRecord(member, day, p, p, r, 0, at(n), divisions)
}

func versions() *rapid.Generator[content.Version] {
	return rapid.SampledFrom([]content.Version{content.AsWritten, content.Scaled})
}

// results generates results of a kind that have a version and a value, close together so that many are equal.
func results(kind content.Kind) *rapid.Generator[content.Result] {
	return rapid.Custom(func(t *rapid.T) content.Result {
		v := versions().Draw(t, "version")
		x := rapid.Int64Range(1, 12).Draw(t, "value")
		if rapid.IntRange(0, 9).Draw(t, "far") == 0 {
			x = rapid.Int64Range(1, most).Draw(t, "far value")
		}
		switch kind {
		case content.KindTime:
			if rapid.Bool().Draw(t, "finished") {
				return finished(x, v)
			}
			return unfinished(x-1, v)
		case content.KindReps:
			return counted(x-1, v)
		case content.KindLoad:
			return load(x, v)
		case content.KindHold:
			return content.Result{Kind: kind, TimeMS: x, Version: v}
		}
		return content.Result{Kind: content.KindDistance, DistanceMM: x, Version: v}
	})
}

func scoredParts() map[content.Kind]content.Part {
	return map[content.Kind]content.Part{
		content.KindTime: forTime(), content.KindReps: amrap(), content.KindLoad: scheme(content.Heaviest),
		content.KindHold: scheme(content.LongestHold), content.KindDistance: scheme(content.Farthest),
	}
}

func kinds() *rapid.Generator[content.Kind] {
	return rapid.SampledFrom([]content.Kind{content.KindTime, content.KindReps, content.KindLoad, content.KindHold, content.KindDistance})
}

func memberID(n int) string { return fmt.Sprintf("m%03d", n) }
