package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/redis/go-redis/v9"
)

// mailReads is how many members' mail one pipeline reads.
const mailReads = 100

// EachMail gives every entry of the mail of these members, member by member, oldest first. A false of give ends the
// member's.
func (c *Club) EachMail(ctx context.Context, members []string, give func(member string, e MailEntry) bool) error {
	for len(members) > 0 {
		some := members[:min(mailReads, len(members))]
		members = members[len(some):]
		var streams []*redis.XMessageSliceCmd
		err := c.s.read(ctx, "mail", func(p redis.Pipeliner) {
			streams = streams[:0]
			for _, m := range some {
				streams = append(streams, p.XRange(ctx, c.KeyMail(m), "-", "+"))
			}
		})
		if err != nil {
			return err
		}
		for i, m := range some {
			entries, err := readMail(streams[i].Val(), maxNumber)
			if err != nil {
				return err
			}
			for _, e := range entries {
				if !give(m, e) {
					break
				}
			}
		}
	}
	return nil
}

// RewriteMail writes facts of a member's mail anew, all of them in one step: fact gives what an entry holds from now
// on, or keep false to take it away together with the memory of its message id. Numbers, ids and ranks stay. It is for
// forgetting; a mail in which nothing changes is not touched. It tries again while the member's mail grows.
func (c *Club) RewriteMail(ctx context.Context, now time.Time, member string, fact func(e MailEntry) (b []byte, keep bool)) (changed int, err error) {
	for range forgetTries {
		changed, err = c.rewriteMail(ctx, now, member, fact)
		if !errors.Is(err, ErrStale) {
			break
		}
	}
	if err != nil {
		return 0, fmt.Errorf("store: rewriting a member's mail: %w", err)
	}
	return changed, nil
}

func (c *Club) rewriteMail(ctx context.Context, now time.Time, member string, fact func(e MailEntry) ([]byte, bool)) (int, error) {
	tops, err := c.Tops(ctx, []string{member})
	if err != nil {
		return 0, err
	}
	var stream *redis.XMessageSliceCmd
	if err := c.s.read(ctx, "mail", func(p redis.Pipeliner) { stream = p.XRange(ctx, c.KeyMail(member), "-", "+") }); err != nil {
		return 0, err
	}
	entries, err := readMail(stream.Val(), maxNumber)
	if err != nil {
		return 0, err
	}
	key := c.KeyMail(member)
	changed := 0
	cmds := []Do{{"DEL", key}} // a stream takes no entry before its last: all of it is written again
	for i, e := range entries {
		b, keep := fact(e)
		if !keep {
			changed++
			if e.ID != "" {
				cmds = append(cmds, Do{"HDEL", c.KeySaid(member), e.ID})
			}
			continue
		}
		if string(b) != string(e.Fact) {
			changed++
		}
		m := stream.Val()[i]
		cmds = append(cmds, Do{"XADD", key, m.ID, "id", e.ID, "fact", string(b), "ranks", word(m, "ranks")})
	}
	if changed == 0 {
		return 0, nil
	}
	_, err = c.Change(ctx, now, []If{c.IfTop(member, tops[0])}, cmds)
	return changed, err
}
