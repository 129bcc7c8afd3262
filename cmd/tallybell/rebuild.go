package main

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"github.com/urfave/cli/v3"
)

// rebuildCommand stands every result again from the ledgers, on a running server.
func rebuildCommand() *cli.Command {
	return &cli.Command{
		Name:        "rebuild",
		Usage:       "make results and boards anew from the ledgers, on a running server",
		Description: "Prints each difference that it found and mended; nothing when boards and ledgers agreed.",
		Flags:       remoteFlags(&cli.BoolFlag{Name: "json", Usage: "print JSON"}),
		Action: func(ctx context.Context, c *cli.Command) error {
			if c.Args().Present() {
				return cli.Exit("rebuild takes no arguments", exitUsage)
			}
			r, err := newRemote(c)
			if err != nil {
				return err
			}
			b, err := r.call(ctx, "POST", "/api/rebuild", "application/json", nil)
			if err != nil {
				return err
			}
			out := c.Root().Writer
			if c.Bool("json") {
				_, err := fmt.Fprintln(out, strings.TrimSpace(string(b)))
				return err
			}
			var got struct {
				Differences []string `json:"differences"`
			}
			if err := json.Unmarshal(b, &got); err != nil {
				return outside("the server's answer is not a rebuild: %w", err)
			}
			for _, d := range got.Differences {
				if _, err := fmt.Fprintln(out, d); err != nil {
					return err
				}
			}
			_, err = fmt.Fprintf(c.Root().ErrWriter, "%d differences found and mended\n", len(got.Differences))
			return err
		},
	}
}
