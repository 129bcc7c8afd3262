package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
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
out. A folder stands for all its .txt files, in order, and also gets its weekly balance: sets and reps by pattern and
by muscle, push to pull, squat to hinge, the single-leg share, days running, minutes a day. These are counts; they
judge nothing. Of two sheets of one date the week counts the first. The exit is 1 when there is an error, 3 when a
file cannot be read.

A club's own things lie in two folders beside its sheets, and are used for each FILE there too:

  FOLDER/movements/*.txt     its own movements, a file a pattern; first line pattern: NAME, then blocks such as
                             name: sandbag row / main: upper back / rep: … / seconds: 1.5-3 / cue: …
  FOLDER/movements/kit.txt   its own kit: name: …, also: …, is: weight
  FOLDER/week/bounds.txt     what its weeks should lie between; what lies outside is a warning. A line each:
                             row sets: 9-15            (a PATTERN or a MUSCLE, sets or reps; of muscles fractional sets)
                             row days running: at most 2
                             push to pull reps: 0.7-1.3     (or sets; squat to hinge likewise)
                             single-leg share: 30-60%
                             sessions: at least 3
                             days running: at most 3
                             minutes a day: at most 60      (the middle of the estimate)

--balance writes the weeks of one FOLDER to FILE: .txt as printed, .svg a picture to pin up, .json for programs:
{"weeks":[{"start","sessions","days_running","days":[{"date","session","rest","low_seconds","high_seconds",
"length":[{"part","how","low_seconds","high_seconds","counts"}],"patterns":[{"pattern","sets","reps"}]}],
"patterns":[{"pattern","sets","reps","days","days_running"}],"muscles":[{"muscle","direct_sets","helping_sets",
"fractional_sets","total_sets","direct_reps","helping_reps","fractional_reps"}],"push_to_pull":{"first_sets",
"second_sets","sets_ratio","first_reps","second_reps","reps_ratio"},"squat_to_hinge":{…},"single_leg":{
"single_leg_sets","lower_body_sets","share"},"outside":["…"]}],"counted","published"}. Numbers are not rounded; a
ratio is null where a side is nothing.`,
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "json", Usage: "print a line of JSON a file"},
			&cli.BoolFlag{Name: "length", Usage: "also print how long each session takes, and what that is reckoned from"},
			&cli.StringFlag{Name: "balance", Usage: "write the weeks of one FOLDER to `FILE`: .txt, .json or .svg"},
		},
		Action: func(_ context.Context, c *cli.Command) error {
			if !c.Args().Present() {
				return cli.Exit("check takes at least one FILE or FOLDER, for example: tallybell check sheets", exitUsage)
			}
			root := c.Root()
			k := checker{out: root.Writer, complaints: root.ErrWriter, json: c.Bool("json"), length: c.Bool("length"),
				balance: c.String("balance"), clubs: map[string]*content.Library{}}
			if err := k.usage(c.Args().Slice(), c.IsSet("balance")); err != nil {
				return err
			}
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
	json, length      bool
	balance           string                      // where the weeks go, or ""
	clubs             map[string]*content.Library // by folder of sheets
	wrong, unreadable bool
	lost              error // writing failed
}

// usage tells flags that do not go together.
func (k *checker) usage(names []string, balance bool) error {
	switch {
	case k.json && k.length:
		return cli.Exit("--length goes with text: take --json out (--balance FILE.json holds the lengths)", exitUsage)
	case !balance:
		return nil
	case len(names) != 1:
		return cli.Exit("--balance takes one FOLDER", exitUsage)
	}
	if info, err := os.Stat(names[0]); err == nil && !info.IsDir() {
		return cli.Exit("--balance takes a FOLDER of sheets: a week is more than one of them", exitUsage)
	}
	switch path.Ext(k.balance) {
	case ".txt":
		if amongSheets(names[0], k.balance) {
			return cli.Exit(fmt.Sprintf("--balance %s: a .txt in there is read as a sheet or as the club's own; write it somewhere else", k.balance), exitUsage)
		}
		return nil
	case ".json", ".svg":
		return nil
	}
	return cli.Exit(fmt.Sprintf("--balance %s: the file ends in .txt, .json or .svg", k.balance), exitUsage)
}

// amongSheets reports whether file lies in a folder of sheets, or with what the club keeps beside them.
func amongSheets(folder, file string) bool {
	at, err := os.Stat(filepath.Dir(file))
	if err != nil {
		return false
	}
	for _, dir := range []string{folder, path.Join(folder, movementsFolder), path.Join(folder, path.Dir(boundsFile))} {
		if info, err := os.Stat(dir); err == nil && os.SameFile(at, info) {
			return true
		}
	}
	return false
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
	text     []byte
	lib      *content.Library
	session  content.Session
	problems []content.Problem
}

func (k *checker) exit() error {
	switch {
	case k.lost != nil:
		return cli.Exit(fmt.Sprintf("cannot write: %v", k.lost), exitOutside)
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
		if clean := path.Clean(name); path.Base(clean) == movementsFolder { // given by a pattern such as sheets/*
			k.club(folderOf(clean))
			return
		}
		k.folder(name)
		return
	}
	if s, ok := k.read(name); ok {
		k.print(s)
	}
}

// read reads one sheet with the library of its folder; a file that cannot be read is told.
func (k *checker) read(file string) (readSheet, bool) {
	text, err := readSheetFile(file)
	if err != nil {
		k.complain("sheet", err)
		return readSheet{}, false
	}
	s := readSheet{file: file, text: text, lib: k.club(folderOf(file))}
	s.session, s.problems = content.Read(s.lib, file, text)
	return s, true
}

// folderOf is the folder of a sheet as it was given: "" is the current one.
func folderOf(file string) string {
	dir, _ := path.Split(strings.ReplaceAll(file, `\`, "/"))
	return dir
}

// club returns the library for the sheets of a folder, and tells what is wrong with the club's own files once.
func (k *checker) club(dir string) *content.Library {
	if lib, had := k.clubs[dir]; had {
		return lib
	}
	lib, problems, err := folderLibrary(dir)
	if err != nil {
		k.complain("club's movements", err)
	}
	k.clubs[dir] = lib
	byFile := map[string][]content.Problem{}
	var files []string
	for _, p := range problems {
		if _, had := byFile[p.file]; !had {
			files = append(files, p.file)
		}
		byFile[p.file] = append(byFile[p.file], p.Problem)
	}
	for _, file := range files {
		k.problems(file, byFile[file])
	}
	return lib
}

func (k *checker) complain(what string, err error) {
	k.unreadable = true
	fmt.Fprintf(k.complaints, "tallybell: cannot read the %s: %v\n", what, err)
}

// print prints the problems of one sheet, and its length where that is asked for.
func (k *checker) print(s readSheet) {
	if k.json {
		k.report(s.file, s.problems)
		return
	}
	k.problems(s.file, s.problems)
	if k.length && len(content.Errors(s.problems)) == 0 && !s.session.Rest {
		k.write(s.file + ": " + content.LengthText(s.session, s.lib))
	}
}

// problems prints what is wrong with a file; of one without problems nothing, not even a line of JSON.
func (k *checker) problems(file string, problems []content.Problem) {
	if len(problems) == 0 {
		return
	}
	if k.json {
		k.report(file, problems)
		return
	}
	k.wrong = k.wrong || len(content.Errors(problems)) > 0
	for _, p := range problems {
		k.write(p.In(file) + "\n")
	}
}

// report prints a file's line of JSON.
func (k *checker) report(file string, problems []content.Problem) {
	r := sheetReport{File: file, Errors: content.Errors(problems), Warnings: content.Warnings(problems)}
	k.wrong = k.wrong || len(r.Errors) > 0
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(r); err != nil {
		k.lost = errors.Join(k.lost, err)
	}
	k.write(b.String())
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
