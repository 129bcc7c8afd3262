package embedded

import (
	"fmt"
	"path/filepath"
	"sort"
	"strconv"
)

// snapshotGroup is about how many bytes of commands one group of a snapshot holds.
const snapshotGroup = 256 << 10

// snapshot writes the whole data to a new file and puts it in the log's place. Until the rename the old log
// stays what it was; renamed says whether that point was passed.
func (l *logFile) snapshot(data source) (renamed bool, err error) {
	tmp := filepath.Join(l.dir, tmpName)
	f, err := l.disk.Create(tmp)
	if err != nil {
		return false, fmt.Errorf("snapshot: %w", err)
	}
	end, size, err := writeAll(f, data)
	if err == nil {
		err = f.Sync()
	}
	if err == nil {
		err = l.disk.Rename(tmp, l.path())
	}
	if err != nil {
		f.Close()
		_ = l.disk.Remove(tmp)
		return false, fmt.Errorf("snapshot: %w", err)
	}
	if l.file != nil {
		l.file.Close()
	}
	l.file, l.end, l.size = f, end, size
	if err := l.disk.SyncDir(l.dir); err != nil {
		return true, fmt.Errorf("snapshot: syncing %s: %w", l.dir, err)
	}
	return true, nil
}

// writeAll writes the data as a log of its own.
func writeAll(f File, data source) (end chain, size int64, err error) {
	var group, out []byte
	flush := func() error {
		if len(group) == 0 {
			return nil
		}
		out, end = end.appendGroup(out[:0], group)
		group = group[:0]
		size += int64(len(out))
		return write(f, out)
	}
	err = data.commands(func(words ...string) error {
		group = appendCommand(group, words...)
		if len(group) < snapshotGroup {
			return nil
		}
		return flush()
	})
	if err == nil {
		err = flush()
	}
	return end, size, err
}

// source is what a snapshot is made of.
type source interface {
	// commands gives the commands that make the data from nothing, in a fixed order.
	commands(give func(words ...string) error) error
}

// fields is how many fields or members one command of a snapshot holds.
const fields = 256

// commands gives the server's data, key by key.
func (s *Server) commands(give func(words ...string) error) error {
	for _, key := range s.mem.Keys() {
		var err error
		switch t := s.mem.Type(key); t {
		case "hash":
			err = s.giveHash(key, give)
		case "zset":
			err = s.giveSortedSet(key, give)
		case "set":
			err = s.giveSet(key, give)
		case "stream":
			err = s.giveStream(key, give)
		default:
			err = fmt.Errorf("key %q is a %s, which the log does not keep", key, t)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *Server) giveHash(key string, give func(words ...string) error) error {
	names, err := s.mem.HKeys(key)
	if err != nil {
		return err
	}
	words := make([]string, 0, len(names)*2)
	for _, n := range names {
		words = append(words, n, s.mem.HGet(key, n))
	}
	return inParts("HSET", key, words, 2*fields, give)
}

func (s *Server) giveSortedSet(key string, give func(words ...string) error) error {
	scores, err := s.mem.SortedSet(key)
	if err != nil {
		return err
	}
	members := make([]string, 0, len(scores))
	for m := range scores {
		members = append(members, m)
	}
	sort.Strings(members)
	words := make([]string, 0, len(members)*2)
	for _, m := range members {
		words = append(words, strconv.FormatFloat(scores[m], 'f', -1, 64), m)
	}
	return inParts("ZADD", key, words, 2*fields, give)
}

func (s *Server) giveSet(key string, give func(words ...string) error) error {
	members, err := s.mem.Members(key)
	if err != nil {
		return err
	}
	return inParts("SADD", key, members, fields, give)
}

func (s *Server) giveStream(key string, give func(words ...string) error) error {
	entries, err := s.mem.Stream(key)
	if err != nil {
		return err
	}
	if len(entries) == 0 { // a stream that lost its last entry is still there
		return give("XADD", key, "MAXLEN", "=", "0", "0-1", "", "")
	}
	for _, e := range entries {
		if err := give(append([]string{"XADD", key, e.ID}, e.Values...)...); err != nil {
			return err
		}
	}
	return nil
}

func inParts(cmd, key string, words []string, size int, give func(words ...string) error) error {
	for len(words) > 0 {
		n := min(size, len(words))
		if err := give(append([]string{cmd, key}, words[:n]...)...); err != nil {
			return err
		}
		words = words[n:]
	}
	return nil
}
