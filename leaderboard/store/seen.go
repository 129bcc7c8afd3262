package store

import (
	"context"
	"fmt"
	"slices"
	"strings"
)

// Mark is how far one member has received their conversation (it was sent, and the connection answered later), and how
// far they have opened it (their page has shown it). Both are cursors; 0 is not at all.
type Mark struct{ Received, Opened int64 }

// Max is the further of both.
func (m Mark) Max(o Mark) Mark { return Mark{max(m.Received, o.Received), max(m.Opened, o.Opened)} }

// seenPart is how many members one script call tells of.
const seenPart = 300

// Seen notes how far members have come; what was noted before is never taken back. It is safe to repeat.
func (c *Club) Seen(ctx context.Context, marks map[string]Mark) error {
	members := make([]string, 0, len(marks))
	for m := range marks {
		if err := checkNames("mark", m); err != nil {
			return err
		}
		members = append(members, m)
	}
	slices.Sort(members)
	for part := range slices.Chunk(members, seenPart) {
		call := newCall(c.s.scripts.seen, true, []string{c.KeyClub(), c.KeySeen(), c.KeyMembers()}, 3*len(part))
		for _, m := range part {
			call.add(m, itoa(max(marks[m].Received, 0)), itoa(max(marks[m].Opened, 0)))
		}
		if _, err := c.s.batch.do(ctx, call); err != nil {
			return err
		}
	}
	return nil
}

// Marks returns how far each member has come; who has never been noted is left out.
func (c *Club) Marks(ctx context.Context) (map[string]Mark, error) {
	all, err := c.hash(ctx, "marks", c.KeySeen())
	if err != nil {
		return nil, err
	}
	out := make(map[string]Mark, len(all))
	for member, v := range all {
		if out[member], err = readMark(member, v); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// MarkOf returns how far one member has come.
func (c *Club) MarkOf(ctx context.Context, member string) (Mark, error) {
	v, err := c.field(ctx, "mark", c.KeySeen(), member)
	if err != nil || v == "" {
		return Mark{}, err
	}
	return readMark(member, v)
}

// readMark reads "received opened".
func readMark(member, v string) (m Mark, err error) {
	received, opened, ok := strings.Cut(v, " ")
	if ok {
		m.Received, err = number(received)
	}
	if ok && err == nil {
		m.Opened, err = number(opened)
	}
	if !ok || err != nil {
		return Mark{}, fmt.Errorf("store: how far %s has come: %q is not two numbers", member, v)
	}
	return m, nil
}
