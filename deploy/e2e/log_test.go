package e2e

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
)

// Whatever happens, and however much is logged, the log holds no words of members, no names and no secrets.
func TestTheLogKeepsQuiet(t *testing.T) {
	args, file := serveArgs(t, "--data", filepath.Join(t.TempDir(), "data"), "--log", "json", "--debug")
	p := start(t, args...)
	coach := coachOf(t, p.url, file)
	people := joinAll(coach, map[string]any{"name": "Quilla Invented", "division": "women", "on_boards": true}, map[string]any{"name": "Zeb Invented", "division": "men"})
	coach.want(200, "PUT", "/api/sessions/"+today(), sheet, nil)
	coach.want(200, "POST", "/api/sessions/"+today()+"/send", nil, nil)
	said := []string{"D 14:32 scaled, my left knee is zwicky", "21/18/15 or so", "chest pain in the wibble round", "can I swap the frobnicator?",
		"D 1 4 : 3 2 ???", strings.Repeat("blathering ", 500), "no pain", "hide me", "show me the board", "D 99:99:99"}
	c := dial(t, p.url, people[0].token, "")
	for i, text := range said {
		c.say(fmt.Sprintf("zid-%d", i), text)
	}
	c.say("zid-0", "other words under one id, gruntled")
	c.send(`{"type":"say","id":"x","text":"mumpsimus","loud":1}`)
	c.send(`mumpsimus`)
	if f := c.next(); f.Code != "bad_frame" {
		t.Fatalf("%+v", f)
	}
	nobody := api{t, p.url, ""}
	nobody.call("POST", "/api/join", "application/json", map[string]string{"invite": "club.sesquipedalian"})
	nobody.call("GET", "/api/members/mumpsimus?token=mumpsimus", "application/json", nil)
	coach.call("PUT", "/api/sessions/"+today(), "application/json", "session: mumpsimus\n\nA. nonsense mumpsimus\n")
	coach.call("PATCH", "/api/results/"+today()+"/D/"+people[0].ID, "application/json", map[string]string{"reply": "14:01 scaled", "why": "mumpsimus"})
	coach.call("POST", "/api/members/"+people[1].ID+"/messages", "application/json", map[string]string{"text": "mumpsimus"})
	if code := p.stop(); code != 0 {
		t.Errorf("exit %d", code)
	}
	log := p.stderr() + p.stdout()
	secrets := []string{"Quilla", "Zeb", "Invented", "zwicky", "21/18/15", "wibble", "frobnicator", "blathering", "gruntled", "mumpsimus",
		"sesquipedalian", "14:32", "14:01", "99:99", "Ledge and landing", "push-up"}
	for _, token := range []string{coach.token, people[0].token, people[1].token, people[0].Invite} {
		_, bare, _ := strings.Cut(token, ".")
		secrets = append(secrets, bare)
	}
	for _, secret := range secrets {
		for line := range strings.Lines(log) {
			if strings.Contains(line, secret) {
				t.Errorf("%q is logged: %s", secret, line)
			}
		}
	}
	lines := 0
	for line := range strings.Lines(log) {
		if strings.HasPrefix(line, "listening on ") {
			continue
		}
		var entry struct{ Level, Message string }
		if !decode([]byte(line), &entry) || entry.Level == "" {
			t.Errorf("not a line of JSON: %s", line)
		}
		lines++
	}
	if lines < 12 {
		t.Errorf("only %d lines are logged with --debug: the test proves nothing\n%s", lines, log)
	}
}
