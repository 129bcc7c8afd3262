package store

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/redis/go-redis/v9"
)

// Publish tells every replica that a conversation has grown: "MEMBER N". A hint may be lost; it only
// says when to look. A hint without a member is one for all.
func (c *Club) Publish(ctx context.Context, h Hint) error {
	if h.Member == "" {
		h.Member = "*"
	}
	if err := c.s.client.Publish(ctx, c.keyHints(), h.Member+" "+itoa(h.N)).Err(); err != nil {
		return fmt.Errorf("store: hint: %w", err)
	}
	return nil
}

// hintsAhead is how many hints may wait for their reader before the rest are replaced by one "look".
const hintsAhead = 256

// Subscribe gives the club's hints until ctx ends; then the channel closes. Whenever the subscription begins,
// is renewed after a lost connection, or the reader was too slow, a hint with Look set comes first.
func (c *Club) Subscribe(ctx context.Context) <-chan Hint {
	out := make(chan Hint, hintsAhead)
	sub := c.s.client.Subscribe(ctx, c.keyHints())
	events := sub.ChannelWithSubscriptions(redis.WithChannelSize(hintsAhead))
	if !c.s.start(func() {
		defer close(out)
		defer sub.Close()
		relay(ctx, c.s.ended, events, out)
	}) {
		sub.Close()
		close(out)
	}
	return out
}

// relay turns events into hints and never waits for the reader.
func relay(ctx context.Context, ended <-chan struct{}, events <-chan any, out chan<- Hint) {
	lost := false
	give := func(h Hint) {
		if lost {
			h = Hint{Look: true}
		}
		select {
		case out <- h:
			lost = false
		default:
			lost = true
		}
	}
	for {
		var retry chan<- Hint // offered only while something was lost
		if lost {
			retry = out
		}
		select {
		case <-ctx.Done():
			return
		case <-ended:
			return
		case retry <- Hint{Look: true}:
			lost = false
		case e, ok := <-events:
			if !ok {
				return
			}
			switch e := e.(type) {
			case *redis.Subscription:
				if e.Kind == "subscribe" {
					give(Hint{Look: true})
				}
			case *redis.Message:
				if h, ok := parseHint(e.Payload); ok {
					give(h)
				}
			}
		}
	}
}

// parseHint reads "MEMBER N".
func parseHint(s string) (Hint, bool) {
	member, n, ok := strings.Cut(s, " ")
	u, err := strconv.ParseUint(n, 10, 63)
	return Hint{Member: member, N: int64(u)}, ok && err == nil && member != ""
}
