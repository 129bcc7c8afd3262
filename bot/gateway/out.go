package gateway

import (
	"errors"
	"net"
	"sync"
	"syscall"
	"time"

	"github.com/gorilla/websocket"
)

// Bounds of what may wait for one connection.
type outLimits struct {
	frames int           // frames that may wait
	bytes  int           // bytes that may wait
	stall  time.Duration // the longest time one write may make no progress
}

var (
	errSlowPeer  = errors.New("the peer reads too slowly: its queue is full")
	errOutClosed = errors.New("the connection is closing")
)

// out is the writing half of a connection. A write never waits: what the kernel does not take at once is queued, and
// a goroutine that writes the queue exists only while something is in it. All writes of a connection pass through it,
// one whole frame a call, so frames never mix.
//
// It stands in for the net.Conn under the websocket, whose reads it passes on.
type out struct {
	net.Conn
	limits outLimits
	failed func(error) // called once, without locks: the peer is too slow or gone

	mu       sync.Mutex
	raw      syscall.RawConn // nil: writes cannot be tried, only queued
	try      trial
	queue    [][]byte
	queued   int        // bytes in queue
	draining bool       // a goroutine is writing the queue
	err      error      // nothing more is taken
	room     *sync.Cond // signalled when the queue shrinks; made when somebody waits
	until    time.Time  // no write goes on beyond it; zero until the connection closes
}

// newOut wraps conn.
func newOut(conn net.Conn, limits outLimits, failed func(error)) *out {
	o := &out{Conn: conn, limits: limits, failed: failed}
	if sc, ok := conn.(syscall.Conn); ok && canTry {
		if raw, err := sc.SyscallConn(); err == nil {
			o.raw = raw
			o.try.run = o.try.once
		}
	}
	return o
}

// closeOpcode begins a close frame, after which nothing may follow.
const closeOpcode = 0x80 | websocket.CloseMessage

// Write sends p or queues a copy of it.
func (o *out) Write(p []byte) (int, error) {
	if err := o.send(p, false); err != nil {
		return 0, err
	}
	return len(p), nil
}

// keep sends p or queues p itself, which nobody may change afterwards.
func (o *out) keep(p []byte) error { return o.send(p, true) }

// SetWriteDeadline leaves the writing side alone: the drain sets its own deadlines.
func (o *out) SetWriteDeadline(time.Time) error { return nil }

// SetDeadline sets the reading side's deadline.
func (o *out) SetDeadline(t time.Time) error { return o.Conn.SetReadDeadline(t) }

func (o *out) send(p []byte, owned bool) error {
	o.mu.Lock()
	err := o.sendLocked(p, owned)
	o.mu.Unlock()
	if err != nil && err != errOutClosed {
		o.failed(err)
	}
	return err
}

func (o *out) sendLocked(p []byte, owned bool) error {
	if o.err != nil {
		return errOutClosed
	}
	rest, err := o.tryNow(p)
	switch {
	case err != nil:
		o.err = err
		return err
	case len(rest) > 0 && o.isFull(len(rest)):
		o.err = errSlowPeer
		return errSlowPeer
	case len(rest) > 0:
		if !owned {
			rest = append([]byte(nil), rest...)
		}
		o.enqueue(rest)
	}
	if p[0] == closeOpcode {
		o.err = errOutClosed
	}
	return nil
}

// tryNow writes what the kernel takes at once, if nothing waits before it, and returns the rest.
func (o *out) tryNow(p []byte) (rest []byte, err error) {
	if o.draining || o.raw == nil {
		return p, nil
	}
	n, err := o.try.write(o.raw, p)
	return p[n:], err
}

func (o *out) isFull(more int) bool {
	return len(o.queue) >= o.limits.frames || len(o.queue) > 0 && o.queued+more > o.limits.bytes
}

func (o *out) enqueue(p []byte) {
	o.queue = append(o.queue, p)
	o.queued += len(p)
	if !o.draining {
		o.draining = true
		go o.drain()
	}
}

// drain writes the queue and ends when it is empty.
func (o *out) drain() {
	for {
		o.mu.Lock()
		if len(o.queue) == 0 {
			o.queue = nil
			o.draining = false
			_ = o.Conn.SetWriteDeadline(time.Time{})
			o.signal()
			o.mu.Unlock()
			return
		}
		p := o.queue[0] // it stays the first while it is being written
		_ = o.Conn.SetWriteDeadline(o.deadline(time.Now()))
		o.mu.Unlock()

		_, err := o.Conn.Write(p)

		o.mu.Lock()
		o.queue[0] = nil
		o.queue = o.queue[1:]
		o.queued -= len(p)
		if err != nil {
			o.queue, o.queued = nil, 0
			first := o.err == nil
			o.err = errOutClosed
			o.draining = false
			o.signal()
			o.mu.Unlock()
			if first {
				o.failed(err)
			}
			return
		}
		o.signal()
		o.mu.Unlock()
	}
}

// deadline is when the next write must be done.
func (o *out) deadline(now time.Time) time.Time {
	if !o.until.IsZero() {
		return o.until
	}
	return now.Add(o.limits.stall)
}

func (o *out) signal() {
	if o.room != nil {
		o.room.Broadcast()
	}
}

// waitRoom returns when less than half of the queue is in use, so that a long backlog does not overrun a slow line.
// The drain's own deadline bounds the wait.
func (o *out) waitRoom() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	for o.err == nil && (len(o.queue)*2 > o.limits.frames || o.queued*2 > o.limits.bytes) {
		o.wait()
	}
	if o.err != nil {
		return errOutClosed
	}
	return nil
}

func (o *out) wait() {
	if o.room == nil {
		o.room = sync.NewCond(&o.mu)
	}
	o.room.Wait()
}

// idle reports whether nothing waits.
func (o *out) idle() bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	return len(o.queue) == 0 && o.err == nil
}

// last sends the connection's last frame: whole frames that nobody began to write are dropped if the peer was too
// slow, everything else is written before it. It waits at most patience and lets nothing follow.
func (o *out) last(p []byte, patience time.Duration) {
	o.mu.Lock()
	slow := o.err == errSlowPeer
	if o.err == nil || slow {
		if slow && len(o.queue) > 1 {
			o.queue = o.queue[:1:1]
			o.queued = len(o.queue[0])
		}
		if rest, err := o.tryNow(p); err == nil && len(rest) > 0 {
			o.enqueue(rest)
		}
		o.err = errOutClosed
	}
	o.mu.Unlock()
	o.flush(patience)
}

// flush lets what is queued leave for at most patience and lets nothing follow.
func (o *out) flush(patience time.Duration) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.err == nil {
		o.err = errOutClosed
	}
	o.until = time.Now().Add(patience)
	_ = o.Conn.SetWriteDeadline(o.until)
	for o.draining {
		o.wait()
	}
}
