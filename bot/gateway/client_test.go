package gateway

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
	"github.com/rs/zerolog"
	"go.uber.org/goleak"

	"tallybell/bot/roster"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// wait is the longest that a test waits for something that must come.
const wait = 10 * time.Second

// rig is a running server with one club of a coach, ada and bo.
type rig struct {
	t     testing.TB
	fake  *fakeClub
	srv   *Server
	addr  string
	coach string // tokens
	ada   string
	bo    string
}

func start(t testing.TB, change ...func(*Options)) *rig {
	t.Helper()
	f := newFake("lantern")
	r := &rig{t: t, fake: f, coach: f.enrol("maren", roster.RoleCoach), ada: f.enrol("ada", roster.RoleMember, "backpack"), bo: f.enrol("bo", roster.RoleMember)}
	o := Options{Clubs: map[string]Club{f.id: {Bot: f, Roster: f}}, Log: zerolog.Nop(),
		Limits: Limits{Look: 20 * time.Millisecond, Chat: Rate{time.Microsecond, 1 << 20}}}
	for _, c := range change {
		c(&o)
	}
	r.serve(o)
	return r
}

// serve runs a server for the rig.
func (r *rig) serve(o Options) {
	t := r.t
	t.Helper()
	r.srv = New(o)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	r.addr = l.Addr().String()
	served := make(chan error, 1)
	srv := r.srv
	go func() { served <- srv.Serve(l) }()
	srv.Start(context.Background())
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), wait)
		defer cancel()
		if err := srv.Shutdown(ctx); err != nil {
			t.Errorf("shutdown: %v", err)
		}
		if err := <-served; err != nil {
			t.Errorf("serve: %v", err)
		}
		http.DefaultClient.CloseIdleConnections()
	})
}

// replica is another server of the same club.
func (r *rig) replica() *rig {
	other := *r
	other.serve(r.srv.o)
	return &other
}

// frame is any frame of the server.
type frame struct {
	Type   string
	Cursor string
	Kind   string
	At     string
	Date   string
	Re     string
	Said   string
	Text   string
	Code   string
	Role   string
	Member struct{ ID, Name string }
}

// client is one chat connection.
type client struct {
	t  testing.TB
	ws *websocket.Conn
}

// dial connects and reads the welcome.
func (r *rig) dial(token, query string) *client {
	r.t.Helper()
	c, resp, err := r.tryDial(token, query, nil)
	if err != nil {
		r.t.Fatalf("dial: %v (%v)", err, resp)
	}
	if w := c.next(); w.Type != "welcome" {
		r.t.Fatalf("the first frame is %+v, want the welcome", w)
	}
	return c
}

func (r *rig) tryDial(token, query string, header http.Header) (*client, *http.Response, error) {
	if header == nil {
		header = http.Header{}
	}
	if token != "" {
		header.Set("Authorization", "Bearer "+token)
	}
	d := websocket.Dialer{Subprotocols: []string{"tallybell.v1"}, HandshakeTimeout: wait}
	ws, resp, err := d.Dial("ws://"+r.addr+"/chat"+query, header)
	if err != nil {
		return nil, resp, err
	}
	c := &client{r.t, ws}
	r.t.Cleanup(func() { ws.Close() })
	return c, resp, nil
}

// next returns the next frame.
func (c *client) next() frame {
	c.t.Helper()
	f, err := c.read()
	if err != nil {
		c.t.Fatalf("no frame: %v", err)
	}
	return f
}

func (c *client) read() (frame, error) {
	_ = c.ws.SetReadDeadline(time.Now().Add(wait))
	_, p, err := c.ws.ReadMessage()
	if err != nil {
		return frame{}, err
	}
	var f frame
	if err := json.Unmarshal(p, &f); err != nil {
		return frame{}, errors.New("not JSON: " + string(p))
	}
	return f, nil
}

func (c *client) send(text string) {
	c.t.Helper()
	if err := c.ws.WriteMessage(websocket.TextMessage, []byte(text)); err != nil {
		c.t.Fatalf("send: %v", err)
	}
}

func (c *client) say(id, text string) {
	c.t.Helper()
	p, _ := json.Marshal(map[string]string{"type": "say", "id": id, "text": text})
	c.send(string(p))
}

// closed reads until the connection ends and returns the close code, after the frames that came before.
func (c *client) closed() (code int, before []frame) {
	c.t.Helper()
	for {
		f, err := c.read()
		if err == nil {
			before = append(before, f)
			continue
		}
		var ce *websocket.CloseError
		if !errors.As(err, &ce) {
			c.t.Fatalf("ended without a close frame: %v", err)
		}
		return ce.Code, before
	}
}

// call makes an HTTP request.
func (r *rig) call(method, path, token, body string, header ...string) (*http.Response, string) {
	r.t.Helper()
	req, err := http.NewRequest(method, "http://"+r.addr+path, strings.NewReader(body))
	if err != nil {
		r.t.Fatal(err)
	}
	if token != "" {
		req.Header.Set("Authorization", "Bearer "+token)
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		r.t.Fatal(err)
	}
	defer resp.Body.Close()
	var b strings.Builder
	if _, err := io.Copy(&b, resp.Body); err != nil {
		r.t.Fatal(err)
	}
	return resp, b.String()
}

// eventually waits until ok holds.
func eventually(t testing.TB, what string, ok func() bool) {
	t.Helper()
	deadline := time.NewTimer(wait)
	defer deadline.Stop()
	tick := time.NewTicker(2 * time.Millisecond)
	defer tick.Stop()
	for !ok() {
		select {
		case <-deadline.C:
			t.Fatalf("never came: %s", what)
		case <-tick.C:
		}
	}
}
