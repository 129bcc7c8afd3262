package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v3"

	"tallybell/bot/reply"
	"tallybell/content"
	"tallybell/leaderboard"
)

// rankCommand reads replies of many members about one part and prints the boards they make: the whole job on one
// page, with no server.
func rankCommand() *cli.Command {
	return &cli.Command{
		Name:  "rank",
		Usage: "read name, division and reply lines, and print the boards of one part as JSON",
		Description: `Reads lines of NAME<TAB>DIVISION<TAB>REPLY from stdin and prints
{"boards":[{"division","version","entries":[{"rank","name","result","version"}]}],"unread":[{"name","reply","asks"}]}.
Lines of one name and division are one member's, in order: a later result replaces the earlier. Replies with a
question open are in "unread"; talk is not listed. A bad line is told on stderr and makes the exit 1.

` + fitHelp + ` All lines are then of members with that fit; boards count the sheet's own reps.`,
		Flags: append([]cli.Flag{
			&cli.StringFlag{Name: "sheet", Usage: "the session sheet, `FILE`"},
			&cli.StringFlag{Name: "part", Usage: "the scored part to rank, a `LETTER`"},
			&cli.StringFlag{Name: "usual", Usage: "version of results that do not say: as_written or scaled"},
			&cli.StringFlag{Name: "units", Usage: "units of bare loads, and of loads shown: kg or lb", Value: "kg"},
			&cli.StringFlag{Name: "date", Usage: "the day the replies were typed, `YYYY-MM-DD`; the sheet's if not told"},
		}, fitFlags()...),
		OnUsageError: func(_ context.Context, _ *cli.Command, err error, _ bool) error {
			return cli.Exit(err.Error(), exitUsage)
		},
		Action: func(_ context.Context, c *cli.Command) error {
			switch {
			case c.Args().Present():
				return cli.Exit("rank takes no arguments: the lines come from stdin", exitUsage)
			case c.String("sheet") == "" || c.String("part") == "":
				return cli.Exit("rank needs --sheet FILE and --part LETTER", exitUsage)
			}
			root := c.Root()
			r, err := newRanking(root.ErrWriter, c)
			if err != nil {
				return err
			}
			return r.run(root.Reader, root.Writer)
		},
	}
}

// ranking is one run of the rank command.
type ranking struct {
	part    content.Part
	date    string // the session's
	read    func(text string) reply.Reading
	tally   *leaderboard.Tally
	members map[string]*rankedMember // by name and division
	unread  []*unreadReply
	errors  io.Writer
	bad     bool // a line could not be read
}

// newRanking reads the flags and the sheet.
func newRanking(problems io.Writer, c *cli.Command) (*ranking, error) {
	session, lib, err := openSheet(problems, c.String("sheet"))
	if err != nil {
		return nil, err
	}
	in, err := rankInput(c, session, lib)
	if err != nil {
		return nil, cli.Exit(err.Error(), exitUsage)
	}
	letter := strings.ToUpper(strings.TrimSpace(c.String("part")))
	sheet, ok := in.Session.Sheet.Part(letter)
	if !ok {
		return nil, cli.Exit(fmt.Sprintf("--part %s: the sheet has no such part: it has %s", c.String("part"), letters(session.Parts)), exitUsage)
	}
	if !sheet.IsScored() {
		return nil, cli.Exit(fmt.Sprintf("--part %s: that part is not scored, so nobody ranks in it", letter), exitUsage)
	}
	fitted, ok := in.Session.Session.Part(letter)
	if !ok {
		fitted = sheet
	}
	return &ranking{part: *sheet, date: session.Date.String(), errors: problems,
		read:  func(text string) reply.Reading { return reply.Read(text, in) },
		tally: leaderboard.NewTally(session.Date, *sheet, *fitted, in.Units), members: map[string]*rankedMember{}}, nil
}

func letters(parts []content.Part) string {
	out := make([]string, len(parts))
	for i, p := range parts {
		out[i] = p.Letter
	}
	if len(out) == 0 {
		return "none"
	}
	return strings.Join(out, ", ")
}

// rankInput checks the flags that say how replies are read.
func rankInput(c *cli.Command, session content.Session, lib *content.Library) (reply.Input, error) {
	in := reply.Input{Library: lib, Usual: content.Version(c.String("usual")), Units: c.String("units"), Today: session.Date}
	switch in.Usual {
	case "", content.AsWritten, content.Scaled:
	default:
		return in, fmt.Errorf("--usual %s: want as_written or scaled", in.Usual)
	}
	if in.Units != "kg" && in.Units != "lb" {
		return in, fmt.Errorf("--units %s: want kg or lb", in.Units)
	}
	if text := c.String("date"); text != "" {
		d, err := content.ParseDate(text)
		if err != nil {
			return in, fmt.Errorf("--date: %w", err)
		}
		in.Today = d
	}
	fitted, err := fittedFrom(c, session, in.Library)
	if err != nil {
		return in, err
	}
	in.Session = fitted
	in.Sheet = func(d content.Date) (content.FittedSession, bool) { return fitted, d == session.Date }
	return in, nil
}

// run reads every line and writes the boards.
func (r *ranking) run(in io.Reader, out io.Writer) error {
	lines := bufio.NewReader(in)
	for n := 1; ; n++ {
		text, err := lines.ReadString('\n')
		if err != nil && err != io.EOF {
			return cli.Exit(fmt.Sprintf("cannot read stdin: %v", err), exitOutside)
		}
		if n == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
		}
		if text = strings.TrimRight(text, "\r\n"); strings.TrimSpace(text) != "" {
			r.line(n, text)
		}
		if err == io.EOF {
			break
		}
	}
	unread := []*unreadReply{}
	for _, u := range r.unread {
		if !u.settled {
			unread = append(unread, u)
		}
	}
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(struct {
		Boards []leaderboard.TallyBoard `json:"boards"`
		Unread []*unreadReply           `json:"unread"`
	}{r.tally.Boards(), unread}); err != nil {
		return cli.Exit(fmt.Sprintf("cannot write the boards: %v", err), exitOutside)
	}
	if r.bad {
		return cli.Exit("", exitInput)
	}
	return nil
}

// line takes one line of stdin, NAME<TAB>DIVISION<TAB>REPLY.
func (r *ranking) line(n int, text string) {
	name, rest, ok := strings.Cut(text, "\t")
	division, said, ok2 := strings.Cut(rest, "\t")
	name, division = strings.TrimSpace(name), strings.TrimSpace(division)
	at, problem := 1, ""
	switch second := utf8.RuneCountInString(text[:len(text)-len(rest)]) + 1; {
	case !utf8.ValidString(text):
		problem = "the line is not UTF-8"
	case !ok || !ok2:
		problem = "want NAME, DIVISION and REPLY with a tab between each"
	case name == "":
		problem = "no name before the first tab"
	default:
		if err := leaderboard.CheckDivision(division); err != nil {
			at, problem = second, err.Error()
		}
	}
	if problem != "" {
		r.bad = true
		fmt.Fprintf(r.errors, "stdin:%d:%d: %s\n", n, at, problem)
		return
	}
	r.tally.Line(division)
	key := name + "\t" + division
	m := r.members[key]
	if m == nil {
		m = &rankedMember{untold: map[string]bool{}, waiting: map[*unreadReply]bool{}}
		r.members[key] = m
	}
	r.hear(m, name, division, said)
}
