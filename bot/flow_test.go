package bot

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"tallybell/content"
)

func newMonday(t testing.TB, names ...string) *club {
	t.Helper()
	c := newClub(t, names...)
	c.clock.set(time.Date(2027, 2, 1, 7, 0, 0, 0, time.UTC))
	c.send(monday, sheetA)
	return c
}

func (c *club) hear(name, id, text string) (Heard, error) {
	return c.bot.Hear(context.Background(), Message{From: c.ids[name], ID: id, Text: text})
}

func problemCode(err error) string {
	var p *Problem
	if errors.As(err, &p) {
		return p.Code
	}
	return fmt.Sprint(err)
}

func TestSameIDSameAnswer(t *testing.T) {
	c := newMonday(t, "Ada", "Bo", "Cy", "Dee")
	first, err := c.hear("Ada", "x", "D 14:32 scaled")
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range []string{"Bo", "Cy", "Dee"} {
		c.say(n, fmt.Sprintf("D 13:0%d scaled", i)) // the board moves on; the answer must not
	}
	again, err := c.hear("Ada", "x", "D 14:32 scaled")
	if err != nil {
		t.Fatal(err)
	}
	if !again.Again || again.Post.Text != first.Post.Text || again.Post.Cursor != first.Post.Cursor {
		t.Errorf("a repeat got %+v, want the first answer %+v", again.Post, first.Post)
	}
	if _, err := c.hear("Ada", "x", "D 14:33 scaled"); problemCode(err) != IDReused {
		t.Errorf("the same id with another text: %v, want %s", err, IDReused)
	}
}

func TestARepeatedRequestChangesNothing(t *testing.T) {
	c := newMonday(t, "Ada")
	for _, m := range [][2]string{{"1", "pause"}, {"2", "resume"}, {"1", "pause"}} {
		if _, err := c.hear("Ada", m[0], m[1]); err != nil {
			t.Fatal(err)
		}
	}
	if m, _ := c.bot.roster.Get(c.ids["Ada"]); paused(m) {
		t.Error("a repeated pause, sent again after resume, paused the member again")
	}
}

func TestTextsThatAreRefused(t *testing.T) {
	c := newMonday(t, "Ada")
	for _, tt := range []struct{ name, id, text, want string }{
		{"5 KiB of text", "a", strings.Repeat("x", 5<<10), TooLong},
		{"no id", "", "hi", BadFrame},
		{"an id of 65 characters", strings.Repeat("i", 65), "hi", BadFrame},
		{"bytes that are no text", "b", "D 14:32 \xff", BadFrame},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := c.hear("Ada", tt.id, tt.text); problemCode(err) != tt.want {
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
	if _, err := c.bot.Hear(context.Background(), Message{From: "nobody", ID: "x", Text: "hi"}); problemCode(err) != "not_found" {
		t.Errorf("a stranger: %v", err)
	}
}

// Many devices of one member at once: every message is answered once, and one result stands.
func TestManyDevicesOfOneMember(t *testing.T) {
	c := newMonday(t, "Ada")
	var wg sync.WaitGroup
	errs := make(chan error, 40)
	for i := range 40 {
		wg.Go(func() {
			for {
				_, err := c.hear("Ada", fmt.Sprintf("d%d", i), fmt.Sprintf("D 14:%02d scaled", i))
				if problemCode(err) == NotSaved {
					continue // too much at once: a client sends the same id again
				}
				errs <- err
				return
			}
		})
	}
	wg.Wait()
	close(errs)
	for err := range errs {
		if err != nil {
			t.Fatal(err)
		}
	}
	log, err := c.bot.After(context.Background(), c.ids["Ada"], -1)
	if err != nil {
		t.Fatal(err)
	}
	answers := map[string]int{}
	last := ""
	for i, p := range log.Posts {
		if i > 0 && p.Cursor <= log.Posts[i-1].Cursor {
			t.Fatalf("cursor %d comes after %d", p.Cursor, log.Posts[i-1].Cursor)
		}
		if p.Kind == AnswerPost {
			answers[p.Re]++
			last = p.Said
		}
	}
	for i := range 40 {
		if n := answers[fmt.Sprintf("d%d", i)]; n != 1 {
			t.Errorf("message d%d has %d answers", i, n)
		}
	}
	rows, err := c.bot.Results(context.Background(), monday)
	if err != nil || len(rows) != 1 {
		t.Fatalf("%d results stand (%v), want one", len(rows), err)
	}
	if want := strings.TrimSuffix(strings.TrimPrefix(last, "D "), " scaled"); rows[0].Show != want {
		t.Errorf("%s stands, but the last message said %s", rows[0].Show, want)
	}
	if found, err := c.bot.Rebuild(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("ledger and boards differ: %v %v", found, err)
	}
}

func TestSendingTwiceSendsOnce(t *testing.T) {
	c := newMonday(t, "Ada", "Bo")
	sent, err := c.bot.SendNow(context.Background(), monday)
	if err != nil || sent != (Sent{}) {
		t.Errorf("a second send: %+v %v, want nothing", sent, err)
	}
	log, err := c.bot.After(context.Background(), c.ids["Bo"], -1)
	if err != nil || len(log.Posts) != 1 || log.Posts[0].Kind != SessionPost || log.Posts[0].Date != monday {
		t.Fatalf("conversation: %+v %v, want the session once", log.Posts, err)
	}
}

func TestReplacingASheet(t *testing.T) {
	c := newMonday(t, "Ada")
	c.say("Ada", "D 14:32 scaled")
	ctx := context.Background()
	capped := strings.Replace(sheetA, "cap 16:00", "cap 18:00", 1)
	if res, err := c.bot.PutSheet(ctx, monday, []byte(capped), PutOptions{}); err != nil || len(res.Conflict) > 0 {
		t.Fatalf("another cap: %+v %v", res, err)
	}
	log, err := c.bot.After(ctx, c.ids["Ada"], -1)
	if err != nil {
		t.Fatal(err)
	}
	if note := log.Posts[len(log.Posts)-1]; note.Kind != NoticePost || !strings.Contains(note.Text, "D has changed") || strings.Contains(note.Text, "C has") {
		t.Errorf("the note says %q", note.Text)
	}
	other := strings.Replace(capped, "D. 5 rounds for time, cap 18:00", "D. AMRAP 12:00", 1)
	res, err := c.bot.PutSheet(ctx, monday, []byte(other), PutOptions{})
	if err != nil || len(res.Conflict) != 1 || res.Conflict[0] != (PartConflict{"D", content.KindTime, content.KindReps, 1}) {
		t.Fatalf("another kind: %+v %v, want a conflict about D", res.Conflict, err)
	}
	if got := c.board("D"); got != "women scaled: 1 Ada 14:32\n" {
		t.Errorf("a refused sheet changed the board: %q", got)
	}
	if _, err := c.bot.PutSheet(ctx, monday, []byte(other), PutOptions{Force: true}); err != nil {
		t.Fatal(err)
	}
	rows, err := c.bot.Results(ctx, monday)
	if err != nil || len(rows) != 1 || rows[0].OnBoard {
		t.Errorf("after force: %+v %v, want the result kept and on no board", rows, err)
	}
	if found, err := c.bot.Rebuild(ctx); err != nil || len(found) > 0 {
		t.Errorf("ledger and boards differ: %v %v", found, err)
	}
}

func TestDraftsAreNotSent(t *testing.T) {
	c := newClub(t, "Ada")
	ctx := context.Background()
	if _, err := c.bot.PutSheet(ctx, monday, []byte(sheetA), PutOptions{Draft: true}); err != nil {
		t.Fatal(err)
	}
	c.clock.set(time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC))
	if dates, err := c.bot.Sheets(ctx); err != nil || len(dates) != 0 {
		t.Errorf("a draft is due: %v %v", dates, err)
	}
	if _, err := c.bot.SendNow(ctx, monday); problemCode(err) != "not_found" {
		t.Errorf("sending a draft: %v", err)
	}
	if err := c.bot.Publish(ctx, monday); err != nil {
		t.Fatal(err)
	}
	if sent, err := c.bot.SendNow(ctx, monday); err != nil || sent.Members != 1 {
		t.Errorf("after publishing: %+v %v", sent, err)
	}
}

func TestTheCoachCorrectsAndRemoves(t *testing.T) {
	c := newMonday(t, "Ada")
	ctx := context.Background()
	c.say("Ada", "D 14:32 scaled")
	ada := c.ids["Ada"]
	row, err := c.bot.Correct(ctx, "coach", "k1", monday, "D", ada, "14:23", "the watch said so")
	if err != nil || row.Show != "14:23" || row.Result.Version != content.Scaled {
		t.Fatalf("corrected to %+v %v", row, err)
	}
	if _, err := c.bot.Correct(ctx, "coach", "k1", monday, "D", ada, "14:23", "the watch said so"); err != nil {
		t.Errorf("the same correction again: %v", err)
	}
	if _, err := c.bot.Correct(ctx, "coach", "k2", monday, "D", ada, "banana", "?"); problemCode(err) != "invalid" {
		t.Errorf("nonsense: %v", err)
	}
	if _, err := c.bot.Correct(ctx, "coach", "k3", monday, "Z", ada, "1:00", "?"); problemCode(err) != "not_found" {
		t.Errorf("no such part: %v", err)
	}
	if got := c.board("D"); got != "women scaled: 1 Ada 14:23\n" {
		t.Errorf("board: %q", got)
	}
	for range 2 {
		if err := c.bot.RemoveResult(ctx, "coach", "k4", monday, "D", ada, "not done"); err != nil {
			t.Fatal(err)
		}
	}
	if got := c.board("D"); got != "" {
		t.Errorf("board after removal: %q", got)
	}
	log, err := c.bot.After(ctx, ada, -1)
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, p := range log.Posts {
		if p.Kind == NoticePost {
			told = append(told, p.Text)
		}
	}
	if len(told) != 2 || !strings.Contains(told[0], "the watch said so") || !strings.Contains(told[1], "not done") {
		t.Errorf("the member was told %q", told)
	}
}

func TestQuestionsReachTheCoachAndAreAnswered(t *testing.T) {
	c := newMonday(t, "Ada", "Bo")
	ctx := context.Background()
	c.say("Ada", "can I do the squats on a chair?")
	c.say("Bo", "D 14:30 scaled, left knee hurts")
	c.clock.forward(time.Second)
	r, err := c.bot.Report(ctx, monday)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Questions) != 1 || r.Questions[0].Name != "Ada" || len(r.Concerns) != 1 || r.Concerns[0].Name != "Bo" || r.Concerns[0].Care != "check" {
		t.Errorf("questions %+v, concerns %+v", r.Questions, r.Concerns)
	}
	if len(r.Missing) != 0 || r.Sent != 2 {
		t.Errorf("missing %+v of %d sent", r.Missing, r.Sent)
	}
	coach, err := c.bot.After(ctx, "coach", -1)
	if err != nil || len(coach.Posts) != 2 || !strings.Contains(coach.Posts[0].Text, "Ada: can I do") {
		t.Errorf("the coach's conversation: %+v %v", coach.Posts, err)
	}
	if _, err := c.bot.Tell(ctx, "coach", "t1", c.ids["Ada"], "Yes, a sturdy one."); err != nil {
		t.Fatal(err)
	}
	if qs, err := c.bot.Questions(ctx); err != nil || len(qs) != 0 {
		t.Errorf("still open: %+v %v", qs, err)
	}
	if bo, err := c.bot.After(ctx, c.ids["Bo"], -1); err != nil || strings.Contains(fmt.Sprint(bo.Posts), "sturdy one") {
		t.Errorf("a private word reached somebody else: %v", err)
	}
}

func TestAWarningSignHoldsSessionsUntilLifted(t *testing.T) {
	c := newMonday(t, "Ada")
	ctx := context.Background()
	c.say("Ada", "felt dizzy and stopped")
	c.clock.set(time.Date(2027, 2, 2, 7, 0, 0, 0, time.UTC))
	tuesday := monday.AddDays(1)
	c.send(tuesday, strings.Replace(sheetA, "2027-02-01", "2027-02-02", 1))
	sessions := func() int {
		log, err := c.bot.After(ctx, c.ids["Ada"], -1)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, p := range log.Posts {
			if p.Kind == SessionPost {
				n++
			}
		}
		return n
	}
	if n := sessions(); n != 1 {
		t.Errorf("a held member has %d sessions, want Monday's only", n)
	}
	if r, err := c.bot.Report(ctx, tuesday); err != nil || len(r.Missing) != 0 {
		t.Errorf("a held member is told missing: %+v %v", r.Missing, err)
	}
}

func TestAWordToAllReachesThoseWhoHadJoined(t *testing.T) {
	c := newMonday(t, "Ada")
	ctx := context.Background()
	c.ids["coach"] = "coach"
	c.say("coach", "say The hall roof is on.")
	c.clock.forward(time.Minute)
	c.join("Late", "women")
	for name, want := range map[string]bool{"Ada": true, "Late": false} {
		log, err := c.bot.After(ctx, c.ids[name], -1)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(fmt.Sprint(log.Posts), "roof is on"); got != want {
			t.Errorf("%s sees the word: %t, want %t", name, got, want)
		}
	}
}

func TestWhoJoinsLateFindsTodaysSession(t *testing.T) {
	c := newMonday(t, "Ada")
	c.join("Late", "women")
	log, err := c.bot.After(context.Background(), c.ids["Late"], -1)
	if err != nil || len(log.Posts) != 1 || log.Posts[0].Date != monday {
		t.Errorf("%+v %v, want Monday's session", log.Posts, err)
	}
}

// TestNotesBeforeAnySession holds that what a member writes before a session has come to them is all kept.
func TestNotesBeforeAnySession(t *testing.T) {
	c := newClub(t, "Ada")
	c.say("Ada", "what is a bridge?")
	c.bot.states.drop(c.ids["Ada"])
	c.say("Ada", "and what is a wall slide?")
	c.say("Ada", "and when do we start?")
	qs, err := c.bot.Questions(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(qs) != 3 {
		t.Errorf("%d questions wait for the coach, want 3: %+v", len(qs), qs)
	}
}
