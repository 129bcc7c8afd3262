package leaderboard

import (
	"context"
	"testing"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// sorted is a Reader that sorts a board once, as a sorted set does.
type sorted struct {
	*memory
	seats []store.Seat
}

func (s *sorted) Windows(ctx context.Context, asked []store.Window) ([]store.View, error) {
	if s.seats == nil {
		w := asked[0]
		w.Limit = 0
		views, err := s.memory.Windows(ctx, []store.Window{w})
		if err != nil {
			return nil, err
		}
		s.seats = views[0].First
	}
	n := asked[0].Limit
	if n == 0 {
		n = len(s.seats)
	}
	return []store.View{{Of: int64(len(s.seats)), First: s.seats[:n]}}, nil
}

func BenchmarkReadRecord(b *testing.B) {
	text, err := exampleRecords()[0].Encode()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ReadRecord(text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTop20(b *testing.B) { benchmarkPage(b, 20) }

func BenchmarkPage1000(b *testing.B) { benchmarkPage(b, -1) }

// benchmarkPage reads a board of 1,000 from maps: what is measured is this package.
func benchmarkPage(b *testing.B, limit int) {
	p := forTime()
	var rs []Record
	for i := range 1000 {
		rs = append(rs, recordOf(memberID(i), p, finished(600000+int64(i), content.AsWritten), i, "open"))
	}
	boards := &Boards{Store: &sorted{memory: memoryOf(b, rs)}, Name: func(id string) (string, bool) { return id, true }}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := boards.Page(context.Background(), day, p, Query{Division: "open", Version: content.AsWritten, Limit: limit}); err != nil {
			b.Fatal(err)
		}
	}
}
