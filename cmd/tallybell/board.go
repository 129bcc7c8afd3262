package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"strings"

	"github.com/urfave/cli/v3"

	"tallybell/content"
	"tallybell/leaderboard"
)

// boardCommand prints the boards of one part, from a running server.
func boardCommand() *cli.Command {
	return &cli.Command{
		Name:      "board",
		Usage:     "print the boards of a part, from a running server",
		ArgsUsage: "DATE PART",
		Flags: remoteFlags(
			&cli.StringFlag{Name: "division", Usage: "one division only"},
			&cli.StringFlag{Name: "version", Usage: "as_written, scaled or all"},
			&cli.IntFlag{Name: "limit", Usage: "lines a block"},
			&cli.BoolFlag{Name: "json", Usage: "print JSON"},
			&cli.BoolFlag{Name: "csv", Usage: "print CSV"},
		),
		Action: func(ctx context.Context, c *cli.Command) error {
			if c.Args().Len() != 2 {
				return cli.Exit("board takes a DATE and a PART, for example: tallybell board 2027-02-01 D", exitUsage)
			}
			date, err := content.ParseDate(c.Args().Get(0))
			if err != nil {
				return cli.Exit(err.Error(), exitUsage)
			}
			r, err := newRemote(c)
			if err != nil {
				return err
			}
			q := url.Values{}
			for _, f := range []string{"division", "version"} {
				if v := c.String(f); v != "" {
					q.Set(f, v)
				}
			}
			if n := c.Int("limit"); n > 0 {
				q.Set("limit", fmt.Sprint(n))
			}
			path := "/api/boards/" + date.String() + "/" + url.PathEscape(strings.ToUpper(c.Args().Get(1))) + "?" + q.Encode()
			out := c.Root().Writer
			if c.Bool("csv") {
				b, err := r.call(ctx, "GET", path, "text/csv", nil)
				if err == nil {
					_, err = out.Write(b)
				}
				return err
			}
			b, err := r.call(ctx, "GET", path, "application/json", nil)
			if err != nil {
				return err
			}
			if c.Bool("json") {
				_, err := fmt.Fprintln(out, strings.TrimSpace(string(b)))
				return err
			}
			var page leaderboard.Page
			if err := json.Unmarshal(b, &page); err != nil {
				return outside("the server's answer is not a board: %w", err)
			}
			return printBoard(out, page)
		},
	}
}

// printBoard prints the blocks of a page as a person reads them.
func printBoard(w io.Writer, page leaderboard.Page) error {
	var b strings.Builder
	if len(page.Boards) == 0 {
		fmt.Fprintf(&b, "Nobody stands on a board of %s, part %s.\n", page.Date, page.Part)
	}
	for i, block := range page.Boards {
		if i > 0 {
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "%s %s, %s, %s (%d)\n", page.Date, page.Part, block.Division, strings.ReplaceAll(string(block.Version), "_", " "), block.Of)
		for _, l := range block.Entries {
			fmt.Fprintf(&b, "%3d. %-24s %s", l.Rank, l.Name, l.Result)
			for _, more := range []string{l.Way, l.Load} {
				if more != "" {
					fmt.Fprintf(&b, ", %s", more)
				}
			}
			if l.Late {
				b.WriteString(" (late)")
			}
			b.WriteByte('\n')
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}
