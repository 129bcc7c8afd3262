package store

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Post writes one entry for a bucket of members, once for its once-id and date: a repeat gets the number of
// the first, and first is false.
func (c *Club) Post(ctx context.Context, now time.Time, p Post) (n int64, first bool, err error) {
	if p.OnceID == "" || p.Bucket == "" {
		return 0, false, errors.New("store: post needs a once-id and a bucket ('*' for everybody)")
	}
	if err := checkNames("post", p.Date); err != nil {
		return 0, false, err
	}
	call := newCall(c.s.scripts.post, true, []string{c.KeyClub(), c.KeyPosts(), c.KeyPosted(p.Date), c.KeyBuckets()}, 5)
	call.add(itoa(micros(now)), p.OnceID, p.Bucket, p.Date)
	call.addBytes(p.Fact)
	reply, err := c.s.batch.do(ctx, call)
	if err != nil {
		return 0, false, err
	}
	if len(reply) != 3 {
		return 0, false, call.notSaved(fmt.Errorf("a reply of %d values", len(reply)))
	}
	if n, err = number(reply[1]); err != nil {
		return 0, false, call.notSaved(err)
	}
	return n, reply[0] == "done", nil
}
