package e2e

import (
	"strings"
	"sync"
	"testing"
	"time"
)

// Two processes on one Redis are one club: a session goes out once, every device hears every answer, and when one
// process is killed its members go on at the other.
func TestTwoReplicas(t *testing.T) {
	needed(t, "redis-server", "redis-server redis-tools")
	url := startRedis(t, durable...).url()
	args, token := serveArgs(t, "--redis", url)
	a, b := start(t, args...), start(t, args...)
	coach := coachOf(t, a.url, token)
	ada := joinAll(coach, map[string]any{"name": "Ada Brook", "division": "women", "on_boards": true})[0]
	coach.want(200, "PUT", "/api/sessions/"+today(), sheet, nil)
	phone, tablet := dial(t, a.url, ada.token, ""), dial(t, b.url, ada.token, "")
	for _, c := range []*chat{phone, tablet} {
		if f := c.next(); f.Type != "welcome" {
			t.Fatalf("first frame %+v", f)
		}
	}
	sendFromBoth(t, coach, a, b)
	for name, c := range map[string]*chat{"phone": phone, "tablet": tablet} {
		if f := c.next(); f.Kind != "session" || f.Date != today() {
			t.Errorf("the %s gets %+v, want the session", name, f)
		}
	}
	answer := phone.say("1", "D 14:32 scaled")
	if f := tablet.next(); f.Re != "1" || f.Said != "D 14:32 scaled" || f.Cursor != answer.Cursor || f.Text != answer.Text {
		t.Errorf("the other device, at the other process, gets\n%+v\nwant\n%+v", f, answer)
	}
	if f := tablet.say("1", "D 14:32 scaled"); f.Cursor != answer.Cursor {
		t.Errorf("the same id at the other process: %+v, want cursor %s", f, answer.Cursor)
	}
	if f := tablet.say("1", "D 9:59 scaled"); f.Code != "id_reused" {
		t.Errorf("the same id with other words: %+v, want id_reused", f)
	}
	a.kill()
	if f := tablet.say("2", "fix D 14:23"); !strings.HasPrefix(f.Text, "D: 14:23, scaled") || !strings.Contains(f.Text, "14:32") {
		t.Errorf("after one process was killed: %+v", f)
	}
	missed := dial(t, b.url, ada.token, answer.Cursor)
	if f := missed.next(); f.Type != "welcome" {
		t.Fatalf("first frame %+v", f)
	}
	if f := missed.next(); f.Re != "2" {
		t.Errorf("since the first answer comes %+v, want the answer to the second message alone", f)
	}
}

// sendFromBoth asks both processes at once to send today's session: together they send it once.
func sendFromBoth(t *testing.T, coach api, at ...*process) {
	t.Helper()
	var all sync.WaitGroup
	var mu sync.Mutex
	posts := 0
	for _, p := range at {
		one := api{t, p.url, coach.token}
		all.Go(func() {
			var sent struct{ Posts int }
			status, _, raw := one.call("POST", "/api/sessions/"+today()+"/send", "application/json", nil)
			if status != 200 || !decode(raw, &sent) {
				t.Errorf("send: %d %s", status, raw)
			}
			mu.Lock()
			defer mu.Unlock()
			posts += sent.Posts
		})
	}
	all.Wait()
	if posts != 1 {
		t.Errorf("sent %d times, want once", posts)
	}
}

// A member in another zone gets the session of their own date, and who joins late finds it.
func TestTheDateIsTheMembers(t *testing.T) {
	args, token := serveArgs(t, "--data", t.TempDir()+"/data")
	p := start(t, args...)
	coach := coachOf(t, p.url, token)
	const zone = "Pacific/Kiritimati" // UTC+14: another date than the club's for 14 hours of each day
	z, err := time.LoadLocation(zone)
	if err != nil {
		t.Fatal(err)
	}
	there := time.Now().In(z).Format(time.DateOnly)
	coach.want(200, "PUT", "/api/sessions/"+there, sheet, nil)
	first := joinAll(coach, map[string]any{"name": "Ada Brook", "zone": zone, "division": "women", "on_boards": true})[0]
	var sent struct{ Posts, Members int }
	coach.want(200, "POST", "/api/sessions/"+there+"/send", nil, &sent)
	late := joinAll(coach, map[string]any{"name": "Bo Field", "zone": zone, "division": "women", "on_boards": true})[0]
	for _, m := range []member{first, late} {
		c := dial(t, p.url, m.token, "")
		if f := c.next(); f.Type != "welcome" {
			t.Fatalf("first frame %+v", f)
		}
		if f := c.next(); f.Kind != "session" || f.Date != there {
			t.Fatalf("%s finds %+v, want the session of %s", m.Name, f, there)
		}
		if f := c.say("1", "D 14:32 scaled"); f.Date != "" && f.Date != there || !strings.HasPrefix(f.Text, "D: 14:32, scaled") {
			t.Errorf("%+v", f)
		}
	}
	var page boardPage
	coach.want(200, "GET", "/api/boards/"+there+"/D", nil, &page)
	if want := "women scaled: 1 Ada Brook 14:32 1 Bo Field 14:32"; page.lines() != want {
		t.Errorf("board\n%s\nwant\n%s", page.lines(), want)
	}
}
