package bot

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// A club renames and adds divisions: results move to where the file says, from the ledger, and nothing else changes.
func TestResultsStandWhereTheClubFileSays(t *testing.T) {
	ctx := context.Background()
	c := newMonday(t, "Ada", "Bo")
	born := 1970
	if _, err := c.bot.roster.Update(ctx, c.clock.Now(), c.ids["Bo"], roster.Patch{BirthYear: &born}); err != nil {
		t.Fatal(err)
	}
	c.say("Ada", "D 14:32 as written")
	c.say("Bo", "D 15:00 scaled")
	before := c.board("D")
	club := c.bot.Club()
	club.Divisions, club.AgeBands = []string{"women", "men"}, []string{"40-59", "57+"}
	c.bot.Run(club)
	if n, err := c.bot.StandAgain(ctx, "the club file was changed"); err != nil || n != 1 {
		t.Errorf("%d members moved, %v: want Bo alone", n, err)
	}
	want := "women as_written: 1 Ada 14:32\nwomen scaled: 1 Bo 15:00\n40-59 scaled: 1 Bo 15:00\n57+ scaled: 1 Bo 15:00\n"
	if got := c.board("D"); got != want {
		t.Errorf("boards\n%s\nwant\n%s", got, want)
	}
	if n, err := c.bot.StandAgain(ctx, "again"); err != nil || n != 0 {
		t.Errorf("a second time %d members are moved, %v", n, err)
	}
	if found, err := c.bot.Rebuild(ctx); err != nil || len(found) > 0 {
		t.Errorf("the ledger says otherwise: %v, %v", found, err)
	}
	club.AgeBands = []string{"50+"}
	c.bot.Run(club)
	if _, err := c.bot.StandAgain(ctx, "back"); err != nil {
		t.Fatal(err)
	}
	if got := c.board("D"); got != before {
		t.Errorf("there and back:\n%s\nwas\n%s", got, before)
	}
}

// Somebody who was removed keeps their place beside old results, and moves with everybody.
func TestRemovedMembersKeepTheirPlaces(t *testing.T) {
	ctx := context.Background()
	c := newMonday(t, "Ada", "Bo")
	c.say("Ada", "D 14:32 as written")
	c.say("Bo", "D 15:00 as written")
	if err := c.bot.roster.Remove(ctx, c.clock.Now(), c.ids["Bo"]); err != nil {
		t.Fatal(err)
	}
	club := c.bot.Club()
	club.Divisions = []string{"Women"}
	c.bot.Run(club)
	if _, err := c.bot.StandAgain(ctx, "renamed"); err != nil {
		t.Fatal(err)
	}
	if got, want := c.board("D"), "Women as_written: 1 Ada 14:32 2 Bo 15:00\n"; got != want {
		t.Errorf("got %s want %s", got, want)
	}
}

// While divisions change back and forth, members log and boards are read: no reply is refused, none is lost, and boards
// and ledgers agree at the end. (That a member's results move all at once is the script's: leaderboard/store.)
func TestDivisionsChangeWhileTheClubGoesOn(t *testing.T) {
	ctx := context.Background()
	names := []string{"Ada", "Bo", "Cy"}
	c := newMonday(t, names...)
	for _, n := range names {
		c.say(n, "D 14:32 as written")
	}
	s := mustSession(t, c)
	p, _ := s.Part("D")
	club := c.bot.Club()
	var readers, changes sync.WaitGroup
	done := make(chan struct{})
	readers.Go(func() {
		for {
			select {
			case <-done:
				return
			default:
			}
			page, err := c.bot.boards().Page(ctx, monday, *p, leaderboard.Query{})
			if err != nil {
				t.Error(err)
				return
			}
			for _, b := range page.Boards {
				if len(b.Entries) > len(names) || int64(len(b.Entries)) != b.Of {
					t.Errorf("%s shows %d of %d", b.Division, len(b.Entries), b.Of)
				}
			}
		}
	})
	changes.Go(func() {
		for i := range 6 {
			next := club
			if i%2 == 0 {
				next.Divisions = []string{"ladies"}
			}
			c.bot.Run(next)
			if _, err := c.bot.StandAgain(ctx, fmt.Sprint("change ", i)); err != nil {
				t.Error(err)
			}
		}
	})
	for i := range 20 {
		if post := c.say("Ada", fmt.Sprintf("fix D 14:%02d", 10+i)); !strings.HasPrefix(post.Text, "D: 14:") {
			t.Errorf("answered %q", post.Text)
		}
	}
	changes.Wait()
	close(done)
	readers.Wait()
	c.bot.Run(club)
	if _, err := c.bot.StandAgain(ctx, "at last"); err != nil {
		t.Fatal(err)
	}
	if got, want := c.board("D"), "women as_written: 1 Ada 14:29 2 Bo 14:32 2 Cy 14:32\n"; got != want {
		t.Errorf("got %s want %s", got, want)
	}
	if found, err := c.bot.Rebuild(ctx); err != nil || len(found) > 0 {
		t.Errorf("the ledger says otherwise: %v, %v", found, err)
	}
}

func mustSession(t *testing.T, c *club) content.Session {
	t.Helper()
	s, err := c.bot.Session(context.Background(), monday)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
