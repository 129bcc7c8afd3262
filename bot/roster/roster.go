package roster

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// Errors that callers tell apart. Their texts are for the person who reads them.
var (
	ErrUnknownToken  = errors.New("this link is no longer known: ask your coach for a new one")
	ErrUnknownInvite = errors.New("this invite is not known: check that the whole link was copied, or ask your coach for a new one")
	ErrUsedInvite    = errors.New("this invite was used before: open the page on the phone that used it, or ask your coach for a new one")
	ErrOtherClub     = errors.New("this link belongs to another club: use the link that your own club sent")
	ErrBadKey        = errors.New("the key is not 32 random bytes in base64url: make a new one, or leave it out")
	ErrNoMember      = errors.New("no such member")
	ErrLastCoach     = errors.New("the only coach cannot be removed: the club would be left without one")
	ErrKeyReused     = errors.New("this Idempotency-Key came before with other members: use a new key for a new list")
)

// Store is what the roster needs of one club's store.
type Store interface {
	// Change makes cmds together while all conds hold, and else returns store.ErrStale.
	Change(ctx context.Context, now time.Time, conds []store.If, cmds []store.Do) (int64, error)
	// Changed returns the members whose profile changed after that number, and the number up to which that is known.
	Changed(ctx context.Context, after int64) (members []string, upTo int64, err error)
	// MembersNamed returns the profiles of those that there are.
	MembersNamed(ctx context.Context, ids []string) (map[string][]byte, error)
	// Buckets returns the latest date posted to each bucket.
	Buckets(ctx context.Context) (map[string]string, error)
	// Token and Invite return what is kept under a digest, "" when nothing is.
	Token(ctx context.Context, digest string) (string, error)
	Invite(ctx context.Context, digest string) (string, error)
	// Invites returns all that is kept beside invites.
	Invites(ctx context.Context) (map[string]string, error)

	KeyMembers() string
	KeyTokens() string
	KeyInvites() string
	KeyBuckets() string
	DoTop(member string) store.Do
	DoChanged(member string) store.Do
}

// Roster is one club's people, kept in memory and refreshed from the store. It is safe for use by many goroutines.
type Roster struct {
	store Store
	club  atomic.Pointer[Club]

	reading chan struct{} // held by the one read of the store at work
	seen    int64         // changes up to this number are in people; guarded by reading

	mu     sync.RWMutex
	people map[string]record
	sorted []Member       // All, until somebody changes
	called map[string]int // how many have each name, until somebody changes
	inUse  bucketList     // Buckets, until somebody changes or the day ends
}

// New reads a club's people from its store.
func New(ctx context.Context, s Store, club Club) (*Roster, error) {
	r := &Roster{store: s, reading: make(chan struct{}, 1), people: map[string]record{}}
	r.club.Store(&club)
	if _, err := r.Refresh(ctx); err != nil {
		return nil, err
	}
	return r, nil
}

// Club returns how the club is run now.
func (r *Roster) Club() Club { return *r.club.Load() }

// Run has the club run as told from now on. Its id, its movements and where links lead stay as they are.
func (r *Roster) Run(club Club) {
	was := r.Club()
	club.ID, club.Movements, club.PublicURL = was.ID, was.Movements, was.PublicURL
	r.club.Store(&club)
}

// Refresh reads the people who have changed since it last looked and returns their ids.
func (r *Roster) Refresh(ctx context.Context) ([]string, error) {
	done, err := r.readAlone(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	ids, upTo, err := r.store.Changed(ctx, r.seen)
	if err != nil {
		return nil, fmt.Errorf("reading who changed: %w", err)
	}
	if err := r.load(ctx, ids); err != nil {
		return nil, err
	}
	r.seen = max(r.seen, upTo)
	return ids, nil
}

// reread reads one person as the store has them now.
func (r *Roster) reread(ctx context.Context, id string) error {
	done, err := r.readAlone(ctx)
	if err != nil {
		return err
	}
	defer done()
	return r.load(ctx, []string{id})
}

// readAlone waits until no other read is at work, so that an older profile never replaces a newer one.
func (r *Roster) readAlone(ctx context.Context) (done func(), err error) {
	select {
	case r.reading <- struct{}{}:
		return func() { <-r.reading }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// load puts the people with those ids, as the store has them now, into memory. Those whose profile cannot be read
// are kept as they were and told in the error. Only one load is at work at a time.
func (r *Roster) load(ctx context.Context, ids []string) error {
	if len(ids) == 0 {
		return nil
	}
	found, err := r.store.MembersNamed(ctx, ids)
	if err != nil {
		return fmt.Errorf("reading profiles: %w", err)
	}
	var broken []error
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, id := range ids {
		raw, ok := found[id]
		if !ok {
			r.drop(id)
			continue
		}
		rec, err := decode(id, raw)
		if err != nil {
			broken = append(broken, err)
			continue
		}
		r.put(rec)
	}
	return errors.Join(broken...)
}

// put and drop change what is in memory; the caller holds mu.
func (r *Roster) put(rec record) {
	r.people[rec.ID] = rec
	r.sorted, r.called, r.inUse = nil, nil, bucketList{}
}

func (r *Roster) drop(id string) {
	delete(r.people, id)
	r.sorted, r.called, r.inUse = nil, nil, bucketList{}
}

func (r *Roster) record(id string) (record, bool) {
	r.mu.RLock()
	defer r.mu.RUnlock()
	rec, ok := r.people[id]
	return rec, ok
}

// Get returns the person with that id, removed ones included.
func (r *Roster) Get(id string) (Member, bool) {
	rec, ok := r.record(id)
	return rec.Member, ok
}

// Name returns the name of a person, removed ones included, and "" for an unknown id.
func (r *Roster) Name(id string) string {
	rec, _ := r.record(id)
	return rec.Name
}

// All returns everybody who has not been removed, coaches included, by name and then id.
func (r *Roster) All() []Member {
	r.mu.RLock()
	sorted := r.sorted
	r.mu.RUnlock()
	if sorted == nil {
		r.mu.Lock()
		defer r.mu.Unlock()
		sorted = make([]Member, 0, len(r.people))
		for _, rec := range r.people {
			if !rec.Removed() {
				sorted = append(sorted, rec.Member)
			}
		}
		slices.SortFunc(sorted, func(a, b Member) int {
			return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
		})
		r.sorted = sorted
	}
	return slices.Clone(sorted)
}

// today returns the date of a zone's clock at now. A zone that is no longer known counts as UTC.
func today(zone string, now time.Time) content.Date {
	z, err := content.LoadZone(zone)
	if err != nil {
		z = time.UTC
	}
	return content.DateOf(now.In(z))
}
