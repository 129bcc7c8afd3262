package bot

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/bot/roster"
)

// sequencePieces are what people type, parted by |: results, doubts that open questions, answers to them, corrections,
// removals, care, questions, requests.
var sequencePieces = strings.Split("D 14:32 scaled|D 14:32|14:32|D 1432|D 16:00|D capped|D capped 2+14|D 8 left scaled|C 5+12 rx|C 5 rounds|C 400|5+12|B 21 18 15 24 scaled|B 80|B 21 18|"+
	"A done|all done|done|✅|D 0:30 rx|D 4:10 4:45 5:02|1|2|3|7|yes|no|👍|scaled|as written|that was scaled|should be as written|fix D 14:23|oops 14:23|14:23 not 14:32|*14:20|"+
	"fix C 5+13 scaled|scrap D|scrap C|remove my B|delete A|scrap|yesterday D 14:40 rx|monday: D 14:10 scaled|2027-03-01 D 9:00|rpe 8|D 14:32 rx rpe 11|knee hurts|no pain|misread|"+
	"felt dizzy|fell on the squats|I'm pregnant|can I swap the lunges?|thanks!|easier push-up|level as written|swap push-up|always|kit: backpack|hide|show|no scores|scores|me|board D|"+
	"today|stop|pause|resume|away|2+14|74 reps|8 left", "|")

// Ten replies of two members in any order, with questions open, from two devices at once, the same message again, and
// every state forgotten in between, as after a restart: each is answered, and ledgers, records and boards agree.
func TestTenRepliesKeepTheBooks(t *testing.T) {
	c := newMonday(t, "Ada", "Bo", "Cy")
	c.say("Cy", "D 15:00 scaled")
	for _, m := range c.bot.roster.All() {
		if m.Role == roster.RoleCoach {
			c.ids["Coach"] = m.ID
		}
	}
	ctx, n := context.Background(), 0
	rapid.Check(t, func(rt *rapid.T) {
		type sent struct{ name, id, text, answer string }
		var before []sent
		say := func(name string) sent {
			n++
			return sent{name: name, id: fmt.Sprintf("ten%d", n), text: strings.Join(rapid.SliceOfN(rapid.SampledFrom(sequencePieces), 1, 2).Draw(rt, "text"), rapid.SampledFrom([]string{" ", "\n", ", "}).Draw(rt, "between"))}
		}
		hear := func(s *sent) {
			h, err := c.hear(s.name, s.id, s.text)
			if err != nil || strings.TrimSpace(h.Post.Text) == "" {
				rt.Errorf("%s> %q: answered %q, %v", s.name, s.text, h.Post.Text, err)
			}
			s.answer = h.Post.Text
		}
		for range 10 {
			name := rapid.SampledFrom([]string{"Ada", "Ada", "Bo"}).Draw(rt, "who")
			c.clock.forward(time.Second)
			switch rapid.SampledFrom([]string{"one", "one", "one", "two", "again", "restart", "lift", "later"}).Draw(rt, "what") {
			case "two":
				a, b := say(name), say(name)
				var wg sync.WaitGroup
				wg.Go(func() { hear(&a) })
				wg.Go(func() { hear(&b) })
				wg.Wait()
				before = append(before, a, b)
			case "again":
				if len(before) > 0 {
					was := before[rapid.IntRange(0, len(before)-1).Draw(rt, "which")]
					now := was
					if hear(&now); now.answer != was.answer {
						rt.Errorf("%q again: %q, before it was %q", was.text, now.answer, was.answer)
					}
				}
			case "restart":
				for _, id := range c.ids {
					c.bot.states.drop(id)
				}
			case "lift":
				n++
				if _, err := c.hear("Coach", fmt.Sprintf("ten%d", n), "lift "+name); err != nil {
					rt.Fatal(err)
				}
			case "later":
				c.clock.forward(5 * time.Minute)
			default:
				s := say(name)
				hear(&s)
				before = append(before, s)
			}
		}
		if found, err := c.bot.Rebuild(ctx); err != nil || len(found) > 0 {
			rt.Fatalf("after %v: the books disagree: %v %v", before, found, err)
		}
	})
}
