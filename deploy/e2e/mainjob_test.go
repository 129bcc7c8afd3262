package e2e

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// sheet is a session with a part of each kind that the test's members answer.
const sheet = `session: Ledge and landing

Warm-up:
10 wall slide

A. 3 sets, own pace
8 push-up

B. 4 stations of 1:00, max reps
air squat
plank shoulder tap
mountain climber
bridge

C. AMRAP 9:00
6 push-up
12 air squat

D. 5 rounds for time, cap 16:00
16 air squat
12 push-up
`

// today is the clubs' date: without a club file its zone is UTC.
func today() string { return time.Now().UTC().Format(time.DateOnly) }

type boardPage struct {
	Date, Part, Kind string
	Boards           []struct {
		Division, Version string
		Entries           []struct {
			Rank                          int
			Member, Name, Result, Version string
		}
	}
}

// lines writes a page's blocks in short: "women scaled: 1 Ada 14:32".
func (p boardPage) lines() string {
	var out []string
	for _, b := range p.Boards {
		line := b.Division + " " + b.Version + ":"
		for _, e := range b.Entries {
			line += fmt.Sprintf(" %d %s %s", e.Rank, e.Name, e.Result)
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

// The whole job, with the process killed in the middle of a burst, on the embedded store and on a real Redis.
func TestMainJob(t *testing.T) {
	t.Run("embedded", func(t *testing.T) {
		mainJob(t, "--data", filepath.Join(t.TempDir(), "data"))
	})
	t.Run("redis", func(t *testing.T) {
		needed(t, "redis-server", "redis-server redis-tools")
		mainJob(t, "--redis", startRedis(t, durable...).url())
	})
}

func mainJob(t *testing.T, where ...string) {
	token := filepath.Join(t.TempDir(), "coach-token")
	args := append([]string{"serve", "--addr", "127.0.0.1:0", "--coach-token-file", token}, where...)
	p := start(t, args...)
	coach := coachOf(t, p.url, token)
	members := joinAll(coach,
		map[string]any{"name": "Ada Brook", "division": "women", "on_boards": true},
		map[string]any{"name": "Bo Field", "division": "women", "on_boards": true},
		map[string]any{"name": "Cy Hill", "division": "men", "on_boards": true})
	coach.want(200, "PUT", "/api/sessions/"+today(), sheet, nil)
	var sent struct{ Posts, Members int }
	coach.want(200, "POST", "/api/sessions/"+today()+"/send", nil, &sent)
	if sent.Posts != 1 || sent.Members != 3 {
		t.Fatalf("sent %+v, want one post to three members", sent)
	}
	coach.want(200, "POST", "/api/sessions/"+today()+"/send", nil, &sent)
	if sent.Posts != 0 || sent.Members != 0 {
		t.Fatalf("a second send did something: %+v", sent)
	}
	replies(t, p, coach, members)
	acked := burst(t, p, members)
	p = start(t, args...)
	coach.url = p.url
	afterTheKill(t, p, coach, members, acked)
	if code := p.stop(); code != 0 {
		t.Errorf("SIGTERM ended it with %d:\n%s", code, p.stderr())
	}
	checkLog(t, p)
}

// replies has three members answer in their own words and reads the boards.
func replies(t *testing.T, p *process, coach api, members []member) {
	t.Helper()
	var chats []*chat
	for _, m := range members {
		c := dial(t, p.url, m.token, "")
		if f := c.next(); f.Type != "welcome" || f.Member.ID != m.ID || f.Member.Name != m.Name || f.Role != "member" || f.Cursor == "" {
			t.Fatalf("first frame %+v", f)
		}
		if f := c.next(); f.Kind != "session" || f.Date != today() || !strings.Contains(f.Text, "push-up") || len(f.Card) == 0 {
			t.Fatalf("second frame %+v, want the session", f)
		}
		chats = append(chats, c)
	}
	f := chats[0].say("a1", "D 14:32 scaled")
	var card struct {
		Logged []struct {
			Part, Result, Version string
			Ranks                 []struct {
				Division, Version string
				Rank, Of          int
			}
		}
		Asks []struct{ Part, About string }
	}
	if err := json.Unmarshal(f.Card, &card); err != nil {
		t.Fatal(err)
	}
	if f.Kind != "answer" || f.Said != "D 14:32 scaled" || len(card.Logged) != 1 || card.Logged[0].Result != "14:32" ||
		card.Logged[0].Ranks[0].Rank != 1 || len(card.Asks) != 0 {
		t.Errorf("answer %+v, card %s", f, f.Card)
	}
	if f := chats[1].say("b1", "capped 2+14, scaled"); !strings.Contains(f.Text, "cap at 70 reps, scaled") {
		t.Errorf("a capped piece: %q", f.Text)
	}
	if f := chats[2].say("c1", "21/18/15/24 as written"); !strings.Contains(f.Text, "B: 78 reps, as written") {
		t.Errorf("station counts: %q", f.Text)
	}
	if f := chats[2].say("c2", "D 16:00 scaled"); !strings.Contains(f.Text, "1 ") || !strings.Contains(f.Text, "finish") {
		t.Errorf("a time that is the cap is asked about, got %q", f.Text)
	}
	if f := chats[2].say("c3", "1"); !strings.Contains(f.Text, "D: 16:00, scaled") {
		t.Errorf("the answer to the question: %q", f.Text)
	}
	if f := chats[2].say("c3", "1"); !strings.Contains(f.Text, "D: 16:00, scaled") {
		t.Errorf("the same id again: %q", f.Text)
	}
	var page boardPage
	coach.want(200, "GET", "/api/boards/"+today()+"/D", nil, &page)
	if want := "women scaled: 1 Ada Brook 14:32 2 Bo Field cap at 70 reps\nmen scaled: 1 Cy Hill 16:00"; page.lines() != want {
		t.Errorf("board D:\n%s\nwant\n%s", page.lines(), want)
	}
	status, kind, csv := coach.call("GET", "/api/boards/"+today()+"/B?division=men", "text/csv", nil)
	if status != 200 || !strings.HasPrefix(kind, "text/csv") || !strings.Contains(string(csv), "men,as_written,1,"+members[2].ID+",Cy Hill,78 reps") {
		t.Errorf("CSV: %d %s %s", status, kind, csv)
	}
}

// message is one of the burst.
type message struct {
	member int
	id     string
	text   string
	answer frame // empty when it was not acknowledged
}

// burstSize is how many replies are under way when the process is killed.
const burstSize = 500

// burst sends 500 replies from three members at once and kills the process in the middle.
func burst(t *testing.T, p *process, members []member) [][]message {
	t.Helper()
	sent := make([][]message, len(members))
	var count sync.WaitGroup
	half := make(chan struct{}, burstSize)
	for i, m := range members {
		c := dial(t, p.url, m.token, "")
		for f := c.next(); f.Type != "welcome"; f = c.next() {
			t.Fatalf("first frame %+v", f)
		}
		for k := range burstSize / len(members) {
			sent[i] = append(sent[i], message{i, fmt.Sprintf("burst-%d-%d", i, k), fmt.Sprintf("D %d:%02d scaled", 10+k%5, k%60), frame{}})
		}
		count.Go(func() {
			for k := range sent[i] {
				raw, _ := json.Marshal(map[string]string{"type": "say", "id": sent[i][k].id, "text": sent[i][k].text})
				if c.conn.WriteMessage(1, raw) != nil {
					return
				}
				for {
					f, err := readFrame(c.conn)
					if err != nil {
						return
					}
					if f.Re != sent[i][k].id {
						continue
					}
					if f.Code == "too_fast" || f.Type == "problem" {
						return
					}
					sent[i][k].answer = f
					half <- struct{}{}
					break
				}
			}
		})
	}
	for range 90 { // each member may send 60 at once before the limit of the rate
		<-half
	}
	p.kill()
	count.Wait()
	return sent
}

// afterTheKill sends everything again under the same ids: what was acknowledged gets the same answer, the rest is
// accepted once.
func afterTheKill(t *testing.T, p *process, coach api, members []member, sent [][]message) {
	t.Helper()
	acknowledged := 0
	final := make([]string, len(members))
	var all sync.WaitGroup
	for i, m := range members {
		for _, msg := range sent[i] {
			if msg.answer.Cursor != "" {
				acknowledged++
			}
		}
		c := dial(t, p.url, m.token, "")
		final[i] = sent[i][len(sent[i])-1].text
		all.Go(func() { resend(t, c, sent[i]) })
	}
	all.Wait()
	t.Logf("%d of %d were acknowledged before the kill", acknowledged, burstSize)
	for i, m := range members {
		answers := map[string]int{}
		c := dial(t, p.url, m.token, "")
		last := ""
		welcome := c.next()
		for {
			f := c.next()
			if f.Cursor <= last {
				t.Errorf("cursor %s after %s", f.Cursor, last)
			}
			last = f.Cursor
			if f.Re != "" {
				answers[f.Re]++
			}
			if f.Cursor >= welcome.Cursor || f.Re == sent[i][len(sent[i])-1].id {
				break
			}
		}
		for _, msg := range sent[i] {
			if answers[msg.id] != 1 {
				t.Errorf("%s has %d answers in the conversation", msg.id, answers[msg.id])
			}
		}
	}
	var results []struct{ Member, Part, Show string }
	coach.want(200, "GET", "/api/results/"+today(), nil, &results)
	for i, m := range members {
		want := strings.TrimSuffix(strings.TrimPrefix(final[i], "D "), " scaled")
		found := 0
		for _, r := range results {
			if r.Member == m.ID && r.Part == "D" {
				found++
				if r.Show != want {
					t.Errorf("%s has %s on D, the last message said %s", m.Name, r.Show, want)
				}
			}
		}
		if found != 1 {
			t.Errorf("%s has %d results on D", m.Name, found)
		}
	}
	var diff struct{ Differences []string }
	coach.want(200, "POST", "/api/rebuild", nil, &diff)
	if len(diff.Differences) != 0 {
		t.Errorf("boards and ledgers differ: %v", diff.Differences)
	}
}

// resend sends messages again, waiting when the server says that it is too fast.
func resend(t *testing.T, c *chat, msgs []message) {
	for _, msg := range msgs {
		raw, _ := json.Marshal(map[string]string{"type": "say", "id": msg.id, "text": msg.text})
		if err := c.conn.WriteMessage(1, raw); err != nil {
			t.Error(err)
			return
		}
		for {
			f, err := readFrame(c.conn)
			if err != nil {
				t.Error(err)
				return
			}
			// The backlog holds the answers of before as well; only a frame after the resend counts, but it is the same.
			if f.Re != msg.id {
				continue
			}
			if f.Code == "too_fast" {
				pause(50 * time.Millisecond)
				_ = c.conn.WriteMessage(1, raw)
				continue
			}
			if f.Kind != "answer" {
				t.Errorf("%s: %+v", msg.id, f)
			}
			if was := msg.answer; was.Cursor != "" && (f.Cursor != was.Cursor || f.Text != was.Text) {
				t.Errorf("%s was answered %s %q, and again %s %q", msg.id, was.Cursor, was.Text, f.Cursor, f.Text)
			}
			break
		}
	}
}

// pause waits as a client does that was told to be slower.
func pause(d time.Duration) { <-time.After(d) }

// checkLog sees that the log holds nothing that people typed, and no names.
func checkLog(t *testing.T, p *process) {
	t.Helper()
	for _, secret := range []string{"Ada Brook", "Bo Field", "Cy Hill", "14:32", "capped", "21/18/15/24", "club."} {
		if strings.Contains(p.stderr(), secret) {
			t.Errorf("the log holds %q:\n%s", secret, p.stderr())
		}
	}
}
