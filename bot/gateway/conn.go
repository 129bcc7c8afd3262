package gateway

import (
	"context"
	"math"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"

	"tallybell/bot/roster"
)

// never as the safe number makes every connection catch up.
const never = math.MaxInt64

// conn is one connection. Its only goroutine while idle is its reader (conn.run).
type conn struct {
	hub   *hub
	party *party
	ws    *websocket.Conn // reads, and writes control frames
	out   *out
	token string
	role  roster.Role

	slot, place int // in the hub's wheel, under the hub's lock

	stopped atomic.Pointer[closing] // why the server ends it
	busy    atomic.Bool             // not reading just now, so no pong can come
	waits   atomic.Bool             // a ping is unanswered
	pinged  atomic.Int64            // the cursor when that ping was sent

	mu       sync.Mutex
	cursor   int64 // everything of the conversation up to it was handed over; -1: nothing yet, and no since
	catching bool  // somebody reads the backlog
	again    bool  // and must look once more when done
	behind   bool  // the backlog could not be read
}

// direct hands over number n if everything of the conversation between the cursor and n is at most safe, and the
// cursor is not below that. What was handed over before is not again. It reports true when the caller must call
// catchUp.
func (c *conn) direct(n, safe int64, frame []byte) (mustCatchUp bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch {
	case c.cursor >= n:
		return false
	case c.catching:
		c.again = true
		return false
	case c.behind || safe > c.cursor:
		c.catching = true
		return true
	}
	if c.out.keep(frame) == nil {
		c.cursor = n
	}
	return false
}

// repeat hands over once more what was handed over before. It reports false when it was not yet.
func (c *conn) repeat(n int64, frame []byte) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.cursor < n {
		return false
	}
	_ = c.out.keep(frame)
	return true
}

// farewell hands over the last answer to a member who is gone.
func (c *conn) farewell(frame []byte) {
	c.mu.Lock()
	defer c.mu.Unlock()
	_ = c.out.keep(frame)
	c.cursor = never
}

// lags notes that the line holds number n for this connection. It reports true when the caller must call catchUp.
func (c *conn) lags(n int64) (mustCatchUp bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch {
	case c.cursor >= n:
		return false
	case c.catching:
		c.again = true
		return false
	}
	c.catching = true
	return true
}

// retry reports true when the connection is still behind and the caller must call catchUp.
func (c *conn) retry() (mustCatchUp bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.behind || c.catching {
		return false
	}
	c.catching = true
	return true
}

// catchUp reads the backlog and hands it over, until nothing was noted meanwhile. Only one runs a connection: whoever
// set catching.
func (c *conn) catchUp() {
	for {
		done, err := c.catchUpOnce(c.hub.work)
		if err != nil {
			c.hub.note(c)
			return
		}
		if done {
			return
		}
	}
}

func (c *conn) catchUpOnce(ctx context.Context) (done bool, err error) {
	c.mu.Lock()
	since := c.cursor
	c.again = false
	c.mu.Unlock()

	h := c.hub
	h.reading <- struct{}{}
	ctx, cancel := context.WithTimeout(ctx, patience)
	backlog, err := h.voice.After(ctx, c.party.member, since)
	cancel()
	<-h.reading
	h.metrics.catchUps.Inc()
	if err != nil {
		c.mu.Lock()
		c.catching, c.behind = false, true
		c.mu.Unlock()
		h.log.Warn().Err(err).Msg("a backlog could not be read")
		return false, err
	}
	for _, p := range backlog.Posts {
		if p.Cursor <= since {
			continue
		}
		err := c.out.waitRoom()
		if err == nil {
			c.mu.Lock()
			if err = c.out.keep(encodePost(p)); err == nil {
				c.cursor = p.Cursor
			}
			c.mu.Unlock()
		}
		if err != nil { // it is closing; who comes back brings a cursor
			return true, nil
		}
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.cursor = max(c.cursor, backlog.UpTo)
	if c.again {
		return false, nil
	}
	c.catching, c.behind = false, false
	return true, nil
}

// ping drops a connection that left the last ping unanswered, and sends the next.
func (c *conn) ping() {
	if c.busy.Load() || !c.out.idle() {
		return // nobody reads pongs just now, or the write deadline decides
	}
	if c.waits.Load() {
		c.stop(&closing{closeTryLater, "no answer to a ping"})
		return
	}
	c.mu.Lock() // nothing else may be handed over between the cursor and the ping
	defer c.mu.Unlock()
	c.pinged.Store(c.cursor)
	c.waits.Store(true)
	_ = c.out.keep(pingFrame)
}

// pingFrame is an empty ping, RFC 6455, section 5.5.2.
var pingFrame = []byte{0x89, 0x00}

// pong notes that the peer has had what was sent before the ping it answers: frames arrive in order.
func (c *conn) pong(string) error {
	if n := c.pinged.Load(); c.waits.Swap(false) && n > 0 && n < never {
		c.hub.voice.Received(c.party.member, n)
	}
	return nil
}

// stop ends the connection: its reader wakes up, finishes what it is answering, and says why.
func (c *conn) stop(why *closing) {
	if c.stopped.CompareAndSwap(nil, why) {
		_ = c.out.Conn.SetReadDeadline(time.Unix(1, 0))
	}
}

// cut ends it at once.
func (c *conn) cut() { _ = c.out.Conn.Close() }

// failed is called when a write could not be made.
func (c *conn) failed(err error) {
	why := &closing{closeTryLater, "the connection is broken"}
	if err == errSlowPeer || isTimeout(err) {
		why = tooSlow()
		c.hub.metrics.slow.Inc()
	}
	c.stop(why)
}
