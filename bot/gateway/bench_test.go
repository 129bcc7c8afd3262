package gateway

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"tallybell/bot/roster"
)

// lean is the floor that the hub is measured against in the same run: gorilla/websocket with small read buffers, pooled
// write buffers, one goroutine a connection, and one prepared message written by as many goroutines as cores. It knows no
// members, no cursors and no order.
type lean struct {
	mu    sync.Mutex
	conns []*websocket.Conn
}

func (l *lean) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	up := websocket.Upgrader{ReadBufferSize: 256, WriteBufferSize: 256, WriteBufferPool: leanPool, CheckOrigin: func(*http.Request) bool { return true }}
	ws, err := up.Upgrade(w, r, nil)
	if err != nil {
		return
	}
	l.mu.Lock()
	l.conns = append(l.conns, ws)
	l.mu.Unlock()
	go func() {
		for {
			kind, p, err := ws.ReadMessage()
			if err != nil {
				return
			}
			_ = ws.WriteMessage(kind, p)
		}
	}()
}

var leanPool = &sync.Pool{}

func (l *lean) broadcast(frame []byte) {
	m, _ := websocket.NewPreparedMessage(websocket.TextMessage, frame)
	var wg sync.WaitGroup
	parts := runtime.GOMAXPROCS(0)
	for i := range parts {
		wg.Go(func() {
			for k := i; k < len(l.conns); k += parts {
				_ = l.conns[k].SetWriteDeadline(time.Now().Add(10 * time.Second))
				_ = l.conns[k].WritePreparedMessage(m)
			}
		})
	}
	wg.Wait()
}

// readers are plain TCP clients that read frames and count them, cheaply, so that the server is what is measured.
type readers struct {
	got atomic.Int64
}

func (rs *readers) connect(b *testing.B, addr, path, token string) net.Conn {
	conn, err := net.Dial("tcp", addr)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { conn.Close() })
	fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: x\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\nAuthorization: Bearer %s\r\n\r\n", path, token)
	r := bufio.NewReaderSize(conn, 2048)
	resp, err := http.ReadResponse(r, nil)
	if err != nil || resp.StatusCode != 101 {
		b.Fatalf("%v %v", resp, err)
	}
	go func() {
		for {
			head, err := r.Peek(2)
			if err != nil {
				return
			}
			n, skip := int(head[1]), 2
			if n == 126 {
				if head, err = r.Peek(4); err != nil {
					return
				}
				n, skip = int(head[2])<<8|int(head[3]), 4
			}
			if _, err := r.Discard(skip + n); err != nil {
				return
			}
			rs.got.Add(1)
		}
	}()
	return conn
}

func (rs *readers) await(n int64) {
	for rs.got.Load() < n {
		runtime.Gosched()
	}
}

// BenchmarkFanOut sends one message of 1.5 KB to 2,000 connections with 40 distinct fits, and the same through the lean
// loop, alternating. "ratio" is ours over lean, until the last client has read it.
func BenchmarkFanOut(b *testing.B) {
	const conns, fits = 2000, 40
	r := start(b, func(o *Options) { o.Limits.Look = time.Hour })
	floor := &lean{}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	srv := &http.Server{Handler: floor}
	go func() { _ = srv.Serve(l) }()
	b.Cleanup(func() { srv.Close() })
	ours, theirs := &readers{}, &readers{}
	for i := range conns {
		token := r.fake.enrol(fmt.Sprint("m", i), roster.RoleMember, fmt.Sprintf("kit %02d", i%fits))
		ours.connect(b, r.addr, "/chat", token)
		theirs.connect(b, l.Addr().String(), "/", "")
	}
	b.Cleanup(func() {
		for _, c := range floor.conns {
			c.Close()
		}
	})
	ours.await(conns) // the welcomes
	text := strings.Repeat("x", 1400)
	frame, _ := json.Marshal(map[string]string{"type": "post", "text": text, "cursor": "1234567890123456", "at": "2026-11-25T06:30:00.000Z", "kind": "session"})
	hub := r.srv.clubs["lantern"].hub
	eventually(b, "everybody is registered", func() bool { return counterValue(r.srv.metrics.connections) == conns })
	var mine, lean []float64
	sentOurs, sentTheirs := int64(conns), int64(0)
	r.fake.set(func() { r.fake.noHints = true })
	b.ResetTimer()
	for range b.N {
		r.fake.post(text)
		sentOurs += conns
		from := time.Now()
		hub.look(b.Context())
		ours.await(sentOurs)
		mine = append(mine, time.Since(from).Seconds())

		sentTheirs += conns
		from = time.Now()
		floor.broadcast(frame)
		theirs.await(sentTheirs)
		lean = append(lean, time.Since(from).Seconds())
	}
	b.StopTimer()
	b.ReportMetric(median(mine)*1e3, "ms/post")
	b.ReportMetric(median(lean)*1e3, "ms/lean")
	b.ReportMetric(median(mine)/median(lean), "ratio")
}

func median(xs []float64) float64 {
	xs = slices.Sorted(slices.Values(xs))
	return xs[len(xs)/2]
}

// BenchmarkAnswer measures one message and its answer on one connection against a bare echo, in the same run.
func BenchmarkAnswer(b *testing.B) {
	r := start(b)
	r.fake.set(func() { r.fake.noHints = true })
	floor := &lean{}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	srv := &http.Server{Handler: floor}
	go func() { _ = srv.Serve(l) }()
	b.Cleanup(func() { srv.Close() })
	c := r.dial(r.ada, "")
	echo, _, err := websocket.DefaultDialer.Dial("ws://"+l.Addr().String(), nil)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { echo.Close(); floor.conns[0].Close() })
	once := func(ws *websocket.Conn, p string) time.Duration {
		from := time.Now()
		if ws.WriteMessage(websocket.TextMessage, []byte(p)) != nil {
			b.Fatal("write")
		}
		_, rd, err := ws.NextReader()
		if err != nil {
			b.Fatal(err)
		}
		_, _ = io.Copy(io.Discard, rd)
		return time.Since(from)
	}
	var mine, bare []float64
	b.ResetTimer()
	for i := range b.N {
		p := fmt.Sprintf(`{"type":"say","id":"m%d","text":"14:32 scaled, felt strong"}`, i)
		mine = append(mine, once(c.ws, p).Seconds())
		bare = append(bare, once(echo, p).Seconds())
	}
	b.StopTimer()
	b.ReportMetric(median(mine)*1e6, "us/answer")
	b.ReportMetric(median(bare)*1e6, "us/echo")
	b.ReportMetric(median(mine)/median(bare), "ratio")
}

// BenchmarkIdle reports the heap and the stack that one idle connection holds. Its client is a bare file descriptor.
func BenchmarkIdle(b *testing.B) {
	const conns = 2000
	for range b.N {
		r := start(b)
		tokens := make([]string, conns)
		for i := range tokens {
			tokens[i] = r.fake.enrol(fmt.Sprint("m", i), roster.RoleMember, "backpack")
		}
		open := make([]net.Conn, 0, conns)
		heap, stack := inUse()
		for _, token := range tokens {
			conn, err := net.Dial("tcp", r.addr)
			if err != nil {
				b.Fatal(err)
			}
			fmt.Fprintf(conn, "GET /chat HTTP/1.1\r\nHost: x\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\nAuthorization: Bearer %s\r\n\r\n", token)
			open = append(open, conn)
		}
		eventually(b, "everybody is registered", func() bool { return counterValue(r.srv.metrics.connections) == conns })
		heapNow, stackNow := inUse()
		b.ReportMetric(float64(heapNow-heap)/conns/1024, "KB-heap/conn")
		b.ReportMetric(float64(stackNow-stack)/conns/1024, "KB-stack/conn")
		for _, c := range open {
			c.Close()
		}
	}
}

func inUse() (heap, stack uint64) {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc, m.StackInuse
}

func BenchmarkDecodeFrame(b *testing.B) {
	p := []byte(`{"type":"say","id":"4f1c09ab77de20c1","text":"14:32 scaled, felt strong"}`)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := decodeFrame(p, 4096); err != nil {
			b.Fatal(err)
		}
	}
}
