package store

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/redis/go-redis/v9"
)

// forgetTries is how often Forget reads a member's traces again when they change meanwhile.
const forgetTries = 4

// Forget deletes everything of a member: profile, mail, said ids, ledger, results, places on boards, tokens and
// invites. more is made in the same step (for what only the caller knows). Compact takes it off the disk as well.
// On a real Redis the bare id stays for a day among those that changed, so that other replicas find out. It is safe to
// repeat.
func (c *Club) Forget(ctx context.Context, now time.Time, member string, more ...Do) (n int64, err error) {
	if err := checkNames("member", member); err != nil {
		return 0, err
	}
	for range forgetTries {
		conds, cmds, rerr := c.tracesOf(ctx, member)
		if rerr != nil {
			return 0, rerr
		}
		if n, err = c.Change(ctx, now, conds, append(cmds, more...)); !errors.Is(err, ErrStale) {
			break
		}
	}
	if err != nil {
		return 0, fmt.Errorf("store: forget: %w", err)
	}
	return n, nil
}

// Compact takes what was deleted off the disk: the log is compacted, or a real Redis told to rewrite its own.
func (c *Club) Compact(ctx context.Context) error { return c.s.compact(ctx) }

// tracesOf returns the commands that remove a member, and the condition that nothing was added meanwhile.
func (c *Club) tracesOf(ctx context.Context, member string) ([]If, []Do, error) {
	tops, err := c.Tops(ctx, []string{member})
	if err != nil {
		return nil, nil, err
	}
	cmds := []Do{
		{"HDEL", c.KeyMembers(), member}, {"HDEL", c.KeyTops(), member}, {"ZREM", c.KeyChanged(), member},
		{"HDEL", c.KeySeen(), member},
		{"DEL", c.KeyMail(member), c.KeySaid(member), c.KeyLedger(member)},
	}
	if c.s.local == nil {
		cmds = append(cmds, c.DoChanged(member))
	}
	for _, key := range []string{c.KeyTokens(), c.KeyInvites()} {
		owned, err := c.ownedBy(ctx, key, member)
		if err != nil {
			return nil, nil, err
		}
		cmds = append(cmds, owned...)
	}
	dates, err := c.ResultDates(ctx)
	if err != nil {
		return nil, nil, err
	}
	for _, date := range dates {
		day, err := c.tracesOn(ctx, date, member)
		if err != nil {
			return nil, nil, err
		}
		cmds = append(cmds, day...)
	}
	return []If{c.IfTop(member, tops[0])}, cmds, nil
}

// ownedBy returns what removes the fields of a hash that belong to a member: those whose text begins with
// the id as a word, or names it in quotes (a kept answer).
func (c *Club) ownedBy(ctx context.Context, key, member string) ([]Do, error) {
	all, err := c.hash(ctx, "secrets", key)
	if err != nil {
		return nil, err
	}
	var cmds []Do
	for digest, v := range all {
		if firstWord(v) == member || strings.Contains(v, `"`+member+`"`) {
			cmds = append(cmds, Do{"HDEL", key, digest})
		}
	}
	return cmds, nil
}

// tracesOn returns what removes a member's results and places of a date, and a board, a results hash or its
// entry in an index that nobody else is left in.
func (c *Club) tracesOn(ctx context.Context, date, member string) ([]Do, error) {
	results, err := c.Results(ctx, date)
	if err != nil {
		return nil, err
	}
	var cmds []Do
	others := 0
	for f := range results {
		if f.Member != member {
			others++
			continue
		}
		cmds = append(cmds, Do{"HDEL", c.KeyResults(date), f.field()})
	}
	if others == 0 {
		cmds = append(cmds, Do{"SREM", c.KeyResultDates(), date})
	}
	boards, err := c.Boards(ctx, date)
	if err != nil || len(boards) == 0 {
		return cmds, err
	}
	var on []*redis.StringSliceCmd
	err = c.s.read(ctx, "places", func(p redis.Pipeliner) {
		on = on[:0]
		for _, b := range boards {
			on = append(on, p.ZRange(ctx, c.KeyBoard(b), 0, -1))
		}
	})
	if err != nil {
		return nil, err
	}
	for i, b := range boards {
		left := len(on[i].Val())
		for _, m := range on[i].Val() {
			if strings.HasSuffix(m, "."+member) {
				cmds = append(cmds, Do{"ZREM", c.KeyBoard(b), m})
				left--
			}
		}
		if left == 0 {
			cmds = append(cmds, Do{"SREM", c.KeyBoards(date), b.Part + ":" + b.Kind + ":" + b.Division})
		}
	}
	return cmds, nil
}

// compact takes what was deleted off the disk.
func (s *Store) compact(ctx context.Context) error {
	if s.local != nil {
		if err := s.local.Compact(); err != nil {
			return fmt.Errorf("store: deleted, but the log still holds it until the next compaction: %w", err)
		}
		return nil
	}
	rewrite := func(ctx context.Context, node *redis.Client) error {
		err := node.BgRewriteAOF(ctx).Err()
		if err != nil && strings.Contains(err.Error(), "in progress") {
			return nil // it has been asked for already
		}
		return err
	}
	var err error
	switch w := s.writer.(type) {
	case *redis.Client:
		err = rewrite(ctx, w)
	case *redis.ClusterClient:
		err = w.ForEachMaster(ctx, rewrite)
	}
	if err != nil {
		return fmt.Errorf("store: deleted, but Redis did not rewrite its file (BGREWRITEAOF), which still holds it: %w", err)
	}
	return nil
}
