package gateway

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net"
	"os"
	"sync"
	"time"

	"github.com/gorilla/websocket"

	"tallybell/bot"
)

// protocol is the subprotocol of the chat.
const protocol = "tallybell.v1"

// Bytes that one frame may have.
const (
	memberFrame = 32 << 10
	coachFrame  = 256 << 10
)

const (
	readBuffer = 256             // bytes a connection
	goodbye    = 2 * time.Second // the longest wait for a close frame to leave, and for the peer's
	drainMost  = 1 << 20         // bytes read and thrown away after a close
)

// run reads frame after frame until the connection ends. It is the only goroutine of an idle connection.
func (c *conn) run() {
	defer c.hub.sockets.Done()
	defer c.finish()
	c.catchUp()
	for c.stopped.Load() == nil {
		c.busy.Store(false)
		kind, r, err := c.ws.NextReader()
		c.busy.Store(true)
		if err != nil {
			return
		}
		if !c.take(kind, r) {
			return
		}
	}
}

// bodies are the buffers that frames are read into, so that an idle connection holds none.
var bodies = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// take reads and handles one message and reports whether the connection goes on.
func (c *conn) take(kind int, r io.Reader) bool {
	b := bodies.Get().(*bytes.Buffer)
	defer func() {
		if b.Cap() <= memberFrame {
			b.Reset()
			bodies.Put(b)
		}
	}()
	if _, err := b.ReadFrom(r); err != nil {
		return false
	}
	if kind != websocket.TextMessage {
		c.problem("", bot.BadFrame, "That was a binary frame: send text frames with one JSON object each, "+sayExample+".")
		return true
	}
	f, fe := decodeFrame(b.Bytes(), textLimit(c.role))
	if fe != nil {
		c.problem(fe.Re, fe.Code, fe.Text)
		if fe.fatal {
			c.stop(badUTF8()) // RFC 6455, section 8.1: the connection must fail
		}
		return true
	}
	if !c.hub.chat.take(c.party.member, time.Now()) {
		c.problem(f.ID, bot.TooFast, "That is faster than people type. Wait a few seconds and send it again.")
		return true
	}
	if f.Type == seenFrame {
		c.seen(f.Cursor)
		return true
	}
	c.hub.heardFrom(c.party, func() { c.say(f) })
	if c.hub.isGone(c.party.member) {
		c.hub.forget(c.party.member)
	}
	return true
}

// say lets the bot hear a message and hands out its answer.
func (c *conn) say(f clientFrame) {
	start := time.Now()
	ctx, cancel := context.WithTimeout(c.hub.work, c.hub.limits.Hear)
	defer cancel()
	heard, err := c.hub.voice.Hear(ctx, bot.Message{From: c.party.member, ID: f.ID, Text: f.Text})
	if err != nil {
		c.unheard(f.ID, err)
		return
	}
	c.hub.answer(c, heard)
	c.hub.metrics.messages.WithLabelValues(outcomeOf(heard)).Inc()
	c.hub.metrics.answer.Observe(time.Since(start).Seconds())
}

const notSavedText = "This is not known to be saved: the club's store cannot be reached just now. Send it again under the same id; nothing counts twice."

// unheard says why a message was not answered.
func (c *conn) unheard(id string, err error) {
	var p *bot.Problem
	code, text := bot.NotSaved, notSavedText
	if errors.As(err, &p) {
		text = p.Text
		switch p.Code {
		case bot.NotSaved, bot.IDReused, bot.TooFast, bot.TooLong, bot.BadFrame:
			code = p.Code
		case "not_found": // the member is gone
			c.stop(notAllowed())
			return
		default:
			code = bot.BadFrame
		}
	}
	if code == bot.NotSaved {
		c.hub.log.Error().Err(err).Msg("a message was not saved")
	}
	c.hub.metrics.messages.WithLabelValues(code).Inc()
	c.problem(id, code, text)
}

// seen notes what the member's page has shown, at most what this connection was sent.
func (c *conn) seen(cursor int64) {
	c.mu.Lock()
	cursor = min(cursor, c.cursor)
	c.mu.Unlock()
	if cursor < 0 {
		return
	}
	ctx, cancel := context.WithTimeout(c.hub.work, patience)
	defer cancel()
	if err := c.hub.voice.Seen(ctx, c.party.member, cursor); err != nil {
		c.hub.log.Warn().Err(err).Msg("what was seen could not be noted")
	}
}

func (c *conn) problem(re, code, text string) {
	c.hub.metrics.problems.WithLabelValues(code).Inc()
	_ = c.out.keep(encodeProblem(re, code, text))
}

// finish says why, lets what is queued leave, and waits a little for the peer to close, since closing with bytes
// unread would tear up the close frame on its way.
func (c *conn) finish() {
	c.hub.remove(c)
	if why := c.stopped.Load(); why != nil {
		c.out.last(closeFrame(why), goodbye)
	} else {
		c.out.flush(goodbye)
	}
	_ = c.out.Conn.SetReadDeadline(time.Now().Add(goodbye))
	if half, ok := c.out.Conn.(interface{ CloseWrite() error }); ok && half.CloseWrite() == nil {
		_, _ = io.Copy(io.Discard, io.LimitReader(c.out.Conn, drainMost))
	}
	_ = c.out.Conn.Close()
}

func isTimeout(err error) bool {
	var ne net.Error
	return errors.Is(err, os.ErrDeadlineExceeded) || errors.As(err, &ne) && ne.Timeout()
}
