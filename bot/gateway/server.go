// Package gateway is the bot's door to the network: a WebSocket for the conversation, HTTP calls for the coach's
// programs, and the pages. It decides nothing: it proves who is speaking, checks sizes, rates and shapes, hands
// messages to the bot, and hands what the bot says to every connection that it concerns, once and in order.
package gateway

import (
	"context"
	"errors"
	"log"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gorilla/websocket"
	"github.com/rs/zerolog"

	"tallybell/bot"
)

// Club is one club as the gateway needs it.
type Club struct {
	Bot     Bot     // *bot.Bot
	Roster  Roster  // *roster.Roster
	Store   Store   // tells whether the club's store is reachable and persistent; nil is always well
	Archive Archive // export and import; nil when this server does neither
}

// Options are what a Server is made of. Only Clubs is needed.
type Options struct {
	Clubs          map[string]Club // by club id
	PublicURL      string          // where browsers reach the server; "" allows only the host that was asked
	TrustedProxies []netip.Prefix  // whose X-Forwarded-For and X-Forwarded-Proto count
	Log            zerolog.Logger
	Limits         Limits           // zero fields take the defaults
	Now            func() time.Time // the store's clock; nil is time.Now
}

// Limits bound what one member, address or connection may use.
type Limits struct {
	Chat       Rate          // messages a member, over all devices
	API        Rate          // calls a member; a coach's are not counted
	Guesses    Rate          // wrong tokens and invites an address
	Body       int64         // bytes of a JSON body
	Sheet      int64         // bytes of a sheet
	Devices    int           // connections a member at once
	Hear       time.Duration // the longest wait for an answer
	PingEvery  time.Duration // a connection that has not answered the last ping by the next is dropped
	QueueFrame int           // frames that may wait for one connection
	QueueBytes int           // bytes that may wait for one connection
	Stall      time.Duration // the longest time that a write may make no progress
	Look       time.Duration // how often the club's number is looked at
}

func (l Limits) withDefaults() Limits {
	set(&l.Chat, Rate{50 * time.Millisecond, 60})
	set(&l.API, Rate{10 * time.Millisecond, 300})
	set(&l.Guesses, Rate{500 * time.Millisecond, 100})
	set(&l.Body, 1<<20)
	set(&l.Sheet, 256<<10)
	set(&l.Devices, 16)
	set(&l.Hear, 30*time.Second)
	set(&l.PingEvery, 25*time.Second)
	set(&l.QueueFrame, 256)
	set(&l.QueueBytes, 1<<20)
	set(&l.Stall, 10*time.Second)
	set(&l.Look, time.Second)
	return l
}

func set[T comparable](v *T, to T) {
	var zero T
	if *v == zero {
		*v = to
	}
}

// maxHeaderBytes bounds a request's header.
const maxHeaderBytes = 16 << 10

// club is a Club being served.
type club struct {
	Club
	id  string
	hub *hub
}

// Server serves clubs. Make one with New, Start it, serve its Handler (or Serve a listener), and Shutdown.
type Server struct {
	o        Options
	public   url.URL
	clubs    map[string]*club
	now      func() time.Time
	metrics  *metrics
	api      *meters // by club and member
	guesses  *meters // by address
	handler  http.Handler
	http     *http.Server
	upgrader websocket.Upgrader
	draining atomic.Bool

	sockets sync.WaitGroup  // every connection's goroutines
	work    context.Context // of messages being answered; ends when Shutdown runs out of patience
	abandon context.CancelFunc
	stop    context.CancelFunc // of the hubs
	hubs    sync.WaitGroup
}

// New makes a server of its parts. It starts nothing.
func New(o Options) *Server {
	o.Limits = o.Limits.withDefaults()
	if o.Now == nil {
		o.Now = time.Now
	}
	s := &Server{o: o, clubs: map[string]*club{}, now: o.Now, metrics: newMetrics(),
		upgrader: newUpgrader(), api: newMeters(o.Limits.API), guesses: newMeters(o.Limits.Guesses), stop: func() {}}
	if u, err := url.Parse(o.PublicURL); err == nil {
		s.public = *u
	}
	s.work, s.abandon = context.WithCancel(context.Background())
	for id, c := range o.Clubs {
		s.clubs[id] = &club{Club: c, id: id, hub: newHub(s, id, c)}
	}
	s.handler = s.routes()
	s.http = &http.Server{
		Handler:           s.handler,
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       60 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    maxHeaderBytes,
		ErrorLog:          quietLog(o.Log),
	}
	return s
}

// Handler serves everything: chat, API, pages.
func (s *Server) Handler() http.Handler { return s.handler }

// Start begins to look for what is new on the clubs' lines, until ctx ends or Shutdown.
func (s *Server) Start(ctx context.Context) {
	ctx, s.stop = context.WithCancel(ctx)
	for _, c := range s.clubs {
		s.hubs.Go(func() { c.hub.watch(ctx) })
		s.hubs.Go(func() { c.hub.pingAll(ctx) })
	}
}

// Serve accepts connections on l with the timeouts of this package until Shutdown.
func (s *Server) Serve(l net.Listener) error {
	if err := s.http.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// Shutdown refuses what is new, lets every message that is being answered finish, closes each connection with
// 1001 and the advice to come back after a random wait, and stops the hubs. When ctx ends first, what still runs is
// cut off and ctx's error returned.
func (s *Server) Shutdown(ctx context.Context) error {
	s.draining.Store(true)
	for _, c := range s.clubs {
		c.hub.closeAll()
	}
	done := make(chan struct{})
	go func() {
		s.sockets.Wait()
		close(done)
	}()
	err := s.http.Shutdown(ctx)
	select {
	case <-done:
	case <-ctx.Done():
		err = errors.Join(err, ctx.Err())
		for _, c := range s.clubs {
			c.hub.cutAll()
		}
	}
	s.abandon()
	s.stop()
	s.hubs.Wait()
	<-done
	return err
}

// Forget closes every connection of a member on this server: their tokens hold no longer.
func (s *Server) Forget(clubID, member string) {
	if c, ok := s.clubs[clubID]; ok {
		c.hub.forget(member)
	}
}

// Health is what a store says of itself.
type Health struct {
	Persistent bool   // what it confirms survives the process
	Warning    string // for the coach and the operator; "" when all is well
}

// Store tells how a club's store does. An error means that it cannot be reached.
type Store interface {
	Health(ctx context.Context) (Health, error)
}

// outcomeOf names what came of a message, for the metrics.
func outcomeOf(h bot.Heard) string {
	if h.Again {
		return "again"
	}
	return "answered"
}

// quietLog takes what net/http says about single connections: of interest only when something is looked into.
func quietLog(l zerolog.Logger) *log.Logger {
	return log.New(levelWriter{l}, "", 0)
}

type levelWriter struct{ log zerolog.Logger }

func (w levelWriter) Write(p []byte) (int, error) {
	w.log.Debug().Msg(strings.TrimSpace(string(p)))
	return len(p), nil
}
