package main

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strconv"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
)

// demoFiles are the invented club's; demodata/README.txt tells what each is.
//
//go:embed demodata
var demoFiles embed.FS

// demoClub is everything that the demo's week is made of.
type demoClub struct {
	ClubFile []byte
	Members  []demoMember
	Sheets   [][]byte    // the programme, a sheet a day in order; today's is that of index demoToday
	Replies  []demoReply // by day, then by the local time at which they were typed
}

// demoMember is one invented member; replies name them by nick.
type demoMember struct {
	Nick string `json:"nick"`
	roster.NewMember
}

// demoReply is one message, typed on a day (0 is today) at the member's local time.
type demoReply struct {
	Day  int
	At   content.Clock
	Nick string
	Text string
}

// demoToday is the day of the programme that the demo's first day is: the first one of its third week. demoDays is
// how many days before it have replies: the week before.
const demoToday, demoDays = 14, 7

// loadDemo reads the invented club. Errors name file:line.
func loadDemo() (demoClub, error) {
	files, err := fs.Sub(demoFiles, "demodata")
	if err != nil {
		return demoClub{}, fmt.Errorf("demo: %w", err)
	}
	return readDemo(files)
}

// readDemo reads a folder of the demo's shape. Sheets are taken as they are: whoever sends them checks them.
func readDemo(files fs.FS) (d demoClub, err error) {
	if d.ClubFile, err = demoFile(files, "club.txt"); err != nil {
		return d, err
	}
	if d.Sheets, err = readDemoSheets(files); err != nil {
		return d, err
	}
	nicks := map[string]bool{}
	err = demoLines(files, "members.jsonl", func(line string) error {
		m, err := readDemoMember(line)
		switch {
		case err != nil:
			return err
		case nicks[m.Nick]:
			return fmt.Errorf("the nick %q is taken by a line above: choose another", m.Nick)
		}
		nicks[m.Nick] = true
		d.Members = append(d.Members, m)
		return nil
	})
	if err != nil {
		return d, err
	}
	return d, demoLines(files, "replies.tsv", func(line string) error {
		r, err := readDemoReply(line)
		switch {
		case err != nil:
			return err
		case !nicks[r.Nick]:
			return fmt.Errorf("nobody in members.jsonl has the nick %q", r.Nick)
		case len(d.Replies) > 0 && r.before(d.Replies[len(d.Replies)-1]):
			return fmt.Errorf("day %d at %s comes after a later line: sort the lines by day and time", r.Day, r.At)
		}
		d.Replies = append(d.Replies, r)
		return nil
	})
}

// readDemoSheets reads the programme. The file names are dates, one a day without a gap; only their order counts, as
// the programme is moved to the days around today.
func readDemoSheets(files fs.FS) ([][]byte, error) {
	entries, err := fs.ReadDir(files, "sheets")
	if err != nil {
		return nil, fmt.Errorf("demo: %w", err)
	}
	var sheets [][]byte
	var next content.Date
	for _, e := range entries {
		name := "sheets/" + e.Name()
		date, err := content.ParseDate(strings.TrimSuffix(e.Name(), ".txt"))
		if err != nil || date.String()+".txt" != e.Name() {
			return nil, fmt.Errorf("demo: %s: a sheet is named by its date, for example 2027-01-11.txt", name)
		}
		if len(sheets) > 0 && date != next {
			return nil, fmt.Errorf("demo: %s: the sheet of %s is missing before it", name, next)
		}
		text, err := demoFile(files, name)
		if err != nil {
			return nil, err
		}
		sheets, next = append(sheets, text), date.AddDays(1)
	}
	if len(sheets) <= demoToday {
		return nil, fmt.Errorf("demo: sheets: %d days are too few, as today is day %d of the programme", len(sheets), demoToday+1)
	}
	return sheets, nil
}

func (r demoReply) before(o demoReply) bool {
	return r.Day < o.Day || r.Day == o.Day && r.At.Minutes() < o.At.Minutes()
}

func readDemoMember(line string) (demoMember, error) {
	var m demoMember
	dec := json.NewDecoder(strings.NewReader(line))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&m); err != nil {
		return m, fmt.Errorf("want one JSON object a line: %w", err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return m, errors.New("want one JSON object a line, and nothing after it")
	}
	if m.Nick == "" {
		return m, errors.New("the member has no nick: write a short one, for the replies to name")
	}
	return m, nil
}

func readDemoReply(line string) (demoReply, error) {
	f := strings.SplitN(line, "\t", 4)
	if len(f) != 4 {
		return demoReply{}, fmt.Errorf("want day, time, nick and text with tabs between, got %d of the four", len(f))
	}
	day, err := strconv.Atoi(f[0])
	if err != nil || day > 0 || day < -demoDays {
		return demoReply{}, fmt.Errorf("%q is not a day from -%d to 0", f[0], demoDays)
	}
	at, err := content.ParseClock(f[1])
	if err != nil {
		return demoReply{}, err
	}
	text := strings.ReplaceAll(f[3], `\n`, "\n")
	if strings.TrimSpace(text) == "" {
		return demoReply{}, errors.New("the reply says nothing")
	}
	return demoReply{Day: day, At: at, Nick: f[2], Text: text}, nil
}

func demoFile(files fs.FS, name string) ([]byte, error) {
	b, err := fs.ReadFile(files, name)
	if err != nil {
		return nil, fmt.Errorf("demo: %w", err)
	}
	return b, nil
}

// demoLines reads a file line by line; an error names the file and line.
func demoLines(files fs.FS, name string, each func(line string) error) error {
	b, err := demoFile(files, name)
	if err != nil {
		return err
	}
	for i, line := range strings.Split(string(bytes.TrimRight(b, "\n")), "\n") {
		if err := each(line); err != nil {
			return fmt.Errorf("demo: %s:%d: %w", name, i+1, err)
		}
	}
	return nil
}
