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
)

// remoteStandings prints the standings of a running server's boards.
func remoteStandings(ctx context.Context, c *cli.Command) error {
	switch {
	case c.Args().Present():
		return cli.Exit("standings takes a FILE, or --from, --to and --division of a running server: not both", exitUsage)
	case c.String("division") == "":
		return cli.Exit("standings of a server need --division, for example --division women", exitUsage)
	case c.Bool("json") && c.Bool("csv"):
		return cli.Exit("--json and --csv are two forms of one thing: give one of them", exitUsage)
	}
	q := url.Values{}
	for _, f := range []string{"from", "to", "division", "version"} {
		v := c.String(f)
		if v == "" {
			continue
		}
		if _, err := content.ParseDate(v); err != nil && (f == "from" || f == "to") {
			return cli.Exit("--"+f+": "+err.Error(), exitUsage)
		}
		q.Set(f, v)
	}
	r, err := newRemote(c)
	if err != nil {
		return err
	}
	var s standingsTable
	if done, err := r.show(ctx, c, "/api/standings?"+q.Encode(), &s); done || err != nil {
		return err
	}
	_, err = io.WriteString(c.Root().Writer, s.String())
	return err
}

// standingsTable is what a table shows of the server's answer.
type standingsTable struct {
	From, To, Division, Version, Missed string
	Races                               []struct{ Date, Part string }
	Discards                            int
	Standings                           []struct {
		Rank         int
		Member, Name string
		Namesake     bool
		Total        json.Number
		Tie          string
		Scores       []struct {
			Points   json.Number
			Excluded bool
			Rule     string
		}
	}
}

// String lays the standings out: a column a race, what is left out in brackets.
func (s standingsTable) String() string {
	var b strings.Builder
	version := "each on the board of their own version"
	if s.Version != "" {
		version = strings.ReplaceAll(s.Version, "_", " ")
	}
	fmt.Fprintf(&b, "Standings, %s, %s to %s, %s\nA missed race counts %s; worst left out: %d\n", s.Division, s.From, s.To, version, s.Missed, s.Discards)
	if len(s.Standings) == 0 {
		b.WriteString("Nobody stands on a board of these days.\n")
		return b.String()
	}
	names := make([]string, len(s.Standings))
	name := 12
	for i, r := range s.Standings {
		if names[i] = r.Name; r.Namesake {
			names[i] += " #" + r.Member
		}
		name = max(name, min(utf8.RuneCountInString(names[i]), widestName))
	}
	fmt.Fprintf(&b, "      %s %7s", padded("", name), "points")
	for _, r := range s.Races {
		_, day, _ := strings.Cut(r.Date, "-")
		fmt.Fprintf(&b, " %7s", day+r.Part)
	}
	b.WriteByte('\n')
	for i, r := range s.Standings {
		fmt.Fprintf(&b, "%4d. %s %7s", r.Rank, padded(names[i], name), r.Total)
		for _, sc := range r.Scores {
			p := sc.Points.String()
			if sc.Excluded {
				p = "(" + p + ")"
			}
			fmt.Fprintf(&b, " %7s", p)
		}
		if r.Tie != "" {
			b.WriteString("  tie: " + r.Tie)
		}
		b.WriteByte('\n')
	}
	return b.String()
}
