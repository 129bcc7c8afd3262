package gateway

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// discard is a connection that takes everything.
type discard struct{ net.Conn }

func (discard) Write(p []byte) (int, error)      { return len(p), nil }
func (discard) SetWriteDeadline(time.Time) error { return nil }
func (discard) SetReadDeadline(time.Time) error  { return nil }
func (discard) Close() error                     { return nil }

// tap is a connection that shows what is written to it.
type tap struct {
	discard
	got chan []byte
}

func (t tap) Write(p []byte) (int, error) {
	t.got <- p
	return len(p), nil
}

// pair is a TCP connection over the loopback: ours, and the peer's.
func pair(t *testing.T) (net.Conn, net.Conn) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	peer, err := net.Dial("tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	ours, err := l.Accept()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { ours.Close(); peer.Close() })
	return ours, peer
}

func TestOutKeepsOrderThroughQueueAndSocket(t *testing.T) {
	for _, kind := range []string{"tcp", "pipe"} {
		t.Run(kind, func(t *testing.T) {
			ours, peer := net.Pipe()
			if kind == "tcp" {
				ours, peer = pair(t)
			}
			o := newOut(ours, outLimits{1 << 20, 1 << 30, wait}, func(err error) { t.Errorf("failed: %v", err) })
			var want bytes.Buffer
			const frames = 3000
			for i := range frames {
				fmt.Fprintf(&want, "%06d%s", i, strings.Repeat("x", i%3000))
			}
			go func() {
				for i := range frames {
					if o.keep([]byte(fmt.Sprintf("%06d%s", i, strings.Repeat("x", i%3000)))) != nil {
						return
					}
				}
			}()
			got := make([]byte, want.Len())
			_ = peer.SetReadDeadline(time.Now().Add(wait))
			if _, err := io.ReadFull(peer, got); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want.Bytes()) {
				t.Error("what came is not what was written")
			}
			eventually(t, "the writer ends", func() bool { o.mu.Lock(); defer o.mu.Unlock(); return !o.draining })
		})
	}
}

// fill writes until the socket takes no more and frames wait.
func fill(t *testing.T, o *out) (frames int) {
	t.Helper()
	for {
		frames++
		if frames > 1<<16 {
			t.Fatal("the socket takes everything")
		}
		_ = o.keep(bytes.Repeat([]byte("x"), 4096))
		o.mu.Lock()
		waiting := len(o.queue)
		o.mu.Unlock()
		if waiting > 3 {
			return frames
		}
	}
}

func TestOutOverflowsOnceAndStillSaysGoodbye(t *testing.T) {
	for name, limits := range map[string]outLimits{"frames": {8, 1 << 30, wait}, "bytes": {1 << 20, 40_000, wait}} {
		t.Run(name, func(t *testing.T) {
			ours, peer := pair(t)
			failures := make(chan error, 10)
			o := newOut(ours, limits, func(err error) { failures <- err })
			fill(t, o)
			for range 100 {
				_ = o.keep(bytes.Repeat([]byte("x"), 4096))
			}
			if err := <-failures; err != errSlowPeer || len(failures) > 0 {
				t.Fatalf("failures: %v and %d more", err, len(failures))
			}
			go func() { // the peer wakes up
				_ = peer.SetReadDeadline(time.Now().Add(wait))
				_, _ = io.Copy(io.Discard, peer) // all of it: the kernel may hold megabytes
			}()
			done := make(chan struct{})
			go func() { o.last(closeFrame(tooSlow()), wait); close(done) }()
			select {
			case <-done:
			case <-time.After(wait):
				t.Fatal("goodbye never left")
			}
		})
	}
}

func TestOutStall(t *testing.T) {
	ours, _ := pair(t)
	failures := make(chan error, 10)
	o := newOut(ours, outLimits{1 << 20, 1 << 30, 20 * time.Millisecond}, func(err error) { failures <- err })
	// The kernel may find room again after fill: more is kept until a write stalls for good.
	deadline, more := time.After(wait), time.NewTicker(time.Millisecond)
	defer more.Stop()
	fill(t, o)
	for stalled := false; !stalled; {
		_ = o.keep(bytes.Repeat([]byte("x"), 4096))
		select {
		case err := <-failures:
			stalled = true
			if !isTimeout(err) {
				t.Errorf("failed with %v", err)
			}
		case <-deadline:
			t.Fatal("a stalled write has no end")
		case <-more.C:
		}
	}
	if err := o.keep([]byte("more")); err != errOutClosed {
		t.Errorf("after the stall: %v", err)
	}
	if err := o.waitRoom(); err != errOutClosed {
		t.Errorf("waiting for room after the stall: %v", err)
	}
}

// A member who reads nothing is dropped with 1013; the others do not wait for that, and what was missed is read from
// the store.
func TestSlowReaderIsDroppedAndCostsNobodyElse(t *testing.T) {
	r := start(t, func(o *Options) { o.Limits.QueueFrame, o.Limits.QueueBytes = 16, 1<<20 })
	slow, quick := r.dial(r.ada, ""), r.dial(r.bo, "")
	text := strings.Repeat("a long session ", 2000)
	sent := 0
	overflow := func() bool { return counterValue(r.srv.metrics.slow) > 0 }
	for ; !overflow(); sent++ {
		if sent > 2000 {
			t.Fatal("the slow reader is never dropped")
		}
		n := r.fake.post(text)
		if p := quick.next(); p.Cursor != fmt.Sprint(n) {
			t.Fatalf("the quick reader got %s, want %d", p.Cursor, n)
		}
	}
	code, before := slow.closed()
	if code != websocket.CloseTryAgainLater {
		t.Errorf("closed with %d", code)
	}
	if len(before) == 0 || len(before) >= sent {
		t.Fatalf("got %d of %d posts before the end", len(before), sent)
	}
	again := r.dial(r.ada, "?since="+before[len(before)-1].Cursor)
	for i := len(before); i < sent; i++ {
		if p := again.next(); p.Cursor != fmt.Sprint(1001+i) {
			t.Fatalf("after coming back: %s, want %d", p.Cursor, 1001+i)
		}
	}
}

// A long backlog goes out at the pace of a slow line: it does not overrun the queue.
func TestLongBacklogWaitsForRoom(t *testing.T) {
	r := start(t, func(o *Options) { o.Limits.QueueFrame, o.Limits.QueueBytes = 4, 64<<10 })
	text := strings.Repeat("a long session ", 2000)
	const posts = 400
	for range posts {
		r.fake.post(text)
	}
	c := r.dial(r.ada, "")
	for i := range posts {
		if p := c.next(); p.Cursor != fmt.Sprint(1001+i) {
			t.Fatalf("post %d has cursor %s", i, p.Cursor)
		}
	}
	if counterValue(r.srv.metrics.slow) != 0 {
		t.Error("the backlog overran the queue")
	}
}
