package bot

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

// newKeptClub is newClub on a data folder.
func newKeptClub(t testing.TB, dir string) *club {
	t.Helper()
	ctx := context.Background()
	c := &club{t: t, clock: &handClock{}, ids: map[string]string{}}
	c.clock.set(time.Date(2027, 1, 31, 12, 0, 0, 0, time.UTC))
	s, err := store.Open(ctx, store.Options{Data: dir, Log: zerolog.Nop(), Now: c.clock.Now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	kept, err := s.Club("lantern-hall")
	if err != nil {
		t.Fatal(err)
	}
	people, err := roster.New(ctx, kept, roster.DefaultClub("lantern-hall"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := people.EnsureCoach(ctx, c.clock.Now(), ""); err != nil {
		t.Fatal(err)
	}
	if c.bot, err = New(ctx, Options{Club: kept, Roster: people, Clock: c.clock, Log: zerolog.Nop()}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.bot.Close() })
	for _, m := range people.All() {
		c.ids[m.Name] = m.ID
	}
	return c
}

// After forgetting, the store's own file holds nothing of the member: not the id, not the name, not a word of theirs,
// though others were shown them on boards, in lists and in notices.
func TestForgettingReachesTheFile(t *testing.T) {
	for _, by := range []string{"the member", "the coach"} {
		t.Run("by "+by, func(t *testing.T) {
			dir := t.TempDir()
			c := newKeptClub(t, dir)
			c.ids["coach"] = c.ids["Coach"]
			c.join("Ada", "women")
			c.join("Zebedee", "women")
			c.clock.set(time.Date(2027, 2, 1, 6, 30, 0, 0, time.UTC))
			c.send(monday, sheetA)
			for _, text := range []string{"B 21/18/15/24 as written", "D 14:32 as written", "my left knee twinged quietly", "no pain", "can I use the wobbly kettle?", "kit: sandbag", "fix D 14:23"} {
				c.say("Zebedee", text)
			}
			c.say("Ada", "D 15:00 as written")
			c.say("Ada", "board D")
			c.say("coach", "questions")
			c.say("coach", "board D")
			c.say("coach", "who is missing")
			id := c.ids["Zebedee"]
			if _, err := c.bot.Correct(context.Background(), c.ids["coach"], "c1", monday, "D", id, "14:20 as written", "misheard"); err != nil {
				t.Fatal(err)
			}
			c.enter(false, "2027-02-01,C,Zebedee,5 rounds + 3,scaled")
			log := filepath.Join(dir, "append.resp")
			traces := []string{id, "Zebedee", "twinged", "wobbly", "sandbag", "21/18/15/24", "misheard"}
			for _, trace := range traces {
				if b, err := os.ReadFile(log); err != nil || !bytes.Contains(b, []byte(trace)) {
					t.Fatalf("before, the file does not hold %q: %v", trace, err)
				}
			}
			if by == "the member" {
				c.say("Zebedee", "forget me for good")
			} else if n, err := c.bot.Forget(context.Background(), id); err != nil || n == 0 {
				t.Fatal(err)
			}
			b, err := os.ReadFile(log)
			if err != nil {
				t.Fatal(err)
			}
			for _, trace := range traces {
				if bytes.Contains(b, []byte(trace)) {
					t.Errorf("the file holds %q", trace)
				}
				if strings.Contains(exportOf(t, c), trace) {
					t.Errorf("an export holds %q", trace)
				}
			}
			if got := c.board("D"); got != "women as_written: 1 Ada 15:00\n" {
				t.Errorf("the board: %q", got)
			}
			if log, err := c.bot.After(context.Background(), c.ids["Ada"], -1); err != nil || !strings.Contains(fmt.Sprint(log.Posts), "15:00") || strings.Contains(fmt.Sprint(log.Posts), "14:2") {
				t.Errorf("what Ada was shown: %v %v", log.Posts, err)
			}
			if found, err := c.bot.Rebuild(context.Background()); err != nil || len(found) > 0 {
				t.Errorf("ledger and boards differ: %v %v", found, err)
			}
			if _, err := c.hear("Zebedee", "again", "D 14:00"); problemCode(err) != "not_found" {
				t.Errorf("who is forgotten is heard: %v", err)
			}
			if _, err := c.bot.Forget(context.Background(), id); problemCode(err) != "not_found" {
				t.Errorf("again: %v", err)
			}
			c.say("Ada", "D 14:55")
		})
	}
}

func TestACoachIsNotForgotten(t *testing.T) {
	c := newMonday(t, "Ada")
	if n, err := c.bot.Forget(context.Background(), "coach"); n != 0 || err == nil {
		t.Errorf("%d %v", n, err)
	}
	for _, m := range c.bot.roster.All() {
		if m.Role == roster.RoleCoach {
			if n, err := c.bot.Forget(context.Background(), m.ID); n != 0 || problemCode(err) != "not_found" {
				t.Errorf("%d %v", n, err)
			}
		}
	}
}

// A message that was decided on another replica before the member was forgotten, or with what that replica still
// remembers, writes nothing.
func TestWhoIsForgottenIsNotWrittenAgain(t *testing.T) {
	c := newMonday(t, "Ada", "Bo")
	id := c.ids["Ada"]
	c.say("Ada", "D 14:32 as written")
	if _, err := c.bot.club.Forget(context.Background(), c.clock.Now(), id); err != nil { // by another replica
		t.Fatal(err)
	}
	if _, err := c.hear("Ada", "late", "B 21/18/15/24"); err == nil {
		t.Error("heard")
	}
	if all := exportOf(t, c); strings.Contains(all, `"ledger:`+id) || strings.Contains(all, `"mail:`+id) {
		t.Error("written again")
	}
}

func TestAllOfAMembersData(t *testing.T) {
	c := newMonday(t, "Ada", "Bo")
	for _, text := range []string{"B 21/18/15/24 as written", "D 14:32 as written", "fix D 14:23", "my left knee hurts", "what is a bridge?"} {
		c.say("Ada", text)
	}
	c.say("Bo", "D 15:00 as written")
	if _, err := c.bot.Correct(context.Background(), "coach", "c1", monday, "B", c.ids["Ada"], "21/18/15/25", "counted again"); err != nil {
		t.Fatal(err)
	}
	for _, day := range []int{20, 400} { // long after the conversation's 14 days
		c.clock.set(time.Date(2027, 2, 1+day, 9, 0, 0, 0, time.UTC))
		d, err := c.bot.OwnData(context.Background(), c.ids["Ada"])
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		write := func(s string) error { _, err := b.WriteString(s); return err }
		if err := d.Encode(e, write, d.Member, func(p Post) any { return p }); err != nil {
			t.Fatal(err)
		}
		var got struct {
			Member  roster.Member
			Devices int
			Results []struct{ Part, Show string }
			History []struct{ By, What, Why string }
			Notes   []struct {
				Notes []struct {
					Said, Care string
					Question   bool
					DeleteOn   content.Date `json:"delete_on"`
				}
			}
			Conversation []Post
		}
		if err := json.Unmarshal(b.Bytes(), &got); err != nil {
			t.Fatalf("%v\n%s", err, b.String())
		}
		if got.Member.Name != "Ada" || got.Devices != 1 || fmt.Sprint(got.Results) != "[{B 79 reps} {D 14:23}]" {
			t.Errorf("%s, %d devices, results %v", got.Member.Name, got.Devices, got.Results)
		}
		if fmt.Sprint(got.History) != "[{you result } {you result } {you correct } {coach correct counted again}]" {
			t.Errorf("history %v", got.History)
		}
		if len(got.Notes) != 1 || len(got.Notes[0].Notes) != 2 || got.Notes[0].Notes[0].Care != "check" || got.Notes[0].Notes[0].DeleteOn.String() != "2027-08-01" || !got.Notes[0].Notes[1].Question {
			t.Errorf("notes %+v", got.Notes)
		}
		if len(got.Conversation) < 6 {
			t.Errorf("%d posts", len(got.Conversation))
		}
		for _, other := range []string{"Bo", c.ids["Bo"], "15:00"} {
			if strings.Contains(b.String(), other) {
				t.Errorf("it holds %q of another", other)
			}
		}
	}
	if _, err := c.bot.OwnData(context.Background(), "nobody"); problemCode(err) != "not_found" {
		t.Errorf("nobody's: %v", err)
	}
}

// What is said about health has an end: the words go from the notes, from the coach's conversation and the member's
// own, from the file on disk, and everything else stays.
func TestWordsAboutHealthHaveAnEnd(t *testing.T) {
	dir := t.TempDir()
	c := newKeptClub(t, dir)
	c.ids["coach"] = c.ids["Coach"]
	c.join("Ada", "women")
	c.clock.set(time.Date(2027, 2, 1, 6, 30, 0, 0, time.UTC))
	c.send(monday, sheetA)
	c.say("Ada", "D 14:32 as written, my left knee twinged quietly")
	c.say("Ada", "the bridge felt sturdy")
	c.say("coach", "questions")
	file := func() string {
		b, err := os.ReadFile(filepath.Join(dir, "append.resp"))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	said := c.clock.Now()
	for _, days := range []int{0, 100, 179} {
		c.clock.set(said.AddDate(0, 0, days))
		before := exportOf(t, c)
		if err := c.bot.SweepHealth(context.Background(), c.clock.Now()); err != nil {
			t.Fatal(err)
		}
		if exportOf(t, c) != before {
			t.Fatalf("after %d days something went", days)
		}
	}
	c.clock.set(said.AddDate(0, 0, 181))
	c.say("Ada", "my right elbow is cranky and sore")
	if err := c.bot.SweepHealth(context.Background(), c.clock.Now()); err != nil {
		t.Fatal(err)
	}
	if all := file(); strings.Contains(all, "twinged") || !strings.Contains(all, "sturdy") || !strings.Contains(all, "cranky") {
		t.Errorf("twinged %t, sturdy %t, cranky %t", strings.Contains(all, "twinged"), strings.Contains(all, "sturdy"), strings.Contains(all, "cranky"))
	}
	r, err := c.bot.Report(context.Background(), monday)
	if err != nil || len(r.Concerns) == 0 || r.Concerns[0].Care != "check" || r.Concerns[0].Said != "(The words were deleted after 180 days.)" {
		t.Errorf("the report of that day: %+v %v", r.Concerns, err)
	}
	if got := c.board("D"); got != "women as_written: 1 Ada 14:32\n" {
		t.Errorf("the board: %q", got)
	}
	before := exportOf(t, c)
	if err := c.bot.SweepHealth(context.Background(), c.clock.Now()); err != nil || exportOf(t, c) != before {
		t.Errorf("a second time something changed: %v", err)
	}
	if log, err := c.bot.After(context.Background(), c.ids["coach"], 0); err != nil || !strings.Contains(fmt.Sprint(log.Posts), "cranky") {
		t.Errorf("the coach's later notice is gone: %v", err)
	}
}

func TestDataSaysWhereAllOfItIs(t *testing.T) {
	c := newMonday(t, "Ada")
	if got := c.say("Ada", "data").Text; strings.Contains(got, "/api/me/data") {
		t.Errorf("a link without an address: %s", got)
	}
	cfg := c.bot.Club()
	cfg.PublicURL = "https://hall.example/"
	people, err := roster.New(t.Context(), c.bot.club, cfg)
	if err != nil {
		t.Fatal(err)
	}
	c.bot.roster = people
	if got := c.say("Ada", "data").Text; strings.Count(got, "https://hall.example/api/me/data") != 1 {
		t.Errorf("no link: %s", got)
	}
}
