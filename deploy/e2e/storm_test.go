package e2e

import (
	"encoding/json"
	"fmt"
	"path/filepath"
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
