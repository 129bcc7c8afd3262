package web_test

import (
	"encoding/json"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"tallybell/bot/web"
)

// club is a server that keeps the contract of /api/join, /api/me and /chat, with one member and a bot of a few words.
// It can lose its connections, go away, and say that it cannot save.
type club struct {
	*httptest.Server
	t *testing.T

	mu       sync.Mutex
	n        int64
	line     []map[string]any // posts, in order
	byID     map[string]map[string]any
	heard    []string // texts that were answered, in order
	says     int      // frames of type say, repeats included
	seen     string
	joins    []map[string]string
	key      string // the key that the invite was used with
	away     bool   // new connections are refused, and the old ones are gone
	unsaved  int    // so many more messages get not_saved
	refuse   string // the code that the next message is refused with
	mute     bool   // messages are taken and answered, but no answer is sent
	sockets  map[*websocket.Conn]bool
	sinces   []string
	signedIn func(r *http.Request) bool
}

const clubName = "Lantern Hall Strength Club"

func newClub(t *testing.T) *club {
	t.Helper()
	c := &club{t: t, n: 1790000000000000, byID: map[string]map[string]any{}, sockets: map[*websocket.Conn]bool{}}
	c.signedIn = func(r *http.Request) bool {
		k, err := r.Cookie("tallybell_lantern")
		return err == nil && k.Value == "lantern.token"
	}
	pages := newPages(t)
	mux := http.NewServeMux()
	pages.Routes(mux)
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) { _ = pages.Member(w, web.MemberPage{Club: clubName}) })
	mux.HandleFunc("POST /api/join", c.join)
	mux.HandleFunc("GET /api/me", c.me)
	mux.HandleFunc("GET /chat", c.chat)
	c.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		c.mu.Lock()
		away := c.away
		c.mu.Unlock()
		if away {
			hangUp(w)
			return
		}
		mux.ServeHTTP(w, r)
	}))
	t.Cleanup(func() { c.cut(); c.Server.Close() })
	return c
}

// hangUp ends a request as a dead server does.
func hangUp(w http.ResponseWriter) {
	conn, _, err := w.(http.Hijacker).Hijack()
	if err == nil {
		_ = conn.(*net.TCPConn).SetLinger(0)
		_ = conn.Close()
	}
}

func (c *club) join(w http.ResponseWriter, r *http.Request) {
	var q map[string]string
	_ = json.NewDecoder(r.Body).Decode(&q)
	c.mu.Lock()
	defer c.mu.Unlock()
	c.joins = append(c.joins, q)
	if q["invite"] != "lantern.s3cret" || c.key != "" && c.key != q["key"] {
		w.Header().Set("Content-Type", "application/problem+json")
		w.WriteHeader(http.StatusConflict)
		return
	}
	c.key = q["key"]
	http.SetCookie(w, &http.Cookie{Name: "tallybell_lantern", Value: "lantern.token", Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode, MaxAge: 3600})
	_, _ = w.Write([]byte(`{"member":{"id":"m1","name":"Iris Penn"},"token":"lantern.token"}`))
}

func (c *club) me(w http.ResponseWriter, r *http.Request) {
	if !c.signedIn(r) {
		w.WriteHeader(http.StatusUnauthorized)
		return
	}
	_, _ = w.Write([]byte(`{"id":"m1","name":"Iris Penn"}`))
}

func (c *club) chat(w http.ResponseWriter, r *http.Request) {
	if !c.signedIn(r) {
		w.WriteHeader(http.StatusUnauthorized)
		return
	}
	up := websocket.Upgrader{Subprotocols: []string{"tallybell.v1"}}
	conn, err := up.Upgrade(w, r, nil)
	if err != nil {
		return
	}
	c.mu.Lock()
	c.sockets[conn] = true
	c.sinces = append(c.sinces, r.URL.Query().Get("since"))
	since, _ := strconv.ParseInt(r.URL.Query().Get("since"), 10, 64)
	c.write(conn, map[string]any{"type": "welcome", "member": map[string]string{"id": "m1", "name": "Iris Penn"}, "role": "member", "cursor": strconv.FormatInt(c.n, 10)})
	for _, p := range c.line {
		if at, _ := strconv.ParseInt(p["cursor"].(string), 10, 64); at > since {
			c.write(conn, p)
		}
	}
	c.mu.Unlock()
	for {
		_, b, err := conn.ReadMessage()
		if err != nil {
			break
		}
		c.hear(conn, b)
	}
	c.mu.Lock()
	delete(c.sockets, conn)
	c.mu.Unlock()
	_ = conn.Close()
}

func (c *club) write(conn *websocket.Conn, v any) {
	_ = conn.SetWriteDeadline(time.Now().Add(5 * time.Second))
	_ = conn.WriteJSON(v)
}

func (c *club) hear(conn *websocket.Conn, b []byte) {
	var f struct{ Type, ID, Text, Cursor string }
	if json.Unmarshal(b, &f) != nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if f.Type == "seen" {
		c.seen = f.Cursor
		return
	}
	c.says++
	if c.unsaved > 0 {
		c.unsaved--
		c.write(conn, map[string]any{"type": "problem", "re": f.ID, "code": "not_saved", "text": "Not known to be saved. Please send it again."})
		return
	}
	if c.refuse != "" {
		c.write(conn, map[string]any{"type": "problem", "re": f.ID, "code": c.refuse, "text": "refused"})
		c.refuse = ""
		return
	}
	post, again := c.byID[f.ID]
	if !again {
		c.heard = append(c.heard, f.Text)
		post = c.put(answer(f.ID, f.Text))
		c.byID[f.ID] = post
	}
	if !c.mute {
		for s := range c.sockets {
			c.write(s, post)
		}
	}
}

// answer is what the bot of a few words says.
func answer(id, text string) map[string]any {
	p := map[string]any{"kind": "answer", "re": id, "said": text, "text": "Kept for your coach to read."}
	switch {
	case strings.HasPrefix(text, "C 14:32 "):
		v := map[bool]string{true: "scaled", false: "as_written"}[strings.Contains(text, "scaled")]
		words := strings.ReplaceAll(v, "_", " ")
		p["text"] = "C: 14:32, " + words + ". 3rd of 12 women " + words + ".\nNot right? Reply: fix C and the right time"
		p["card"] = map[string]any{"logged": []any{map[string]any{"part": "C", "result": map[string]any{"kind": "time", "finished": true, "time_ms": 872000}, "version": v,
			"ranks": []any{map[string]any{"division": "women", "version": v, "rank": 3, "of": 12}}}}, "asks": []any{}}
	case text == "swap push-up":
		p["text"] = "Instead of push-ups: 1 incline push-ups (scaled)"
		p["card"] = map[string]any{"logged": []any{}, "asks": []any{}, "ask": map[string]any{"text": "Instead of push-ups:",
			"options": []string{"swap push-up for incline push-up"}, "labels": []string{"incline push-ups (scaled)"}}}
	case strings.HasPrefix(text, "swap push-up for"):
		p["text"] = "Swapped."
	case text == "A done":
		p["text"] = "A: done.\nNot right? Reply: scrap A"
		p["card"] = map[string]any{"logged": []any{map[string]any{"part": "A", "result": map[string]any{"kind": "done"}, "version": "", "ranks": []any{}}}, "asks": []any{}}
	case text == "C 14:32":
		p["text"] = "C: 14:32. As written, or scaled?"
		p["card"] = map[string]any{"logged": []any{}, "asks": []any{map[string]any{"part": "C", "about": "version", "suggest": []string{"C 14:32 as written", "C 14:32 scaled"}}}}
	}
	return p
}

// put gives a post its number; the caller holds the lock.
func (c *club) put(p map[string]any) map[string]any {
	c.n += 1000
	p["type"], p["cursor"] = "post", strconv.FormatInt(c.n, 10)
	if p["at"] == nil {
		p["at"] = time.Now().UTC().Format(time.RFC3339)
	}
	c.line = append(c.line, p)
	return p
}

// post puts something on the line and sends it to every page that is open.
func (c *club) post(p map[string]any) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.put(p)
	for s := range c.sockets {
		c.write(s, p)
	}
}

// session posts a session as the content package cards it.
func (c *club) session(name, date string) {
	c.t.Helper()
	c.sessionFrom("card_"+name+".json", "text_"+name+".txt", date)
}

// fittedSession posts one of the sessions of the golden files that were fitted to a member.
func (c *club) fittedSession(name, date string) {
	c.t.Helper()
	c.sessionFrom("fit/golden/"+name+".json", "fit/golden/"+name+".txt", date)
}

func (c *club) sessionFrom(cardFile, textFile, date string) {
	c.t.Helper()
	b, err := os.ReadFile("../../content/testdata/" + cardFile)
	if err != nil {
		c.t.Fatal(err)
	}
	var card map[string]any
	if err := json.Unmarshal(b, &card); err != nil {
		c.t.Fatal(err)
	}
	if date != "" {
		card["date"] = date
	}
	text, err := os.ReadFile("../../content/testdata/" + textFile)
	if err != nil {
		c.t.Fatal(err)
	}
	c.post(map[string]any{"kind": "session", "date": card["date"], "text": string(text), "card": card})
}

// cut ends every connection at once, as a tunnel does.
func (c *club) cut() {
	c.mu.Lock()
	defer c.mu.Unlock()
	for s := range c.sockets {
		_ = s.UnderlyingConn().Close()
	}
}

func (c *club) goAway(away bool) {
	c.mu.Lock()
	c.away = away
	c.mu.Unlock()
	if away {
		c.cut()
	}
}

func (c *club) set(f func()) {
	c.mu.Lock()
	defer c.mu.Unlock()
	f()
}

func (c *club) texts() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return append([]string(nil), c.heard...)
}
