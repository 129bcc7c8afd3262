package leaderboard

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// sets is every board of a club in the plainest form.
type sets map[store.Board]map[string]int64

func (s sets) apply(m store.Moves) {
	for _, p := range m.Out {
		delete(s[p.Board], p.SetMember)
		if len(s[p.Board]) == 0 {
			delete(s, p.Board)
		}
	}
	for _, p := range m.In {
		if s[p.Board] == nil {
			s[p.Board] = map[string]int64{}
		}
		s[p.Board][p.SetMember] = p.Score
	}
}

func (s sets) equal(o sets) bool { return maps.EqualFunc(s, o, maps.Equal[map[string]int64]) }

func (s sets) clone() sets {
	out := sets{}
	for b, m := range s {
		out[b] = maps.Clone(m)
	}
	return out
}

func TestChange(t *testing.T) {
	p := forTime()
	first := recordOf("m1", p, finished(872000, content.AsWritten), 1, "women", "50+")
	faster := NewRecord("m1", day, p, p, finished(860000, content.Scaled), first.First, at(9), []string{"women", "50+"})
	onlyWomen := NewRecord("m1", day, p, p, finished(872000, content.AsWritten), first.First, at(9), []string{"women"})
	open := recordOf("m1", p, finished(872000, ""), 1, "women", "50+")
	done := NewRecord("m1", day, p, p, content.Result{Kind: content.KindDone}, first.First, at(9), []string{"women"})
	hidden := recordOf("m1", p, finished(872000, content.AsWritten), 1)
	tests := []struct {
		name     string
		old, new *Record
		joint    bool
		want     string
	}{
		{"a first result", nil, &first, false, "in women 872000; in 50+ 872000; rank women as_written; rank 50+ as_written; "},
		{"with a joint rank", nil, &onlyWomen, true, "in women 872000; rank women as_written; rank women all; "},
		{"a removal", &first, nil, false, "out women; out 50+; "},
		{"another score overwrites", &first, &faster, false, "in women +860000; in 50+ +860000; rank women scaled; rank 50+ scaled; "},
		{"a division left", &first, &onlyWomen, false, "out 50+; rank women as_written; "},
		{"version not told", nil, &open, false, ""},
		{"version told", &open, &first, false, "in women 872000; in 50+ 872000; rank women as_written; rank 50+ as_written; "},
		{"version taken back", &first, &open, false, "out women; out 50+; "},
		{"replaced by done", &first, &done, false, "out women; out 50+; "},
		{"chose to be on no board", nil, &hidden, true, ""},
		{"nothing", nil, nil, true, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := movesText(Change(tt.old, tt.new, tt.joint)); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func movesText(m store.Moves) string {
	out := ""
	for _, p := range m.Out {
		out += "out " + p.Board.Division + "; "
	}
	for _, p := range m.In {
		plus := ""
		if p.Score >= scaledBit {
			plus, p.Score = "+", p.Score-scaledBit
		}
		out += fmt.Sprintf("in %s %s%d; ", p.Board.Division, plus, p.Score)
	}
	for _, s := range m.Ranks {
		out += fmt.Sprintf("rank %s %s; ", s.Board.Division, SpanVersion(s))
	}
	return out
}

func TestSpansAreTheStatedRanges(t *testing.T) {
	tests := []struct {
		v         content.Version
		low, high int64
	}{
		{content.AsWritten, 0, 1<<50 - 1},
		{content.Scaled, 1 << 50, math.MaxInt64},
		{All, math.MinInt64, math.MaxInt64},
	}
	for _, tt := range tests {
		if low, high := Bounds(tt.v); low != tt.low || high != tt.high {
			t.Errorf("%s: %d to %d, want %d to %d", tt.v, low, high, tt.low, tt.high)
		}
	}
}

// history draws a record that a member might have: of any kind the part could have had, with or without a version.
func history(member string, first int64) *rapid.Generator[Record] {
	return rapid.Custom(func(t *rapid.T) Record {
		p := forTime()
		var r content.Result
		switch rapid.IntRange(0, 5).Draw(t, "sort") {
		case 0:
			r = content.Result{Kind: content.KindDone}
		case 1:
			r = finished(rapid.Int64Range(1, 9).Draw(t, "ms"), "")
		default:
			r = results(content.KindTime).Draw(t, "r")
		}
		divisions := rapid.SliceOfDistinct(rapid.SampledFrom([]string{"women", "50+", "open"}), rapid.ID[string]).Draw(t, "divisions")
		return NewRecord(member, day, p, p, r, first, at(rapid.IntRange(0, 9).Draw(t, "at")), divisions)
	})
}

func TestACorrectionAndItsReverseLeaveNoTrace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		boards := sets{}
		for i := range 4 {
			r := history(memberID(i), 0).Draw(t, "others")
			boards.apply(Change(nil, &r, false))
		}
		was := history("mine", 0).Draw(t, "was")
		boards.apply(Change(nil, &was, false))
		before := boards.clone()
		now := history("mine", was.First).Draw(t, "now")
		boards.apply(Change(&was, &now, false))
		for _, p := range was.Places() {
			if s, ok := boards[p.Board][p.SetMember]; ok && !slices.Contains(now.Places(), store.Place{Board: p.Board, SetMember: p.SetMember, Score: s}) {
				t.Fatalf("a replaced result still stands on %+v", p.Board)
			}
		}
		boards.apply(Change(&now, &was, false))
		if !boards.equal(before) {
			t.Fatalf("after correction and reverse:\n%v\nbefore:\n%v", boards, before)
		}
		boards.apply(Change(&was, nil, false))
		for b, m := range boards {
			if _, ok := m[was.setMember()]; ok {
				t.Fatalf("removed, but on %+v", b)
			}
		}
	})
}

func TestWrites(t *testing.T) {
	p := forTime()
	timed := recordOf("m1", p, finished(872000, content.AsWritten), 1, "women")
	again := NewRecord("m1", day, p, p, finished(860000, content.AsWritten), timed.First, at(2), []string{"women"})
	done := NewRecord("m1", day, p, p, content.Result{Kind: content.KindDone}, timed.First, at(3), nil)
	tests := []struct {
		name     string
		old, new *Record
		want     string
	}{
		{"new", nil, &timed, "set time; "},
		{"same kind overwrites", &timed, &again, "set time; "},
		{"another kind removes the old name", &timed, &done, "del time; set done; "},
		{"removed", &timed, nil, "del time; "},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			ws, err := Writes(tt.old, tt.new)
			if err != nil {
				t.Fatal(err)
			}
			got := ""
			for _, w := range ws {
				got += map[bool]string{true: "del ", false: "set "}[w.Record == nil] + w.Field.Kind + "; "
			}
			if got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func BenchmarkChange(b *testing.B) {
	p := forTime()
	old := recordOf("m1", p, finished(872000, content.AsWritten), 1, "women", "50+")
	now := NewRecord("m1", day, p, p, finished(860000, content.Scaled), old.First, at(2), []string{"women", "50+"})
	b.ReportAllocs()
	for b.Loop() {
		Change(&old, &now, false)
	}
}
