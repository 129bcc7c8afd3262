package bot

import (
	"context"
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"go.uber.org/goleak"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// handClock is a clock that tests move by hand.
type handClock struct{ us atomic.Int64 }

func (c *handClock) Now() time.Time          { return time.UnixMicro(c.us.Load()) }
func (c *handClock) set(t time.Time)         { c.us.Store(t.UnixMicro()) }
func (c *handClock) forward(d time.Duration) { c.set(c.Now().Add(d)) }

// club is one club on an embedded store, with a session sent to its members.
type club struct {
	t     testing.TB
	bot   *Bot
	clock *handClock
	ids   map[string]string // name -> id
	said  int
}

// sheetA has a strength part, stations, a piece for time and one for reps.
const sheetA = `session: Ledge and landing
date: 2027-02-01

Warm-up:
10 wall slide

A. 3 sets, rest 1:30
8 push-up
  easier: 8 incline push-up

B. 4 stations of 1:00, max reps
air squat
plank shoulder tap
mountain climber
bridge

C. AMRAP 9:00
4 push-up
8 air squat
12 mountain climber

D. 5 rounds for time, cap 16:00
16 air squat
12 push-up
`

var monday = content.Date{Year: 2027, Month: time.February, Day: 1}

func newClub(t testing.TB, names ...string) *club {
	t.Helper()
	ctx := context.Background()
	c := &club{t: t, clock: &handClock{}, ids: map[string]string{}}
	c.clock.set(time.Date(2027, 1, 31, 12, 0, 0, 0, time.UTC))
	s, err := store.Open(ctx, store.Options{AllowVolatile: true, Log: zerolog.Nop(), Now: c.clock.Now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	kept, err := s.Club("lantern-hall")
	if err != nil {
		t.Fatal(err)
	}
	cfg := roster.DefaultClub("lantern-hall")
	cfg.AgeBands = []string{"50+"}
	people, err := roster.New(ctx, kept, cfg)
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
	for _, n := range names {
		c.join(n, "women")
	}
	return c
}

func (c *club) join(name, division string) {
	c.t.Helper()
	ctx := context.Background()
	in, err := c.bot.roster.Add(ctx, c.clock.Now(), []roster.NewMember{{Name: name, Division: division, OnBoards: true}}, "")
	if err != nil {
		c.t.Fatal(err)
	}
	if _, _, err := c.bot.roster.Join(ctx, c.clock.Now(), in[0].Invite, ""); err != nil {
		c.t.Fatal(err)
	}
	c.ids[name] = in[0].ID
}

// send stores a sheet for a date and sends it.
func (c *club) send(date content.Date, sheet string) {
	c.t.Helper()
	res, err := c.bot.PutSheet(context.Background(), date, []byte(sheet), PutOptions{})
	if err != nil || len(res.Errors) > 0 {
		c.t.Fatalf("sheet of %s: %v %v", date, err, res.Errors)
	}
	if _, err := c.bot.SendNow(context.Background(), date); err != nil {
		c.t.Fatal(err)
	}
}

// say has a member type something and returns the answer.
func (c *club) say(name, text string) Post {
	c.t.Helper()
	c.said++
	c.clock.forward(time.Second)
	h, err := c.bot.Hear(context.Background(), Message{From: c.ids[name], ID: fmt.Sprintf("m%d", c.said), Text: text})
	if err != nil {
		c.t.Fatalf("%s: %q: %v", name, text, err)
	}
	return h.Post
}

func (c *club) board(part string) string {
	c.t.Helper()
	q := boardQuery
	page, err := c.bot.Board(context.Background(), monday, part, q)
	if err != nil {
		c.t.Fatal(err)
	}
	var b strings.Builder
	for _, block := range page.Boards {
		fmt.Fprintf(&b, "%s %s:", block.Division, block.Version)
		for _, e := range block.Entries {
			fmt.Fprintf(&b, " %d %s %s", e.Rank, e.Name, e.Result)
		}
		b.WriteString("\n")
	}
	return b.String()
}
