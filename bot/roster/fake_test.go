package roster

import (
	"context"
	"fmt"
	"maps"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"tallybell/leaderboard/store"
)

// fakeStore is one club's store in memory: hashes, and the members by the number of their last change. It does what
// the change script does. before, if set, is called once at the start of the next Change, outside the lock.
type fakeStore struct {
	mu      sync.Mutex
	n       int64
	hashes  map[string]map[string]string
	changed map[string]int64
	before  func()
	lose    int // so many Changes are written but answered with an error that may be tried again
	down    error
}

func newFake() *fakeStore {
	return &fakeStore{hashes: map[string]map[string]string{}, changed: map[string]int64{}}
}

func (f *fakeStore) KeyMembers() string { return "members" }
func (f *fakeStore) KeyTokens() string  { return "tokens" }
func (f *fakeStore) KeyInvites() string { return "invites" }
func (f *fakeStore) KeyBuckets() string { return "buckets" }

func (f *fakeStore) DoTop(member string) store.Do { return store.Do{"HSET", "tops", member, "$n"} }
func (f *fakeStore) DoChanged(member string) store.Do {
	return store.Do{"ZADD", "changed", "$n", member}
}

func (f *fakeStore) set(key, field, value string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.hash(key)[field] = value
}

func (f *fakeStore) hash(key string) map[string]string {
	if f.hashes[key] == nil {
		f.hashes[key] = map[string]string{}
	}
	return f.hashes[key]
}

func (f *fakeStore) Change(_ context.Context, now time.Time, conds []store.If, cmds []store.Do) (int64, error) {
	if hook := f.before; hook != nil {
		f.before = nil
		hook()
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.down != nil {
		return 0, f.down
	}
	if f.lose > 0 {
		// The client sends again what it has no answer to; the second time the conditions no longer hold.
		f.lose--
		if _, err := f.change(now, conds, cmds); err != nil {
			return 0, err
		}
	}
	return f.change(now, conds, cmds)
}

func (f *fakeStore) change(now time.Time, conds []store.If, cmds []store.Do) (int64, error) {
	for _, c := range conds {
		if f.hash(c.Key)[c.Field] != c.Want {
			return 0, store.ErrStale
		}
	}
	f.n = max(f.n+1, now.UnixMicro())
	for _, cmd := range cmds {
		words := make([]string, len(cmd))
		for i, w := range cmd {
			if rest, ok := strings.CutPrefix(w, "$n"); ok {
				w = strconv.FormatInt(f.n, 10) + rest
			}
			words[i] = w
		}
		switch words[0] {
		case "HSET":
			f.hash(words[1])[words[2]] = words[3]
		case "HDEL":
			for _, field := range words[2:] {
				delete(f.hash(words[1]), field)
			}
		case "ZADD":
			f.changed[words[3]] = f.n
		default:
			return 0, fmt.Errorf("no such command: %q", words)
		}
	}
	return f.n, nil
}

func (f *fakeStore) Changed(_ context.Context, after int64) ([]string, int64, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	var ids []string
	for id, n := range f.changed {
		if n > after {
			ids = append(ids, id)
		}
	}
	return ids, f.n, f.down
}

func (f *fakeStore) MembersNamed(_ context.Context, ids []string) (map[string][]byte, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	out := map[string][]byte{}
	for _, id := range ids {
		if raw, ok := f.hash("members")[id]; ok {
			out[id] = []byte(raw)
		}
	}
	return out, f.down
}

func (f *fakeStore) Buckets(context.Context) (map[string]string, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	out := map[string]string{}
	for b, d := range f.hash("buckets") {
		out[b] = d
	}
	return out, f.down
}

func (f *fakeStore) Token(_ context.Context, d string) (string, error)  { return f.get("tokens", d) }
func (f *fakeStore) Invite(_ context.Context, d string) (string, error) { return f.get("invites", d) }

func (f *fakeStore) Invites(context.Context) (map[string]string, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return maps.Clone(f.hash("invites")), f.down
}

func (f *fakeStore) get(key, field string) (string, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.hash(key)[field], f.down
}

// dump is all that is kept, for a search of what must not be.
func (f *fakeStore) dump() string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return fmt.Sprint(f.hashes)
}

// hall is the invented club of the tests.
func hall() Club {
	c := DefaultClub("lantern-hall")
	c.Name, c.Coach, c.Zone = "Lantern Hall Strength Club", "Maren Oduya", "Europe/London"
	c.PublicURL = "https://hall.example"
	return c
}

func newRoster(t *testing.T, s Store) *Roster {
	t.Helper()
	r, err := New(t.Context(), s, hall())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func at(t *testing.T, s string) time.Time {
	t.Helper()
	i, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

// join adds and lets somebody join, both at now.
func join(t *testing.T, r *Roster, now time.Time, n NewMember) (Member, string) {
	t.Helper()
	added, err := r.Add(t.Context(), now, []NewMember{n}, "")
	if err != nil {
		t.Fatal(err)
	}
	m, token, err := r.Join(t.Context(), now, added[0].Invite, "")
	if err != nil {
		t.Fatal(err)
	}
	return m, token
}
