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

// standingsCommand scores a series of boards by low points and prints it as JSON.
func standingsCommand() *cli.Command {
	return &cli.Command{
		Name:      "standings",
		Usage:     "score a series of boards by low points, worst ones discarded, and print the standings as JSON",
		ArgsUsage: "[FILE]",
		Description: `Reads {"discards","entries":[…],"races":[{"date","ranks":{NAME:RANK}}]} from FILE, or from stdin.
The rules are those of the Racing Rules of Sailing, 2025-2028, Appendix A: a place is worth its rank,
a shared place the average of the places it takes (A7), no result the entries + 1 (A5.2), the worst
are discarded (A2.1), ties are broken by A8.1, then A8.2. Without "discards": one for every four races.
A race may also list names as "came" (used with "use_a5_3": true), "paused" or "fixed".`,
		OnUsageError: func(_ context.Context, _ *cli.Command, err error, _ bool) error {
			return cli.Exit(err.Error(), exitUsage)
		},
		Action: func(_ context.Context, c *cli.Command) error {
			if c.Args().Len() > 1 {
				return cli.Exit("standings takes one FILE, or none to read stdin", exitUsage)
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
