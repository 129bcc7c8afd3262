package leaderboard

import (
	"context"
	"fmt"
	"testing"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// BenchmarkPageOnStores reads the first 20 and 100 lines, and those around a member, of a board of 2,000: all of it one
// round trip. every tells how many records say more than their score.
func BenchmarkPageOnStores(b *testing.B) {
	p := forTime()
	for _, kind := range []string{"embedded", "redis"} {
		b.Run(kind, func(b *testing.B) {
			open := openEmbedded
			if kind == "redis" {
				open = openRedis
			}
			club, err := open(b).Club("bench")
			if err != nil {
				b.Fatal(err)
			}
			for i := range 2000 {
				r := recordOf(memberID(i), p, finished(600000+int64(i), content.AsWritten), i, "open")
				if i%10 == 0 {
					r.Way = "towel row"
				}
				if err := logOne(club, &r); err != nil {
					b.Fatal(err)
				}
			}
			boards := &Boards{Store: club, Name: func(id string) (string, bool) { return id, true }}
			for _, q := range []Query{{Limit: 20}, {Limit: 100}, {Limit: 5, Around: memberID(1500)}} {
				q.Division, q.Version = "open", content.AsWritten
				b.Run(fmt.Sprintf("limit %d around %q", q.Limit, q.Around), func(b *testing.B) {
					b.ReportAllocs()
					for b.Loop() {
						if _, err := boards.Page(context.Background(), day, p, q); err != nil {
							b.Fatal(err)
						}
					}
				})
			}
			low, high := Bounds(content.AsWritten)
			board := store.Board{Date: day.String(), Part: p.Letter, Kind: string(p.Kind()), Division: "open"}
			b.Run("floor: 100 places alone", func(b *testing.B) {
				for b.Loop() {
					if _, _, err := club.BoardRange(context.Background(), board, low, high, 100); err != nil {
						b.Fatal(err)
					}
				}
			})
		})
	}
}
