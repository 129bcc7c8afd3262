package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"

	"github.com/urfave/cli/v3"

	"tallybell/leaderboard"
)

// standingsCommand scores a series of boards by low points: one that a file holds, as JSON, or a running server's boards.
func standingsCommand() *cli.Command {
	return &cli.Command{
		Name:      "standings",
		Usage:     "score a series by low points, worst ones discarded: a FILE's, or a running server's boards",
		ArgsUsage: "[FILE]",
		Description: `Reads {"discards","entries":[…],"races":[{"date","ranks":{NAME:RANK}}]} from FILE, or from stdin.
The rules are those of the Racing Rules of Sailing, 2025-2028, Appendix A: a place is worth its rank,
a shared place the average of the places it takes (A7), no result the entries + 1 (A5.2), the worst
are discarded (A2.1), ties are broken by A8.1, then A8.2. Without "discards": one for every four races.
A race may also list names as "came" (used with "use_a5_3": true), "paused" or "fixed".

With --from, --to or --division it scores the boards of a running server between two days (--server, TALLYBELL_TOKEN),
as the club file says (discards, missed, standings boards), and prints a table; --json and --csv print every score with
its rule.`,
		Flags: remoteFlags(
			&cli.StringFlag{Name: "from", Usage: "first `DATE`; without it, six days before the last"},
			&cli.StringFlag{Name: "to", Usage: "last `DATE`; without it, the club's today"},
			&cli.StringFlag{Name: "division", Usage: "one of the club's divisions or age bands"},
			&cli.StringFlag{Name: "version", Usage: "as_written, scaled, or all for the board of everyone; without it as the club file says"},
			&cli.BoolFlag{Name: "json", Usage: "print JSON"},
			&cli.BoolFlag{Name: "csv", Usage: "print CSV, a line a score"},
		),
		OnUsageError: func(_ context.Context, _ *cli.Command, err error, _ bool) error {
			return cli.Exit(err.Error(), exitUsage)
		},
		Action: func(ctx context.Context, c *cli.Command) error {
			if c.Args().Len() > 1 {
				return cli.Exit("standings takes one FILE, or none to read stdin", exitUsage)
			}
			if c.IsSet("from") || c.IsSet("to") || c.IsSet("division") || c.IsSet("version") {
				return remoteStandings(ctx, c)
			}
			name, in := "stdin", c.Root().Reader
			if file := c.Args().First(); file != "" && file != "-" {
				f, err := os.Open(file)
				if err != nil {
					return cli.Exit(fmt.Sprintf("cannot read the series: %v", err), exitOutside)
				}
				defer f.Close()
				name, in = file, f
			}
			return printStandings(c.Root().Writer, name, in)
		},
	}
}

// printStandings reads a series from in and writes its standings to out.
func printStandings(out io.Writer, name string, in io.Reader) error {
	data, err := io.ReadAll(in)
	if err != nil {
		return cli.Exit(fmt.Sprintf("cannot read %s: %v", name, err), exitOutside)
	}
	file, err := leaderboard.ReadStandings(name, data)
	if err != nil {
		return cli.Exit(err.Error(), exitInput)
	}
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(map[string]any{"standings": file.Standings()}); err != nil {
		return cli.Exit(fmt.Sprintf("cannot write the standings: %v", err), exitOutside)
	}
	return nil
}
