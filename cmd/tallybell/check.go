package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/urfave/cli/v3"

	"tallybell/content"
)

// checkCommand tells what is wrong with sheets; a folder also gets the balance of its weeks.
func checkCommand() *cli.Command {
	return &cli.Command{
		Name:      "check",
		Usage:     "check session sheets",
		ArgsUsage: "FILE|FOLDER…",
		Description: `Prints every problem as file:line:column: message; a warning says so, and does not keep a session from going
out. A folder stands for all its .txt files, in order, and also gets its weekly balance. The exit is 1 when there is
an error, 3 when a file cannot be read.`,
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "json", Usage: "print a line of JSON a file"},
		},
		Action: func(_ context.Context, c *cli.Command) error {
			if !c.Args().Present() {
				return cli.Exit("check takes at least one FILE or FOLDER, for example: tallybell check sheets", exitUsage)
			}
			root := c.Root()
			k := checker{out: root.Writer, complaints: root.ErrWriter, json: c.Bool("json"), lib: content.Builtin()}
			for _, name := range c.Args().Slice() {
				k.check(name)
			}
			return k.exit()
		},
	}
}

// checker checks sheets one after the other and remembers the worst that it met.
type checker struct {
	out, complaints   io.Writer
	json              bool
	lib               *content.Library
	wrong, unreadable bool
	lost              error // writing failed
}

// sheetReport is what --json prints for a file.
type sheetReport struct {
	File     string            `json:"file"`
	Errors   []content.Problem `json:"errors"`
	Warnings []content.Problem `json:"warnings"`
}

// readSheet is a sheet as read, with its problems.
type readSheet struct {
	file     string
	session  content.Session
	problems []content.Problem
}

func (k *checker) exit() error {
	switch {
	case k.lost != nil:
		return cli.Exit(fmt.Sprintf("cannot write the problems: %v", k.lost), exitOutside)
	case k.unreadable:
		return cli.Exit("", exitOutside)
	case k.wrong:
		return cli.Exit("", exitInput)
	}
	return nil
}

// check checks a file, or the sheets of a folder.
func (k *checker) check(name string) {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		k.folder(name)
		return
	}
	if s, ok := k.read(name); ok {
		k.print(s)
	}
}

// read reads one sheet; a file that cannot be read is told.
func (k *checker) read(file string) (readSheet, bool) {
	text, err := readSheetFile(file)
	if err != nil {
		k.complain(err)
		return readSheet{}, false
	}
	s := readSheet{file: file}
	s.session, s.problems = content.Read(k.lib, file, text)
	return s, true
}

func (k *checker) complain(err error) {
	k.unreadable = true
	fmt.Fprintf(k.complaints, "tallybell: cannot read the sheet: %v\n", err)
}

// folder checks all *.txt of a folder, in order of name, and prints the balance of its weeks.
func (k *checker) folder(folder string) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		k.complain(err)
		return
	}
	var sheets []readSheet
	var days []content.Session
	for _, e := range entries {
		if e.IsDir() || !strings.HasSuffix(e.Name(), ".txt") {
			continue
		}
		if s, ok := k.read(strings.TrimSuffix(folder, "/") + "/" + e.Name()); ok {
			sheets = append(sheets, s)
			days = append(days, sound(s))
		}
	}
	for i, running := range content.CheckWeek(k.lib, days) {
		sheets[i].problems = content.Sorted(append(sheets[i].problems, running...))
		k.print(sheets[i])
	}
	switch {
	case len(sheets) == 0:
		fmt.Fprintf(k.complaints, "tallybell: no sheets in %s: a sheet is a file such as 2027-02-01.txt\n", folder)
	case !k.json:
		if text := content.WeekText(k.lib, days); text != "" {
			k.write("\n" + text)
		}
	}
}

// sound returns the session of a sheet without errors; of any other, one without a date, which no week counts.
func sound(s readSheet) content.Session {
	if len(content.Errors(s.problems)) > 0 {
		return content.Session{}
	}
	return s.session
}

// print prints the problems of one sheet.
func (k *checker) print(s readSheet) {
	report := sheetReport{File: s.file, Errors: content.Errors(s.problems), Warnings: content.Warnings(s.problems)}
	k.wrong = k.wrong || len(report.Errors) > 0
	if k.json {
		var b strings.Builder
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(false)
		if err := e.Encode(report); err != nil {
			k.lost = errors.Join(k.lost, err)
		}
		k.write(b.String())
		return
	}
	for _, p := range s.problems {
		k.write(p.In(s.file) + "\n")
	}
}

func (k *checker) write(text string) {
	if _, err := io.WriteString(k.out, text); err != nil && k.lost == nil {
		k.lost = err
	}
}

// readSheetFile reads a sheet, and of a file that is larger than any sheet no more than shows it.
func readSheetFile(file string) ([]byte, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, content.MaxSheet+1))
}
