package embedded

import (
	"bufio"
	"bytes"

	"github.com/alicebob/miniredis/v2/server"
)

// effects records what scripts do: the server calls its hook before every command, also before those
// that a script makes. It is used by one pipeline at a time.
type effects struct {
	inside bool   // the hook's own call
	log    []byte // encoded commands since the last take
	peer   *server.Peer
	reply  bytes.Buffer
	writer *bufio.Writer
}

func newEffects() *effects {
	e := &effects{}
	e.writer = bufio.NewWriter(&e.reply)
	e.peer = server.NewPeer(e.writer)
	return e
}

// kind says what the log does with a command.
type kind int

const (
	passes  kind = iota // changes no data
	counted             // changes data; a reply of 0 says that it changed nothing
	changes             // changes data
	refused             // would change data in a way that the log does not follow
)

// kindOf knows every command that the log may hold; what is not named here and writes is refused.
func (s *Server) kindOf(cmd string) kind {
	switch cmd {
	case "HSET", "XADD", "ZADD", "RENAME":
		return changes
	case "HDEL", "ZREM", "SADD", "SREM", "DEL", "XTRIM", "XDEL":
		return counted
	case "EVALSHA", "SCRIPT", "EVAL", "PING", "ECHO", "HELLO", "AUTH", "CLIENT", "SELECT", "QUIT",
		"SUBSCRIBE", "UNSUBSCRIBE", "PSUBSCRIBE", "PUNSUBSCRIBE", "PUBLISH", "PUBSUB", "INFO", "TIME", "COMMAND", "XINFO":
		return passes
	}
	if !s.mem.Server().IsRegisteredCommand(cmd) || s.mem.Server().IsReadOnlyCommand(cmd) {
		return passes
	}
	return refused
}

// hook is called before every command; true means that the command has been answered.
func (s *Server) hook(c *server.Peer, cmd string, args ...string) bool {
	e := s.effects
	k := s.kindOf(cmd)
	if k == passes {
		return false
	}
	if k == refused || !s.writing.Load() {
		c.WriteError("ERR " + cmd + " is not a write that this store keeps; writes go through its scripts")
		return true
	}
	if e.inside {
		return false
	}
	e.inside = true
	e.reply.Reset()
	e.peer.Ctx = c.Ctx
	words := make([]string, 0, 1+len(args))
	words = append(append(words, cmd), args...)
	s.mem.Server().Dispatch(e.peer, words)
	e.peer.Flush()
	e.inside = false

	reply := e.reply.String()
	if reply[0] != '-' && !(k == counted && reply == ":0\r\n") {

		if s.log != nil {
			e.log = appendCommand(e.log, words...)
		}
	}
	c.WriteRaw(reply)
	return true
}

// take returns the encoded effects since the last take and forgets them. They are valid until the next
// pipeline.
func (e *effects) take() []byte {
	b := e.log
	e.log = e.log[:0]
	return b
}
