package embedded

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"

	"github.com/alicebob/miniredis/v2/server"
)

// DamageError says that a log is not what was written to it, and where.
type DamageError struct {
	Path   string
	Group  int64 // the byte at which the damaged group begins; all before it is whole
	Offset int64 // the byte at which the damage shows
	Reason string
}

func (e DamageError) Error() string {
	return fmt.Sprintf("%s is damaged at byte %d, in the group that begins at byte %d: %s. "+
		"Nothing was changed. Restore the file from a backup; or, to keep only what stands before the damage, "+
		"cut a copy of it at byte %d and start with that", e.Path, e.Offset, e.Group, e.Reason, e.Group)
}

// replayed is what a log held.
type replayed struct {
	end   chain
	good  int64 // bytes of whole groups
	torn  int64 // bytes after them, of a last group that was never finished
	count int   // commands
}

// replay gives every command of a log to apply. The last group may be torn (its write was cut short, so
// nobody was ever told that it was saved); any other damage is an error.
func replay(path string, b []byte, apply func(words []string) error) (replayed, error) {
	var out replayed
	r := &respReader{b: b}
	for r.at < len(b) {
		start := r.at
		commands, next, err := out.end.readGroup(r)
		if err != nil {
			if out.end.isTorn(b[start:], err) {
				out.torn = int64(len(b) - start)
				return out, nil
			}
			return out, DamageError{path, int64(start), int64(r.at), err.Error()}
		}
		for _, words := range commands {
			if err := apply(words); err != nil {
				return out, DamageError{path, int64(start), int64(start), err.Error()}
			}
		}
		out.count += len(commands)
		out.end, out.good = next, int64(r.at)
	}
	return out, nil
}

// isTorn tells an unfinished write from damage: the rest of the file is the beginning of one group,
// perhaps followed by the zeros that a file system leaves where nothing was written yet.
func (c chain) isTorn(rest []byte, err error) bool {
	written := bytes.TrimRight(rest, "\x00")
	if len(written) < len(rest) {
		_, _, err = c.readGroup(&respReader{b: written})
	}
	switch {
	case len(written) == 0:
		return true
	case !errors.As(err, new(cut)):
		return false
	case bytes.HasSuffix(written, []byte(exec)): // it was finished: a length in it is wrong
		return false
	}
	return !bytes.Contains(written[1:], []byte("\r\n"+multi)) // another group follows: a length is wrong
}

// applier returns a function that makes logged commands on the server.
func (s *Server) applier() func(words []string) error {
	var reply bytes.Buffer
	w := bufio.NewWriter(&reply)
	peer := server.NewPeer(w)
	srv := s.mem.Server()
	return func(words []string) (err error) {
		if k := s.kindOf(words[0]); k != changes && k != counted {
			return fmt.Errorf("%q is no command of this log", words[0])
		}
		defer func() {
			if p := recover(); p != nil { // the server does not check every argument
				err = fmt.Errorf("%s with arguments that make no sense", words[0])
			}
		}()
		reply.Reset()
		srv.Dispatch(peer, words)
		peer.Flush()
		if b := reply.Bytes(); len(b) == 0 || b[0] == '-' {
			return fmt.Errorf("%s was refused: %s", words[0], bytes.TrimSpace(b))
		}
		return nil
	}
}
