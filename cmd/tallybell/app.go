package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"os"
	"slices"
	"time"

	"github.com/rs/zerolog"

	"tallybell/bot"
	"tallybell/bot/gateway"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
	"tallybell/schedule"
)

// settings are what a server is started with.
type settings struct {
	addr           string
	publicURL      string
	data           string
	redis          []string
	allowVolatile  bool
	clubFiles      []string
	clubs          []roster.Club // instead of files, for the demo
	coachTokenFile string
	demo           bool // print the demo's links
	proxies        []netip.Prefix
}

// app is a running server: its parts in the order they were built, stopped in reverse, each by name.
type app struct {
	log     zerolog.Logger
	steps   []step
	store   *store.Store
	clubs   []*clubParts
	server  *gateway.Server
	url     string // where browsers reach it
	address string // that is listened on
	serving chan error

	imported chan struct{} // told when a club was imported: the parts know one that is no more
}

type step struct {
	name string
	stop func(ctx context.Context) error
}

// clubParts are one club's people and conversation.
type clubParts struct {
	config roster.Club
	roster *roster.Roster
	bot    *bot.Bot
	runner *schedule.Runner
}

// stopWithin is how long an orderly stop may take.
const stopWithin = 10 * time.Second

func (a *app) onStop(name string, stop func(ctx context.Context) error) {
	a.steps = append(a.steps, step{name, stop})
}

// stop ends every part, the last built first; every step runs, and failures are joined.
func (a *app) stop() error {
	ctx, cancel := context.WithTimeout(context.Background(), stopWithin)
	defer cancel()
	var errs []error
	for _, s := range slices.Backward(a.steps) {
		if err := s.stop(ctx); err != nil {
			a.log.Error().Err(err).Str("part", s.name).Msg("did not stop cleanly")
			errs = append(errs, fmt.Errorf("stopping %s: %w", s.name, err))
		}
	}
	return errors.Join(errs...)
}

// build makes the parts of a server, without sending or listening yet.
func build(ctx context.Context, log zerolog.Logger, s settings) (*app, error) {
	a := &app{log: log, serving: make(chan error, 1), imported: make(chan struct{}, 1)}
	if err := a.open(ctx, s); err != nil {
		return nil, errors.Join(err, a.stop())
	}
	return a, nil
}

func (a *app) open(ctx context.Context, s settings) error {
	configs := s.clubs
	if len(configs) == 0 {
		var err error
		if configs, err = readClubs(s.clubFiles, toStderr); err != nil {
			return err
		}
	}
	listener, err := net.Listen("tcp", s.addr)
	if err != nil {
		return outside("cannot listen on %s: %w; choose another --addr", s.addr, err)
	}
	a.onStop("listener", func(context.Context) error { return ignoreClosed(listener.Close()) })
	a.url, a.address = s.publicURL, listener.Addr().String()
	if a.url == "" {
		a.url = "http://" + reachable(listener.Addr())
	}
	st, err := store.Open(ctx, store.Options{Redis: s.redis, Data: s.data, AllowVolatile: s.allowVolatile, Log: a.log})
	if err != nil {
		return outside("%w", err)
	}
	a.store = st
	a.onStop("store", func(context.Context) error { return st.Close() })
	served := map[string]gateway.Club{}
	for _, c := range configs {
		c.PublicURL = a.url
		parts, err := a.club(ctx, c, s.coachTokenFile)
		if err != nil {
			return err
		}
		a.clubs = append(a.clubs, parts)
		served[c.ID] = gateway.Club{Bot: parts.bot, Roster: parts.roster, Store: health{st}, Archive: archive{parts.bot, a.imported}}
	}
	a.server = gateway.New(gateway.Options{Clubs: served, PublicURL: a.url, TrustedProxies: s.proxies, Log: a.log, Now: st.Now})
	a.onStop("gateway", a.server.Shutdown)
	a.serving = make(chan error, 1)
	a.listen(ctx, listener)
	return nil
}

// listen starts to serve; the listener was opened first, so that a busy port is told before anything else happens.
func (a *app) listen(ctx context.Context, l net.Listener) {
	a.server.Start(context.WithoutCancel(ctx))
	go func() { a.serving <- a.server.Serve(l) }()
}

// club opens one club: its people, its conversation, its coach.
func (a *app) club(ctx context.Context, c roster.Club, tokenFile string) (*clubParts, error) {
	club, err := a.store.Club(c.ID)
	if err != nil {
		return nil, outside("%w", err)
	}
	people, err := roster.New(ctx, club, c)
	if err != nil {
		return nil, outside("club %s: %w", c.ID, err)
	}
	b, err := bot.New(ctx, bot.Options{Club: club, Roster: people, Clock: a.store, Log: a.log})
	if err != nil {
		return nil, outside("club %s: %w", c.ID, err)
	}
	a.onStop("bot of "+c.ID, func(context.Context) error { return b.Close() })
	if err := a.coach(ctx, people, c, tokenFile); err != nil {
		return nil, err
	}
	policy := schedule.DefaultPolicy()
	policy.EveningLimit = c.EveningLimit
	daily := func() []schedule.Daily { return append(b.Daily(), sweep(c, club, people, b)) }
	runner, err := schedule.New(schedule.Options{Book: b, Sender: b, Now: a.store.Now, Policy: policy, Daily: daily, Log: a.log})
	if err != nil {
		return nil, err
	}
	return &clubParts{config: c, roster: people, bot: b, runner: runner}, nil
}

// coach makes the first coach, with the token of the file where one is told.
func (a *app) coach(ctx context.Context, people *roster.Roster, c roster.Club, tokenFile string) error {
	token := ""
	if tokenFile != "" {
		var err error
		if token, err = coachToken(tokenFile, c.ID); err != nil {
			return outside("%w", err)
		}
	}
	if _, err := people.EnsureCoach(ctx, a.store.Now(), token); err != nil {
		return outside("club %s: %w", c.ID, err)
	}
	return nil
}

// startSending begins the schedule of every club.
func (a *app) startSending() {
	for _, c := range a.clubs {
		a.onStop("schedule of "+c.config.ID, c.runner.Stop)
		c.runner.Start()
	}
}

// sweepAt is the local time at which old data is removed: posts, ids and invites that nothing needs any more.
var sweepAt = content.Clock{Hour: 3, Minute: 30}

// sweep is what removes a club's old data once a day: posts, ids and invites that nothing needs any more, and words about
// health whose days are over.
func sweep(c roster.Club, kept *store.Club, people *roster.Roster, b *bot.Bot) schedule.Daily {
	return schedule.Daily{Name: "sweep", At: sweepAt, Zones: []string{c.Zone}, Do: func(ctx context.Context, t schedule.Turn) error {
		return errors.Join(kept.Sweep(ctx, t.Now), people.Tidy(ctx, t.Now), b.SweepHealth(ctx, t.Now))
	}}
}

// coachToken reads the token in a file, or makes one and writes it there (mode 0600).
func coachToken(file, club string) (string, error) {
	b, err := os.ReadFile(file)
	switch {
	case err == nil:
		return string(b), nil
	case !errors.Is(err, os.ErrNotExist):
		return "", fmt.Errorf("coach token: %w", err)
	}
	token := roster.NewToken(club)
	if err := os.WriteFile(file, []byte(token+"\n"), 0o600); err != nil {
		return "", fmt.Errorf("coach token: %w", err)
	}
	return token, nil
}

func toStderr(problem string) { fmt.Fprintln(os.Stderr, problem) }

// readClubs reads club files; without one there is a single club of defaults. Each mistake is told by tell.
func readClubs(files []string, tell func(problem string)) ([]roster.Club, error) {
	if len(files) == 0 {
		return []roster.Club{roster.DefaultClub("club")}, nil
	}
	var out []roster.Club
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			return nil, outside("club file: %w", err)
		}
		c, problems := roster.ParseClub(f, text)
		if errs := content.Errors(problems); len(errs) > 0 {
			for _, p := range errs {
				tell(p.In(f))
			}
			return nil, exitError{fmt.Errorf("%s has %d mistakes", f, len(errs)), exitInput}
		}
		if slices.ContainsFunc(out, func(o roster.Club) bool { return o.ID == c.ID }) {
			return nil, exitError{fmt.Errorf("%s: another club file has the id %q already", f, c.ID), exitInput}
		}
		lib, wrong, err := folderLibrary(folderOf(f))
		if err != nil {
			return nil, outside("%w", err)
		}
		if len(wrong) > 0 {
			for _, p := range wrong {
				tell(fmt.Sprint(p))
			}
			return nil, exitError{fmt.Errorf("the movements beside %s have %d mistakes", f, len(wrong)), exitInput}
		}
		c.Movements = lib
		out = append(out, c)
	}
	return out, nil
}

// reachable turns an address that is listened on into one that a browser can open.
func reachable(addr net.Addr) string {
	host, port, err := net.SplitHostPort(addr.String())
	if err != nil {
		return addr.String()
	}
	if ip := net.ParseIP(host); ip == nil || ip.IsUnspecified() {
		host = "localhost"
	}
	return net.JoinHostPort(host, port)
}

func ignoreClosed(err error) error {
	if errors.Is(err, net.ErrClosed) {
		return nil
	}
	return err
}

// health tells the gateway how the store is.
type health struct{ s *store.Store }

func (h health) Health(ctx context.Context) (gateway.Health, error) {
	is := h.s.Health(ctx)
	if !is.OK {
		return gateway.Health{}, errors.New(is.Err)
	}
	return gateway.Health{Persistent: is.Persistent, Warning: is.Warning}, nil
}

// exitError is an error with the exit code that it means.
type exitError struct {
	error
	code int
}

func (e exitError) ExitCode() int { return e.code }
func (e exitError) Unwrap() error { return e.error }

// outside makes an error of the outside world: exit 3.
func outside(format string, args ...any) error {
	return exitError{fmt.Errorf(format, args...), exitOutside}
}
