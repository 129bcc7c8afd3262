package e2e

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// api is a coach's or a member's way to the HTTP API.
type api struct {
	t     testing.TB
	url   string
	token string
}

// call sends a request and returns status, content type and body.
func (a api) call(method, path, accept string, body any) (int, string, []byte) {
	a.t.Helper()
	var in io.Reader
	kind := "application/json"
	switch b := body.(type) {
	case nil:
	case string:
		in, kind = strings.NewReader(b), "text/plain"
	default:
		raw, err := json.Marshal(b)
		if err != nil {
			a.t.Fatal(err)
		}
		in = bytes.NewReader(raw)
	}
	req, err := http.NewRequest(method, a.url+path, in)
	if err != nil {
		a.t.Fatal(err)
	}
	if a.token != "" {
		req.Header.Set("Authorization", "Bearer "+a.token)
	}
	req.Header.Set("Content-Type", kind)
	req.Header.Set("Accept", accept)
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		a.t.Fatal(err)
	}
	defer resp.Body.Close()
	got, err := io.ReadAll(resp.Body)
	if err != nil {
		a.t.Fatal(err)
	}
	return resp.StatusCode, resp.Header.Get("Content-Type"), got
}

// want calls, expects a status and reads the JSON of the answer into out (nil to ignore it).
func (a api) want(status int, method, path string, body, out any) {
	a.t.Helper()
	got, _, raw := a.call(method, path, "application/json", body)
	if got != status {
		a.t.Fatalf("%s %s: %d, want %d: %s", method, path, got, status, raw)
	}
	if out != nil {
		if err := json.Unmarshal(raw, out); err != nil {
			a.t.Fatalf("%s %s: %v: %s", method, path, err, raw)
		}
	}
}

// coachOf reads the token file that the server made.
func coachOf(t testing.TB, url, tokenFile string) api {
	t.Helper()
	b, err := os.ReadFile(tokenFile)
	if err != nil {
		t.Fatal(err)
	}
	return api{t, url, strings.TrimSpace(string(b))}
}

// invited is one member as POST /api/members answers.
type invited struct{ ID, Name, Invite, Link string }

// member is somebody who has joined.
type member struct {
	invited
	token string
}

// joinAll adds members and uses their invites.
func joinAll(coach api, people ...map[string]any) []member {
	coach.t.Helper()
	var list []invited
	coach.want(200, "POST", "/api/members", people, &list)
	var out []member
	for _, in := range list {
		var got struct {
			Member struct{ ID, Name string }
			Token  string
		}
		api{coach.t, coach.url, ""}.want(200, "POST", "/api/join", map[string]string{"invite": in.Invite}, &got)
		if got.Member.ID != in.ID || got.Token == "" {
			coach.t.Fatalf("joined as %+v, want %s", got, in.ID)
		}
		out = append(out, member{in, got.Token})
	}
	return out
}

// frame is any frame of the server.
type frame struct {
	Type, Cursor, Kind, At, Date, Re, Said, Text, Code, Role string
	Member                                                   struct{ ID, Name string }
	Card                                                     json.RawMessage
}

// chat is one WebSocket connection.
type chat struct {
	t    testing.TB
	conn *websocket.Conn
}

// dial connects; since "" asks for the last 14 days.
func dial(t testing.TB, url, token, since string) *chat {
	t.Helper()
	c, err := tryDial(url, token, since)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close() })
	return &chat{t, c}
}

func tryDial(url, token, since string) (*websocket.Conn, error) {
	d := websocket.Dialer{Subprotocols: []string{"tallybell.v1"}, HandshakeTimeout: 10 * time.Second}
	address := "ws" + strings.TrimPrefix(url, "http") + "/chat"
	if since != "" {
		address += "?since=" + since
	}
	c, resp, err := d.Dial(address, http.Header{"Authorization": {"Bearer " + token}})
	if err != nil && resp != nil {
		return nil, fmt.Errorf("%w: %s", err, resp.Status)
	}
	return c, err
}

// next returns the next frame, waiting at most 15 s.
func (c *chat) next() frame {
	c.t.Helper()
	f, err := readFrame(c.conn)
	if err != nil {
		c.t.Fatal(err)
	}
	return f
}

func readFrame(c *websocket.Conn) (frame, error) {
	_ = c.SetReadDeadline(time.Now().Add(40 * time.Second))
	_, raw, err := c.ReadMessage()
	if err != nil {
		return frame{}, err
	}
	var f frame
	if err := json.Unmarshal(raw, &f); err != nil {
		return frame{}, fmt.Errorf("%w: %s", err, raw)
	}
	return f, nil
}

// send writes one frame as it is.
func (c *chat) send(raw string) {
	c.t.Helper()
	if err := c.conn.WriteMessage(websocket.TextMessage, []byte(raw)); err != nil {
		c.t.Fatal(err)
	}
}

// say types something and returns what answers it.
func (c *chat) say(id, text string) frame {
	c.t.Helper()
	raw, err := json.Marshal(map[string]string{"type": "say", "id": id, "text": text})
	if err != nil {
		c.t.Fatal(err)
	}
	c.send(string(raw))
	for {
		if f := c.next(); f.Re == id {
			return f
		}
	}
}
