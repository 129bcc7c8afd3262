package schedule_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"strconv"
	"strings"
	"time"

	"tallybell/content"
	"tallybell/leaderboard/store"
	"tallybell/schedule"
)

// shelf is one club's store in memory, as far as the roster and the schedule need it: it does what the scripts do.
type shelf struct {
	n       int64
	hashes  map[string]map[string]string
	changed map[string]int64

	sheets []content.Date
	posted map[content.Date]map[content.Bucket]posted
	had    map[content.Date]map[content.Bucket]bool // the same, as the schedule asks
	rolls  func() fate                              // of the next send
	failed map[failure]bool
}

// posted is a session that went out.
type posted struct {
	at     time.Time
	mode   schedule.Mode
	reason string
}

// fate is what becomes of a send.
type fate int

const (
	goes  fate = iota
	stops      // the process ends between deciding and writing
	loses      // written, and the answer is lost
)

// failure is a send that was not written.
type failure struct {
	bucket content.Bucket
	date   content.Date
	at     time.Time
}

func newShelf() *shelf {
	return &shelf{hashes: map[string]map[string]string{}, changed: map[string]int64{},
		posted: map[content.Date]map[content.Bucket]posted{}, had: map[content.Date]map[content.Bucket]bool{}, failed: map[failure]bool{}, rolls: func() fate { return goes }}
}

func (s *shelf) KeyMembers() string           { return "members" }
func (s *shelf) KeyTokens() string            { return "tokens" }
func (s *shelf) KeyInvites() string           { return "invites" }
func (s *shelf) KeyBuckets() string           { return "buckets" }
func (s *shelf) DoTop(m string) store.Do      { return store.Do{"HSET", "tops", m, "$n"} }
func (s *shelf) DoChanged(m string) store.Do  { return store.Do{"ZADD", "changed", "$n", m} }
func (s *shelf) get(key, field string) string { return s.hashes[key][field] }
func (s *shelf) put(key, field, value string) {
	if s.hashes[key] == nil {
		s.hashes[key] = map[string]string{}
	}
	s.hashes[key][field] = value
}

func (s *shelf) Change(_ context.Context, now time.Time, conds []store.If, cmds []store.Do) (int64, error) {
	for _, c := range conds {
		if s.get(c.Key, c.Field) != c.Want {
			return 0, store.ErrStale
		}
	}
	s.n = max(s.n+1, now.UnixMicro())
	for _, cmd := range cmds {
		words := make([]string, len(cmd))
		for i, w := range cmd {
			if rest, ok := strings.CutPrefix(w, "$n"); ok {
				w = strconv.FormatInt(s.n, 10) + rest
			}
			words[i] = w
		}
		switch words[0] {
		case "HSET":
			s.put(words[1], words[2], words[3])
		case "HDEL":
			for _, f := range words[2:] {
				delete(s.hashes[words[1]], f)
			}
		case "ZADD":
			s.changed[words[3]] = s.n
		default:
			return 0, fmt.Errorf("no such command: %q", words)
		}
	}
	return s.n, nil
}

func (s *shelf) Changed(_ context.Context, after int64) (ids []string, upTo int64, err error) {
	for id, n := range s.changed {
		if n > after {
			ids = append(ids, id)
		}
	}
	return ids, s.n, nil
}

func (s *shelf) MembersNamed(_ context.Context, ids []string) (map[string][]byte, error) {
	out := map[string][]byte{}
	for _, id := range ids {
		if raw := s.get("members", id); raw != "" {
			out[id] = []byte(raw)
		}
	}
	return out, nil
}

func (s *shelf) Buckets(context.Context) (map[string]string, error) {
	return maps.Clone(s.hashes["buckets"]), nil
}
func (s *shelf) Token(_ context.Context, d string) (string, error)  { return s.get("tokens", d), nil }
func (s *shelf) Invite(_ context.Context, d string) (string, error) { return s.get("invites", d), nil }
func (s *shelf) Invites(context.Context) (map[string]string, error) {
	return maps.Clone(s.hashes["invites"]), nil
}

var errStopped = errors.New("stopped between deciding and writing")

// post does what the post script does: the first write of a bucket and date wins.
func (s *shelf) post(b content.Bucket, d schedule.Sending, now time.Time) error {
	how := s.rolls()
	if _, had := s.posted[d.Date][b]; had {
		return nil
	}
	if how == stops {
		s.failed[failure{b, d.Date, now}] = true
		return errStopped
	}
	if s.posted[d.Date] == nil {
		s.posted[d.Date], s.had[d.Date] = map[content.Bucket]posted{}, map[content.Bucket]bool{}
	}
	s.posted[d.Date][b] = posted{now, d.Mode, d.Reason}
	s.had[d.Date][b] = true
	if latest := s.get("buckets", b.String()); latest < d.Date.String() {
		s.put("buckets", b.String(), d.Date.String())
	}
	if how == loses {
		return errStopped
	}
	return nil
}
