package e2e

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/gorilla/websocket"
)

func serveArgs(t testing.TB, more ...string) (args []string, token string) {
	token = filepath.Join(t.TempDir(), "coach-token")
	return append([]string{"serve", "--addr", "127.0.0.1:0", "--coach-token-file", token}, more...), token
}

// What people and programs get wrong, each with a message that says what to do.
func TestBadInput(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	args, token := serveArgs(t, "--data", data)
	p := start(t, args...)
	coach := coachOf(t, p.url, token)
	ada := joinAll(coach, map[string]any{"name": "Ada Brook", "division": "women", "on_boards": true})[0]

	t.Run("a malformed sheet is 422 with every line", func(t *testing.T) { badSheet(t, coach) })
	t.Run("frames", func(t *testing.T) { badFrames(t, dial(t, p.url, ada.token, "")) })
	t.Run("tokens and invites", func(t *testing.T) { badTokens(t, p.url, ada) })
	t.Run("a second process on the data folder", func(t *testing.T) {
		second, _ := serveArgs(t, "--data", data)
		q := launch(t, nil, second...)
		<-q.exited
		if q.code != 3 || !strings.Contains(q.stderr(), data) {
			t.Errorf("exit %d: %s", q.code, q.stderr())
		}
	})
	if code := p.stop(); code != 0 {
		t.Errorf("exit %d", code)
	}
	checkLog(t, p)
}

func badSheet(t *testing.T, coach api) {
	t.Helper()
	bad := "session: x\n\nA. 3 sets\n8 pusg-up\n\nB. 4 stations of 1:00, max reps\nsquat\n\nD. for time\n15 split squat\n"
	status, kind, body := coach.call("PUT", "/api/sessions/"+today(), "application/json", bad)
	var doc struct {
		Status int
		Title  string
		Errors []struct {
			Line, Column int
			Message      string
		}
	}
	if err := json.Unmarshal(body, &doc); err != nil || status != 422 || !strings.HasPrefix(kind, "application/problem+json") || doc.Status != 422 {
		t.Fatalf("%d %s %s", status, kind, body)
	}
	lines := map[int]string{}
	for _, e := range doc.Errors {
		lines[e.Line] += e.Message
	}
	for line, want := range map[int]string{4: "push-up", 6: "4", 9: "C", 10: "even"} {
		if !strings.Contains(lines[line], want) {
			t.Errorf("line %d is told %q, want %q in it", line, lines[line], want)
		}
	}
}

func badFrames(t *testing.T, c *chat) {
	t.Helper()
	for _, tt := range []struct{ name, frame, code string }{
		{"an unknown field", `{"type":"say","id":"1","text":"hi","loud":true}`, "bad_frame"},
		{"no JSON", `hello`, "bad_frame"},
		{"a type that is not there", `{"type":"shout","id":"1","text":"hi"}`, "bad_frame"},
		{"5 KiB of text", `{"type":"say","id":"2","text":"` + strings.Repeat("x", 5<<10) + `"}`, "too_long"},
	} {
		c.send(tt.frame)
		for f := c.next(); ; f = c.next() {
			if f.Type != "problem" {
				continue
			}
			if f.Code != tt.code || f.Text == "" {
				t.Errorf("%s: %+v, want %s", tt.name, f, tt.code)
			}
			break
		}
	}
	c.send(`{"type":"say","id":"3","text":"` + strings.Repeat("x", 33<<10) + `"}`)
	for {
		if _, err := readFrame(c.conn); err != nil {
			if !websocket.IsCloseError(err, websocket.CloseMessageTooBig) {
				t.Errorf("a frame of 33 KiB: %v, want close 1009", err)
			}
			break
		}
	}
}

func badTokens(t *testing.T, url string, ada member) {
	t.Helper()
	for name, token := range map[string]string{"of another club": "other." + strings.SplitN(ada.token, ".", 2)[1], "made up": "club.nonsense", "none": ""} {
		if _, err := tryDial(url, token, ""); err == nil || !strings.Contains(err.Error(), "401") {
			t.Errorf("a token %s: %v, want 401", name, err)
		}
	}
	status, _, body := api{t, url, ""}.call("POST", "/api/join", "application/json", map[string]string{"invite": ada.Invite})
	if status != 409 || !strings.Contains(string(body), "used before") || !strings.Contains(string(body), "coach") {
		t.Errorf("a used invite: %d %s", status, body)
	}
	if status, _, _ := (api{t, url, ada.token}).call("GET", "/api/reports/"+today(), "application/json", nil); status != 403 {
		t.Errorf("a member reads the coach's report: %d", status)
	}
}

func TestARedisThatForgetsIsRefused(t *testing.T) {
	needed(t, "redis-server", "redis-server redis-tools")
	r := startRedis(t)
	args, token := serveArgs(t, "--redis", r.url())
	p := launch(t, nil, args...)
	<-p.exited
	if p.code != 3 || !strings.Contains(p.stderr(), "appendonly") || !strings.Contains(p.stderr(), "--allow-volatile") {
		t.Fatalf("exit %d: %s", p.code, p.stderr())
	}
	p = start(t, append(args, "--allow-volatile")...)
	var ready struct {
		Stores []struct {
			Persistent bool
			Warning    string
		}
	}
	api{t, p.url, ""}.want(200, "GET", "/readyz", nil, &ready)
	if len(ready.Stores) != 1 || ready.Stores[0].Persistent || ready.Stores[0].Warning == "" {
		t.Errorf("readyz says %+v", ready)
	}
	if status, _, body := coachOf(t, p.url, token).call("GET", "/coach", "text/html", nil); status != 200 || !strings.Contains(string(body), "Warning:") {
		t.Errorf("the coach's page does not warn: %d %s", status, body)
	}
}

// With the store away the gateway stays up: not_saved, and the same id is accepted once when it is back.
func TestTheStoreGoesAwayAndComesBack(t *testing.T) {
	needed(t, "redis-server", "redis-server redis-tools")
	r := startRedis(t, durable...)
	args, token := serveArgs(t, "--redis", r.url())
	p := start(t, args...)
	coach := coachOf(t, p.url, token)
	ada := joinAll(coach, map[string]any{"name": "Ada Brook", "division": "women", "on_boards": true})[0]
	coach.want(200, "PUT", "/api/sessions/"+today(), sheet, nil)
	coach.want(200, "POST", "/api/sessions/"+today()+"/send", nil, nil)
	c := dial(t, p.url, ada.token, "")
	if f := c.say("1", "D 14:32 scaled"); f.Kind != "answer" {
		t.Fatalf("%+v", f)
	}
	r.kill()
	if f := c.say("2", "D 14:01 scaled"); f.Code != "not_saved" {
		t.Fatalf("with the store away: %+v", f)
	}
	r.start()
	var last frame
	waitFor(t, "the store to be found again", func() bool {
		last = c.say("2", "D 14:01 scaled")
		return last.Kind == "answer"
	})
	if !strings.Contains(last.Text, "14:01") {
		t.Errorf("after it came back: %+v", last)
	}
	if again := c.say("2", "D 14:01 scaled"); again.Cursor != last.Cursor {
		t.Errorf("answered twice: %s and %s", last.Cursor, again.Cursor)
	}
}

// A disk without space: nothing is acknowledged, the process stays up, and with space again the same id is taken once.
func TestAFullDisk(t *testing.T) {
	dir := t.TempDir()
	mount := exec.Command("mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", dir)
	if out, err := mount.CombinedOutput(); err != nil {
		t.Skipf("no small file system can be mounted here (it needs root): %v %s", err, out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", "-l", dir).CombinedOutput(); err != nil {
			t.Errorf("umount: %v %s", err, out)
		}
	})
	args, token := serveArgs(t, "--data", filepath.Join(dir, "data"))
	p := start(t, args...)
	coach := coachOf(t, p.url, token)
	ada := joinAll(coach, map[string]any{"name": "Ada Brook", "division": "women", "on_boards": true})[0]
	coach.want(200, "PUT", "/api/sessions/"+today(), sheet, nil)
	coach.want(200, "POST", "/api/sessions/"+today()+"/send", nil, nil)
	c := dial(t, p.url, ada.token, "")
	if f := c.say("1", "D 14:32 scaled"); f.Kind != "answer" {
		t.Fatalf("%+v", f)
	}
	ballast := filepath.Join(dir, "ballast")
	fill(ballast)
	// What is left of the log's last page still takes a message or two.
	id, text := "", ""
	for i := range 20 {
		id, text = fmt.Sprintf("full-%d", i), fmt.Sprintf("D 14:%02d scaled", i)
		f := c.say(id, text)
		if f.Code == "not_saved" && f.Text != "" {
			break
		}
		if i == 19 || f.Kind != "answer" {
			t.Fatalf("on a full disk: %+v", f)
		}
	}
	if status, _, body := coach.call("GET", "/healthz", "text/plain", nil); status != 200 {
		t.Fatalf("the process is not well: %d %s", status, body)
	}
	if status, _, body := coach.call("GET", "/readyz", "application/json", nil); status != 503 {
		t.Errorf("/readyz says %d %s", status, body)
	}
	if !strings.Contains(p.stderr(), "no space left on device") {
		t.Errorf("the operator is not told why:\n%s", p.stderr())
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	var last frame
	waitFor(t, "the disk to be well again", func() bool {
		last = c.say(id, text)
		return last.Kind == "answer"
	})
	p.kill()
	p = start(t, args...)
	coach.url = p.url
	var results []struct{ Part, Show string }
	coach.want(200, "GET", "/api/results/"+today(), nil, &results)
	if want := "[{D " + strings.Fields(text)[1] + "}]"; fmt.Sprint(results) != want {
		t.Errorf("after a restart: %v", results)
	}
}

// fill writes until the disk is full.
func fill(path string) {
	f, err := os.Create(path)
	if err != nil {
		return
	}
	defer f.Close()
	block := make([]byte, 512)
	for err == nil {
		_, err = f.Write(block)
	}
}
