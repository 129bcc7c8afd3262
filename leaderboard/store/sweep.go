package store

import (
	"context"
	"fmt"
	"time"

	"github.com/redis/go-redis/v9"
)

// Days that the daily job leaves: what was posted for a date is asked for while it may still be sent or corrected.
const (
	keepPosted  = 60
	sweepPosted = 460 // further back than a year of missed jobs
	keepPosts   = 14 * 24 * time.Hour
)

// Sweep removes what is old: posts of more than 14 days, what was posted for dates more than 60 days back, the bare ids
// of people forgotten more than a day ago, and what a dead import left. It is meant for a daily job; nothing of ours
// expires by itself. Where nothing is old nothing is written.
func (c *Club) Sweep(ctx context.Context, now time.Time) error {
	if err := c.sweepImport(ctx, now); err != nil {
		return fmt.Errorf("store: sweep: %w", err)
	}
	cmds, err := c.oldPosts(ctx, now)
	if err != nil {
		return fmt.Errorf("store: sweep: %w", err)
	}
	gone, err := c.oldForgotten(ctx, now)
	if err != nil {
		return fmt.Errorf("store: sweep: %w", err)
	}
	if cmds = append(cmds, gone...); len(cmds) == 0 {
		return nil
	}
	if _, err := c.Change(ctx, now, nil, cmds); err != nil {
		return fmt.Errorf("store: sweep: %w", err)
	}
	return nil
}

func (c *Club) oldPosts(ctx context.Context, now time.Time) ([]Do, error) {
	var keys []string
	for d := keepPosted; d < sweepPosted; d++ {
		keys = append(keys, c.KeyPosted(now.UTC().AddDate(0, 0, -d).Format(time.DateOnly)))
	}
	oldest := itoa(micros(now.Add(-keepPosts))) + "-0"
	var posted []*redis.IntCmd
	var posts *redis.XMessageSliceCmd
	err := c.s.read(ctx, "old posts", func(p redis.Pipeliner) {
		posted = posted[:0]
		for _, k := range keys {
			posted = append(posted, p.Exists(ctx, k))
		}
		posts = p.XRangeN(ctx, c.KeyPosts(), "-", "("+oldest, 1)
	})
	if err != nil {
		return nil, err
	}
	var cmds []Do
	old := Do{"DEL"}
	for i, k := range keys {
		if posted[i].Val() > 0 {
			old = append(old, k)
		}
	}
	if len(old) > 1 {
		cmds = append(cmds, old)
	}
	if len(posts.Val()) > 0 {
		cmds = append(cmds, Do{"XTRIM", c.KeyPosts(), "MINID", "=", oldest})
	}
	return cmds, nil
}

// oldForgotten takes ids away that are only there so that other replicas find out who was forgotten; see Forget.
func (c *Club) oldForgotten(ctx context.Context, now time.Time) ([]Do, error) {
	var ids *redis.StringSliceCmd
	err := c.s.read(ctx, "changed members", func(p redis.Pipeliner) {
		ids = p.ZRangeByScore(ctx, c.KeyChanged(), &redis.ZRangeBy{Min: "-inf", Max: itoa(micros(now.Add(-24 * time.Hour)))})
	})
	if err != nil {
		return nil, err
	}
	here, err := c.MembersNamed(ctx, ids.Val())
	if err != nil {
		return nil, err
	}
	var cmds []Do
	for _, id := range ids.Val() {
		if _, ok := here[id]; !ok {
			cmds = append(cmds, Do{"ZREM", c.KeyChanged(), id})
		}
	}
	return cmds, nil
}
