package bot

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

var update = flag.Bool("update", false, "write golden files anew")

var boardQuery = leaderboard.Query{}

// TestTalks plays each transcript in testdata/talks: lines of "NAME> words" are typed, everything else is what the
// club answers. "== board D" prints a board, "== read NAME" what came to somebody unasked since they last read
// or typed, "== +26h" lets time pass, "== send NAME" sends testdata/talks/NAME.sheet, "== report DATE" prints who of a
// date is missing and who is excused. Read them aloud before accepting a change.
func TestTalks(t *testing.T) {
	files, err := filepath.Glob("testdata/talks/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no transcripts: %v", err)
	}
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".txt"), func(t *testing.T) {
			raw, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			got := play(t, string(raw))
			if *update {
				if err := os.WriteFile(f, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if got != string(raw) {
				t.Errorf("the talk has changed (-update writes it anew):\n%s", got)
			}
		})
	}
}

// play types what a transcript's people type and returns the transcript with the club's answers.
func play(t *testing.T, transcript string) string {
	c := newClub(t, "Ada", "Bo", "Cy", "Dee", "Eve")
	c.clock.set(time.Date(2027, 2, 1, 7, 0, 0, 0, time.UTC))
	c.send(monday, sheetA)
	for _, m := range c.bot.roster.All() {
		if m.Role == roster.RoleCoach {
			c.ids["Coach"] = m.ID
		}
	}
	read := map[string]int64{}
	var out strings.Builder
	for line := range strings.Lines(transcript) {
		line = strings.TrimSuffix(line, "\n")
		name, words, typed := strings.Cut(line, "> ")
		switch {
		case strings.HasPrefix(line, "#"):
			out.WriteString(line + "\n")
		case strings.HasPrefix(line, "== board "):
			out.WriteString(line + "\n" + indent(c.board(strings.TrimPrefix(line, "== board "))))
		case strings.HasPrefix(line, "== read "):
			out.WriteString(line + "\n" + indent(c.unread(strings.TrimPrefix(line, "== read "), read)))
		case strings.HasPrefix(line, "== report "):
			out.WriteString(line + "\n" + indent(c.absent(strings.TrimPrefix(line, "== report "))))
		case strings.HasPrefix(line, "== send "):
			sheet, err := os.ReadFile("testdata/talks/" + strings.TrimPrefix(line, "== send ") + ".sheet")
			if err != nil {
				t.Fatal(err)
			}
			s, _ := content.Parse("", sheet)
			c.send(s.Date, string(sheet))
			out.WriteString(line + "\n")
		case strings.HasPrefix(line, "== +"):
			d, err := time.ParseDuration(strings.TrimPrefix(line, "== +"))
			if err != nil {
				t.Fatal(err)
			}
			c.clock.forward(d)
			out.WriteString(line + "\n")
		case typed && c.ids[name] != "":
			post := c.say(name, strings.ReplaceAll(words, `\n`, "\n"))
			read[name] = post.Cursor
			out.WriteString(line + "\n" + indent(post.Text))
		}
	}
	return out.String()
}

// absent tells who has not answered a date's session, and who is excused.
func (c *club) absent(date string) string {
	c.t.Helper()
	d, err := content.ParseDate(date)
	if err != nil {
		c.t.Fatal(err)
	}
	r, err := c.bot.Report(context.Background(), d)
	if err != nil {
		c.t.Fatal(err)
	}
	names := func(people []Person) string {
		var out []string
		for _, p := range people {
			out = append(out, p.Name)
		}
		return strings.Join(out, ", ")
	}
	return "missing: " + names(r.Missing) + "\nexcused: " + names(r.Paused)
}

// unread returns the posts that came to somebody since read says, and notes them as read.
func (c *club) unread(name string, read map[string]int64) string {
	c.t.Helper()
	log, err := c.bot.After(context.Background(), c.ids[name], read[name])
	if err != nil {
		c.t.Fatal(err)
	}
	var b strings.Builder
	for _, p := range log.Posts {
		if read[name] == 0 && p.Kind == SessionPost {
			continue
		}
		fmt.Fprintf(&b, "[%s] %s\n", p.Kind, strings.TrimSpace(p.Text))
	}
	read[name] = log.UpTo
	return b.String()
}

func indent(s string) string {
	s = strings.TrimRight(s, "\n")
	return "    " + strings.ReplaceAll(s, "\n", "\n    ") + "\n"
}
