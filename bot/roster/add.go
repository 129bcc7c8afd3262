package roster

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"tallybell/leaderboard/store"
)

// NewMember is one person to add. What is left out takes the club's default.
type NewMember struct {
	Name      string            `json:"name"`
	Division  string            `json:"division,omitempty"`
	BirthYear int               `json:"birth_year,omitempty"`
	Zone      string            `json:"zone,omitempty"`
	SendAt    string            `json:"send_at,omitempty"` // HH:MM
	Kit       []string          `json:"kit,omitzero"`      // an empty list tells that there is none; nil tells nothing
	Level     string            `json:"level,omitempty"`   // "" makes a newcomer, who starts at easier
	Levels    map[string]string `json:"levels,omitempty"`
	Limits    []string          `json:"limits,omitempty"`
	Units     string            `json:"units,omitempty"`
	OnBoards  bool              `json:"on_boards,omitempty"`
}

// Invited is a person with the invite by which they join. The invite is a secret: it is told once and never logged.
type Invited struct {
	ID     string `json:"id"`
	Name   string `json:"name"`
	Invite string `json:"invite"` // CLUB.SECRET
	Link   string `json:"link"`
}

// mostAdded is how many people one call adds at most.
const mostAdded = 500

// Add adds people and returns an invite for each, in order: all or none. What is wrong with the list is an
// InvalidError. The same idempotencyKey (unless "") with the same list answers the same again and adds nobody; with
// another list it is ErrKeyReused.
func (r *Roster) Add(ctx context.Context, now time.Time, list []NewMember, idempotencyKey string) ([]Invited, error) {
	recs, err := r.check(now, list)
	if err != nil {
		return nil, err
	}
	body, err := json.Marshal(list)
	if err != nil {
		return nil, fmt.Errorf("reading the list: %w", err)
	}
	once := onceOnly{club: r.Club().ID, key: idempotencyKey, body: digest(string(body)), at: now}
	for range tries {
		if said, err := r.saidBefore(ctx, once); said != nil || err != nil {
			return said, err
		}
		invited, c, err := r.additions(recs)
		if err != nil {
			return nil, err
		}
		if once.key != "" {
			answer, err := once.seal(invited)
			if err != nil {
				return nil, err
			}
			c.when(r.store.KeyInvites(), once.field(), "")
			c.do("HSET", r.store.KeyInvites(), once.field(), answer)
		}
		done, err := r.addAll(ctx, now, invited, c)
		if err != nil {
			return nil, err
		}
		if done {
			return invited, nil
		}
	}
	return nil, fmt.Errorf("adding members: %w", store.ErrStale)
}

// check turns the list into profiles, or tells all that is wrong with it.
func (r *Roster) check(now time.Time, list []NewMember) ([]record, error) {
	if len(list) == 0 || len(list) > mostAdded {
		return nil, InvalidError{{Field: "", Message: fmt.Sprintf("the list has %d members: send 1 to %d at a time", len(list), mostAdded)}}
	}
	c := checker{club: r.Club(), now: now}
	recs := make([]record, len(list))
	for i, n := range list {
		c.index = i
		recs[i].Member = Member{
			Name: c.name(n.Name), Role: RoleMember, Division: c.division(n.Division), BirthYear: c.birthYear(n.BirthYear),
			Zone: c.zone(n.Zone), SendAt: c.sendAt(n.SendAt), Kit: c.kit(n.Kit), Level: c.level("level", n.Level),
			Levels: c.levels(n.Levels), Limits: c.limits(n.Limits), Units: c.units(n.Units), OnBoards: n.OnBoards,
			KitTold: n.Kit != nil, Newcomer: n.Level == "",
		}
	}
	if len(c.found) > 0 {
		return nil, c.found
	}
	return recs, nil
}

// additions gives each profile an id and an invite, and says how to write them.
func (r *Roster) additions(recs []record) ([]Invited, change, error) {
	var c change
	invited := make([]Invited, len(recs))
	taken := map[string]bool{}
	for i, rec := range recs {
		rec.ID = newID()
		for _, known := r.record(rec.ID); known || taken[rec.ID]; _, known = r.record(rec.ID) {
			rec.ID = newID()
		}
		taken[rec.ID] = true
		invite := NewToken(r.Club().ID)
		rec.Invites = []string{digest(invite)}
		raw, err := rec.encode()
		if err != nil {
			return nil, c, err
		}
		c.when(r.store.KeyMembers(), rec.ID, "")
		c.do("HSET", r.store.KeyMembers(), rec.ID, raw)
		c.do("HSET", r.store.KeyInvites(), rec.Invites[0], rec.ID)
		c.cmds = append(c.cmds, r.store.DoTop(rec.ID), r.store.DoChanged(rec.ID))
		invited[i] = r.invited(rec.Member, invite)
	}
	return invited, c, nil
}

// addAll writes the additions. False means that an id was taken meanwhile and nothing was written.
func (r *Roster) addAll(ctx context.Context, now time.Time, invited []Invited, c change) (bool, error) {
	_, err := r.store.Change(ctx, now, c.conds, c.cmds)
	if err != nil && !errors.Is(err, store.ErrStale) {
		return false, fmt.Errorf("adding members: %w", err)
	}
	if err != nil {
		// A write that was sent twice, because its answer was lost, finds itself there: then it is done.
		owner, readErr := r.store.Invite(ctx, digest(invited[0].Invite))
		if readErr != nil {
			return false, fmt.Errorf("adding members: %w", readErr)
		}
		if owner == "" {
			return false, nil
		}
	}
	_, _ = r.Refresh(ctx) // what is written is written: the next Refresh reads it as well
	return true, nil
}

// invited makes the answer that carries an invite.
func (r *Roster) invited(m Member, invite string) Invited {
	page := "/"
	if m.Role == RoleCoach {
		page = "/coach"
	}
	return Invited{ID: m.ID, Name: m.Name, Invite: invite, Link: strings.TrimSuffix(r.Club().PublicURL, "/") + page + "#join=" + invite}
}
