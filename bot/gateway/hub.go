package gateway

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"time"

	"github.com/rs/zerolog"

	"tallybell/bot/roster"
)

// voice is what a hub needs of the bot.
type voice interface {
	Conversation
	Line
	Renderer
}

// registry is what a hub needs of the roster.
type registry interface {
	Register
	Authenticate(ctx context.Context, token string) (roster.Member, error)
}

// hub knows a club's connections on this server and keeps each of them on the club's number line.
//
// Each connection has a cursor: everything of its conversation up to that number was handed to it. A new number goes
// to a connection directly only if nothing of its conversation lies between (conn.direct); otherwise the connection
// catches up from the store (conn.catchUp). Hints and timers only say when to look.
type hub struct {
	voice   voice
	people  registry
	log     zerolog.Logger
	metrics *metrics
	limits  Limits
	now     func() time.Time
	work    context.Context // of everything asked of the bot for a connection
	sockets *sync.WaitGroup
	chat    *meters // by member

	handed  atomic.Int64  // posts up to this number were handed out; unknown until the first look
	reading chan struct{} // bounds the backlogs read at once
	isAway  bool          // the store, at the last look; of watch alone
	number  int64         // the club's, at the last look; of watch alone

	mu      sync.RWMutex
	parties map[string]*party
	order   []*party // the same, in the order they came: neighbours in memory are written one after the other
	wheel   [pingSlots][]*conn
	turn    int // the slot that the next connection gets
	behind  map[*conn]struct{}
	closed  bool
}

const (
	// pingSlots is how many parts of the ping interval the pings are spread over.
	pingSlots = 25
	// backlogs is how many backlogs are read at once.
	backlogs = 64
	// unknown is the number handed out before the first look: below every cursor, so nothing goes out directly.
	unknown = -1
	// topsAtOnce is how many members' tops are asked for in one go.
	topsAtOnce = 500
	// sweepEvery is how many looks lie between two looks at the tops of everyone connected.
	sweepEvery = 10
	// patience bounds one question to the store when nobody waits for it.
	patience = 10 * time.Second
)

var (
	errClosed      = errors.New("the hub is closed")
	errManyDevices = errors.New("too many connections of one member")
)

func newHub(s *Server, id string, c Club) *hub {
	h := &hub{
		voice: c.Bot, people: c.Roster, log: s.o.Log.With().Str("club", id).Logger(), metrics: s.metrics,
		limits: s.o.Limits, now: s.now, work: s.work, sockets: &s.sockets, chat: newMeters(s.o.Limits.Chat),
		reading: make(chan struct{}, backlogs), parties: map[string]*party{}, behind: map[*conn]struct{}{},
	}
	h.handed.Store(unknown)
	return h
}

func (h *hub) outLimits() outLimits {
	return outLimits{h.limits.QueueFrame, h.limits.QueueBytes, h.limits.Stall}
}

// add registers a connection. From here on every post reaches it, directly or by catching up.
func (h *hub) add(c *conn, member string) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed {
		return errClosed
	}
	p := h.parties[member]
	if p == nil {
		p = &party{member: member, place: len(h.order)}
		h.parties[member] = p
		h.order = append(h.order, p)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.conns) >= h.limits.Devices {
		return errManyDevices
	}
	p.conns = append(append(make([]*conn, 0, len(p.conns)+1), p.conns...), c)
	c.party = p
	c.slot, c.place = h.turn, len(h.wheel[h.turn])
	h.wheel[h.turn] = append(h.wheel[h.turn], c)
	h.turn = (h.turn + 1) % pingSlots
	h.sockets.Add(1)
	h.metrics.connections.Inc()
	return nil
}

// room reports whether a member may have one more connection.
func (h *hub) room(member string) error {
	h.mu.RLock()
	defer h.mu.RUnlock()
	if h.closed {
		return errClosed
	}
	if p := h.parties[member]; p != nil && len(p.all()) >= h.limits.Devices {
		return errManyDevices
	}
	return nil
}

// remove forgets a connection.
func (h *hub) remove(c *conn) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.behind, c)
	slot := h.wheel[c.slot]
	last := slot[len(slot)-1]
	slot[c.place], last.place = last, c.place
	slot[len(slot)-1] = nil
	h.wheel[c.slot] = slot[:len(slot)-1]
	p := c.party
	p.mu.Lock()
	defer p.mu.Unlock()
	rest := make([]*conn, 0, len(p.conns))
	for _, x := range p.conns {
		if x != c {
			rest = append(rest, x)
		}
	}
	p.conns = rest
	if len(rest) == 0 {
		delete(h.parties, p.member)
		last := h.order[len(h.order)-1]
		h.order[p.place], last.place = last, p.place
		h.order[len(h.order)-1] = nil
		h.order = h.order[:len(h.order)-1]
	}
	h.metrics.connections.Dec()
}

func (h *hub) party(member string) *party {
	h.mu.RLock()
	defer h.mu.RUnlock()
	return h.parties[member]
}

func (h *hub) everyParty() []*party {
	h.mu.RLock()
	defer h.mu.RUnlock()
	return append([]*party(nil), h.order...)
}

// spawn runs do in a goroutine that Shutdown waits for.
func (h *hub) spawn(do func()) {
	h.mu.RLock()
	defer h.mu.RUnlock()
	if !h.closed {
		h.sockets.Go(do)
	}
}

// closeAll refuses new connections and sends the others away.
func (h *hub) closeAll() {
	h.mu.Lock()
	h.closed = true
	h.mu.Unlock()
	h.each(func(c *conn) { c.stop(goingAway()) })
}

// cutAll ends every connection at once.
func (h *hub) cutAll() { h.each(func(c *conn) { c.cut() }) }

func (h *hub) each(do func(c *conn)) {
	for _, p := range h.everyParty() {
		for _, c := range p.all() {
			do(c)
		}
	}
}

// note remembers that a connection could not catch up, so that the next look tries again.
func (h *hub) note(c *conn) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if !h.closed {
		h.behind[c] = struct{}{}
	}
}
