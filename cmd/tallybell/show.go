package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"

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
			root, fit := c.Root(), (*content.Fit)(nil)
			if fitTold(c) {
				told, err := fitFrom(c, content.Builtin())
				if err != nil {
					return cli.Exit(err.Error(), exitUsage)
				}
				fit = &told
			}
			return show(root.Writer, root.ErrWriter, c.Args().First(), c.Bool("json"), fit)
		},
	}
}

// show writes the session of a sheet to out, fitted unless fit is nil; what is wrong with the sheet, or what fitting
// did, goes to problems, a line each.
func show(out, problems io.Writer, file string, asJSON bool, fit *content.Fit) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return cli.Exit(fmt.Sprintf("cannot read the sheet: %v", err), exitOutside)
	}
	session, told := content.Parse(file, text)
	if wrong := content.Errors(told); len(wrong) > 0 {
		for _, p := range wrong {
			fmt.Fprintln(problems, p.In(file))
		}
		return cli.Exit("", exitInput)
	}
	fitted := content.Unfitted(session)
	if fit != nil {
		fitted = content.Fitted(session, *fit, content.Builtin())
	}
	if asJSON {
		e := json.NewEncoder(out)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		err = e.Encode(content.NewCard(fitted, content.Builtin()))
	} else {
		_, err = io.WriteString(out, content.Text(fitted, content.Builtin()))
	}
	if err != nil {
		return cli.Exit(fmt.Sprintf("cannot write the session: %v", err), exitOutside)
	}
	if fit != nil {
		tellChanges(problems, file, fitted)
	}
	return nil
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
