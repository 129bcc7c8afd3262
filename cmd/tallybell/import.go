package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/urfave/cli/v3"

	"tallybell/bot"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

// importCommand makes a club of an export, or enters results of a table.
func importCommand() *cli.Command {
	return &cli.Command{
		Name:      "import",
		Usage:     "make a club of an export, or enter results from a table",
		ArgsUsage: "FILE|-",
		Description: `import FILE makes the club that tallybell export wrote. It takes only a club that does not exist yet:

  tallybell import --data NEWFOLDER FILE          a store on which no server runs (or --redis URL)
  tallybell serve --data NEWFOLDER --club CLUB    then begins with the club as it was

or through a server that was just started on an empty store, whose club holds nothing but its first coach:

  tallybell import --server URL FILE              with that coach's token in TALLYBELL_TOKEN

The first coach gives way: from then on the links and tokens of the exported club hold, so the token that was used here
does not, until the server is started with its --coach-token-file again. The server reads the club anew by itself;
other servers on the same store have to be restarted. Links hold only under the same club id and address. Of a file
that is cut or broken nothing stays, and the line is told.

import --csv FILE --server URL enters results from elsewhere into a club that is there. The first line names the
columns: date,part,name,result,version (id in the place of name, or #ID as the name, where two share one). Each result
is read as if the member had typed it to the stored sheet of that date. Lines that cannot be read are told as
FILE:line:column, and nothing is entered unless --partial is given. The same table again changes nothing.`,
		Flags: archiveFlags(
			&cli.StringFlag{Name: "csv", Usage: "a table of results to enter, instead of an export; - is stdin"},
			&cli.BoolFlag{Name: "partial", Usage: "with --csv: enter what can be read, though other lines cannot"},
			&cli.BoolFlag{Name: "json", Usage: "with --csv: print JSON"},
		),
		Action: func(ctx context.Context, c *cli.Command) error {
			table := c.String("csv")
			switch {
			case table != "" && c.Args().Present():
				return cli.Exit("import takes an export or a table (--csv), not both", exitUsage)
			case table != "":
				return importTable(ctx, c, table)
			case c.Bool("partial"):
				return cli.Exit("--partial goes with --csv: a club is imported whole or not at all", exitUsage)
			case c.Args().Len() != 1:
				return cli.Exit("import takes one FILE, or - for stdin: see tallybell import --help", exitUsage)
			}
			in, err := openInput(c.Args().First())
			if err != nil {
				return err
			}
			defer in.Close()
			p := newProgress("imported")
			defer p.end()
			from := io.TeeReader(in, p)
			if c.String("server") == "" {
				return importHere(ctx, c, bufio.NewReaderSize(from, 64<<10))
			}
			r, err := newRemote(c)
			if err != nil {
				return err
			}
			if err := r.importClub(ctx, from); err != nil {
				return err
			}
			_, err = fmt.Fprintln(c.Root().ErrWriter, "imported; from now on the links and tokens of the exported club hold")
			return err
		},
	}
}

func openInput(name string) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(os.Stdin), nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, outside("%w", err)
	}
	return f, nil
}

// importHere imports into a store on which no server runs.
func importHere(ctx context.Context, c *cli.Command, r *bufio.Reader) error {
	id := c.String("id")
	if id == "" {
		id = idOf(r)
	}
	st, err := openStore(ctx, c, true)
	if err != nil {
		return err
	}
	defer st.Close()
	club, err := st.Club(id)
	if err != nil {
		return cli.Exit(err.Error(), exitUsage)
	}
	err = club.Import(ctx, r, bot.CheckRecord)
	switch {
	case err == nil:
		_, err = fmt.Fprintf(c.Root().ErrWriter, "imported as club %s\n", id)
		return err
	case errors.As(err, new(store.ExportError)), errors.Is(err, store.ErrExists):
		return exitError{err, exitInput}
	}
	return outside("%w", err)
}

// idOf returns the club's id that an export begins with; "club" when it cannot be read, which the import then tells.
func idOf(r *bufio.Reader) string {
	first, _ := r.Peek(4 << 10)
	first, _, _ = bytes.Cut(first, []byte("\n"))
	var head struct{ ID string }
	if err := json.Unmarshal(first, &head); err != nil || head.ID == "" {
		return "club"
	}
	return head.ID
}

// importTable enters the results of a table, and prints what could not be read.
func importTable(ctx context.Context, c *cli.Command, name string) error {
	if c.String("server") == "" {
		return cli.Exit("--csv needs --server: results are read by the running club, against its sheets", exitUsage)
	}
	in, err := openInput(name)
	if err != nil {
		return err
	}
	defer in.Close()
	r, err := newRemote(c)
	if err != nil {
		return err
	}
	table, err := io.ReadAll(in)
	if err != nil {
		return outside("reading %s: %w", name, err)
	}
	got, raw, err := r.importResults(ctx, table, c.Bool("partial"))
	if err != nil {
		return err
	}
	out := c.Root().Writer
	if c.Bool("json") {
		if _, err := fmt.Fprintln(out, string(bytes.TrimSpace(raw))); err != nil {
			return err
		}
	} else if err := printProblems(out, name, got); err != nil {
		return err
	}
	_, err = fmt.Fprintf(c.Root().ErrWriter, "%d results entered, %d were there already, %d lines not read\n", got.Written, got.Unchanged, len(got.Problems))
	if err == nil && len(got.Problems) > 0 {
		return exitError{errors.New(notRead(c.Bool("partial"))), exitInput}
	}
	return err
}

func notRead(partial bool) string {
	if partial {
		return "the lines above were left out"
	}
	return "nothing was entered: mend the lines above, or give --partial to leave them out"
}

func printProblems(w io.Writer, name string, got bot.Imported) error {
	for _, ps := range [][]content.Problem{got.Problems, got.Warnings} {
		for _, p := range ps {
			if _, err := fmt.Fprintln(w, p.In(name)); err != nil {
				return err
			}
		}
	}
	return nil
}
