package main

import (
	"context"
	"fmt"
	"os"
	"strings"

	"github.com/rs/zerolog"
	"github.com/urfave/cli/v3"

	"tallybell/leaderboard/store"
)

// archiveFlags are shared by export and import: a running server, or a store on which none runs.
func archiveFlags(more ...cli.Flag) []cli.Flag {
	return append([]cli.Flag{
		&cli.StringFlag{Name: "server", Sources: env("SERVER"), Usage: "where the server runs; without it, the store itself, with no server on it"},
		&cli.StringFlag{Name: "token", Sources: env("TOKEN"), Usage: "with --server: the coach's token; better given as TALLYBELL_TOKEN, which other users of this machine cannot see"},
		&cli.StringFlag{Name: "data", Value: "tallybell-data", Sources: env("DATA"), Usage: "without --server: the folder of the embedded store"},
		&cli.StringSliceFlag{Name: "redis", Sources: env("REDIS"), Usage: "without --server: URL of a Redis instead; several are a cluster"},
		&cli.BoolFlag{Name: "allow-volatile", Sources: env("ALLOW_VOLATILE"), Usage: "use a Redis that may forget what it confirmed"},
		&cli.StringFlag{Name: "id", Usage: "without --server: the club's id"},
	}, more...)
}

// openStore opens the store of the flags for this command alone. A folder that is not there is made only when make is
// set.
func openStore(ctx context.Context, c *cli.Command, make bool) (*store.Store, error) {
	data, urls := c.String("data"), c.StringSlice("redis")
	if _, err := os.Stat(data); len(urls) == 0 && err != nil && !make {
		return nil, outside("there is no data folder %s: name it by --data, or a running server by --server", data)
	}
	log := zerolog.New(zerolog.ConsoleWriter{Out: os.Stderr, NoColor: true}).Level(zerolog.WarnLevel)
	st, err := store.Open(ctx, store.Options{Redis: urls, Data: data, AllowVolatile: c.Bool("allow-volatile"), Log: log})
	if dir := store.LockedFolder(err); dir != "" {
		return nil, outside("the data folder %s is locked, a server is running on it: go through the server with --server URL, or stop it first", dir)
	}
	if err != nil {
		return nil, outside("%w", err)
	}
	return st, nil
}

// onlyClub returns the club of the id, or without one the only club of the store.
func onlyClub(ctx context.Context, st *store.Store, id string) (*store.Club, error) {
	if id == "" {
		ids, err := st.ClubIDs(ctx)
		switch {
		case err != nil:
			return nil, outside("%w", err)
		case len(ids) == 0:
			return nil, outside("the store holds no club")
		case len(ids) > 1:
			return nil, cli.Exit(fmt.Sprintf("the store holds several clubs: choose one with --id (%s)", strings.Join(ids, ", ")), exitUsage)
		}
		id = ids[0]
	}
	club, err := st.Club(id)
	if err != nil {
		return nil, cli.Exit(err.Error(), exitUsage)
	}
	return club, nil
}
