package main

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"path"
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
	Sheets   map[int][]byte // by day, 0 is today
	Replies  []demoReply
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

// demoDays is how many days before today have a sheet.
const demoDays = 7

func loadDemo() (demoClub, error) {
	d := demoClub{Sheets: map[int][]byte{}}
	var err error
	if d.ClubFile, err = demoFile("club.txt"); err != nil {
		return d, err
	}
	for day := -demoDays; day <= 0; day++ {
		name := "day-" + strconv.Itoa(-day) + ".txt"
		if d.Sheets[day], err = demoFile("sheets/" + name); err != nil {
			return d, err
		}
	}
	err = demoLines("members.jsonl", func(line string) error {
		var m demoMember
		dec := json.NewDecoder(strings.NewReader(line))
		dec.DisallowUnknownFields()
		if err := dec.Decode(&m); err != nil {
			return err
		}
		d.Members = append(d.Members, m)
		return nil
	})
	if err != nil {
		return d, err
	}
	return d, demoLines("replies.tsv", func(line string) error {
		r, err := readDemoReply(line)
		d.Replies = append(d.Replies, r)
		return err
	})
}

func readDemoReply(line string) (demoReply, error) {
	f := strings.SplitN(line, "\t", 4)
	if len(f) != 4 {
		return demoReply{}, fmt.Errorf("want day, time, nick and text with tabs between, got %d fields", len(f))
	}
	day, err := strconv.Atoi(f[0])
	if err != nil || day > 0 || day < -demoDays {
		return demoReply{}, fmt.Errorf("%q is not a day from -%d to 0", f[0], demoDays)
	}
	at, err := content.ParseClock(f[1])
	if err != nil {
		return demoReply{}, err
	}
	return demoReply{Day: day, At: at, Nick: f[2], Text: strings.ReplaceAll(f[3], `\n`, "\n")}, nil
}

func demoFile(name string) ([]byte, error) {
	b, err := demoFiles.ReadFile(path.Join("demodata", name))
	if err != nil {
		return nil, fmt.Errorf("demo: %w", err)
	}
	return b, nil
}

// demoLines reads a file line by line; an error names the file and line.
func demoLines(name string, each func(line string) error) error {
	b, err := demoFile(name)
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
