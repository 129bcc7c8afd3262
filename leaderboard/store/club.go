package store

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/redis/go-redis/v9"
)

// Club is one club of the store: a number line, and everything that happened on it.
type Club struct {
	s      *Store
	id     string
	prefix string // of every key, "{id}:"
}

// clubID is what a club may be called.
var clubID = regexp.MustCompile(`^[a-z0-9-]{1,32}$`)

// formatWait bounds the one look at a club's format.
const formatWait = 5 * time.Second

// Club returns a club by its id (1 to 32 of a-z, 0-9 and '-'), which need not exist yet. It refuses a club
// that a newer version wrote.
func (s *Store) Club(id string) (*Club, error) {
	if !clubID.MatchString(id) {
		return nil, fmt.Errorf("store: club id %q: want 1 to 32 characters of a-z, 0-9 and '-'", id)
	}
	s.mu.Lock()
	c, ok := s.clubs[id]
	s.mu.Unlock()
	if ok {
		return c, nil
	}
	c = &Club{s: s, id: id, prefix: "{" + id + "}:"}
	ctx, cancel := context.WithTimeout(context.Background(), formatWait)
	defer cancel()
	var f *redis.StringCmd
	err := s.read(ctx, "club "+id, func(p redis.Pipeliner) { f = p.HGet(ctx, c.KeyClub(), "format") })
	if err == nil {
		err = checkFormat(id, f.Val())
	}
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if known, ok := s.clubs[id]; ok {
		return known, nil
	}
	s.clubs[id] = c
	return c, nil
}

// ID is the club's id.
func (c *Club) ID() string { return c.id }

// checkFormat refuses what this version does not know; an empty format is a club that does not exist yet.
func checkFormat(id, written string) error {
	if written == "" {
		return nil
	}
	n, err := strconv.Atoi(written)
	switch {
	case err != nil:
		return fmt.Errorf("store: club %s has the format %q, which is no number: its club key was written by something else", id, written)
	case n > format:
		return fmt.Errorf("store: club %s has format %d, this version reads up to %d: %w", id, n, format, ErrNewerFormat)
	}
	return nil
}

// clubOfKey reads the club's id from the key of its number line.
func clubOfKey(key string) (string, bool) {
	id, ok := strings.CutSuffix(key, "}:club")
	id, braced := strings.CutPrefix(id, "{")
	return id, ok && braced && clubID.MatchString(id)
}

// Number returns the club's number and that of its last post; both are 0 for a new club.
func (c *Club) Number(ctx context.Context) (n, lastPost int64, err error) {
	var line *redis.SliceCmd
	err = c.s.read(ctx, "number", func(p redis.Pipeliner) { line = c.line(ctx, p) })
	if err != nil {
		return 0, 0, err
	}
	return numbers(line)
}

func (c *Club) line(ctx context.Context, p redis.Pipeliner) *redis.SliceCmd {
	return p.HMGet(ctx, c.KeyClub(), "n", "lastpost")
}

func numbers(line *redis.SliceCmd) (n, lastPost int64, err error) {
	v, err := line.Result()
	if err == nil && len(v) != 2 {
		err = errors.New("want two values")
	}
	if err == nil {
		n, err = number(v[0])
	}
	if err == nil {
		lastPost, err = number(v[1])
	}
	if err != nil {
		return 0, 0, fmt.Errorf("store: the club's number line: %w", err)
	}
	return n, lastPost, nil
}

// number reads a decimal that Redis returned; nothing is 0.
func number(v any) (int64, error) {
	switch v := v.(type) {
	case nil:
		return 0, nil
	case string:
		n, err := strconv.ParseInt(v, 10, 64)
		if err != nil {
			return 0, fmt.Errorf("%q is no number", v)
		}
		return n, nil
	case int64:
		return v, nil
	}
	return 0, fmt.Errorf("%v (%T) is no number", v, v)
}

// micros is an instant on the number line.
func micros(t time.Time) int64 { return max(t.UnixMicro(), 0) }
