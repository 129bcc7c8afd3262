package bot

import (
	"context"
	"fmt"
	"sync"
	"time"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// seenEvery is how often what members received and opened is written down: for each of them at most once.
const seenEvery = time.Minute

// sight is how far the members connected here have come: what is to be written, and what is known to be.
type sight struct {
	mu      sync.Mutex
	pending map[string]store.Mark
	written map[string]store.Mark
}

// add notes a mark, if it is further than what is known.
func (k *sight) add(member string, m store.Mark) {
	k.mu.Lock()
	defer k.mu.Unlock()
	known := k.written[member].Max(k.pending[member])
	further := known.Max(m)
	if further == known {
		return
	}
	if k.pending == nil {
		k.pending = map[string]store.Mark{}
	}
	k.pending[member] = further
}

// take returns what is to be written and counts it as written.
func (k *sight) take() map[string]store.Mark {
	k.mu.Lock()
	defer k.mu.Unlock()
	out := k.pending
	k.pending = nil
	if k.written == nil {
		k.written = map[string]store.Mark{}
	}
	for member, m := range out {
		k.written[member] = m
	}
	return out
}

// back puts what could not be written among what is to be.
func (k *sight) back(failed map[string]store.Mark) {
	k.mu.Lock()
	for member := range failed {
		delete(k.written, member)
	}
	k.mu.Unlock()
	for member, m := range failed {
		k.add(member, m)
	}
}

// Seen notes that the member's page has shown everything up to cursor; it is written down within a minute. A cursor
// ahead of the club must be cut by the caller to what was sent.
func (b *Bot) Seen(_ context.Context, member string, cursor int64) error {
	if cursor < 0 {
		return fmt.Errorf("seen by %s: a cursor below zero", member)
	}
	b.sight.add(member, store.Mark{Received: cursor, Opened: cursor})
	return nil
}

// Received notes that a connection of the member has had everything up to cursor: it was sent, and the connection
// answered a later ping.
func (b *Bot) Received(member string, cursor int64) {
	if cursor > 0 {
		b.sight.add(member, store.Mark{Received: cursor})
	}
}

// writeSeen writes down how far members have come. What cannot be written waits for the next time.
func (b *Bot) writeSeen(ctx context.Context) error {
	m := b.sight.take()
	if len(m) == 0 {
		return nil
	}
	if err := b.club.Seen(ctx, m); err != nil {
		b.sight.back(m)
		return fmt.Errorf("writing down who has seen what: %w", err)
	}
	return nil
}

// keepSeen writes it each minute, and once more when ctx ends.
func (b *Bot) keepSeen(ctx context.Context) {
	tick := time.NewTicker(seenEvery)
	defer tick.Stop()
	for last := false; !last; {
		select {
		case <-tick.C:
		case <-ctx.Done():
			last = true
		}
		call, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
		if err := b.writeSeen(call); err != nil {
			b.log.Warn().Err(err).Msg("tried again in a minute")
		}
		cancel()
	}
}

// reportSeen adds whom a date's session has reached, and who has opened it, as it stands now: after a correction both
// begin anew.
func (b *Bot) reportSeen(ctx context.Context, date content.Date, r *Report) error {
	if err := b.writeSeen(ctx); err != nil {
		return err
	}
	marks, err := b.club.Marks(ctx)
	if err != nil {
		return err
	}
	had := b.posts.buckets(date)
	for _, m := range b.roster.All() {
		f, sent := b.sentTo(m, date, had)
		if !sent {
			continue
		}
		if marks[m.ID].Received >= f.N {
			r.Received = append(r.Received, b.person(m.ID))
		}
		if marks[m.ID].Opened >= f.N {
			r.Opened = append(r.Opened, b.person(m.ID))
		}
	}
	return nil
}
