package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"github.com/urfave/cli/v3"

	"tallybell/bot/reply"
	"tallybell/content"
)

// readCommand reads replies from stdin and prints what each says, one JSON object a line.
func readCommand() *cli.Command {
	return &cli.Command{
		Name:  "read",
		Usage: "read members' replies from stdin against a sheet, one JSON object a line",
		Description: `Reads a reply a line, of any length, and prints {"reply","results","asks","care","note","command","question"} for
each, in the same order. With --jsonl a line is an object with a text "reply", for replies that span lines. A bad line
is told on stderr as stdin:N: message, prints {"error":"…"}, and makes the exit 1.

--why tells on stderr, after each reply's object, by which rules it was read, in order, as stdin:N: why: RULE: "WORDS"
-> WHAT CAME OF IT. What came of it is a part, a value, a result or, after a question mark, what is asked. --rules
prints the name of every rule and what it does.

` + fitHelp + ` What was sent eased is scaled without asking.`,
		Flags: append([]cli.Flag{
			&cli.StringFlag{Name: "sheet", Usage: "the session sheet, `FILE`"},
			&cli.StringFlag{Name: "usual", Usage: "version of results that do not say: as_written or scaled"},
			&cli.StringFlag{Name: "units", Usage: "units of bare loads: kg or lb", Value: "kg"},
			&cli.StringFlag{Name: "date", Usage: "the day the replies are typed, `YYYY-MM-DD`; the sheet's if not told"},
			&cli.BoolFlag{Name: "jsonl", Usage: `lines are objects with a text "reply"`},
			&cli.BoolFlag{Name: "why", Usage: "tell on stderr by which rules each reply was read"},
			&cli.BoolFlag{Name: "rules", Usage: "print the rules that --why names, and exit"},
		}, fitFlags()...),
		OnUsageError: func(_ context.Context, _ *cli.Command, err error, _ bool) error {
			return cli.Exit(err.Error(), exitUsage)
		},
		Action: func(_ context.Context, c *cli.Command) error {
			switch {
			case c.Args().Present():
				return cli.Exit("read takes no arguments: replies come from stdin, a line each", exitUsage)
			case c.Bool("rules"):
				return printRules(c.Root().Writer)
			case c.String("sheet") == "":
				return cli.Exit("read needs --sheet FILE", exitUsage)
			}
			root := c.Root()
			in, err := readInput(root.ErrWriter, c)
			if err != nil {
				return err
			}
			if c.Bool("why") {
				in.Why = new([]reply.Step)
			}
			return readReplies(root.Reader, root.Writer, root.ErrWriter, in, c.Bool("jsonl"))
		},
	}
}

// readInput reads the settings and the sheet. What is wrong with the sheet goes to problems, a line each.
func readInput(problems io.Writer, c *cli.Command) (reply.Input, error) {
	in := reply.Input{Usual: content.Version(c.String("usual")), Units: c.String("units")}
	usage := func(format string, a ...any) (reply.Input, error) {
		return in, cli.Exit(fmt.Sprintf(format, a...), exitUsage)
	}
	if in.Usual != "" && in.Usual != content.AsWritten && in.Usual != content.Scaled {
		return usage("--usual %q: want as_written or scaled", in.Usual)
	}
	if in.Units != "kg" && in.Units != "lb" {
		return usage("--units %q: want kg or lb", in.Units)
	}
	if text := c.String("date"); text != "" {
		day, err := content.ParseDate(text)
		if err != nil {
			return usage("--date: %v", err)
		}
		in.Today = day
	}
	session, lib, err := openSheet(problems, c.String("sheet"))
	if err != nil {
		return in, err
	}
	in.Library = lib
	if in.Session, err = fittedFrom(c, session, in.Library); err != nil {
		return usage("%v", err)
	}
	if in.Today.IsZero() {
		in.Today = session.Date
	}
	return in, nil
}

// readReplies answers each line of r on w as it comes. Lines may be of any length.
func readReplies(r io.Reader, w, problems io.Writer, in reply.Input, jsonl bool) error {
	lines := bufio.NewReaderSize(r, 64<<10)
	out := bufio.NewWriter(w)
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	bad := false
	for n := 1; ; n++ {
		line, end := lines.ReadBytes('\n')
		if end != nil && !errors.Is(end, io.EOF) {
			return cli.Exit(fmt.Sprintf("cannot read stdin: %v", end), exitOutside)
		}
		if len(line) > 0 {
			text, err := replyOf(bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("\n")), []byte("\r")), jsonl)
			if err != nil {
				bad = true
				fmt.Fprintf(problems, "stdin:%d: %v\n", n, err)
				err = e.Encode(map[string]string{"error": err.Error()})
			} else {
				err = e.Encode(reply.Read(text, in))
				if in.Why != nil && err == nil {
					err = out.Flush()
					tellWhy(problems, n, in.Why)
				}
			}
			// What has been answered leaves before the next line is waited for.
			if err == nil && lines.Buffered() == 0 {
				err = out.Flush()
			}
			if err != nil {
				return cli.Exit(fmt.Sprintf("cannot write the readings: %v", err), exitOutside)
			}
		}
		if end != nil {
			break
		}
	}
	if err := out.Flush(); err != nil {
		return cli.Exit(fmt.Sprintf("cannot write the readings: %v", err), exitOutside)
	}
	if bad {
		return cli.Exit("", exitInput)
	}
	return nil
}

// tellWhy prints the steps by which the reply of a line was read, and forgets them.
func tellWhy(w io.Writer, line int, steps *[]reply.Step) {
	for _, s := range *steps {
		fmt.Fprintf(w, "stdin:%d: why: %s\n", line, s)
	}
	*steps = (*steps)[:0]
}

// printRules prints the rules that --why names, one a line.
func printRules(w io.Writer) error {
	var b bytes.Buffer
	for _, r := range reply.Rules() {
		fmt.Fprintf(&b, "%-47s %s\n", r.Name, r.Does)
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return cli.Exit(fmt.Sprintf("cannot write the rules: %v", err), exitOutside)
	}
	return nil
}

// replyOf returns the reply of one line, without its line end.
func replyOf(line []byte, jsonl bool) (string, error) {
	if !utf8.Valid(line) {
		return "", errors.New("the line is not UTF-8 text")
	}
	if !jsonl {
		return string(line), nil
	}
	var object struct {
		Reply *string `json:"reply"`
	}
	if trimmed := bytes.TrimSpace(line); len(trimmed) == 0 || trimmed[0] != '{' {
		return "", errors.New(`want a JSON object with a text "reply", for example {"reply":"D 14:32 scaled"}`)
	}
	err := json.Unmarshal(line, &object)
	if wrong := (*json.UnmarshalTypeError)(nil); errors.As(err, &wrong) {
		return "", fmt.Errorf(`"reply" is a %s: want text, for example {"reply":"D 14:32 scaled"}`, wrong.Value)
	}
	if err != nil {
		return "", fmt.Errorf(`want a JSON object with a text "reply": %w`, err)
	}
	if object.Reply == nil {
		return "", errors.New(`the object has no text "reply", for example {"reply":"D 14:32 scaled"}`)
	}
	return *object.Reply, nil
}
