package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"

	"github.com/urfave/cli/v3"

	"tallybell/content"
)

// showCommand prints a sheet as a member reads it.
func showCommand() *cli.Command {
	return &cli.Command{
		Name:      "show",
		Usage:     "print a session as a member reads it",
		ArgsUsage: "FILE",
		Description: `FILE is a session sheet. The text is what goes out in chat; --json prints the card that the member's page
shows. A sheet with errors is not shown: they are told on stderr, and the exit is 1.

` + fitHelp + ` What changed, and what has no fit, is told on stderr after the session.`,
		Flags: append([]cli.Flag{
			&cli.BoolFlag{Name: "json", Usage: "print the card as JSON"},
		}, fitFlags()...),
		Action: func(_ context.Context, c *cli.Command) error {
			if c.Args().Len() != 1 {
				return cli.Exit("show takes one FILE, a session sheet", exitUsage)
			}
			root, file := c.Root(), c.Args().First()
			session, lib, err := openSheet(root.ErrWriter, file)
			if err != nil {
				return err
			}
			fitted, err := fittedFrom(c, session, lib)
			if err != nil {
				return cli.Exit(err.Error(), exitUsage)
			}
			if err := show(root.Writer, fitted, lib, c.Bool("json")); err != nil {
				return cli.Exit(fmt.Sprintf("cannot write the session: %v", err), exitOutside)
			}
			if fitTold(c) {
				tellChanges(root.ErrWriter, file, fitted)
			}
			return nil
		},
	}
}

// show writes a session to out, as text or as the card's JSON.
func show(out io.Writer, fitted content.FittedSession, lib *content.Library, asJSON bool) error {
	if !asJSON {
		_, err := io.WriteString(out, content.Text(fitted, lib))
		return err
	}
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(content.NewCard(fitted, lib))
}

// tellChanges says what fitting did, by the lines of the sheet, for the coach.
func tellChanges(w io.Writer, file string, fitted content.FittedSession) {
	if len(fitted.Changes) == 0 {
		fmt.Fprintf(w, "%s: nothing changes for this member\n", file)
	}
	for _, c := range fitted.Changes {
		section, moves := "part "+c.Part, []content.Movement(nil)
		switch c.Part {
		case content.WarmUpPart:
			section, moves = "warm-up", fitted.Sheet.WarmUp
		case content.CoolDownPart:
			section, moves = "cool-down", fitted.Sheet.CoolDown
		default:
			if p, ok := fitted.Sheet.Part(c.Part); ok {
				moves = p.Movements
			}
		}
		line := 0
		if c.Movement < len(moves) {
			line = moves[c.Movement].Line
		}
		mark := ""
		switch {
		case c.NoFit:
			mark = "no fit: "
		case c.LeaveOut:
			mark = "left out: "
		case c.Eased && len(c.Part) == 1: // nothing outside the parts is logged
			mark = "scaled: "
		}
		fmt.Fprintf(w, "%s:%d: %s, %s: %s%s\n", file, line, section, c.Was, mark, c.Why)
	}
}
