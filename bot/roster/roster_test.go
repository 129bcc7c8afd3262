package roster

import (
	"encoding/base64"
	"errors"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"tallybell/content"
)

func TestAddAndJoin(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-25T23:30:00Z")
	added, err := r.Add(t.Context(), now, []NewMember{
		{Name: " Ada\u202e  Quill ", Division: "Women", BirthYear: 1970, Zone: "Asia/Tokyo", SendAt: "05:45", Kit: []string{"Backpacks"}, Units: "KG", OnBoards: true},
		{Name: "Ada Quill"}, // names need not differ
	}, "")
	if err != nil {
		t.Fatal(err)
	}
	if len(added) != 2 || added[0].ID == added[1].ID || added[0].Name != "Ada Quill" {
		t.Fatalf("added %+v", added)
	}
	for _, a := range added {
		if !regexp.MustCompile(`^[a-z0-9]{5,10}$`).MatchString(a.ID) {
			t.Errorf("id %q", a.ID)
		}
		if !strings.HasPrefix(a.Invite, "lantern-hall.") || a.Link != "https://hall.example/#join="+a.Invite {
			t.Errorf("invite %q, link %q", a.Invite, a.Link)
		}
	}
	m, _ := r.Get(added[0].ID)
	if m.Joined() || len(m.Buckets) > 0 || m.Division != "women" || m.BirthYear != 1970 || !m.OnBoards || !slices.Equal(m.Kit, []string{"backpack"}) || m.Units != "kg" || !m.Newcomer {
		t.Errorf("before joining: %+v", m)
	}
	m, token, err := r.Join(t.Context(), now, added[0].Link, "") // the whole link pasted
	if err != nil {
		t.Fatal(err)
	}
	tokyo := content.Bucket{Zone: "Asia/Tokyo", At: content.Clock{Hour: 5, Minute: 45}}
	if want := (DatedBucket{day("2026-11-26"), tokyo}); len(m.Buckets) != 1 || m.Buckets[0] != want || m.JoinedOn != day("2026-11-26") || m.JoinedN == 0 {
		t.Errorf("joining begins at today's local date: %+v", m)
	}
	got, err := r.Authenticate(t.Context(), token)
	if err != nil || got.ID != m.ID {
		t.Errorf("Authenticate: %+v, %v", got, err)
	}
	if _, _, err := r.Join(t.Context(), now, added[0].Invite, ""); !errors.Is(err, ErrUsedInvite) {
		t.Errorf("a used invite: %v", err)
	}
	for _, secret := range []string{token, added[0].Invite, added[1].Invite} {
		if strings.Contains(f.dump(), strings.TrimPrefix(secret, "lantern-hall.")) {
			t.Error("the store holds a secret itself, not its digest")
		}
	}
	if other, _ := r.Get(added[1].ID); other.Zone != "Europe/London" || other.SendAt != (content.Clock{Hour: 6, Minute: 30}) {
		t.Errorf("the club's zone and hour: %+v", other)
	}
	if all := r.All(); len(all) != 2 || r.Name(added[1].ID) != "Ada Quill" || r.Name("nobody") != "" {
		t.Errorf("all: %+v", all)
	}
}

func day(s string) content.Date {
	d, err := content.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}

func TestAddTellsAllThatIsWrong(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	_, err := r.Add(t.Context(), at(t, "2026-11-25T12:00:00Z"), []NewMember{
		{Name: "Ben"},
		{Name: "\u200e \u202e", Division: "ladies", BirthYear: 1850, Zone: "Local", SendAt: "6:30", Kit: []string{"bakpack", "chainsaw"},
			Level: "heroic", Levels: map[string]string{"squat": "harder", "juggling": "easier", "hinge": "never"}, Limits: []string{"no stairs"}, Units: "stone"},
		{Name: strings.Repeat("x", 81), Zone: "Europe/Berlim"},
	}, "")
	var invalid InvalidError
	if !errors.As(err, &invalid) {
		t.Fatalf("got %v, want an InvalidError", err)
	}
	want := map[string]string{
		"1 name": "1 to 80", "1 division": "women; men or open", "1 birth_year": "1916 to 2021", "1 zone": "IANA name", "1 send_at": "HH:MM",
		"1 kit": "did you mean backpack", "1 level": "easier; as written or harder", "1 levels": "movement pattern", "1 limits": "no jumping",
		"1 units": "kg or lb", "2 name": "81 characters", "2 zone": "Europe/Berlin",
	}
	for place, says := range want {
		index, field, _ := strings.Cut(place, " ")
		if !slices.ContainsFunc(invalid, func(p FieldProblem) bool {
			return string(rune('0'+p.Index)) == index && p.Field == field && strings.Contains(p.Message, says)
		}) {
			t.Errorf("nothing at %s says %q in %v", place, says, err)
		}
	}
	if slices.ContainsFunc(invalid, func(p FieldProblem) bool { return p.Index == 0 }) {
		t.Errorf("Ben is right: %v", err)
	}
	if len(r.All()) > 0 || len(f.hash("members")) > 0 {
		t.Error("all or none: somebody was added")
	}
	for _, list := range [][]NewMember{nil, make([]NewMember, mostAdded+1)} {
		if _, err := r.Add(t.Context(), at(t, "2026-11-25T12:00:00Z"), list, ""); !errors.As(err, &invalid) {
			t.Errorf("a list of %d: %v", len(list), err)
		}
	}
}

func TestAddOnce(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-25T12:00:00Z")
	list := []NewMember{{Name: "Ada"}, {Name: "Ben"}}
	first, err := r.Add(t.Context(), now, list, "key-1")
	if err != nil {
		t.Fatal(err)
	}
	again, err := newRoster(t, f).Add(t.Context(), now.Add(time.Hour), list, "key-1")
	if err != nil || !slices.Equal(first, again) {
		t.Errorf("again: %+v (%v), want %+v", again, err, first)
	}
	if _, err := r.Add(t.Context(), now, list[:1], "key-1"); !errors.Is(err, ErrKeyReused) {
		t.Errorf("another list under the key: %v", err)
	}
	if other, err := r.Add(t.Context(), now, list, "key-2"); err != nil || other[0].ID == first[0].ID {
		t.Errorf("another key: %+v, %v", other, err)
	}
	if n := len(r.All()); n != 4 {
		t.Errorf("%d members, want 4", n)
	}
	if kept := f.dump(); strings.Contains(kept, "key-1") || strings.Contains(kept, strings.TrimPrefix(first[0].Invite, "lantern-hall.")) {
		t.Error("the store holds the key, or an invite")
	}
}

func TestAddOnceAtOnce(t *testing.T) {
	f := newFake()
	now := at(t, "2026-11-25T12:00:00Z")
	list := []NewMember{{Name: "Ada"}}
	one, two := newRoster(t, f), newRoster(t, f)
	var other []Invited
	f.before = func() {
		var err error
		if other, err = two.Add(t.Context(), now, list, "key"); err != nil {
			t.Error(err)
		}
	}
	mine, err := one.Add(t.Context(), now, list, "key")
	if err != nil || !slices.Equal(mine, other) {
		t.Errorf("two replicas answered %+v and %+v (%v)", mine, other, err)
	}
}

// TestAnswersLostOnTheWay: a write that the store's client sends twice, since its first answer was lost, counts once.
func TestAnswersLostOnTheWay(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-25T12:00:00Z")
	f.lose = 1
	added, err := r.Add(t.Context(), now, []NewMember{{Name: "Ada"}}, "")
	if err != nil || len(r.All()) != 1 || len(f.hash("members")) != 1 {
		t.Fatalf("added %+v, %v; %d in the store", added, err, len(f.hash("members")))
	}
	f.lose = 1
	m, token, err := r.Join(t.Context(), now, added[0].Invite, "")
	if err != nil || m.ID != added[0].ID {
		t.Fatalf("joined %+v, %v", m, err)
	}
	if _, err := r.Authenticate(t.Context(), token); err != nil {
		t.Error(err)
	}
	f.lose = 1
	hour := "07:15"
	if m, err = r.Update(t.Context(), now, m.ID, Patch{SendAt: &hour}); err != nil || m.SendAt.String() != hour {
		t.Errorf("updated %+v, %v", m, err)
	}
}

func TestJoinAgainWithTheSameKey(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-25T12:00:00Z")
	added, _ := r.Add(t.Context(), now, []NewMember{{Name: "Ada"}, {Name: "Ben"}}, "")
	key := base64.RawURLEncoding.EncodeToString([]byte("0123456789abcdef0123456789abcdef"))
	m, token, err := r.Join(t.Context(), now, added[0].Invite, key)
	if err != nil {
		t.Fatal(err)
	}
	again, same, err := newRoster(t, f).Join(t.Context(), now.Add(time.Hour), added[0].Invite, key)
	if err != nil || same != token || again.ID != m.ID {
		t.Errorf("again: %+v %v, the same token: %v", again, err, same == token)
	}
	if _, other, err := r.Join(t.Context(), now, added[1].Invite, key); err != nil || other == token {
		t.Errorf("the same key with another invite: %v, the same token: %v", err, other == token)
	}
	otherKey := base64.URLEncoding.EncodeToString([]byte("another key of thirty-two bytes!"))
	if _, _, err := r.Join(t.Context(), now, added[0].Invite, otherKey); !errors.Is(err, ErrUsedInvite) {
		t.Errorf("a used invite with another key: %v", err)
	}
	for _, bad := range []string{"short", key + "AAAA", "0123456789abcdef0123456789abcdef!!"} {
		if _, _, err := r.Join(t.Context(), now, added[0].Invite, bad); !errors.Is(err, ErrBadKey) {
			t.Errorf("key %q: %v", bad, err)
		}
	}
	// A new invite that revokes ends both the token and the right to have it again.
	fresh, err := r.NewInvite(t.Context(), now, m.ID, true)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.Authenticate(t.Context(), token); !errors.Is(err, ErrUnknownToken) {
		t.Errorf("a revoked token: %v", err)
	}
	if _, _, err := r.Join(t.Context(), now, added[0].Invite, key); !errors.Is(err, ErrUnknownInvite) {
		t.Errorf("a revoked invite: %v", err)
	}
	back, _, err := r.Join(t.Context(), at(t, "2026-12-24T12:00:00Z"), fresh.Invite, "")
	if err != nil || back.JoinedOn != m.JoinedOn || !slices.Equal(back.Buckets, m.Buckets) {
		t.Errorf("joining again begins nothing anew: %+v, %v", back, err)
	}
}

func TestJoinRefuses(t *testing.T) {
	r := newRoster(t, newFake())
	for invite, want := range map[string]error{
		"": ErrUnknownInvite, "lantern-hall": ErrUnknownInvite, "lantern-hall.": ErrUnknownInvite, "lantern-hall.nonsense": ErrUnknownInvite,
		"Other Club.x": ErrUnknownInvite, "other-club.secret": ErrOtherClub, "https://x.example/#join=other-club.secret": ErrOtherClub,
		"lantern-hall." + strings.Repeat("x", 999): ErrUnknownInvite,
	} {
		if _, _, err := r.Join(t.Context(), at(t, "2026-11-25T12:00:00Z"), invite, ""); !errors.Is(err, want) {
			t.Errorf("invite %q: %v, want %v", invite, err, want)
		}
		if want == ErrUnknownInvite {
			want = ErrUnknownToken
		}
		if _, err := r.Authenticate(t.Context(), invite); !errors.Is(err, want) {
			t.Errorf("token %q: %v, want %v", invite, err, want)
		}
	}
}

// TestInviteWorksOnce: of many who use an invite at once, one comes in.
func TestInviteWorksOnce(t *testing.T) {
	f := newFake()
	now := at(t, "2026-11-25T12:00:00Z")
	added, err := newRoster(t, f).Add(t.Context(), now, []NewMember{{Name: "Ada"}}, "")
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	var mu sync.Mutex
	in := 0
	for range 8 {
		r := newRoster(t, f)
		wg.Go(func() {
			_, token, err := r.Join(t.Context(), now, added[0].Invite, "")
			if err != nil && !errors.Is(err, ErrUsedInvite) {
				t.Error(err)
			}
			if err == nil {
				mu.Lock()
				defer mu.Unlock()
				in++
				if _, err := r.Authenticate(t.Context(), token); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	if in != 1 {
		t.Errorf("%d came in by one invite", in)
	}
}

func TestRemove(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-25T12:00:00Z")
	m, token := join(t, r, now, NewMember{Name: "Ada", Limits: []string{"quiet"}})
	if err := r.Remove(t.Context(), now.Add(48*time.Hour), m.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Authenticate(t.Context(), token); !errors.Is(err, ErrUnknownToken) {
		t.Errorf("the token of a removed member: %v", err)
	}
	gone, ok := r.Get(m.ID)
	if !ok || !gone.Removed() || gone.Limits != nil || r.Name(m.ID) != "Ada" || len(r.All()) != 0 {
		t.Errorf("removed: %+v", gone)
	}
	if gone.BucketOn(day("2026-11-26")).IsZero() || !gone.BucketOn(day("2026-11-27")).IsZero() {
		t.Errorf("buckets: %+v", gone.Buckets)
	}
	name := "Eve"
	if _, err := r.Update(t.Context(), now, m.ID, Patch{Name: &name}); !errors.Is(err, ErrNoMember) {
		t.Errorf("changing a removed member: %v", err)
	}
	if _, err := r.NewInvite(t.Context(), now, m.ID, false); !errors.Is(err, ErrNoMember) {
		t.Errorf("inviting a removed member: %v", err)
	}
	if err := r.Remove(t.Context(), now, "nobody"); !errors.Is(err, ErrNoMember) {
		t.Errorf("removing nobody: %v", err)
	}
	if f.hash("tokens")[digest(token)] != "" {
		t.Error("the token's digest is still kept")
	}
}

func TestRefreshSeesOtherReplicas(t *testing.T) {
	f := newFake()
	one, two := newRoster(t, f), newRoster(t, f)
	now := at(t, "2026-11-25T12:00:00Z")
	m, token := join(t, one, now, NewMember{Name: "Ada"})
	if got, err := two.Authenticate(t.Context(), token); err != nil || got.ID != m.ID {
		t.Errorf("a token that another replica made: %+v, %v", got, err)
	}
	name := "Ada Q"
	if _, err := one.Update(t.Context(), now, m.ID, Patch{Name: &name}); err != nil {
		t.Fatal(err)
	}
	ids, err := two.Refresh(t.Context())
	if err != nil || !slices.Contains(ids, m.ID) || two.Name(m.ID) != "Ada Q" {
		t.Errorf("refreshed %q, %v: %q", ids, err, two.Name(m.ID))
	}
	if ids, err := two.Refresh(t.Context()); err != nil || len(ids) > 0 {
		t.Errorf("nothing has changed: %q, %v", ids, err)
	}
	ben, _ := join(t, one, now, NewMember{Name: "Ben"})
	if _, err := two.NewInvite(t.Context(), now, ben.ID, false); err != nil {
		t.Errorf("inviting somebody whom another replica added: %v", err)
	}
	// Both change at once, neither change is lost.
	quiet, units := []string{"quiet"}, "lb"
	f.before = func() {
		if _, err := two.Update(t.Context(), now, m.ID, Patch{Limits: &quiet}); err != nil {
			t.Error(err)
		}
	}
	got, err := one.Update(t.Context(), now, m.ID, Patch{Units: &units})
	if err != nil || got.Units != "lb" || !slices.Equal(got.Limits, quiet) {
		t.Errorf("both changes: %+v, %v", got, err)
	}
	delete(f.hash("members"), m.ID) // forgotten
	f.changed[m.ID] = f.n + 1
	f.n++
	if _, err := two.Refresh(t.Context()); err != nil || two.Name(m.ID) != "" {
		t.Errorf("a forgotten member: %q, %v", two.Name(m.ID), err)
	}
}

func TestStoreAway(t *testing.T) {
	f := newFake()
	r := newRoster(t, f)
	now := at(t, "2026-11-25T12:00:00Z")
	m, token := join(t, r, now, NewMember{Name: "Ada"})
	away := errors.New("store away")
	f.down = away
	if _, err := r.Authenticate(t.Context(), token); !errors.Is(err, away) {
		t.Errorf("Authenticate: %v, want the store's error, not a refusal", err)
	}
	if _, err := r.Add(t.Context(), now, []NewMember{{Name: "Ben"}}, "k"); !errors.Is(err, away) {
		t.Errorf("Add: %v", err)
	}
	if _, _, err := r.Join(t.Context(), now, "lantern-hall.x", ""); !errors.Is(err, away) {
		t.Errorf("Join: %v", err)
	}
	if _, err := r.Update(t.Context(), now, m.ID, Patch{Name: &m.ID}); !errors.Is(err, away) {
		t.Errorf("Update: %v", err)
	}
	if _, err := r.Refresh(t.Context()); !errors.Is(err, away) {
		t.Errorf("Refresh: %v", err)
	}
}

func TestCoach(t *testing.T) {
	f := newFake()
	one, two := newRoster(t, f), newRoster(t, f)
	now := at(t, "2026-11-25T12:00:00Z")
	f.before = func() { // another replica starts at the same moment
		if _, err := two.EnsureCoach(t.Context(), now, ""); err != nil {
			t.Error(err)
		}
	}
	token := NewToken("lantern-hall")
	c, err := one.EnsureCoach(t.Context(), now, token+"\n")
	if err != nil || c.Role != RoleCoach || c.Name != "Maren Oduya" || len(c.Buckets) > 0 || !c.Joined() {
		t.Fatalf("coach %+v, %v", c, err)
	}
	if len(one.All()) != 1 {
		t.Errorf("all: %+v, want one coach", one.All())
	}
	for _, r := range []*Roster{one, two} {
		if got, err := r.Authenticate(t.Context(), token); err != nil || got.Role != RoleCoach {
			t.Errorf("the coach's token: %+v, %v", got, err)
		}
	}
	if again, err := two.EnsureCoach(t.Context(), now, token); err != nil || again.ID != c.ID {
		t.Errorf("again: %+v, %v", again, err)
	}
	link, err := one.CoachLink(t.Context(), now)
	if err != nil || !strings.HasPrefix(link.Link, "https://hall.example/coach#join=lantern-hall.") {
		t.Fatalf("link %+v, %v", link, err)
	}
	if m, _, err := two.Join(t.Context(), now, link.Link, ""); err != nil || m.ID != c.ID {
		t.Errorf("the coach joins: %+v, %v", m, err)
	}
	_, members := join(t, one, now, NewMember{Name: "Ada"})
	for what, bad := range map[string]string{"of another club": "other.0123456789abcdef", "too short": "lantern-hall.x", "nonsense": "nonsense", "a member's": members} {
		if _, err := one.EnsureCoach(t.Context(), now, bad); err == nil || strings.Contains(err.Error(), bad) {
			t.Errorf("a token file that is %s: %v, want an error that does not tell it", what, err)
		}
	}
	if err := one.Remove(t.Context(), now, c.ID); !errors.Is(err, ErrLastCoach) {
		t.Errorf("removing the last coach: %v", err)
	}
}
