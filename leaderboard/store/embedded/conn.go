package embedded

import (
	"context"
	"fmt"
	"net"
	"os"
	"syscall"
)

// Dial connects a client to the server through a pair of sockets (a net.Pipe has no buffer, and a long
// pipeline would wait on itself). Its shape fits a Redis client's Dialer; network and address are not used.
func (s *Server) Dial(context.Context, string, string) (net.Conn, error) {
	s.dialling.RLock()
	defer s.dialling.RUnlock()
	if s.shut {
		return nil, ErrClosed // a client may dial in the background while everything stops
	}
	syscall.ForkLock.RLock()
	fds, err := syscall.Socketpair(syscall.AF_UNIX, syscall.SOCK_STREAM, 0)
	if err == nil {
		syscall.CloseOnExec(fds[0])
		syscall.CloseOnExec(fds[1])
	}
	syscall.ForkLock.RUnlock()
	if err != nil {
		return nil, fmt.Errorf("embedded store: no socket pair (too many open files?): %w", err)
	}
	client, err := connOf(fds[0])
	if err != nil {
		syscall.Close(fds[1])
		return nil, err
	}
	server, err := connOf(fds[1])
	if err != nil {
		client.Close()
		return nil, err
	}
	s.srv.ServeConn(newReplies(server))
	return client, nil
}

func connOf(fd int) (net.Conn, error) {
	f := os.NewFile(uintptr(fd), "embedded store")
	defer f.Close() // FileConn works on a copy
	c, err := net.FileConn(f)
	if err != nil {
		return nil, fmt.Errorf("embedded store: socket pair: %w", err)
	}
	return c, nil
}
