package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"strings"
	"unicode/utf8"

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
		Description: `Prints a table for each division and version, as written and scaled apart.
--explain NAME says of one member's result what placed it, who is just ahead and behind and by how much, and
why it stands on no board when it does not; #ID instead of a name where two members have the same.`,
		Flags: remoteFlags(
			&cli.StringFlag{Name: "division", Usage: "one division only"},
			&cli.StringFlag{Name: "version", Usage: "as_written, scaled or all"},
			&cli.IntFlag{Name: "limit", Usage: "lines a block"},
			&cli.StringFlag{Name: "around", Usage: "a member's `ID`: also the lines around theirs"},
			&cli.StringFlag{Name: "explain", Usage: "explain the result of the member called `NAME`, or #ID"},
			&cli.StringFlag{Name: "units", Usage: "kg or lb, of loads"},
			&cli.BoolFlag{Name: "json", Usage: "print JSON"},
			&cli.BoolFlag{Name: "csv", Usage: "print CSV"},
		),
		Action: func(ctx context.Context, c *cli.Command) error {
			if c.Args().Len() != 2 {
				return cli.Exit("board takes a DATE and a PART, for example: tallybell board 2027-02-01 D", exitUsage)
			}
			if c.Bool("json") && c.Bool("csv") {
				return cli.Exit("--json and --csv are two forms of one thing: give one of them", exitUsage)
			}
			date, err := content.ParseDate(c.Args().Get(0))
			if err != nil {
				return cli.Exit(err.Error(), exitUsage)
			}
			r, err := newRemote(c)
			if err != nil {
				return err
			}
			path := "/api/boards/" + date.String() + "/" + url.PathEscape(strings.ToUpper(c.Args().Get(1)))
			if c.IsSet("explain") {
				return explain(ctx, c, r, path)
			}
			return board(ctx, c, r, path)
		},
	}
}

// board prints the boards under a path of the API.
func board(ctx context.Context, c *cli.Command, r *remote, path string) error {
	q := url.Values{}
	for _, f := range []string{"division", "version", "around", "units"} {
		if v := c.String(f); v != "" {
			q.Set(f, v)
		}
	}
	if n := c.Int("limit"); n > 0 {
		q.Set("limit", fmt.Sprint(n))
	}
	if len(q) > 0 {
		path += "?" + q.Encode()
	}
	var page leaderboard.Page
	if done, err := r.show(ctx, c, path, &page); done || err != nil {
		return err
	}
	return printBoard(c.Root().Writer, page, c.String("around"))
}

// explain prints why one member's result stands where it stands.
func explain(ctx context.Context, c *cli.Command, r *remote, path string) error {
	id, err := r.memberCalled(ctx, c.String("explain"))
	if err != nil {
		return err
	}
	path += "/" + url.PathEscape(id)
	if u := c.String("units"); u != "" {
		path += "?" + url.Values{"units": {u}}.Encode()
	}
	var e leaderboard.Explained
	if done, err := r.show(ctx, c, path, &e); done || err != nil {
		return err
	}
	_, err = fmt.Fprintln(c.Root().Writer, strings.Join(e.Lines(), "\n"))
	return err
}

// memberCalled finds the id of the one member with a name, whatever its case; #ID is taken as it is.
func (r *remote) memberCalled(ctx context.Context, name string) (string, error) {
	name = strings.Join(strings.Fields(name), " ")
	if id, ok := strings.CutPrefix(name, "#"); ok && id != "" {
		return id, nil
	}
	b, err := r.call(ctx, "GET", "/api/members", "application/json", nil)
	if err != nil {
		return "", err
	}
	var members []struct{ ID, Name, Division string }
	if err := json.Unmarshal(b, &members); err != nil {
		return "", outside("the server's answer is no list of members: %w", err)
	}
	var found, near []string
	for _, m := range members {
		if strings.EqualFold(strings.Join(strings.Fields(m.Name), " "), name) {
			found, near = append(found, m.ID), append(near, strings.TrimSpace("#"+m.ID+" "+m.Division))
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return "", cli.Exit(fmt.Sprintf("nobody in the club is called %q: tallybell board DATE PART --json shows names and ids", name), exitInput)
	}
	return "", cli.Exit(fmt.Sprintf("%d members are called %q: write one of %s instead of the name", len(found), name, strings.Join(near, ", ")), exitInput)
}

// printBoard prints the blocks of a page as tables for people; around is whose lines stand apart behind the first ones.
func printBoard(w io.Writer, page leaderboard.Page, around string) error {
	var b strings.Builder
	if len(page.Boards) == 0 {
		fmt.Fprintf(&b, "Nobody stands on a board of %s, part %s.\n", page.Date, page.Part)
	}
	for i, block := range page.Boards {
		if i > 0 {
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "%s %s, %s, %s (%d)\n", page.Date, page.Part, block.Division, strings.ReplaceAll(string(block.Version), "_", " "), block.Of)
		printLines(&b, block.Entries)
		if beyond := block.Beyond(around); len(beyond) > 0 {
			b.WriteString("  …\n")
			printLines(&b, beyond)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// printLines prints lines in columns, each as wide as its widest.
func printLines(b *strings.Builder, lines []leaderboard.Line) {
	rank, name, result := 3, 12, 5
	for _, l := range lines {
		rank = max(rank, len(fmt.Sprint(l.Rank)))
		name = max(name, min(utf8.RuneCountInString(l.Shown()), widestName))
		result = max(result, utf8.RuneCountInString(l.Result))
	}
	for _, l := range lines {
		more := l.Beside()
		if l.Joint > 0 && l.Version == content.Scaled { // as written, it is the rank itself
			more = strings.TrimPrefix(more+fmt.Sprintf(", %d in all", l.Joint), ", ")
		}
		if l.Marked {
			more = strings.TrimPrefix(more+", please check", ", ")
		}
		line := fmt.Sprintf("%*d. %s  %s  %s", rank, l.Rank, padded(l.Shown(), name), padded(l.Result, result), more)
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// widestName is how wide a column of names gets; longer names push their line on.
const widestName = 40

// padded fills a text up with blanks. Its characters are counted, which is not always how wide they are shown.
func padded(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
}
