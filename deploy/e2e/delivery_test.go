package e2e

import (
	"bufio"
	"fmt"
	"net"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// A delivery to 2,000 members with 180 send times: one post for each of these.
const (
	deliveryMembers = 2000
	deliveryTimes   = 180
	deliveryKillAt  = 200 // sessions received when the blow falls
)

// receiver is one member's phone: it counts the sessions that come and comes back with its cursor when it is cut off.
type receiver struct {
	member
	conn     *websocket.Conn
	cursor   string
	sessions int
	cutOff   chan struct{} // closed when the connection has ended
}

// Two servers on one Redis, one of them killed in the middle of a delivery to 2,000 members: another one that starts
// finishes it, and every member has the session once.
func TestAKillInTheMiddleOfADelivery(t *testing.T) {
	needed(t, "redis-server", "redis-server redis-tools")
	r := startRedis(t, durable...)
	args, token := serveArgs(t, "--redis", r.url())
	a := start(t, args...)
	coach := coachOf(t, a.url, token)
	all := joinMany(t, coach)
	coach.want(200, "PUT", "/api/sessions/"+today()+"?draft=1", sheet, nil)
	// The first half is at the server that stays, the second at the one that will be killed.
	b := start(t, args...)
	begun := make(chan struct{})
	var received atomic.Int64
	got := func() {
		if received.Add(1) == deliveryKillAt {
			close(begun)
		}
	}
	half := deliveryMembers / 2
	each(all, func(i int, m *receiver) {
		url := a.url
		if i >= half {
			url = b.url
		}
		m.connect(t, url)
	})
	var reading sync.WaitGroup
	for _, m := range all {
		reading.Go(func() { m.read(t, got) })
	}
	go func() { // the one that is killed sends; no answer need come
		_ = post(b.url+"/api/sessions/"+today()+"/publish", coach.token)
		_ = post(b.url+"/api/sessions/"+today()+"/send", coach.token)
	}()
	<-begun
	b.kill()
	written := r.ask(t, "XLEN", "{club}:posts")
	t.Logf("killed with %d of %d posts written, %d members served", written, deliveryTimes, received.Load())
	if written == 0 || written == deliveryTimes {
		t.Error("that is not the middle")
	}
	c := start(t, args...) // its schedule sends at once what is due and has not gone out
	waitFor(t, "every post", func() bool { return r.ask(t, "XLEN", "{club}:posts") >= deliveryTimes })
	each(all[half:], func(_ int, m *receiver) {
		<-m.cutOff
		m.connect(t, c.url)
		reading.Go(func() { m.read(t, got) })
	})
	waitFor(t, "every member", func() bool { return received.Load() >= deliveryMembers })
	// Nothing comes after the session but the answer to what is said now.
	each(all, func(_ int, m *receiver) {
		if err := m.conn.WriteMessage(websocket.TextMessage, []byte(`{"type":"say","id":"end","text":"see you tomorrow"}`)); err != nil {
			t.Error(err)
		}
	})
	reading.Wait()
	for _, m := range all {
		if m.sessions != 1 {
			t.Errorf("%s has the session %d times", m.ID, m.sessions)
		}
	}
	if n := received.Load(); n != deliveryMembers {
		t.Errorf("%d sessions were received by %d members", n, deliveryMembers)
	}
	if n := r.ask(t, "XLEN", "{club}:posts"); n != deliveryTimes {
		t.Errorf("%d posts, want one for each of %d send times", n, deliveryTimes)
	}
}

// joinMany makes the members; their send times are those of the past three hours of the club's night.
func joinMany(t *testing.T, coach api) []*receiver {
	t.Helper()
	all := make([]*receiver, deliveryMembers)
	for from := 0; from < len(all); from += 250 {
		var people []map[string]any
		for i := from; i < from+250; i++ {
			at := i % deliveryTimes
			people = append(people, map[string]any{"name": fmt.Sprintf("Invented %04d", i), "send_at": fmt.Sprintf("%02d:%02d", at/60, at%60)})
		}
		var list []invited
		coach.want(200, "POST", "/api/members", people, &list)
		for i, in := range list {
			all[from+i] = &receiver{member: member{invited: in}}
		}
	}
	each(all, func(_ int, m *receiver) {
		var in struct{ Token string }
		status, _, raw := api{t, coach.url, ""}.call("POST", "/api/join", "application/json", map[string]string{"invite": m.Invite})
		if status != 200 || !decode(raw, &in) {
			t.Errorf("joining: %d %s", status, raw)
		}
		m.token = in.Token
	})
	return all
}

// each does something for every member, 32 at a time.
func each(all []*receiver, do func(i int, m *receiver)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range 32 {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(all); i = int(next.Add(1)) - 1 {
				do(i, all[i])
			}
		})
	}
	wg.Wait()
}

func (m *receiver) connect(t *testing.T, url string) {
	conn, err := tryDial(url, m.token, m.cursor)
	if err != nil {
		t.Error(err)
		return
	}
	m.conn, m.cutOff = conn, make(chan struct{})
}

// read counts sessions until the last answer has come or the connection is cut.
func (m *receiver) read(t *testing.T, got func()) {
	conn := m.conn
	if conn == nil {
		return
	}
	defer close(m.cutOff)
	defer conn.Close()
	for {
		_ = conn.SetReadDeadline(time.Now().Add(60 * time.Second))
		var f frame
		if err := conn.ReadJSON(&f); err != nil {
			return
		}
		if f.Cursor != "" && f.Type == "post" {
			m.cursor = f.Cursor
		}
		switch {
		case f.Kind == "session":
			m.sessions++
			got()
		case f.Re == "end":
			return
		}
	}
}

// post asks for something without caring for the answer.
func post(url, token string) error {
	a := strings.TrimPrefix(url, "http://")
	host, path, _ := strings.Cut(a, "/")
	c, err := net.Dial("tcp", host)
	if err != nil {
		return err
	}
	defer c.Close()
	fmt.Fprintf(c, "POST /%s HTTP/1.1\r\nHost: %s\r\nAuthorization: Bearer %s\r\nContent-Length: 0\r\nConnection: close\r\n\r\n", path, host, token)
	_, err = bufio.NewReader(c).ReadString('\n')
	return err
}

// ask sends one command to the Redis and returns the number that it answers.
func (r *redis) ask(t *testing.T, words ...string) int {
	t.Helper()
	c, err := net.Dial("tcp", "127.0.0.1:"+r.port)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprintf(c, "%s\r\n", strings.Join(words, " "))
	line, err := bufio.NewReader(c).ReadString('\n')
	if err != nil || line[0] != ':' {
		t.Fatalf("%q: %q %v", words, line, err)
	}
	n, err := strconv.Atoi(strings.TrimSpace(line[1:]))
	if err != nil {
		t.Fatal(err)
	}
	return n
}
