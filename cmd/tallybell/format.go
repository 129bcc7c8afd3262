package main

import (
	"context"
	"fmt"

	"github.com/urfave/cli/v3"

	"tallybell/content"
)

// formatCommand prints a sheet in its plain canonical form.
func formatCommand() *cli.Command {
	return &cli.Command{
		Name:      "format",
		Usage:     "print a session sheet in its plain form",
		ArgsUsage: "FILE",
		Description: `Prints the sheet as the program itself would write it: the same session, every spelling in its plain form, the
comments in their places. A sheet with errors is not printed: they are told on stderr, and the exit is 1.`,
		Action: func(_ context.Context, c *cli.Command) error {
			if c.Args().Len() != 1 {
				return cli.Exit("format takes one FILE, a session sheet", exitUsage)
			}
			file := c.Args().First()
			text, err := readSheetFile(file)
			if err != nil {
				return cli.Exit(fmt.Sprintf("cannot read the sheet: %v", err), exitOutside)
			}
			session, problems := content.Parse(file, text)
			if len(problems) > 0 {
				for _, p := range problems {
					fmt.Fprintln(c.Root().ErrWriter, p.In(file))
				}
				return cli.Exit("", exitInput)
			}
			if _, err := c.Root().Writer.Write(content.Format(session)); err != nil {
				return cli.Exit(fmt.Sprintf("cannot write the sheet: %v", err), exitOutside)
			}
			return nil
		},
	}
}
