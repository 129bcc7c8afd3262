package gateway

import (
	"context"
	"errors"
	"sync"

	"tallybell/bot"
	"tallybell/bot/roster"
)

// party is one member's connections on this server.
type party struct {
	member string
	fits   fitCache // of the fan-out alone
	place  int      // in the hub's order, under the hub's lock

	mu      sync.Mutex
	conns   []*conn // copied on write
	hearing int     // messages of the member being answered here
	hinted  int64   // the highest number hinted at meanwhile
}

func (p *party) all() []*conn {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.conns
}

// answer hands an answer to every connection of its member here. asked is the connection that said the message: when
// the message had been answered before, it gets the same answer again.
func (h *hub) answer(asked *conn, heard bot.Heard) {
	frame := encodePost(heard.Post)
	n, safe := heard.Post.Cursor, heard.OldTop
	if heard.Again || heard.LastPost > h.handed.Load() {
		safe = never
	}
	gone := h.isGone(asked.party.member) // then their conversation was deleted, and nobody can catch up any more
	for _, c := range asked.party.all() {
		if gone {
			c.farewell(frame)
			continue
		}
		if c == asked && heard.Again && c.repeat(n, frame) {
			continue
		}
		if !c.direct(n, safe, frame) {
			continue
		}
		if c == asked {
			c.catchUp()
		} else {
			h.spawn(c.catchUp)
		}
	}
}

// heardFrom brackets the answering of one message: hints that come meanwhile are mostly of the answer itself, so they
// wait until it was handed out.
func (h *hub) heardFrom(p *party, answering func()) {
	p.mu.Lock()
	p.hearing++
	p.mu.Unlock()
	answering()
	p.mu.Lock()
	p.hearing--
	n := int64(0)
	if p.hearing == 0 {
		n, p.hinted = p.hinted, 0
	}
	p.mu.Unlock()
	if n > 0 {
		h.nudge(p, n)
	}
}

// hint takes a hint that the line holds number n for a member.
func (h *hub) hint(member string, n int64) {
	p := h.party(member)
	if p == nil {
		return
	}
	p.mu.Lock()
	later := p.hearing > 0
	if later {
		p.hinted = max(p.hinted, n)
	}
	p.mu.Unlock()
	if !later {
		h.nudge(p, n)
	}
}

// nudge catches up those connections of a member that have not come to n.
func (h *hub) nudge(p *party, n int64) {
	for _, c := range p.all() {
		if c.lags(n) {
			h.spawn(c.catchUp)
		}
	}
}

// forget closes the connections of a member whose token holds no longer.
func (h *hub) forget(member string) {
	if p := h.party(member); p != nil {
		for _, c := range p.all() {
			c.stop(notAllowed())
		}
	}
}

// recheck closes those connections of a member whose token holds no longer.
func (h *hub) recheck(ctx context.Context, member string) {
	p := h.party(member)
	if p == nil {
		return
	}
	for _, c := range p.all() {
		m, err := h.people.Authenticate(ctx, c.token)
		if isNotAllowed(err) || err == nil && m.Removed() {
			c.stop(notAllowed())
		}
	}
}

func isNotAllowed(err error) bool {
	return errors.Is(err, roster.ErrUnknownToken) || errors.Is(err, roster.ErrOtherClub) || errors.Is(err, roster.ErrNoMember)
}

// isGone reports whether a member has left the club.
func (h *hub) isGone(member string) bool {
	m, ok := h.people.Get(member)
	return !ok || m.Removed()
}
