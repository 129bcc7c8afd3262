// Package embedded is a Redis-protocol server inside the process, for one club of up to about 2,000
// members, with a log that makes what it holds survive a crash.
//
// Writes go through Write, one pipeline at a time. What the pipeline's scripts did (not the scripts
// themselves) is appended to DATA/append.resp and synced before Write returns, so no reply leaves before
// its effects are on disk. Reads go through Read and wait for a write under way: they too see only what
// is on disk. When the disk fails, nothing is written or shown until a whole snapshot is safely on disk.
package embedded

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/alicebob/miniredis/v2"
	"github.com/alicebob/miniredis/v2/server"
)

// Options of a server. The zero value keeps everything in memory.
type Options struct {
	Dir        string               // the data folder, made (0700) when absent; "" keeps nothing on disk
	Disk       Disk                 // nil for the real one
	Warn       func(message string) // told what was mended at start, and when the disk fails and recovers
	RetryEvery time.Duration        // between attempts to recover from a failed disk; 0 means a second
}

// Server is the server and its log. Its methods may be called from many goroutines.
type Server struct {
	mem  *miniredis.Miniredis
	srv  *server.Server // mem's, kept because mem forgets it when it closes
	log  *logFile       // nil when nothing is kept on disk
	lock *os.File
	warn func(string)

	gate    sync.RWMutex // held by a write until its effects are on disk
	effects *effects     // used under the gate
	writing atomic.Bool  // a write holds the gate and its pipeline is under way
	failed  error        // why nothing is written at present; under the gate
	tried   time.Time    // the last attempt to recover; under the gate
	every   time.Duration
	closed  bool

	dialling sync.RWMutex // held while a connection is handed to mem, which must not be closed meanwhile
	shut     bool         // closed, for who does not hold the gate; under dialling
}

// ErrClosed says that the server was closed.
var ErrClosed = errors.New("the embedded store is closed")

// Open starts a server with the data of the folder. It refuses a folder that another process uses
// (LockedError) and a log that is damaged (DamageError); an unfinished last write is cut off with a warning.
func Open(o Options) (*Server, error) {
	s := &Server{mem: miniredis.NewMiniRedis(), warn: o.Warn, every: o.RetryEvery, effects: newEffects()}
	if s.warn == nil {
		s.warn = func(string) {}
	}
	if s.every == 0 {
		s.every = time.Second
	}
	conn, err := s.mem.Dial() // starts the server without a listener
	if err != nil {
		return nil, fmt.Errorf("embedded store: %w", err)
	}
	conn.Close()
	if o.Dir != "" {
		if o.Disk == nil {
			o.Disk = osDisk{}
		}
		if err := s.load(o.Dir, o.Disk); err != nil {
			s.mem.Close()
			if s.lock != nil {
				s.lock.Close()
			}
			return nil, err
		}
	}
	s.srv = s.mem.Server()
	s.srv.SetPreHook(s.hook)
	return s, nil
}

// load locks the folder, replays its log and writes it anew, compact.
func (s *Server) load(dir string, disk Disk) (err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("data folder %s cannot be made; choose another --data: %w", dir, err)
	}
	if s.lock, err = lock(dir); err != nil {
		return err
	}
	s.closeToOthers(dir)
	log := &logFile{disk: disk, dir: dir}
	b, err := log.open()
	if err != nil {
		return err
	}
	was, err := replay(log.path(), b, s.applier())
	if err != nil {
		log.file.Close()
		return err
	}
	log.end, log.size = was.end, was.good
	if was.torn > 0 {
		s.warn(fmt.Sprintf("%s: the last write was cut short and had not been confirmed to anybody; its %d bytes from byte %d on are cut off",
			log.path(), was.torn, was.good))
		if err := log.cutAt(was.good); err != nil {
			log.file.Close()
			return err
		}
	}
	renamed, err := log.snapshot(s)
	if err != nil && renamed {
		log.file.Close()
		return err
	}
	if err != nil {
		s.warn("the log could not be compacted at start; going on with it as it is: " + err.Error())
		if err := disk.SyncDir(dir); err != nil { // the log may be new, and its name not on disk
			log.file.Close()
			return fmt.Errorf("data folder %s: %w", dir, err)
		}
	}
	_ = disk.SyncDir(filepath.Dir(dir)) // the folder may be new; not every parent may be opened
	s.log = log
	return nil
}

// closeToOthers makes a folder that was there before readable by its owner alone, as one made here is; but not one
// that holds other things, which may be meant for others.
func (s *Server) closeToOthers(dir string) {
	st, err := os.Stat(dir)
	if err != nil || st.Mode().Perm()&0o077 == 0 {
		return
	}
	entries, err := os.ReadDir(dir)
	ours := err == nil && !slices.ContainsFunc(entries, func(e os.DirEntry) bool {
		return !slices.Contains([]string{Name, tmpName, lockName}, e.Name())
	})
	if ours && os.Chmod(dir, 0o700) == nil {
		return
	}
	s.warn(fmt.Sprintf("data folder %s can be entered by other users of this machine (mode %v); close it with: chmod 700 %s", dir, st.Mode().Perm(), dir))
}

// Write runs a pipeline of scripts and returns when what they did is on disk. run must not return before
// every reply has come. After an error the effects are not known to be saved.
func (s *Server) Write(run func() error) error {
	s.gate.Lock()
	defer s.gate.Unlock()
	if err := s.usable(); err != nil {
		return err
	}
	s.writing.Store(true)
	err := run()
	s.writing.Store(false)
	done := s.effects.take()
	if err == nil && len(done) > 0 {
		err = s.log.append(done)
	}
	if err != nil && s.log != nil {
		s.fail(err)
	}
	return err
}

// Read runs commands that change nothing. They see no write that is not on disk.
func (s *Server) Read(run func() error) error {
	s.gate.RLock()
	ok := s.failed == nil && !s.closed
	if !ok {
		s.gate.RUnlock()
		if err := s.Recover(); err != nil {
			return err
		}
		s.gate.RLock()
	}
	defer s.gate.RUnlock()
	return run()
}

// Recover returns nil when the server can save; after a failed write it first tries to put a whole snapshot
// on disk, at most once in the time that the options give.
func (s *Server) Recover() error {
	s.gate.Lock()
	defer s.gate.Unlock()
	return s.usable()
}

// usable is Recover under the gate.
func (s *Server) usable() error {
	switch {
	case s.closed:
		return ErrClosed
	case s.failed == nil:
		return nil
	case time.Since(s.tried) < s.every:
		return s.failed
	}
	s.tried = time.Now()
	if _, err := s.log.snapshot(s); err != nil {
		s.failed = fmt.Errorf("nothing is saved until the disk works again: %w", err)
		return s.failed
	}
	s.failed = nil
	s.warn("the disk works again: a whole snapshot is saved, and writing goes on")
	return nil
}

func (s *Server) fail(err error) {
	s.failed = fmt.Errorf("nothing is saved until the disk works again: %w", err)
	s.warn(s.failed.Error())
}

// Compact writes the log anew from the data. When it fails before the new file is in place, the old log
// goes on as it was.
func (s *Server) Compact() error {
	s.gate.Lock()
	defer s.gate.Unlock()
	if s.log == nil {
		return nil
	}
	if err := s.usable(); err != nil {
		return err
	}
	renamed, err := s.log.snapshot(s)
	if err != nil && renamed {
		s.fail(err)
	}
	return err
}

// Persistent says whether anything is kept on disk.
func (s *Server) Persistent() bool { return s.log != nil }

// Size is the log's length in bytes.
func (s *Server) Size() int64 {
	s.gate.RLock()
	defer s.gate.RUnlock()
	if s.log == nil {
		return 0
	}
	return s.log.size
}

// Keys returns every key, sorted.
func (s *Server) Keys() []string { return s.mem.Keys() }

// Field returns one field of a hash, "" when absent.
func (s *Server) Field(key, field string) string { return s.mem.HGet(key, field) }

// Close stops the server and lets the folder go. Clients must be closed before.
func (s *Server) Close() error {
	s.gate.Lock()
	defer s.gate.Unlock()
	if s.closed {
		return nil
	}
	s.closed = true
	s.dialling.Lock()
	s.shut = true
	s.dialling.Unlock()
	s.mem.Close()
	var err error
	if s.log != nil {
		err = s.log.file.Close()
	}
	if s.lock != nil {
		err = errors.Join(err, s.lock.Close())
	}
	return err
}
