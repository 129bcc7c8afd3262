//go:build unix

package gateway

import "syscall"

// canTry tells whether a write can be tried without waiting.
const canTry = true

// trial is one attempt to write, kept in the connection so that an attempt allocates nothing.
type trial struct {
	p   []byte
	n   int
	err error
	run func(fd uintptr) bool
}

// write hands the kernel as much of p as it takes at once and returns how much that was.
func (t *trial) write(raw syscall.RawConn, p []byte) (int, error) {
	t.p, t.n, t.err = p, 0, nil
	err := raw.Write(t.run)
	t.p = nil
	if err == nil {
		err = t.err
	}
	return t.n, err
}

// once always reports true: done, do not wait until the socket can take more.
func (t *trial) once(fd uintptr) bool {
	for t.n < len(t.p) {
		n, err := syscall.Write(int(fd), t.p[t.n:])
		if n > 0 {
			t.n += n
		}
		switch err {
		case nil:
		case syscall.EINTR:
		case syscall.EAGAIN:
			return true
		default:
			t.err = err
			return true
		}
	}
	return true
}
