package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/urfave/cli/v3"
)

// exportCommand writes a whole club as JSON Lines.
func exportCommand() *cli.Command {
	return &cli.Command{
		Name:  "export",
		Usage: "write a club whole, as JSON Lines",
		Description: `Writes everything that a club is: people with the digests of their keys, sheets, results, ledgers, conversations. With
--server it goes through a running server and needs the coach's token; without, it reads a store on which no server
runs. The file is as private as the club: it is made readable by you alone. tallybell import makes the same club of it.`,
		Flags: archiveFlags(&cli.StringFlag{Name: "out", Usage: "write to this file instead of stdout; it must not be there yet"}),
		Action: func(ctx context.Context, c *cli.Command) error {
			if c.Args().Present() {
				return cli.Exit("export takes no arguments, only flags: see tallybell export --help", exitUsage)
			}
			var from func(context.Context, io.Writer) error
			if c.String("server") != "" {
				r, err := newRemote(c)
				if err != nil {
					return err
				}
				from = r.export
			} else {
				st, err := openStore(ctx, c, false)
				if err != nil {
					return err
				}
				defer st.Close()
				club, err := onlyClub(ctx, st, c.String("id"))
				if err != nil {
					return err
				}
				from = func(ctx context.Context, w io.Writer) error {
					if err := club.Export(ctx, w); err != nil {
						return outside("%w", err)
					}
					return nil
				}
			}
			p := newProgress("exported")
			defer p.end()
			file := c.String("out")
			if file == "" {
				return from(ctx, io.MultiWriter(c.Root().Writer, p))
			}
			return writeWhole(file, func(w io.Writer) error { return from(ctx, io.MultiWriter(w, p)) })
		},
	}
}

// writeWhole makes a file of what write gives: whole and on disk, or not at all.
func writeWhole(file string, write func(io.Writer) error) (err error) {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, os.ErrExist) {
		return cli.Exit(fmt.Sprintf("%s is there already: choose another --out, or remove it", file), exitUsage)
	}
	if err != nil {
		return outside("%w", err)
	}
	if err = write(f); err == nil {
		err = outsideOr(f.Sync())
	}
	err = errors.Join(err, outsideOr(f.Close()))
	if err != nil {
		_ = os.Remove(file) // half a club must not look whole
	}
	return err
}

func outsideOr(err error) error {
	if err == nil {
		return nil
	}
	return outside("%w", err)
}
