package gateway

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/gorilla/websocket"

	"tallybell/bot"
	"tallybell/bot/roster"
)

// newUpgrader holds small read buffers and pooled write buffers, so that an idle connection costs little.
func newUpgrader() websocket.Upgrader {
	return websocket.Upgrader{
		HandshakeTimeout: 10 * time.Second,
		ReadBufferSize:   readBuffer,
		WriteBufferSize:  readBuffer,
		WriteBufferPool:  &sync.Pool{},
		Subprotocols:     []string{protocol},
		CheckOrigin:      func(*http.Request) bool { return true }, // checked before
		Error: func(w http.ResponseWriter, r *http.Request, status int, reason error) {
			writeProblem(w, handshakeProblem(status, reason))
		},
	}
}

func handshakeProblem(status int, reason error) *problem {
	if strings.Contains(reason.Error(), "unsupported version") {
		status = http.StatusUpgradeRequired // RFC 6455, section 4.2.2
	}
	detail := strings.TrimPrefix(reason.Error(), "websocket: ")
	p := refuse(status, "This address speaks WebSocket (RFC 6455, version 13): %s.", detail)
	return p.with("Sec-WebSocket-Version", "13")
}

// chat upgrades a request to a conversation.
func (s *Server) chat(w http.ResponseWriter, r *http.Request, who caller) error {
	if err := s.checkOrigin(r, who.cookie); err != nil {
		return err
	}
	if s.draining.Load() {
		return refuse(http.StatusServiceUnavailable, "The server is going away. Connect again in a moment.").retry(5 * time.Second)
	}
	if offered := websocket.Subprotocols(r); len(offered) > 0 && !slices.Contains(offered, protocol) {
		return refuse(http.StatusBadRequest, "The chat speaks the subprotocol %q and the client offers %s.", protocol, quote(strings.Join(offered, ", ")))
	}
	since, err := sinceOf(r)
	if err != nil {
		return err
	}
	h := who.club.hub
	if err := h.room(who.member.ID); err != nil {
		return deviceProblem(err)
	}
	ctx, cancel := context.WithTimeout(r.Context(), patience)
	defer cancel()
	n, _, err := who.club.Bot.Number(ctx)
	if err != nil {
		return away(err)
	}
	return s.open(w, r, who, n, min(since, n))
}

// open makes the connection and starts its reader.
func (s *Server) open(w http.ResponseWriter, r *http.Request, who caller, number, since int64) error {
	h := who.club.hub
	c := &conn{hub: h, token: who.token, role: who.member.Role, cursor: since, catching: true}
	c.busy.Store(true)
	ws, err := s.upgrader.Upgrade(&hijacker{w, c}, r, nil)
	if err != nil {
		return nil // the upgrader has answered
	}
	c.ws = ws
	ws.SetReadLimit(frameLimit(c.role))
	ws.SetPongHandler(c.pong)
	if err := h.add(c, who.member.ID); err != nil {
		c.out.last(closeFrame(goingAway()), goodbye)
		return c.out.Conn.Close()
	}
	_ = c.out.keep(encodeWelcome(who.member.ID, who.member.Name, who.member.Role, number))
	go c.run()
	return nil
}

func deviceProblem(err error) error {
	if errors.Is(err, errManyDevices) {
		return refuse(http.StatusTooManyRequests, "You have too many open connections. Close a page that you do not need.").retry(30 * time.Second)
	}
	return refuse(http.StatusServiceUnavailable, "The server is going away. Connect again in a moment.").retry(5 * time.Second)
}

func frameLimit(role roster.Role) int64 {
	if role == roster.RoleCoach {
		return coachFrame
	}
	return memberFrame
}

func textLimit(role roster.Role) int {
	if role == roster.RoleCoach {
		return bot.MaxCoachText
	}
	return bot.MaxText
}

// sinceOf returns the cursor from which a client wants to go on, -1 when it has none.
func sinceOf(r *http.Request) (int64, error) {
	text := r.URL.Query().Get("since")
	if text == "" {
		return -1, nil
	}
	n, err := parseCursor(text)
	if err != nil {
		return 0, refuse(http.StatusBadRequest, "since: %s.", err)
	}
	return n, nil
}

// hijacker puts our writing half under the websocket.
type hijacker struct {
	http.ResponseWriter
	c *conn
}

// Hijack takes the connection over.
func (h *hijacker) Hijack() (net.Conn, *bufio.ReadWriter, error) {
	conn, rw, err := http.NewResponseController(h.ResponseWriter).Hijack()
	if err != nil {
		return nil, nil, fmt.Errorf("this connection cannot be upgraded, HTTP/1.1 is needed: %w", err)
	}
	h.c.out = newOut(conn, h.c.hub.outLimits(), h.c.failed)
	return h.c.out, rw, nil
}
