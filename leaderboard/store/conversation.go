package store

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/redis/go-redis/v9"
)

// Since is the cursor from which After gives everything that was written at or after an instant.
func (c *Club) Since(from time.Time) int64 { return max(micros(from)-1, 0) }

// After returns a member's conversation after a cursor, in order: the club's posts (to every bucket) and the
// member's mail, up to the club's number as it was read first. A cursor that is trimmed away begins at the
// oldest entry kept; one ahead of the club gets nothing, and the club's number to go on from.
func (c *Club) After(ctx context.Context, member string, cursor int64) (entries []Entry, upTo int64, err error) {
	var line *redis.SliceCmd
	var posts, mail *redis.XMessageSliceCmd
	err = c.s.read(ctx, "conversation", func(p redis.Pipeliner) {
		line = c.line(ctx, p)
		posts = p.XRange(ctx, c.KeyPosts(), after(cursor), "+")
		mail = p.XRange(ctx, c.KeyMail(member), after(cursor), "+")
	})
	if err != nil {
		return nil, 0, err
	}
	if upTo, _, err = numbers(line); err != nil || cursor > upTo {
		return nil, upTo, err
	}
	ps, err := readPosts(posts.Val(), upTo)
	if err != nil {
		return nil, 0, err
	}
	ms, err := readMail(mail.Val(), upTo)
	if err != nil {
		return nil, 0, err
	}
	return merge(ps, ms), upTo, nil
}

// merge puts two ordered lists into one; no two entries share a number.
func merge(posts []PostEntry, mail []MailEntry) []Entry {
	out := make([]Entry, 0, len(posts)+len(mail))
	for len(posts) > 0 || len(mail) > 0 {
		if len(mail) == 0 || len(posts) > 0 && posts[0].N < mail[0].N {
			out = append(out, Entry{N: posts[0].N, Post: &posts[0]})
			posts = posts[1:]
			continue
		}
		out = append(out, Entry{N: mail[0].N, Mail: &mail[0]})
		mail = mail[1:]
	}
	return out
}

// PostsAfter returns the posts after a number, in order, and the club's number that they go up to.
func (c *Club) PostsAfter(ctx context.Context, n int64) (posts []PostEntry, upTo int64, err error) {
	var line *redis.SliceCmd
	var stream *redis.XMessageSliceCmd
	err = c.s.read(ctx, "posts", func(p redis.Pipeliner) {
		line = c.line(ctx, p)
		stream = p.XRange(ctx, c.KeyPosts(), after(n), "+")
	})
	if err != nil {
		return nil, 0, err
	}
	if upTo, _, err = numbers(line); err != nil || n > upTo {
		return nil, upTo, err
	}
	posts, err = readPosts(stream.Val(), upTo)
	return posts, upTo, err
}

// LastMail returns the newest entry of a member's mail, or nil when there is none.
func (c *Club) LastMail(ctx context.Context, member string) (*MailEntry, error) {
	return c.oneMail(ctx, func(p redis.Pipeliner) *redis.XMessageSliceCmd {
		return p.XRevRangeN(ctx, c.KeyMail(member), "+", "-", 1)
	})
}

// Answer returns the entry of a member's mail with number n, or nil when it is not (or no longer) there.
func (c *Club) Answer(ctx context.Context, member string, n int64) (*MailEntry, error) {
	id := itoa(n) + "-0"
	return c.oneMail(ctx, func(p redis.Pipeliner) *redis.XMessageSliceCmd {
		return p.XRange(ctx, c.KeyMail(member), id, id)
	})
}

func (c *Club) oneMail(ctx context.Context, ask func(p redis.Pipeliner) *redis.XMessageSliceCmd) (*MailEntry, error) {
	var stream *redis.XMessageSliceCmd
	if err := c.s.read(ctx, "mail", func(p redis.Pipeliner) { stream = ask(p) }); err != nil {
		return nil, err
	}
	return lastOf(stream)
}

func lastOf(stream *redis.XMessageSliceCmd) (*MailEntry, error) {
	mail, err := readMail(stream.Val(), maxNumber)
	if err != nil || len(mail) == 0 {
		return nil, err
	}
	return &mail[len(mail)-1], nil
}

// maxNumber is beyond every number of a club.
const maxNumber = int64(1) << 62

// after is the first stream id that follows every entry of number n.
func after(n int64) string { return itoa(max(n, 0)+1) + "-0" }

// readPosts reads entries up to a number.
func readPosts(stream []redis.XMessage, upTo int64) ([]PostEntry, error) {
	out := make([]PostEntry, 0, len(stream))
	for _, m := range stream {
		n, _, err := streamID(m.ID)
		if err != nil {
			return nil, err
		}
		if n > upTo {
			break
		}
		out = append(out, PostEntry{N: n, Date: word(m, "date"), Bucket: word(m, "bucket"), Fact: []byte(word(m, "fact"))})
	}
	return out, nil
}

// readMail reads entries up to a number.
func readMail(stream []redis.XMessage, upTo int64) ([]MailEntry, error) {
	out := make([]MailEntry, 0, len(stream))
	for _, m := range stream {
		n, _, err := streamID(m.ID)
		if err != nil {
			return nil, err
		}
		if n > upTo {
			break
		}
		ranks, err := parseRanks(word(m, "ranks"))
		if err != nil {
			return nil, fmt.Errorf("store: mail entry %s: %w", m.ID, err)
		}
		out = append(out, MailEntry{N: n, ID: word(m, "id"), Fact: []byte(word(m, "fact")), Ranks: ranks})
	}
	return out, nil
}

func word(m redis.XMessage, field string) string {
	s, _ := m.Values[field].(string)
	return s
}

// streamID reads n-i.
func streamID(id string) (n int64, i int, err error) {
	a, b, ok := strings.Cut(id, "-")
	if ok {
		n, err = strconv.ParseInt(a, 10, 64)
	}
	if ok && err == nil {
		i, err = strconv.Atoi(b)
	}
	if !ok || err != nil {
		return 0, 0, fmt.Errorf("store: stream id %q: want a number, '-' and a number", id)
	}
	return n, i, nil
}

// parseRanks reads "rank of rank of …" as the say script writes it.
func parseRanks(s string) ([]Rank, error) {
	words := strings.Fields(s)
	if len(words)%2 != 0 {
		return nil, fmt.Errorf("ranks %q: want pairs of rank and of", s)
	}
	var out []Rank
	for i := 0; i < len(words); i += 2 {
		rank, err := strconv.ParseInt(words[i], 10, 64)
		if err != nil {
			return nil, fmt.Errorf("ranks %q: %w", s, err)
		}
		of, err := strconv.ParseInt(words[i+1], 10, 64)
		if err != nil {
			return nil, fmt.Errorf("ranks %q: %w", s, err)
		}
		out = append(out, Rank{Rank: rank, Of: of})
	}
	return out, nil
}
