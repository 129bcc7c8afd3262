package store

import (
	"context"
	"fmt"
	"slices"

	"github.com/redis/go-redis/v9"
)

// State reads in one pipeline what a decision about a member rests on, with those of their results that
// are named.
func (c *Club) State(ctx context.Context, member string, want ...Field) (MemberState, error) {
	var top, profile *redis.StringCmd
	var line *redis.SliceCmd
	var last *redis.XMessageSliceCmd
	var results fieldReads
	err := c.s.read(ctx, "member's state", func(p redis.Pipeliner) {
		top = p.HGet(ctx, c.KeyTops(), member)
		line = c.line(ctx, p)
		profile = p.HGet(ctx, c.KeyMembers(), member)
		last = p.XRevRangeN(ctx, c.KeyMail(member), "+", "-", 1)
		results = c.askFields(ctx, p, want)
	})
	if err != nil {
		return MemberState{}, err
	}
	var st MemberState
	if top.Err() == nil {
		if st.Top, err = number(top.Val()); err != nil {
			return MemberState{}, fmt.Errorf("store: top of a member: %w", err)
		}
	}
	if st.N, st.LastPost, err = numbers(line); err != nil {
		return MemberState{}, err
	}
	if profile.Err() == nil {
		st.Profile = []byte(profile.Val())
	}
	if st.Last, err = lastOf(last); err != nil {
		return MemberState{}, err
	}
	st.Results = results.values()
	return st, nil
}

// hmgetPart is how many fields one HMGET asks for.
const hmgetPart = 500

// Tops returns the number of the last change that concerns each member, 0 for one never seen, in the order
// asked.
func (c *Club) Tops(ctx context.Context, members []string) ([]int64, error) {
	values, err := c.hmget(ctx, "tops", c.KeyTops(), members)
	if err != nil {
		return nil, err
	}
	out := make([]int64, len(values))
	for i, v := range values {
		if out[i], err = number(v); err != nil {
			return nil, fmt.Errorf("store: top of a member: %w", err)
		}
	}
	return out, nil
}

// hmget asks for fields of a hash in parts, one value a field.
func (c *Club) hmget(ctx context.Context, what, key string, fields []string) ([]any, error) {
	if len(fields) == 0 {
		return nil, nil
	}
	var parts []*redis.SliceCmd
	err := c.s.read(ctx, what, func(p redis.Pipeliner) {
		parts = parts[:0]
		for part := range slices.Chunk(fields, hmgetPart) {
			parts = append(parts, p.HMGet(ctx, key, part...))
		}
	})
	if err != nil {
		return nil, err
	}
	out := make([]any, 0, len(fields))
	for _, p := range parts {
		out = append(out, p.Val()...)
	}
	if len(out) != len(fields) {
		return nil, fmt.Errorf("store: %s: %d values for %d fields", what, len(out), len(fields))
	}
	return out, nil
}

// Changed returns the members whose profile changed after a number, in that order, and the club's number
// that this goes up to.
func (c *Club) Changed(ctx context.Context, after int64) (members []string, upTo int64, err error) {
	var line *redis.SliceCmd
	var changed *redis.ZSliceCmd
	err = c.s.read(ctx, "changed members", func(p redis.Pipeliner) {
		line = c.line(ctx, p)
		changed = p.ZRangeArgsWithScores(ctx, redis.ZRangeArgs{
			Key: c.KeyChanged(), ByScore: true, Start: "(" + itoa(after), Stop: "+inf",
		})
	})
	if err != nil {
		return nil, 0, err
	}
	if upTo, _, err = numbers(line); err != nil {
		return nil, 0, err
	}
	for _, z := range changed.Val() {
		if int64(z.Score) <= upTo {
			members = append(members, z.Member.(string))
		}
	}
	return members, upTo, nil
}

// Members returns every member's profile by id.
func (c *Club) Members(ctx context.Context) (map[string][]byte, error) {
	all, err := c.hash(ctx, "members", c.KeyMembers())
	if err != nil {
		return nil, err
	}
	out := make(map[string][]byte, len(all))
	for id, p := range all {
		out[id] = []byte(p)
	}
	return out, nil
}

// MembersNamed returns the profiles of these members; who does not exist is left out.
func (c *Club) MembersNamed(ctx context.Context, ids []string) (map[string][]byte, error) {
	values, err := c.hmget(ctx, "members", c.KeyMembers(), ids)
	if err != nil {
		return nil, err
	}
	out := make(map[string][]byte, len(ids))
	for i, v := range values {
		if p, ok := v.(string); ok {
			out[ids[i]] = []byte(p)
		}
	}
	return out, nil
}

// Token returns what a token's SHA-256 stands for, "" when there is no such token.
func (c *Club) Token(ctx context.Context, sha256 string) (string, error) {
	return c.field(ctx, "token", c.KeyTokens(), sha256)
}

// Tokens returns what every token's SHA-256 stands for.
func (c *Club) Tokens(ctx context.Context) (map[string]string, error) {
	return c.hash(ctx, "tokens", c.KeyTokens())
}

// Invite returns what an invite's SHA-256 stands for, "" when there is no such invite.
func (c *Club) Invite(ctx context.Context, sha256 string) (string, error) {
	return c.field(ctx, "invite", c.KeyInvites(), sha256)
}

// Invites returns what every invite's SHA-256 stands for.
func (c *Club) Invites(ctx context.Context) (map[string]string, error) {
	return c.hash(ctx, "invites", c.KeyInvites())
}

// Heard returns the number of the answer to a message id of a member, 0 when it was not heard.
func (c *Club) Heard(ctx context.Context, member, id string) (int64, error) {
	v, err := c.field(ctx, "heard", c.KeySaid(member), id)
	if err != nil || v == "" {
		return 0, err
	}
	n, _, err := streamID(firstWord(v) + "-0")
	return n, err
}

func firstWord(s string) string {
	for i := range s {
		if s[i] == ' ' {
			return s[:i]
		}
	}
	return s
}

func (c *Club) field(ctx context.Context, what, key, field string) (string, error) {
	var v *redis.StringCmd
	if err := c.s.read(ctx, what, func(p redis.Pipeliner) { v = p.HGet(ctx, key, field) }); err != nil {
		return "", err
	}
	return v.Val(), nil
}

func (c *Club) hash(ctx context.Context, what, key string) (map[string]string, error) {
	var v *redis.MapStringStringCmd
	if err := c.s.read(ctx, what, func(p redis.Pipeliner) { v = p.HGetAll(ctx, key) }); err != nil {
		return nil, err
	}
	return v.Val(), nil
}

// sorted returns the members of a set in order.
func (c *Club) sorted(ctx context.Context, what, key string) ([]string, error) {
	var v *redis.StringSliceCmd
	if err := c.s.read(ctx, what, func(p redis.Pipeliner) { v = p.SMembers(ctx, key) }); err != nil {
		return nil, err
	}
	out := v.Val()
	slices.Sort(out)
	return out, nil
}
