package store

import (
	"context"
	"fmt"
	"math"

	"github.com/redis/go-redis/v9"
)

// Rank returns the competition rank of each score among those of its span, and how many stand there, from
// one pipeline. The score need not stand on the board itself.
func (c *Club) Rank(ctx context.Context, spans []Span) ([]Rank, error) {
	out := make([]Rank, 0, len(spans))
	for len(spans) > 0 {
		part := spans[:min(len(spans), maxPipeline/2)]
		spans = spans[len(part):]
		var better, of []*redis.IntCmd
		err := c.s.read(ctx, "ranks", func(p redis.Pipeliner) {
			for _, s := range part {
				key := c.KeyBoard(s.Board)
				better = append(better, p.ZCount(ctx, key, bound(s.Low), "("+itoa(s.Score)))
				of = append(of, p.ZCount(ctx, key, bound(s.Low), bound(s.High)))
			}
		})
		if err != nil {
			return nil, err
		}
		for i := range part {
			out = append(out, Rank{Rank: better[i].Val() + 1, Of: of[i].Val()})
		}
	}
	return out, nil
}

// BoardRange returns the places of a board with scores from low to high, in order, at most limit of them
// (0 for all), and how many there are. math.MinInt64 and math.MaxInt64 leave an end open. Equal scores list
// by set member: by who logged first.
func (c *Club) BoardRange(ctx context.Context, b Board, low, high int64, limit int) (places []Place, of int64, err error) {
	var entries *redis.ZSliceCmd
	var count *redis.IntCmd
	key := c.KeyBoard(b)
	args := redis.ZRangeArgs{Key: key, ByScore: true, Start: bound(low), Stop: bound(high)}
	if limit > 0 {
		args.Count = int64(limit)
	}
	err = c.s.read(ctx, "board", func(p redis.Pipeliner) {
		entries = p.ZRangeArgsWithScores(ctx, args)
		count = p.ZCount(ctx, key, bound(low), bound(high))
	})
	if err != nil {
		return nil, 0, err
	}
	for _, z := range entries.Val() {
		m, _ := z.Member.(string)
		if z.Score != math.Trunc(z.Score) || math.Abs(z.Score) > float64(maxScore) {
			return nil, 0, fmt.Errorf("store: board %s: the score %v of %q is no exact integer", key, z.Score, m)
		}
		places = append(places, Place{Board: b, SetMember: m, Score: int64(z.Score)})
	}
	return places, count.Val(), nil
}

// Boards returns the boards of a date on which anybody stands, in order of part, kind and division.
func (c *Club) Boards(ctx context.Context, date string) ([]Board, error) {
	names, err := c.sorted(ctx, "boards", c.KeyBoards(date))
	if err != nil {
		return nil, err
	}
	out := make([]Board, 0, len(names))
	for _, name := range names {
		b, ok := parseBoard(date, name)
		if !ok {
			return nil, fmt.Errorf("store: boards of %s: %q is no PART:KIND:DIVISION", date, name)
		}
		out = append(out, b)
	}
	return out, nil
}
