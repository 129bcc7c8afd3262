package roster

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// NewInvite makes another invite for a person, for example for a lost phone. With revoke, their tokens and older
// invites end.
func (r *Roster) NewInvite(ctx context.Context, now time.Time, id string, revoke bool) (Invited, error) {
	invite := NewToken(r.Club().ID)
	m, err := r.write(ctx, now, id, func(rec *record, c *change) error {
		if rec.Removed() {
			return ErrNoMember
		}
		if revoke {
			r.endAll(rec, c)
		}
		var ended []string
		rec.Invites, ended = withSecret(rec.Invites, digest(invite))
		c.end(r.store.KeyInvites(), ended)
		c.do("HSET", r.store.KeyInvites(), digest(invite), id)
		return nil
	})
	if err != nil {
		return Invited{}, err
	}
	return r.invited(m, invite), nil
}

// end deletes digests from a hash.
func (c *change) end(key string, digests []string) {
	if len(digests) > 0 {
		c.do(append([]string{"HDEL", key}, digests...)...)
	}
}

// endAll ends all tokens and invites of a person.
func (r *Roster) endAll(rec *record, c *change) {
	c.end(r.store.KeyTokens(), rec.Tokens)
	c.end(r.store.KeyInvites(), rec.Invites)
	rec.Tokens, rec.Invites = nil, nil
}

// Join uses an invite and returns who it was for and their token. key is 32 random bytes made by the client, in
// base64url, or "". An invite works once; the same invite with the same key answers the same again, for the client
// whose first answer was lost. The first join of a member begins their sessions at today's date.
func (r *Roster) Join(ctx context.Context, now time.Time, invite, key string) (Member, string, error) {
	invite, err := readSecret(r.Club().ID, invite)
	if errors.Is(err, errMalformed) {
		return Member{}, "", ErrUnknownInvite
	}
	if err != nil {
		return Member{}, "", err
	}
	k, err := joinKey(key)
	if err != nil {
		return Member{}, "", err
	}
	token := tokenFrom(r.Club().ID, invite, k)
	for range tries {
		m, err := r.join(ctx, now, digest(invite), digest(token))
		if err == nil {
			return m, token, nil
		}
		if !errors.Is(err, store.ErrStale) {
			return Member{}, "", err
		}
	}
	return Member{}, "", fmt.Errorf("joining: %w", store.ErrStale)
}

// join uses the invite of one digest to make the token of the other known.
func (r *Roster) join(ctx context.Context, now time.Time, invite, token string) (Member, error) {
	kept, err := r.store.Invite(ctx, invite)
	if err != nil {
		return Member{}, fmt.Errorf("looking up the invite: %w", err)
	}
	if kept == "" {
		return Member{}, ErrUnknownInvite
	}
	id, used, _ := strings.Cut(kept, " ")
	// Another replica may have made the invite, or used it, just now: memory is not enough.
	if err := r.reread(ctx, id); err != nil {
		return Member{}, err
	}
	rec, ok := r.record(id)
	if !ok || rec.Removed() {
		return Member{}, ErrUnknownInvite
	}
	if used != "" {
		if used != token || !slices.Contains(rec.Tokens, token) {
			return Member{}, ErrUsedInvite
		}
		return rec.Member, nil
	}
	return r.write(ctx, now, id, func(rec *record, c *change) error {
		if rec.Removed() || !slices.Contains(rec.Invites, invite) {
			return ErrUnknownInvite
		}
		// A second look: this very join may have been written already, by an attempt whose answer was lost.
		if slices.Contains(rec.Tokens, token) {
			return nil
		}
		r.enter(rec, now)
		var ended []string
		rec.Tokens, ended = withSecret(rec.Tokens, token)
		c.end(r.store.KeyTokens(), ended)
		c.when(r.store.KeyInvites(), invite, id)
		c.do("HSET", r.store.KeyInvites(), invite, id+" "+token)
		c.do("HSET", r.store.KeyTokens(), token, id)
		return nil
	})
}

// enter begins a person's time in the club, the first time that they join.
func (r *Roster) enter(rec *record, now time.Time) {
	if rec.Joined() {
		return
	}
	rec.JoinedN = now.UnixMicro()
	rec.JoinedOn = today(rec.Zone, now)
	if rec.Role == RoleMember {
		rec.Buckets = []DatedBucket{{rec.JoinedOn, content.Bucket{Zone: rec.Zone, At: rec.SendAt}}}
	}
}

// person finds somebody in memory, or else in the store.
func (r *Roster) person(ctx context.Context, id string) (record, error) {
	if rec, ok := r.record(id); ok {
		return rec, nil
	}
	if err := r.reread(ctx, id); err != nil {
		return record{}, err
	}
	rec, ok := r.record(id)
	if !ok {
		return rec, ErrNoMember
	}
	return rec, nil
}

// Authenticate returns whose token it is. A token of another club is ErrOtherClub, one that is not known, or no
// longer, ErrUnknownToken.
func (r *Roster) Authenticate(ctx context.Context, token string) (Member, error) {
	token, err := readSecret(r.Club().ID, token)
	if errors.Is(err, errMalformed) {
		return Member{}, ErrUnknownToken
	}
	if err != nil {
		return Member{}, err
	}
	id, err := r.store.Token(ctx, digest(token))
	if err != nil {
		return Member{}, fmt.Errorf("looking up the token: %w", err)
	}
	if id == "" {
		return Member{}, ErrUnknownToken
	}
	rec, err := r.person(ctx, id)
	if errors.Is(err, ErrNoMember) || err == nil && rec.Removed() {
		return Member{}, ErrUnknownToken
	}
	return rec.Member, err
}

// Remove takes a person out of the club: their tokens and invites end at once, and what only the coach knew of them
// goes. Their name stays beside old results.
func (r *Roster) Remove(ctx context.Context, now time.Time, id string) error {
	_, err := r.write(ctx, now, id, func(rec *record, c *change) error {
		if rec.Removed() {
			return nil
		}
		if rec.Role == RoleCoach && r.coaches() < 2 {
			return ErrLastCoach
		}
		r.endAll(rec, c)
		rec.RemovedN, rec.RemovedOn = now.UnixMicro(), today(rec.Zone, now)
		rec.Limits, rec.Past, rec.Remind = nil, nil, false
		if len(rec.Buckets) > 0 {
			rec.Buckets, _ = moved(rec.Buckets, content.Bucket{}, rec.RemovedOn, nil)
		}
		return nil
	})
	return err
}
