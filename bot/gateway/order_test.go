package gateway

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"

	"tallybell/bot/roster"
)

// reading is a client that reads a conversation over many connections, each cut off at a random point, and goes on
// from its last cursor each time.
type reading struct {
	at      []*rig // the replicas
	token   string
	rng     *rand.Rand
	since   string
	cursors []int64
	done    bool
}

// toTheEnd reads on until the last post of the test has come.
func (d *reading) toTheEnd() error {
	for !d.done {
		query := ""
		if d.since != "" {
			query = "?since=" + d.since
		}
		c, resp, err := d.at[d.rng.IntN(len(d.at))].tryDial(d.token, query, nil)
		if err != nil {
			return fmt.Errorf("dial: %w (%v)", err, resp)
		}
		err = d.some(c)
		c.ws.Close()
		if err != nil {
			return err
		}
	}
	return nil
}

// some reads a random number of posts: every other time few, else many.
func (d *reading) some(c *client) error {
	most := 20
	if d.rng.IntN(2) == 0 {
		most = 500
	}
	for range 1 + d.rng.IntN(most) {
		p, err := c.read()
		if err != nil {
			return fmt.Errorf("read: %w", err)
		}
		if p.Type != "post" {
			continue
		}
		n, err := strconv.ParseInt(p.Cursor, 10, 64)
		if err != nil {
			return err
		}
		d.cursors = append(d.cursors, n)
		d.since = p.Cursor
		if d.done = strings.HasPrefix(p.Text, theLast); d.done {
			return nil
		}
	}
	return nil
}

const theLast = "the last post"

// Under answers, coach's words and posts that race, with readers that are cut off again and again, hints that are
// lost, over two replicas, every reader gets every post of its conversation exactly once and in order.
func TestEveryPostExactlyOnceInOrder(t *testing.T) {
	for seed := range uint64(4) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) { exactlyOnce(t, seed) })
	}
}

func exactlyOnce(t *testing.T, seed uint64) {
	r := start(t, func(o *Options) { o.Limits.Devices = 100 })
	r.fake.noHints = seed%2 == 1
	at := []*rig{r, r.replica()}
	const talkers, rounds = 4, 60
	tokens := make([]string, talkers)
	for i := range tokens {
		tokens[i] = r.fake.enrol(fmt.Sprint("m", i), roster.RoleMember, fmt.Sprint("kit ", i%3))
	}
	var writing, talking sync.WaitGroup
	for i := range talkers {
		talking.Go(func() { talk(at[i%2], tokens[i], i, rounds, rand.New(rand.NewPCG(seed, uint64(i)))) })
	}
	talked := make(chan struct{})
	go func() { talking.Wait(); close(talked) }()
	writing.Go(func() {
		for i := range rounds {
			if i%2 == 0 {
				r.fake.post(fmt.Sprint("post ", i))
			} else {
				_, _ = r.fake.Tell(t.Context(), "maren", fmt.Sprint("tell ", i), fmt.Sprint("m", i/2%talkers), "well done")
			}
			awaitMessages(r, 4, talked)
		}
		<-talked
	})
	var readers sync.WaitGroup
	all := make([]*reading, 3*talkers) // three devices each
	errs := make(chan error, len(all))
	for i := range all {
		all[i] = &reading{at: at, token: tokens[i%talkers], rng: rand.New(rand.NewPCG(seed, uint64(100+i)))}
		readers.Go(func() {
			if err := all[i].toTheEnd(); err != nil {
				errs <- err
			}
		})
	}
	writing.Wait()
	r.fake.post(theLast)
	readers.Wait()
	close(errs)
	for err := range errs {
		t.Error(err)
	}
	for i, d := range all {
		want := conversation(r, fmt.Sprint("m", i%talkers))
		if fmt.Sprint(d.cursors) != fmt.Sprint(want) {
			t.Errorf("reader %d got %s", i, difference(d.cursors, want))
		}
	}
}

// awaitMessages waits until that many numbers were taken, or all talk is over, so that posts and answers race.
func awaitMessages(r *rig, more int64, over <-chan struct{}) {
	number := func() int64 { n, _, _ := r.fake.Number(r.t.Context()); return n }
	for until := number() + more; number() < until; runtime.Gosched() {
		select {
		case <-over:
			return
		default:
		}
	}
}

// talk says rounds messages over connections that it drops now and then, repeating what was not answered.
func talk(r *rig, token string, who, rounds int, rng *rand.Rand) {
	for said := 0; said < rounds; {
		c, _, err := r.tryDial(token, "?since=9000000000000000", nil)
		if err != nil {
			r.t.Errorf("talker: %v", err)
			return
		}
		for range 1 + rng.IntN(20) {
			if said == rounds {
				break
			}
			id := fmt.Sprintf("%d-%d", who, said)
			if c.ws.WriteJSON(map[string]string{"type": "say", "id": id, "text": "x" + id}) != nil {
				break
			}
			if rng.IntN(10) == 0 {
				break // hangs up without the answer and says it again
			}
			if !answered(c, id) {
				break
			}
			said++
		}
		c.ws.Close()
	}
}

func answered(c *client, id string) bool {
	for {
		p, err := c.read()
		if err != nil {
			return false
		}
		if p.Re == id && p.Type == "post" {
			return true
		}
	}
}

func conversation(r *rig, member string) []int64 {
	b, _ := r.fake.After(r.t.Context(), member, -1)
	var out []int64
	for _, p := range b.Posts {
		out = append(out, p.Cursor)
	}
	return out
}

func difference(got, want []int64) string {
	for i := range min(len(got), len(want)) {
		if got[i] != want[i] {
			return fmt.Sprintf("%d at place %d instead of %d", got[i], i, want[i])
		}
	}
	return fmt.Sprintf("%d posts instead of %d", len(got), len(want))
}

// The rule of the line in small: what may go to a connection directly, and what must be read from the store.
func TestDirect(t *testing.T) {
	for name, tc := range map[string]struct {
		cursor, n, safe  int64
		catching, behind bool
		catchUp, again   bool
		cursorAfter      int64
	}{
		"nothing between":                {cursor: 10, n: 15, safe: 10, cursorAfter: 15},
		"long up to date":                {cursor: 12, n: 15, safe: 10, cursorAfter: 15},
		"something between":              {cursor: 9, n: 15, safe: 10, catchUp: true, cursorAfter: 9},
		"had it":                         {cursor: 15, n: 15, safe: 10, cursorAfter: 15},
		"had later ones":                 {cursor: 20, n: 15, safe: 10, cursorAfter: 20},
		"a backlog is being read":        {cursor: 10, n: 15, safe: 10, catching: true, again: true, cursorAfter: 10},
		"a backlog could not be read":    {cursor: 10, n: 15, safe: 10, behind: true, catchUp: true, cursorAfter: 10},
		"not known to be safe":           {cursor: 10, n: 15, safe: never, catchUp: true, cursorAfter: 10},
		"connected without a cursor":     {cursor: -1, n: 15, safe: 0, catchUp: true, cursorAfter: -1},
		"had it while a backlog is read": {cursor: 15, n: 15, safe: 10, catching: true, cursorAfter: 15},
	} {
		t.Run(name, func(t *testing.T) {
			c := &conn{cursor: tc.cursor, catching: tc.catching, behind: tc.behind, out: newOut(discard{}, outLimits{10, 1000, wait}, func(error) {})}
			if got := c.direct(tc.n, tc.safe, []byte("frame")); got != tc.catchUp {
				t.Errorf("must catch up: %v", got)
			}
			c.out.flush(wait)
			if c.cursor != tc.cursorAfter || c.again != tc.again {
				t.Errorf("cursor %d, again %v", c.cursor, c.again)
			}
		})
	}
}
