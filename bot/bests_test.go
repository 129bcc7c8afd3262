package bot

import (
	"strings"
	"testing"
	"time"
)

// TestBestOfAPieceIsTold sends the same session on three days.
func TestBestOfAPieceIsTold(t *testing.T) {
	c := newMonday(t, "Ada", "Bo", "Cy", "Dee")
	again := func(day int) {
		t.Helper()
		d := monday.AddDays(day)
		c.clock.set(time.Date(d.Year, d.Month, d.Day, 7, 0, 0, 0, time.UTC))
		c.send(d, strings.Replace(sheetA, "2027-02-01", d.String(), 1))
	}
	check := func(name, said string, best bool) {
		t.Helper()
		p := c.say(name, said)
		if got := strings.Contains(p.Text, textBest); got != best {
			t.Errorf("%s, %q: told of a best %v, want %v:\n%s", name, said, got, best, p.Text)
		}
	}
	for _, n := range []string{"Ada", "Bo", "Cy", "Dee"} {
		check(n, "D 14:30 as written", false) // the first is no best
	}
	check("Ada", "fix D 14:00", false) // nor is it one over itself
	c.say("Cy", "no ranks")
	c.say("Dee", "chest feels tight")
	again(7)
	check("Ada", "D 14:10 as written", false)
	check("Ada", "fix D 14:00", false) // as good is not better
	check("Ada", "fix D 13:59 as written", true)
	check("Bo", "D 13:00 as written, left knee sore", false)
	check("Cy", "D 13:00 as written", true)
	check("Dee", "D 13:00 as written", false)
	check("Bo", "C 5+3 as written", false)
	again(14)
	check("Ada", "scrap D", false)
	check("Ada", "D 13:00 scaled", false)
	check("Ada", "D 13:58.5 as written", true)
	check("Ada", "fix D 13:59", false)
	check("Bo", "capped 2+14 as written", false)
	check("Bo", "C 6 rounds as written", true)
	check("Cy", "fix D 13:00 as written", false)
}

func TestABestIsToldAgainForTheSameMessage(t *testing.T) {
	c := newMonday(t, "Ada")
	c.say("Ada", "D 14:30 as written")
	d := monday.AddDays(7)
	c.clock.set(time.Date(d.Year, d.Month, d.Day, 7, 0, 0, 0, time.UTC))
	c.send(d, strings.Replace(sheetA, "2027-02-01", d.String(), 1))
	for range 2 {
		h, err := c.hear("Ada", "same", "D 14:00 as written")
		if err != nil || !strings.Contains(h.Post.Text, textBest) {
			t.Fatalf("%v %q", err, h.Post.Text)
		}
	}
	c.say("Ada", "fix D 15:00")
	if h, err := c.hear("Ada", "same", "D 14:00 as written"); err != nil || !h.Again || !strings.Contains(h.Post.Text, textBest) {
		t.Errorf("the answer to a repeated message has changed: %v %q", err, h.Post.Text)
	}
}
