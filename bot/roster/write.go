package roster

import (
	"context"
	"errors"
	"fmt"
	"time"

	"tallybell/leaderboard/store"
)

// tries is how often a change is decided again when the person has changed in between.
const tries = 4

// change is what is written with a person's new profile: more conditions, and more commands.
type change struct {
	conds []store.If
	cmds  []store.Do
}

func (c *change) when(key, field, want string) {
	c.conds = append(c.conds, store.If{Key: key, Field: field, Want: want})
}

func (c *change) do(words ...string) { c.cmds = append(c.cmds, store.Do(words)) }

// write changes one person: decide turns the person as they are into what they shall be and adds what else must hold
// and happen. It is asked again when they have changed meanwhile. A profile left as it is, is not written.
func (r *Roster) write(ctx context.Context, now time.Time, id string, decide func(rec *record, c *change) error) (Member, error) {
	for range tries {
		rec, err := r.person(ctx, id)
		if err != nil {
			return Member{}, err
		}
		var c change
		if err := decide(&rec, &c); err != nil {
			return Member{}, err
		}
		raw, err := rec.encode()
		if err != nil {
			return Member{}, err
		}
		if raw == rec.raw && len(c.cmds) == 0 {
			return rec.Member, nil
		}
		c.when(r.store.KeyMembers(), id, rec.raw)
		c.do("HSET", r.store.KeyMembers(), id, raw)
		c.cmds = append(c.cmds, r.store.DoTop(id), r.store.DoChanged(id))
		_, err = r.store.Change(ctx, now, c.conds, c.cmds)
		if err == nil {
			_ = r.reread(ctx, id) // what is written is written: the next Refresh reads it as well
			return rec.Member, nil
		}
		if !errors.Is(err, store.ErrStale) {
			return Member{}, fmt.Errorf("changing the profile of %s: %w", id, err)
		}
		if err := r.reread(ctx, id); err != nil {
			return Member{}, err
		}
	}
	return Member{}, fmt.Errorf("changing the profile of %s: %w", id, store.ErrStale)
}
