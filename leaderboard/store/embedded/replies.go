package embedded

import (
	"net"
	"sync"
)

// replies is the server's end of a connection. Its writes never wait for the client, so that a client may send a
// long pipeline to its end before it reads the first reply: each of the server's small writes takes far more
// of a socket's buffer than its bytes, and the two would wait for each other.
type replies struct {
	net.Conn
	mu     sync.Mutex
	queue  []byte
	wake   chan struct{}
	closed chan struct{}
	once   sync.Once
}

func newReplies(c net.Conn) *replies {
	r := &replies{Conn: c, wake: make(chan struct{}, 1), closed: make(chan struct{})}
	go r.flush()
	return r
}

func (r *replies) Write(b []byte) (int, error) {
	select {
	case <-r.closed:
		return 0, net.ErrClosed
	default:
	}
	r.mu.Lock()
	r.queue = append(r.queue, b...)
	r.mu.Unlock()
	select {
	case r.wake <- struct{}{}:
	default:
	}
	return len(b), nil
}

func (r *replies) Close() error {
	r.once.Do(func() { close(r.closed) })
	return r.Conn.Close()
}

// flush sends what is queued until the connection closes.
func (r *replies) flush() {
	var sending []byte
	for {
		select {
		case <-r.wake:
		case <-r.closed:
			return
		}
		r.mu.Lock()
		sending, r.queue = r.queue, sending[:0]
		r.mu.Unlock()
		if _, err := r.Conn.Write(sending); err != nil {
			r.Close()
			return
		}
		if cap(sending) > 1<<20 {
			sending = nil
		}
	}
}
