package main

import (
	"context"
	"fmt"
	"io"
	"net/netip"
	"os"
	"time"

	"github.com/rs/zerolog"
	"github.com/urfave/cli/v3"

	"tallybell/content"
	"tallybell/schedule"
)

func env(name string) cli.ValueSourceChain { return cli.EnvVars("TALLYBELL_" + name) }

// serverFlags are shared by serve and demo.
func serverFlags(addr string) []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "addr", Value: addr, Sources: env("ADDR"), Usage: "address to listen on; port 0 takes a free one"},
		&cli.StringFlag{Name: "public-url", Sources: env("PUBLIC_URL"), Usage: "where members reach this server, for links"},
		&cli.StringFlag{Name: "data", Value: "tallybell-data", Sources: env("DATA"), Usage: "folder of the embedded store"},
		&cli.StringSliceFlag{Name: "redis", Sources: env("REDIS"), Usage: "URL of a Redis to use instead; several are a cluster"},
		&cli.BoolFlag{Name: "allow-volatile", Sources: env("ALLOW_VOLATILE"), Usage: "use a Redis that may forget what it confirmed"},
		&cli.StringFlag{Name: "coach-token-file", Sources: env("COACH_TOKEN_FILE"), Usage: "file of the first coach's token; made if it is not there"},
		&cli.StringFlag{Name: "log", Value: "text", Sources: env("LOG"), Usage: "text or json"},
		&cli.BoolFlag{Name: "debug", Sources: env("DEBUG"), Usage: "log every request as well; never what people type"},
	}
}

func serveCommand() *cli.Command {
	return &cli.Command{
		Name:  "serve",
		Usage: "run a club, or several",
		Description: `Listens, sends what is due and answers members until it is interrupted. Without --redis everything is kept in the
--data folder, for one club of up to about 2,000 members.

A club file holds lines of key: value; zone must be told, and club unless it is the file's name.
  club: lantern-hall · name: … · coach: … · zone: Europe/London
  send at: 06:30 · evening limit: 20:00 · report at: 07:00 · remind at: 18:00 · late days: 7
  divisions: women, men, open     what members choose from
  age bands: 40-49, 50+           also stood in by age: the session's year less the year of birth
  joint ranks: no                 yes also tells the rank among as written and scaled together
  discards: one in 4              of standings; or none, or a number
  missed: entries + 1             rule A5.2; came + 1 is A5.3
  standings boards: own version   each result's own board; all is the board of everyone
kill -HUP reads the club files again: results move to the boards they belong on while the club goes on.
With a mistake in a file nothing changes, and the log says where it is.`,
		Flags: append(serverFlags("127.0.0.1:8080"),
			&cli.StringSliceFlag{Name: "club", Sources: env("CLUB"), Usage: "club file; repeat for several clubs"},
			&cli.StringSliceFlag{Name: "trusted-proxy", Sources: env("TRUSTED_PROXY"), Usage: "network whose X-Forwarded-For counts, for example 10.0.0.0/8"},
		),
		Action: func(ctx context.Context, c *cli.Command) error {
			if c.Args().Present() {
				return cli.Exit("serve takes no arguments, only flags: see tallybell serve --help", exitUsage)
			}
			s, err := settingsOf(c)
			if err != nil {
				return err
			}
			return serve(ctx, newLog(c), s, func(context.Context, *app) error { return nil })
		},
	}
}

func settingsOf(c *cli.Command) (settings, error) {
	s := settings{addr: c.String("addr"), publicURL: c.String("public-url"), data: c.String("data"), redis: c.StringSlice("redis"),
		allowVolatile: c.Bool("allow-volatile"), clubFiles: c.StringSlice("club"), coachTokenFile: c.String("coach-token-file")}
	for _, p := range c.StringSlice("trusted-proxy") {
		prefix, err := netip.ParsePrefix(p)
		if err != nil {
			return s, cli.Exit(fmt.Sprintf("--trusted-proxy %q is not a network: write it like 10.0.0.0/8", p), exitUsage)
		}
		s.proxies = append(s.proxies, prefix)
	}
	if len(s.clubFiles) > 1 && s.coachTokenFile != "" {
		return s, cli.Exit("--coach-token-file belongs to one club: leave it out with several", exitUsage)
	}
	return s, nil
}

func newLog(c *cli.Command) zerolog.Logger {
	level := zerolog.InfoLevel
	if c.Bool("debug") {
		level = zerolog.DebugLevel
	}
	var out io.Writer = os.Stderr
	if c.String("log") != "json" {
		out = zerolog.ConsoleWriter{Out: os.Stderr, TimeFormat: time.TimeOnly, NoColor: true}
	}
	return zerolog.New(out).Level(level).With().Timestamp().Logger()
}

// serve builds the parts, runs prepare, then sends and serves until ctx ends or the listener fails. When a club was
// imported, everything is built anew on what the store holds then, at the same address.
func serve(ctx context.Context, log zerolog.Logger, s settings, prepare func(context.Context, *app) error) error {
	log.Info().Str("zone_data", content.ZoneData()).Msg("starting")
	if old := schedule.OutdatedZones(); len(old) > 0 {
		log.Warn().Strs("zones", old).Msg("the zone data misses changes of these zones: renew the system's tzdata, or point ZONEINFO to newer data")
	}
	for {
		again, err := serveOnce(ctx, log, &s, prepare)
		if err != nil || !again || ctx.Err() != nil {
			return err
		}
		log.Info().Msg("a club was imported: everything is read anew")
		prepare = nil
	}
}

// serveOnce is one life of the parts. prepare is nil for a later one, which adds nothing to the club it finds.
func serveOnce(ctx context.Context, log zerolog.Logger, s *settings, prepare func(context.Context, *app) error) (again bool, err error) {
	a, err := build(ctx, log, *s)
	if err != nil {
		return false, err
	}
	defer func() {
		if stopErr := a.stop(); stopErr != nil && err == nil {
			err = outside("%w", stopErr)
		}
	}()
	if prepare != nil {
		if err := prepare(ctx, a); err != nil {
			return false, err
		}
	}
	a.startSending()
	a.followClubFiles(s.clubFiles)
	if prepare != nil {
		if err := a.welcome(ctx, *s); err != nil {
			return false, err
		}
	}
	select {
	case <-ctx.Done():
		log.Info().Msg("stopping")
		return false, nil
	case <-a.imported:
		s.addr, s.publicURL, s.coachTokenFile = a.address, a.url, ""
		return true, nil
	case err := <-a.serving:
		return false, outside("serving: %w", err)
	}
}

// welcome prints where the server is, and a one-time link for each coach who has no token file.
func (a *app) welcome(ctx context.Context, s settings) error {
	fmt.Fprintf(os.Stderr, "listening on %s\n", a.url)
	if s.demo {
		return a.demoLinks(ctx)
	}
	if s.coachTokenFile != "" {
		return nil
	}
	for _, c := range a.clubs {
		link, err := c.roster.CoachLink(ctx, a.store.Now())
		if err != nil {
			return outside("making the coach's link: %w", err)
		}
		fmt.Fprintf(os.Stderr, "coach of %s, a link that works once: %s\n", c.config.Name, link.Link)
	}
	return nil
}
