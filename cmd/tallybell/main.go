// Command tallybell sends a strength club's daily session to its members in chat, reads what they type back, and keeps
// the boards. This package is wiring only: one file a command.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"github.com/urfave/cli/v3"
)

// Exit codes of every command.
const (
	exitInput   = 1 // the input has errors
	exitUsage   = 2 // wrong usage
	exitOutside = 3 // the outside world failed: store, network, unreadable file
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args, stop)
	os.Exit(code)
}

// run runs one command line and returns its exit code. A second interrupt ends the process at once.
func run(ctx context.Context, args []string, stop func()) int {
	context.AfterFunc(ctx, stop)
	root := commands()
	err := root.Run(ctx, args)
	if err == nil {
		return 0
	}
	if text := err.Error(); text != "" {
		fmt.Fprintln(os.Stderr, "tallybell: "+text)
	}
	var coder cli.ExitCoder
	if errors.As(err, &coder) {
		return coder.ExitCode()
	}
	return exitUsage
}

func commands() *cli.Command {
	usage := func(_ context.Context, _ *cli.Command, err error, _ bool) error {
		return cli.Exit(err.Error()+": see --help", exitUsage)
	}
	root := &cli.Command{
		Name:                  "tallybell",
		Usage:                 "a strength club's daily session, sent in chat, answered in words, ranked by morning",
		Suggest:               true,
		EnableShellCompletion: true,
		ExitErrHandler:        func(context.Context, *cli.Command, error) {},
		OnUsageError:          usage,
		Commands: []*cli.Command{
			demoCommand(), serveCommand(),
			checkCommand(), formatCommand(), showCommand(),
			readCommand(), rankCommand(), standingsCommand(), whenCommand(),
			boardCommand(), reportCommand(), inviteCommand(), exportCommand(), importCommand(), rebuildCommand(),
		},
		Action: func(_ context.Context, c *cli.Command) error {
			if c.Args().Present() {
				text := fmt.Sprintf("%q is not a command", c.Args().First())
				if near := cli.SuggestCommand(c.Root().Commands, c.Args().First()); near != "" {
					text += "; did you mean " + near + "?"
				}
				return cli.Exit(text+" (tallybell help lists them)", exitUsage)
			}
			return cli.ShowAppHelp(c)
		},
	}
	for _, c := range root.Commands {
		c.OnUsageError = usage // else the help of a mistyped flag would go to stdout, where programs read results
	}
	return root
}
