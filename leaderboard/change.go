package leaderboard

import (
	"math"
	"slices"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// All names the version under which a board shows everyone, as written before scaled.
const All content.Version = "all"

// Bounds returns the lowest and highest score of a version, both included.
func Bounds(v content.Version) (low, high int64) {
	switch v {
	case content.AsWritten:
		return 0, scaledBit - 1
	case content.Scaled:
		return scaledBit, math.MaxInt64
	}
	return math.MinInt64, math.MaxInt64
}

// Change returns what a change of one member's result does to boards: old is what stood (nil for a first result),
// new what stands from now on (nil for a removal). Places that stay as they are appear neither in Out nor in In. A
// rank is asked for each division of new, among its own version; with joint, one more among all. A result that stands
// nowhere, its version not told or itself off boards, has no In and no Ranks.
func Change(old, new *Record, joint bool) store.Moves {
	var was, is []store.Place
	if old != nil {
		was = old.Places()
	}
	if new != nil {
		is = new.Places()
	}
	return store.Moves{Out: leaving(was, is), In: entering(was, is), Ranks: spans(is, joint)}
}

// leaving returns the places of was that is does not take; a place that only changes its score is overwritten.
func leaving(was, is []store.Place) []store.Place {
	var out []store.Place
	for _, w := range was {
		if !slices.ContainsFunc(is, func(p store.Place) bool { return p.Board == w.Board && p.SetMember == w.SetMember }) {
			out = append(out, w)
		}
	}
	return out
}

func entering(was, is []store.Place) []store.Place {
	if len(was) == 0 {
		return is
	}
	var in []store.Place
	for _, p := range is {
		if !slices.Contains(was, p) {
			in = append(in, p)
		}
	}
	return in
}

func spans(is []store.Place, joint bool) []store.Span {
	if len(is) == 0 {
		return nil
	}
	n := len(is)
	if joint {
		n *= 2
	}
	out := make([]store.Span, 0, n)
	for _, p := range is {
		out = append(out, Span(p, versionOf(p.Score)))
		if joint {
			out = append(out, Span(p, All))
		}
	}
	return out
}

// Span asks for the rank of a place among one version.
func Span(p store.Place, v content.Version) store.Span {
	low, high := Bounds(v)
	return store.Span{Board: p.Board, Score: p.Score, Low: low, High: high}
}

// SpanVersion returns the version that a span asks about.
func SpanVersion(s store.Span) content.Version {
	switch s.Low {
	case 0:
		return content.AsWritten
	case scaledBit:
		return content.Scaled
	}
	return All
}

// Writes returns the result writes that go with a change from old to new, either of which may be nil. A replacement of
// another kind removes the old record, whose name in the store holds its kind.
func Writes(old, new *Record) ([]store.ResultWrite, error) {
	var out []store.ResultWrite
	if old != nil && (new == nil || old.Field() != new.Field()) {
		out = append(out, store.ResultWrite{Field: old.Field()})
	}
	if new == nil {
		return out, nil
	}
	b, err := new.Encode()
	if err != nil {
		return nil, err
	}
	return append(out, store.ResultWrite{Field: new.Field(), Record: b}), nil
}
