package e2e

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
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

// today is the date of the tests' club.
func today() string {
	return time.Now().UTC().Add(time.Duration(clubOffset) * time.Hour).Format(time.DateOnly)
}

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

// The whole job, on the embedded store and on a real Redis: a sheet is sent, read, answered in words, ranked, and all
// of it is there after a kill. What happens in the middle of many replies is the storm's.
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
	before := everything(t, p.url, coach, members)
	p.kill()
	checkLog(t, p)
	p = start(t, args...)
	coach.url = p.url
	if after := everything(t, p.url, coach, members); after != before {
		t.Errorf("after a kill and a restart the club is\n%s\nand was\n%s", after, before)
	}
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
	if f := chats[2].say("c2", "D 16:00 scaled"); !strings.Contains(f.Text, "1 ") || !strings.Contains(f.Text, "finish") ||
		!strings.Contains(string(f.Card), `"asks":[{"part":"D","about":"cap"`) {
		t.Errorf("a time that is the cap is asked about, got %q %s", f.Text, f.Card)
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

// everything is what the club holds, as members and the coach can read it.
func everything(t testing.TB, url string, coach api, members []member) string {
	t.Helper()
	var b strings.Builder
	for _, m := range members {
		fmt.Fprintf(&b, "%s\n", m.Name)
		for _, post := range conversation(t, url, m) {
			fmt.Fprintf(&b, "  %s\n", post)
		}
	}
	for _, path := range []string{"/api/boards/" + today() + "/B", "/api/boards/" + today() + "/D", "/api/results/" + today(), "/api/reports/" + today(), "/api/questions", "/api/members"} {
		status, _, body := coach.call("GET", path, "application/json", nil)
		fmt.Fprintf(&b, "%s: %d %s\n", path, status, body)
	}
	return b.String()
}

// conversation is what a member's new phone is told: every post since the beginning, in order and each once.
func conversation(t testing.TB, url string, m member) []string {
	t.Helper()
	c := dial(t, url, m.token, "0")
	defer c.conn.Close()
	if f := c.next(); f.Type != "welcome" {
		t.Fatalf("first frame %+v", f)
	}
	c.send("a frame that is none, to hear where the backlog ends")
	var posts []string
	last, answered := "", map[string]bool{}
	for f := c.next(); f.Code != "bad_frame"; f = c.next() {
		if f.Cursor <= last || f.Re != "" && answered[f.Re] {
			t.Errorf("after %s comes %+v", last, f)
		}
		last, answered[f.Re] = f.Cursor, true
		posts = append(posts, fmt.Sprintf("%s %s re %q said %q: %s %s", f.Cursor, f.Kind, f.Re, f.Said, f.Text, f.Card))
	}
	return posts
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
