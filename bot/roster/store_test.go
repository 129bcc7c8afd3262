package roster

import (
	"encoding/base64"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"tallybell/leaderboard/store"
)

// The roster's whole life on the embedded store, which every club without a Redis of its own runs on.

func openClub(t *testing.T) *store.Club {
	t.Helper()
	s, err := store.Open(t.Context(), store.Options{Data: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	c, err := s.Club("lantern-hall")
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestOnTheStoreJoining(t *testing.T) {
	c := openClub(t)
	one, two := newRoster(t, c), newRoster(t, c)
	now := at(t, "2026-11-25T12:00:00Z")
	list := []NewMember{{Name: "$n Ada {\"x\"}"}, {Name: "Ben"}}
	added, err := one.Add(t.Context(), now, list, "key")
	if err != nil {
		t.Fatal(err)
	}
	if again, err := two.Add(t.Context(), now, list, "key"); err != nil || !slices.Equal(added, again) {
		t.Errorf("the same key: %+v, %v", again, err)
	}
	if _, err := two.Add(t.Context(), now, list[:1], "key"); !errors.Is(err, ErrKeyReused) {
		t.Errorf("the same key with another list: %v", err)
	}
	key := base64.RawURLEncoding.EncodeToString([]byte("0123456789abcdef0123456789abcdef"))
	m, token, err := two.Join(t.Context(), now, added[0].Invite, key)
	if err != nil || m.Name != list[0].Name {
		t.Fatalf("joined %+v, %v", m, err)
	}
	if _, same, err := one.Join(t.Context(), now, added[0].Invite, key); err != nil || same != token {
		t.Errorf("the same key again: %v", err)
	}
	if _, _, err := one.Join(t.Context(), now, added[0].Invite, ""); !errors.Is(err, ErrUsedInvite) {
		t.Errorf("a used invite: %v", err)
	}
	if got, err := one.Authenticate(t.Context(), token); err != nil || got.ID != m.ID {
		t.Errorf("Authenticate: %+v, %v", got, err)
	}
	fresh, err := one.NewInvite(t.Context(), now, m.ID, true)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := two.Authenticate(t.Context(), token); !errors.Is(err, ErrUnknownToken) {
		t.Errorf("a revoked token: %v", err)
	}
	if _, token, err = two.Join(t.Context(), now, fresh.Link, ""); err != nil {
		t.Fatal(err)
	}
	if err := one.Remove(t.Context(), now, m.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := two.Authenticate(t.Context(), token); !errors.Is(err, ErrUnknownToken) {
		t.Errorf("a removed member's token: %v", err)
	}
	if ids, err := two.Refresh(t.Context()); err != nil || !slices.Contains(ids, m.ID) || len(two.All()) != 1 {
		t.Errorf("refreshed %q, %v: %+v", ids, err, two.All())
	}
}

func TestOnTheStoreInviteWorksOnce(t *testing.T) {
	c := openClub(t)
	now := at(t, "2026-11-25T12:00:00Z")
	added, err := newRoster(t, c).Add(t.Context(), now, []NewMember{{Name: "Ada"}}, "")
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	var mu sync.Mutex
	in := 0
	for range 6 {
		r := newRoster(t, c)
		wg.Go(func() {
			_, _, err := r.Join(t.Context(), now, added[0].Invite, "")
			mu.Lock()
			defer mu.Unlock()
			if err == nil {
				in++
			} else if !errors.Is(err, ErrUsedInvite) {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if in != 1 {
		t.Errorf("%d came in by one invite", in)
	}
}

func TestOnTheStoreTravel(t *testing.T) {
	c := openClub(t)
	r := newRoster(t, c)
	m, _ := join(t, r, at(t, "2026-11-20T12:00:00Z"), NewMember{Name: "Ada"})
	post := func(date, bucket string) {
		t.Helper()
		if _, _, err := c.Post(t.Context(), at(t, "2026-11-25T06:30:00Z"), store.Post{Date: date, OnceID: bucket, Bucket: bucket, Fact: []byte(`{}`)}); err != nil {
			t.Fatal(err)
		}
	}
	post("2026-11-25", "Europe/London@06:30")
	post("2026-11-24", "Europe/London@06:30") // a sheet that came late does not move the latest date back
	zone, yes, no := "Asia/Tokyo", true, false
	m, err := r.Update(t.Context(), at(t, "2026-11-25T12:00:00Z"), m.ID, Patch{Zone: &zone})
	if want := "2026-11-20 Europe/London@06:30, 2026-11-26 Asia/Tokyo@06:30"; err != nil || written(m.Buckets) != want {
		t.Fatalf("got %s (%v), want %s", written(m.Buckets), err, want)
	}
	post("2026-11-26", "Asia/Tokyo@06:30")
	m, err = r.Update(t.Context(), at(t, "2026-11-25T22:00:00Z"), m.ID, Patch{Paused: &yes})
	if err != nil || m.BucketOn(day("2026-11-26")).IsZero() || !m.PausedOn(day("2026-11-27")) {
		t.Errorf("paused: %s, %v", written(m.Buckets), err)
	}
	m, err = r.Update(t.Context(), at(t, "2026-11-25T22:05:00Z"), m.ID, Patch{Paused: &no})
	if want := "2026-11-20 Europe/London@06:30, 2026-11-26 Asia/Tokyo@06:30"; err != nil || written(m.Buckets) != want {
		t.Errorf("resumed at once: got %s (%v), want %s", written(m.Buckets), err, want)
	}
}

func TestOnTheStoreCoachAndMany(t *testing.T) {
	c := openClub(t)
	r := newRoster(t, c)
	now := at(t, "2026-11-25T12:00:00Z")
	token := NewToken("lantern-hall")
	if coach, err := r.EnsureCoach(t.Context(), now, token); err != nil || coach.Role != RoleCoach {
		t.Fatalf("coach %+v, %v", coach, err)
	}
	if got, err := newRoster(t, c).Authenticate(t.Context(), token); err != nil || got.Role != RoleCoach {
		t.Errorf("the coach's token: %+v, %v", got, err)
	}
	var list []NewMember
	for i := range mostAdded {
		list = append(list, NewMember{Name: fmt.Sprintf("Member %d", i)})
	}
	added, err := r.Add(t.Context(), now, list, "many")
	if err != nil || len(added) != mostAdded {
		t.Fatalf("added %d, %v", len(added), err)
	}
	if n := len(newRoster(t, c).All()); n != mostAdded+1 {
		t.Errorf("%d people, want %d", n, mostAdded+1)
	}
	if err := r.Tidy(t.Context(), now.AddDate(0, 0, 8)); err != nil {
		t.Fatal(err)
	}
	kept, err := c.Invites(t.Context())
	if err != nil || len(kept) != mostAdded {
		t.Errorf("%d invites and answers are kept (%v), want the %d invites", len(kept), err, mostAdded)
	}
}

// TestOnTheStoreForget: a member whom the store forgets leaves no trace here, in memory neither.
func TestOnTheStoreForget(t *testing.T) {
	c := openClub(t)
	one, two := newRoster(t, c), newRoster(t, c)
	now := at(t, "2026-11-25T12:00:00Z")
	added, err := one.Add(t.Context(), now, []NewMember{{Name: "Ada"}, {Name: "Ben"}}, "key")
	if err != nil {
		t.Fatal(err)
	}
	ada := added[0].ID
	_, token, err := one.Join(t.Context(), now, added[0].Invite, "")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := two.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := c.Forget(t.Context(), now, ada, c.DoChanged(ada)); err != nil {
		t.Fatal(err)
	}
	for _, r := range []*Roster{one, two} {
		if _, err := r.Refresh(t.Context()); err != nil || r.Name(ada) != "" {
			t.Errorf("still known as %q (%v)", r.Name(ada), err)
		}
		if _, err := r.Authenticate(t.Context(), token); !errors.Is(err, ErrUnknownToken) {
			t.Errorf("the token of a forgotten member: %v", err)
		}
	}
	kept, err := c.Invites(t.Context())
	if err != nil || len(kept) != 1 {
		t.Errorf("kept beside invites: %d (%v), want Ben's invite alone", len(kept), err)
	}
}

func TestTidy(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-25T12:00:00Z")
	list := []NewMember{{Name: "Ada"}}
	first, err := r.Add(t.Context(), now, list, "key")
	if err != nil {
		t.Fatal(err)
	}
	kept := func() (n int) {
		for field := range f.hash("invites") {
			if strings.HasPrefix(field, onceField) {
				n++
			}
		}
		return n
	}
	for _, c := range []struct{ days, want int }{{0, 1}, {7, 1}, {8, 0}} {
		if err := r.Tidy(t.Context(), now.AddDate(0, 0, c.days)); err != nil || kept() != c.want {
			t.Errorf("after %d days %d answers are kept (%v), want %d", c.days, kept(), err, c.want)
		}
	}
	if _, _, err := r.Join(t.Context(), now, first[0].Invite, ""); err != nil {
		t.Errorf("the invite itself stays: %v", err)
	}
}

// A member's club is checked by name before any look-up, and the digests of one club are not those of another.
func TestOnTheStoreOtherClub(t *testing.T) {
	s, err := store.Open(t.Context(), store.Options{Data: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	rosters := map[string]*Roster{}
	for _, id := range []string{"lantern-hall", "night-owls"} {
		c, err := s.Club(id)
		if err != nil {
			t.Fatal(err)
		}
		if rosters[id], err = New(t.Context(), c, DefaultClub(id)); err != nil {
			t.Fatal(err)
		}
	}
	_, token := join(t, rosters["lantern-hall"], at(t, "2026-11-25T12:00:00Z"), NewMember{Name: "Ada"})
	if _, err := rosters["night-owls"].Authenticate(t.Context(), token); !errors.Is(err, ErrOtherClub) {
		t.Errorf("a token of another club: %v", err)
	}
	renamed := "night-owls" + strings.TrimPrefix(token, "lantern-hall")
	if _, err := rosters["night-owls"].Authenticate(t.Context(), renamed); !errors.Is(err, ErrUnknownToken) {
		t.Errorf("a token that claims another club: %v", err)
	}
}
