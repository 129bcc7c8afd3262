package e2e

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

func decode(raw []byte, out any) bool { return json.Unmarshal(raw, out) == nil }

// SIGTERM and Ctrl-C end the process well within 5 s, with code 0, and tell every open page to come back.
func TestAnOrderlyStop(t *testing.T) {
	for _, signal := range []os.Signal{syscall.SIGTERM, os.Interrupt} {
		t.Run(signal.String(), func(t *testing.T) {
			args, token := serveArgs(t, "--data", filepath.Join(t.TempDir(), "data"))
			p := start(t, args...)
			members := joinAll(coachOf(t, p.url, token), map[string]any{"name": "Ada Brook"}, map[string]any{"name": "Bo Field"})
			var open []*chat
			for _, m := range members {
				c := dial(t, p.url, m.token, "")
				if f := c.next(); f.Type != "welcome" {
					t.Fatalf("first frame %+v", f)
				}
				open = append(open, c)
			}
			began := time.Now()
			if err := p.cmd.Process.Signal(signal); err != nil {
				t.Fatal(err)
			}
			for _, c := range open {
				_, err := readFrame(c.conn)
				if closed := new(websocket.CloseError); !errors.As(err, &closed) || closed.Code != websocket.CloseGoingAway {
					t.Errorf("an open connection ends with %v, want close 1001", err)
				}
				if signal == os.Interrupt { // the others are phones that have gone dark: they never close
					_ = c.conn.Close()
				}
			}
			select {
			case <-p.exited:
			case <-time.After(5 * time.Second):
				t.Fatalf("still running 5 s after %s:\n%s", signal, p.stderr())
			}
			if p.code != 0 {
				t.Errorf("exit %d after %s:\n%s", p.code, time.Since(began), p.stderr())
			}
		})
	}
}

// Without a token file the coach comes in by a link that is printed once and works once.
func TestTheCoachsFirstLink(t *testing.T) {
	p := start(t, "serve", "--addr", "127.0.0.1:0", "--data", filepath.Join(t.TempDir(), "data"))
	var link string
	waitFor(t, "the coach's link", func() bool {
		link = regexp.MustCompile(`http://\S+#join=\S+`).FindString(p.stderr())
		return link != ""
	})
	if n := strings.Count(p.stderr(), "#join="); n != 1 || !strings.HasPrefix(link, p.url+"/coach#join=") {
		t.Errorf("%d links, %s; want one to %s/coach", n, link, p.url)
	}
	_, invite, _ := strings.Cut(link, "#join=")
	nobody := api{t, p.url, ""}
	key := map[string]string{"invite": invite, "key": strings.Repeat("k", 43)}
	var got, same struct{ Token string }
	nobody.want(200, "POST", "/api/join", key, &got)
	nobody.want(200, "POST", "/api/join", key, &same) // the answer was lost: the same key gets it again
	if got.Token == "" || got.Token != same.Token {
		t.Errorf("tokens %q and %q, want the same", got.Token, same.Token)
	}
	var doc struct{ Title, Detail string }
	nobody.want(409, "POST", "/api/join", map[string]string{"invite": invite, "key": strings.Repeat("q", 43)}, &doc)
	if !strings.Contains(doc.Detail, "used") {
		t.Errorf("a used link is refused with %+v", doc)
	}
	api{t, p.url, got.Token}.want(200, "GET", "/api/members", nil, nil)
	c := dial(t, p.url, got.Token, "")
	if f := c.next(); f.Type != "welcome" || f.Role != "coach" {
		t.Errorf("the coach is welcomed with %+v", f)
	}
}

// The token file is for its owner alone, is read again at the next start, and is never overwritten.
func TestTheCoachsTokenFile(t *testing.T) {
	args, file := serveArgs(t, "--data", filepath.Join(t.TempDir(), "data"))
	p := start(t, args...)
	before := coachOf(t, p.url, file)
	before.want(200, "GET", "/api/members", nil, nil)
	info, err := os.Stat(file)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the token file: %v %v, want mode 0600", info.Mode(), err)
	}
	if strings.Contains(p.stderr(), "#join=") {
		t.Error("a link is printed as well")
	}
	if code := p.stop(); code != 0 {
		t.Fatalf("exit %d", code)
	}
	p = start(t, args...)
	if after := coachOf(t, p.url, file); after.token != before.token {
		t.Error("the token changed with a restart")
	} else {
		after.want(200, "GET", "/api/members", nil, nil)
	}
}

// run runs one command to its end with the environment given.
func run(t testing.TB, env []string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	cmd := exec.Command(binary, args...)
	cmd.Dir = t.TempDir()
	cmd.Env = append(os.Environ(), env...)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	err := cmd.Run()
	if exit := new(exec.ExitError); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), out.String(), errs.String()
}

// The commands that speak to a running server, as README tells them.
func TestCommandsOnARunningServer(t *testing.T) {
	args, file := serveArgs(t, "--data", filepath.Join(t.TempDir(), "data"))
	p := start(t, args...)
	coach := coachOf(t, p.url, file)
	env := []string{"TALLYBELL_TOKEN=" + coach.token, "TALLYBELL_SERVER=" + p.url}
	code, out, errs := run(t, env, "invite", "--json", "--division", "women", "Ada Brook")
	var made []invited
	if code != 0 || !decode([]byte(out), &made) || len(made) != 1 || !strings.HasPrefix(made[0].Link, p.url+"/#join=") {
		t.Fatalf("invite: exit %d, %q, %q", code, out, errs)
	}
	var joined struct{ Token string }
	api{t, p.url, ""}.want(200, "POST", "/api/join", map[string]string{"invite": made[0].Invite}, &joined)
	coach.want(200, "PATCH", "/api/members/"+made[0].ID, map[string]bool{"on_boards": true}, nil)
	coach.want(200, "PUT", "/api/sessions/"+today(), sheet, nil)
	coach.want(200, "POST", "/api/sessions/"+today()+"/send", nil, nil)
	c := dial(t, p.url, joined.Token, "")
	if f := c.say("1", "D 14:32 scaled, left knee a bit sore"); f.Kind != "answer" {
		t.Fatalf("%+v", f)
	}
	for _, tt := range []struct {
		name string
		env  []string
		args []string
		code int
		says []string
	}{
		{"a board", env, []string{"board", today(), "D"}, 0, []string{"women", "scaled", "1. Ada Brook", "14:32"}},
		{"a board as CSV", env, []string{"board", today(), "d", "--csv"}, 0, []string{"women,scaled,1,", "Ada Brook,14:32"}},
		{"a board of no session", env, []string{"board", "2020-01-01", "D"}, 1, []string{"2020-01-01"}},
		{"a report", env, []string{"report", today()}, 0, []string{"Ada Brook", "14:32", "left knee a bit sore"}},
		{"a rebuild that finds nothing", env, []string{"rebuild"}, 0, nil},
		{"a token that is wrong", []string{"TALLYBELL_TOKEN=club.wrong", "TALLYBELL_SERVER=" + p.url}, []string{"report", today()}, 3, []string{"token"}},
		{"no token", []string{"TALLYBELL_TOKEN=", "TALLYBELL_SERVER=" + p.url}, []string{"report", today()}, 2, []string{"TALLYBELL_TOKEN"}},
		{"no server", env, []string{"report", "--server", "http://127.0.0.1:1", today()}, 3, []string{"http://127.0.0.1:1"}},
		{"a date that is none", env, []string{"board", "2026-13-01", "D"}, 2, []string{"2026-13-01"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, out, errs := run(t, tt.env, tt.args...)
			if code != tt.code {
				t.Errorf("exit %d, want %d: %q %q", code, tt.code, out, errs)
			}
			where, other := out, errs
			if tt.code != 0 {
				where, other = errs, out
			}
			for _, want := range tt.says {
				if !strings.Contains(where, want) {
					t.Errorf("%q is not in %q", want, where)
				}
			}
			if tt.code != 0 && other != "" {
				t.Errorf("on stdout: %q", other)
			}
		})
	}
}

// What programs look at: descriptions, health and counts.
func TestDescriptions(t *testing.T) {
	args, _ := serveArgs(t, "--data", filepath.Join(t.TempDir(), "data"))
	nobody := api{t, start(t, args...).url, ""}
	for path, want := range map[string]string{"/openapi.json": `"/api/join"`, "/asyncapi.json": "subprotocol tallybell.v1", "/healthz": "", "/readyz": `"persistent":true`, "/metrics": "# TYPE ", "/": "<!doctype html>"} {
		status, kind, body := nobody.call("GET", path, "*/*", nil)
		if status != 200 || !strings.Contains(string(body), want) {
			t.Errorf("%s: %d %s %.300s", path, status, kind, body)
		}
		if strings.Contains(kind, "json") != (path != "/healthz" && path != "/metrics" && path != "/") {
			t.Errorf("%s is %s", path, kind)
		}
	}
	var doc struct{ Type, Title string }
	if status, kind, body := nobody.call("GET", "/api/members", "*/*", nil); status != 401 || kind != "application/problem+json" || !decode(body, &doc) || doc.Title == "" {
		t.Errorf("without a token: %d %s %s", status, kind, body)
	}
}
