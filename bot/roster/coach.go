package roster

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"tallybell/leaderboard/store"
)

// firstCoach is the id of the first coach, the same for every replica that starts at once.
const firstCoach = "coach"

// EnsureCoach makes the first coach if there is none, and lets token (unless "") be one of the first coach's. The
// token is what a coach's token file holds: CLUB.SECRET of this club, as NewToken makes it.
func (r *Roster) EnsureCoach(ctx context.Context, now time.Time, token string) (Member, error) {
	coach, err := r.ensureCoach(ctx, now)
	if err != nil || token == "" {
		return coach, err
	}
	token, err = readSecret(r.Club().ID, token)
	if errors.Is(err, ErrOtherClub) {
		return Member{}, fmt.Errorf("the coach's token is not of club %q: it must begin with %q", r.Club().ID, r.Club().ID+".")
	}
	if secret := strings.TrimPrefix(token, r.Club().ID+"."); err != nil || len(secret) < 16 {
		return Member{}, fmt.Errorf("the coach's token is not %s.SECRET with at least 16 characters of secret: remove the token file to have a new one made", r.Club().ID)
	}
	owner, err := r.store.Token(ctx, digest(token))
	if err != nil {
		return Member{}, fmt.Errorf("looking up the coach's token: %w", err)
	}
	if owner != "" {
		m, err := r.person(ctx, owner)
		if err != nil && !errors.Is(err, ErrNoMember) {
			return Member{}, err
		}
		if m.Role != RoleCoach || m.Removed() {
			return Member{}, errors.New("the coach's token belongs to a member: remove the token file to have a new one made")
		}
		return m.Member, nil
	}
	return r.write(ctx, now, coach.ID, func(rec *record, c *change) error {
		if slices.Contains(rec.Tokens, digest(token)) {
			return nil
		}
		var ended []string
		rec.Tokens, ended = withSecret(rec.Tokens, digest(token))
		c.end(r.store.KeyTokens(), ended)
		c.do("HSET", r.store.KeyTokens(), digest(token), rec.ID)
		return nil
	})
}

// CoachLink makes a one-time invite for the first coach, whose link leads to the coach's page.
func (r *Roster) CoachLink(ctx context.Context, now time.Time) (Invited, error) {
	coach, err := r.ensureCoach(ctx, now)
	if err != nil {
		return Invited{}, err
	}
	return r.NewInvite(ctx, now, coach.ID, false)
}

func (r *Roster) ensureCoach(ctx context.Context, now time.Time) (Member, error) {
	for range tries {
		for _, m := range r.All() {
			if m.Role == RoleCoach {
				return m, nil
			}
		}
		rec := record{Member: Member{ID: firstCoach, Name: r.Club().Coach, Role: RoleCoach, Zone: r.Club().Zone, SendAt: r.Club().SendAt}}
		r.enter(&rec, now)
		raw, err := rec.encode()
		if err != nil {
			return Member{}, err
		}
		var c change
		c.when(r.store.KeyMembers(), firstCoach, "")
		c.do("HSET", r.store.KeyMembers(), firstCoach, raw)
		c.cmds = append(c.cmds, r.store.DoTop(firstCoach), r.store.DoChanged(firstCoach))
		if _, err := r.store.Change(ctx, now, c.conds, c.cmds); err != nil && !errors.Is(err, store.ErrStale) {
			return Member{}, fmt.Errorf("making the first coach: %w", err)
		}
		if err := r.reread(ctx, firstCoach); err != nil {
			return Member{}, err
		}
	}
	return Member{}, fmt.Errorf("making the first coach: %w", store.ErrStale)
}

// coaches counts the coaches who have not been removed.
func (r *Roster) coaches() int {
	n := 0
	for _, m := range r.All() {
		if m.Role == RoleCoach {
			n++
		}
	}
	return n
}
