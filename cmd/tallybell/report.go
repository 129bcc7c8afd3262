package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v3"

	"tallybell/bot"
	"tallybell/content"
	"tallybell/leaderboard"
)

// reportCommand prints the morning report of a date, from a running server.
func reportCommand() *cli.Command {
	return &cli.Command{
		Name:      "report",
		Usage:     "print who did what on a date, from a running server",
		ArgsUsage: "DATE",
		Flags:     remoteFlags(&cli.BoolFlag{Name: "json", Usage: "print JSON"}),
		Action: func(ctx context.Context, c *cli.Command) error {
			if c.Args().Len() != 1 {
				return cli.Exit("report takes a DATE, for example: tallybell report 2027-02-01", exitUsage)
			}
			date, err := content.ParseDate(c.Args().First())
			if err != nil {
				return cli.Exit(err.Error(), exitUsage)
			}
			r, err := newRemote(c)
			if err != nil {
				return err
			}
			var rep bot.Report
			if done, err := r.show(ctx, c, "/api/reports/"+date.String(), &rep); done || err != nil {
				return err
			}
			return printReport(c.Root().Writer, rep)
		},
	}
}

// printReport prints a report as a coach reads it: who hurts first.
func printReport(w io.Writer, r bot.Report) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s  %s\nsent to %d, heard from %d, missing %d\n", r.Date, r.Title, r.Sent, len(r.Answered), len(r.Missing))
	for _, c := range r.Concerns {
		fmt.Fprintf(&b, "hurts (%s): %s: %s\n", c.Care, c.Name, c.Said)
	}
	for _, q := range r.Questions {
		fmt.Fprintf(&b, "asks: %s: %s\n", q.Name, q.Said)
	}
	for _, n := range r.Attention {
		if n.Rule == leaderboard.RuleQuestion {
			continue // told above, in their words
		}
		line := "look: " + n.Name + ": " + n.Reason + " (" + n.Because + ")"
		if n.Offer != "" {
			line += "; " + n.Offer
		}
		b.WriteString(line + "\n")
	}
	for _, a := range r.Answered {
		var parts []string
		for _, row := range a.Results {
			line := row.Part + " " + row.Show
			if row.Result.Version != "" {
				line += " " + strings.ReplaceAll(string(row.Result.Version), "_", " ")
			}
			parts = append(parts, line)
		}
		if a.Note != "" {
			parts = append(parts, "“"+a.Note+"”")
		}
		fmt.Fprintf(&b, "%s: %s\n", a.Name, strings.Join(parts, "; "))
	}
	for _, list := range []struct {
		what string
		who  []bot.Person
	}{{"missing", r.Missing}, {"version not told", r.Waiting}, {"paused", r.Paused}} {
		var names []string
		for _, p := range list.who {
			names = append(names, p.Name)
		}
		if len(names) > 0 {
			fmt.Fprintf(&b, "%s: %s\n", list.what, strings.Join(names, ", "))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}
