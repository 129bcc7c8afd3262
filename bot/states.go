package bot

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// maxStates bounds the states kept; beyond it an arbitrary one is dropped, which costs one pipeline when it is needed.
const maxStates = 20_000

// states keeps the latest known state of members. A state that has gone stale is found out by the script.
type states struct {
	mu sync.Mutex
	of map[string]*state
}

func (s *states) get(member string) *state {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.of[member]
}

func (s *states) put(st *state) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.of == nil {
		s.of = map[string]*state{}
	}
	if _, has := s.of[st.member.ID]; !has && len(s.of) >= maxStates {
		for id := range s.of {
			delete(s.of, id)
			break
		}
	}
	if had := s.of[st.member.ID]; had == nil || had.top <= st.top {
		s.of[st.member.ID] = st
	}
}

func (s *states) drop(member string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.of, member)
}

// state returns what is known of a member: kept from before, or read anew when fresh is set or the sessions posted to
// them are not the ones it knows.
func (b *Bot) state(ctx context.Context, id string, now time.Time, fresh bool) (*state, error) {
	if fresh {
		if _, err := b.roster.Refresh(ctx); err != nil {
			return nil, err
		}
		b.states.drop(id)
	}
	member, ok := b.roster.Get(id)
	if !ok {
		return nil, &Problem{Code: "not_found", Text: "no such member"}
	}
	sessions := b.posts.lastOf(member, now, b.Club().LateDays)
	if st := b.states.get(id); st != nil && st.knows(sessions) && (len(sessions) > 0 || st.looseOn == st.today(now)) {
		next := *st
		next.member = member
		fits := true
		for i := range next.days {
			f, err := b.fitted(ctx, sessions[i].Date, sessions[i].Version, member.FitOn(sessions[i].Date))
			if err != nil {
				return nil, err
			}
			fits = fits && f == next.days[i].fitted
		}
		if fits {
			return &next, nil
		}
	}
	return b.readState(ctx, member, sessions, now)
}

// readState reads a member's state from the store, in one pipeline.
func (b *Bot) readState(ctx context.Context, member roster.Member, sessions []Fact, now time.Time) (*state, error) {
	st := &state{member: member}
	var fields []store.Field
	if len(sessions) == 0 {
		st.looseOn = st.today(now)
		fields = append(fields, notesField(st.looseOn, member.ID))
	}
	for _, f := range sessions {
		fitted, err := b.fitted(ctx, f.Date, f.Version, member.FitOn(f.Date))
		if err != nil {
			return nil, err
		}
		st.days = append(st.days, day{date: f.Date, version: f.Version, fitted: fitted, records: map[string]leaderboard.Record{}})
		fields = append(fields, fieldsOf(f.Date, fitted.Sheet, member.ID)...)
	}
	got, err := b.club.State(ctx, member.ID, fields...)
	if err != nil {
		return nil, err
	}
	if got.Profile == nil { // forgotten, and this process has not heard of it yet
		return nil, &Problem{Code: "not_found", Text: "no such member"}
	}
	st.top = got.Top
	if got.Last != nil {
		a, err := readAnswer(got.Last.Fact)
		if err != nil {
			return nil, fmt.Errorf("last answer to a member: %w", err)
		}
		st.open = a.Open
	}
	for field, raw := range got.Results {
		if err := st.take(field, raw); err != nil {
			return nil, err
		}
	}
	b.states.put(st)
	return st, nil
}

// knows reports whether the state was read for these sessions, latest first.
func (s *state) knows(sessions []Fact) bool {
	if len(s.days) != len(sessions) {
		return false
	}
	for i := range sessions {
		if s.days[i].date != sessions[i].Date || s.days[i].version != sessions[i].Version {
			return false
		}
	}
	return true
}

// fieldsOf names everything that one member can have for a date: their notes, and a result of each part.
func fieldsOf(d content.Date, sheet content.Session, member string) []store.Field {
	fields := []store.Field{notesField(d, member)}
	for _, p := range sheet.Parts {
		for _, k := range allKinds {
			fields = append(fields, store.Field{Date: d.String(), Part: p.Letter, Kind: string(k), Member: member})
		}
	}
	return fields
}

// take puts one stored field where it belongs.
func (s *state) take(field store.Field, raw []byte) error {
	date, err := content.ParseDate(field.Date)
	if err != nil {
		return fmt.Errorf("stored result: %w", err)
	}
	i := s.on(date)
	if i < 0 && (date != s.looseOn || field.Kind != kindNotes) {
		return nil
	}
	if field.Kind == kindNotes {
		notes := &s.loose
		if i >= 0 {
			notes = &s.days[i].notes
		}
		if err := json.Unmarshal(raw, notes); err != nil {
			return fmt.Errorf("notes of %s: %w", field.Date, err)
		}
		return nil
	}
	rec, err := leaderboard.ReadRecord(raw)
	if err != nil {
		return err
	}
	s.days[i].records[rec.Part] = rec
	return nil
}

// allKinds are the kinds that a part's results may have had: a part whose sheet was replaced by force keeps old ones,
// so all are looked at.
var allKinds = [...]content.Kind{content.KindTime, content.KindReps, content.KindLoad, content.KindHold, content.KindDistance, content.KindDone}
