package e2e

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// A storm is 500 replies from 25 members at once, with something killed in the middle.
const (
	stormMembers = 25
	stormEach    = 20
	stormKillAt  = 150 // answers that have come when the blow falls
)

// told is one message of a storm, what the reader must make of it, and the answer that came before the blow.
type told struct {
	id, text string
	part     string // "" for talk
	show     string // the result as people read it
	version  string
	better   int   // of two results of a part, the higher ranks first
	answer   frame // its Cursor is empty when it was not acknowledged
}

type storm struct {
	t       testing.TB
	coach   api
	members []member
	women   []bool
	said    [][]*told // by member, in the order of typing
}

// Nothing that was confirmed is lost, whatever was not is taken once, and the boards are those of the replies.
func TestAStormIsSurvived(t *testing.T) {
	t.Run("tallybell is killed, embedded store", func(t *testing.T) {
		args, token := serveArgs(t, "--data", filepath.Join(t.TempDir(), "data"))
		p := start(t, args...)
		s := newStorm(t, coachOf(t, p.url, token))
		s.blow(true, p.kill)
		p = start(t, args...)
		s.settle(p.url)
	})
	t.Run("tallybell is killed, redis", func(t *testing.T) {
		needed(t, "redis-server", "redis-server redis-tools")
		args, token := serveArgs(t, "--redis", startRedis(t, durable...).url())
		p := start(t, args...)
		s := newStorm(t, coachOf(t, p.url, token))
		s.blow(true, p.kill)
		p = start(t, args...)
		s.settle(p.url)
	})
	t.Run("redis is killed", func(t *testing.T) {
		needed(t, "redis-server", "redis-server redis-tools")
		r := startRedis(t, durable...)
		args, token := serveArgs(t, "--redis", r.url())
		p := start(t, args...)
		s := newStorm(t, coachOf(t, p.url, token))
		s.blow(false, r.kill)
		if status, _, body := s.coach.call("GET", "/readyz", "application/json", nil); status != 503 {
			t.Errorf("with the store away /readyz says %d %s", status, body)
		}
		r.start()
		s.settle(p.url)
	})
}

// newStorm makes the members, today's session and what everybody is going to type.
func newStorm(t testing.TB, coach api) *storm {
	t.Helper()
	s := &storm{t: t, coach: coach}
	var people []map[string]any
	for i := range stormMembers {
		s.women = append(s.women, i%2 == 0)
		division := map[bool]string{true: "women", false: "men"}[i%2 == 0]
		people = append(people, map[string]any{"name": fmt.Sprintf("Invented %02d", i), "division": division, "on_boards": true})
	}
	s.members = joinAll(coach, people...)
	coach.want(200, "PUT", "/api/sessions/"+today(), sheet, nil)
	coach.want(200, "POST", "/api/sessions/"+today()+"/send", nil, nil)
	for i := range s.members {
		var list []*told
		for k := range stormEach {
			list = append(list, stormReply(i, k))
		}
		s.said = append(s.said, list)
	}
	return s
}

// stormReply is the k-th message of member i: results of three parts, corrections and talk.
func stormReply(i, k int) *told {
	m := &told{id: fmt.Sprintf("storm-%d-%d", i, k), version: "scaled"}
	if (i+k/4)%2 == 0 {
		m.version = "as_written"
	}
	words := strings.ReplaceAll(m.version, "_", " ")
	seconds := 600 + (i*7+k*13)%300
	clock := fmt.Sprintf("%d:%02d", seconds/60, seconds%60)
	switch {
	case k%4 == 0:
		m.part, m.show, m.better, m.text = "D", clock, -seconds, "D "+clock+" "+words
	case k%4 == 3: // the version stays that of the message it corrects
		m.part, m.show, m.better, m.text = "D", clock, -seconds, "fix D "+clock
	case k%8 == 1:
		a := 15 + (i*3+k)%11
		m.part, m.show, m.better = "B", fmt.Sprintf("%d reps", 4*a+6), 4*a+6
		m.text = fmt.Sprintf("B %d/%d/%d/%d %s", a, a+1, a+2, a+3, words)
	case k%8 == 5:
		rounds, extra := 3+i%4, 1+k
		reps := rounds*18 + extra
		m.part, m.show, m.better = "C", fmt.Sprintf("%d rounds + %d (%d reps)", rounds, extra, reps), reps
		m.text = fmt.Sprintf("C %d+%d %s", rounds, extra, words)
	default:
		m.text = "that was a good one, thanks"
	}
	return m
}

// blow has everybody type at once and strikes when enough was answered. In a rush nobody waits for answers; else each
// member sends the next message when the last was answered, and stops at the first that was not saved.
func (s *storm) blow(rush bool, strike func()) {
	s.t.Helper()
	answered := make(chan struct{}, stormMembers*stormEach)
	var all sync.WaitGroup
	for i, m := range s.members {
		conn := dial(s.t, s.coach.url, m.token, "").conn
		all.Go(func() { s.typeAll(conn, s.said[i], rush, answered) })
	}
	deadline := time.After(60 * time.Second)
	for n := range stormKillAt {
		select {
		case <-answered:
		case <-deadline:
			s.t.Fatalf("only %d answers within 60 s", n)
		}
	}
	strike()
	all.Wait()
	acknowledged := 0
	for _, list := range s.said {
		for _, m := range list {
			if m.answer.Cursor != "" {
				acknowledged++
			}
		}
	}
	if acknowledged == stormMembers*stormEach {
		s.t.Fatal("everything was answered before the blow: it did not fall in the middle")
	}
	s.t.Logf("%d of %d were acknowledged", acknowledged, stormMembers*stormEach)
}

func (s *storm) typeAll(conn *websocket.Conn, list []*told, rush bool, answered chan<- struct{}) {
	byID := map[string]*told{}
	for _, m := range list {
		byID[m.id] = m
		if rush && write(conn, m) != nil {
			break
		}
	}
	for _, m := range list {
		if !rush && write(conn, m) != nil {
			return
		}
		for m.answer.Cursor == "" {
			f, err := readFrame(conn)
			if err != nil || f.Type == "problem" {
				if err == nil && f.Code != "not_saved" {
					s.t.Errorf("%s: %+v", m.id, f)
				}
				return
			}
			if a := byID[f.Re]; a != nil {
				a.answer = f
				answered <- struct{}{}
			}
		}
	}
}

func write(conn *websocket.Conn, m *told) error {
	raw, err := json.Marshal(map[string]string{"type": "say", "id": m.id, "text": m.text})
	if err != nil {
		return err
	}
	return conn.WriteMessage(websocket.TextMessage, raw)
}

// settle sends everything again under the same ids and then looks at what is there.
func (s *storm) settle(url string) {
	s.t.Helper()
	s.coach.url = url
	waitFor(s.t, "the store to be found", func() bool {
		status, _, _ := s.coach.call("GET", "/readyz", "application/json", nil)
		return status == 200
	})
	var all sync.WaitGroup
	for i, m := range s.members {
		conn := dial(s.t, url, m.token, "").conn
		all.Go(func() { s.again(conn, s.said[i]) })
	}
	all.Wait()
	if s.t.Failed() {
		return
	}
	for i := range s.members {
		s.checkConversation(i)
	}
	for _, part := range []string{"B", "C", "D"} {
		s.checkBoards(part)
	}
	var diff struct{ Differences []string }
	s.coach.want(200, "POST", "/api/rebuild", nil, &diff)
	if len(diff.Differences) != 0 {
		s.t.Errorf("boards and ledgers differ: %v", diff.Differences)
	}
}

// again sends one member's messages once more, each until it is answered; what was acknowledged before must get the
// same answer.
func (s *storm) again(conn *websocket.Conn, list []*told) {
	for _, m := range list {
		for tries := 0; ; {
			if err := write(conn, m); err != nil {
				s.t.Error(err)
				return
			}
			f, err := readFrame(conn)
			for err == nil && f.Re != m.id { // the backlog
				f, err = readFrame(conn)
			}
			if err != nil {
				s.t.Errorf("%s: %v", m.id, err)
				return
			}
			if f.Type == "problem" {
				if tries++; tries > 50 || f.Code != "too_fast" && f.Code != "not_saved" {
					s.t.Errorf("%s: %+v", m.id, f)
					return
				}
				pause(100 * time.Millisecond)
				continue
			}
			if was := m.answer; was.Cursor != "" && (f.Cursor != was.Cursor || f.Text != was.Text || string(f.Card) != string(was.Card)) {
				s.t.Errorf("%s was answered\n%+v\nand again\n%+v", m.id, was, f)
			}
			m.answer = f
			break
		}
	}
}

// checkConversation reads a member's conversation from its beginning: the session, then every answer once and in order.
func (s *storm) checkConversation(i int) {
	s.t.Helper()
	c := dial(s.t, s.coach.url, s.members[i].token, "0")
	defer c.conn.Close()
	if f := c.next(); f.Type != "welcome" {
		s.t.Fatalf("first frame %+v", f)
	}
	if f := c.next(); f.Kind != "session" || f.Date != today() {
		s.t.Errorf("the conversation of member %d begins with %+v", i, f)
	}
	last := ""
	for _, m := range s.said[i] {
		f := c.next()
		if f.Kind != "answer" || f.Re != m.id || f.Said != m.text || f.Cursor <= last || f.Cursor != m.answer.Cursor || f.Text != m.answer.Text {
			s.t.Fatalf("after %s comes\n%+v\nwant the answer to %s\n%+v", last, f, m.id, m.answer)
		}
		if want := m.part + ": " + m.show; m.part != "" && !strings.HasPrefix(f.Text, want) {
			s.t.Errorf("%q was answered %q, want %q", m.text, f.Text, want)
		}
		last = f.Cursor
	}
	// Nothing comes after the last answer: the next frame answers what is said now.
	c.send(`{"type":"say","id":"end","text":"see you tomorrow"}`)
	if f := c.next(); f.Re != "end" || f.Cursor <= last {
		s.t.Errorf("after the last answer comes %+v", f)
	}
}

// checkBoards compares a part's boards with ranks worked out here from what was typed.
func (s *storm) checkBoards(part string) {
	s.t.Helper()
	type standing struct {
		told
		name string
	}
	stand := map[string][]standing{}
	for i, list := range s.said {
		now := told{}
		for _, m := range list {
			if m.part == part {
				version := m.version
				if strings.HasPrefix(m.text, "fix") {
					version = now.version
				}
				now = *m
				now.version = version
			}
		}
		block := map[bool]string{true: "women ", false: "men "}[s.women[i]] + now.version
		stand[block] = append(stand[block], standing{now, s.members[i].Name})
	}
	want := map[string][]string{}
	for block, list := range stand {
		for _, a := range list {
			rank := 1
			for _, b := range list {
				if b.better > a.better {
					rank++
				}
			}
			want[block] = append(want[block], fmt.Sprintf("%02d %s %s", rank, a.name, a.show))
		}
		slices.Sort(want[block])
	}
	var page boardPage
	s.coach.want(200, "GET", "/api/boards/"+today()+"/"+part, nil, &page)
	got := map[string][]string{}
	for _, b := range page.Boards {
		key, last := b.Division+" "+b.Version, 0
		for _, e := range b.Entries {
			if e.Rank < last {
				s.t.Errorf("%s %s: rank %d is listed after %d", part, key, e.Rank, last)
			}
			last = e.Rank
			got[key] = append(got[key], fmt.Sprintf("%02d %s %s", e.Rank, e.Name, e.Result))
		}
		slices.Sort(got[key])
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		s.t.Errorf("boards of %s:\n%v\nwant\n%v", part, got, want)
	}
}
