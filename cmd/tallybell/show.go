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
shows. A sheet with errors is not shown: they are told on stderr, and the exit is 1.`,
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "json", Usage: "print the card as JSON"},
		},
		Action: func(_ context.Context, c *cli.Command) error {
			if c.Args().Len() != 1 {
				return cli.Exit("show takes one FILE, a session sheet", exitUsage)
			}
			root := c.Root()
			return show(root.Writer, root.ErrWriter, c.Args().First(), c.Bool("json"))
		},
	}
}

// show writes the session of a sheet to out; what is wrong with the sheet goes to problems, a line each.
func show(out, problems io.Writer, file string, asJSON bool) error {
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
	return nil
}
