package bot

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// OwnData is everything that is kept about one member.
type OwnData struct {
	Member       roster.Member
	Devices      int           // keys by which their devices open the page
	Seen         store.Mark    // how far they have received and opened their conversation
	Results      []ResultRow   // what stands, by date and part
	History      []OwnChange   // every change of their results, in order
	Notes        []OwnDayNotes // what they wrote for the coach, by date
	Conversation []Post        // as far as it is kept, in order
}

// OwnChange is one entry of a member's ledger as they read it.
type OwnChange struct {
	At   time.Time            `json:"at"`
	What leaderboard.Happened `json:"what"`
	By   string               `json:"by"`            // you, coach, or club for what follows from settings
	Why  string               `json:"why,omitempty"` // in the coach's words
	Date content.Date         `json:"date"`
	Part string               `json:"part"`
	Old  *leaderboard.Record  `json:"old,omitempty"`
	New  *leaderboard.Record  `json:"new,omitempty"`
}

// OwnDayNotes is what a member wrote for the coach on a day.
type OwnDayNotes struct {
	Date   content.Date `json:"date"`
	Effort *float64     `json:"effort,omitempty"`
	Notes  []OwnNote    `json:"notes"`
}

// OwnNote is one message that was kept for the coach.
type OwnNote struct {
	At       time.Time    `json:"at"`
	Said     string       `json:"said"`
	Note     string       `json:"note,omitempty"` // what was left beside the results
	Care     string       `json:"care,omitempty"` // a matter of health: check or stop
	Misread  bool         `json:"misread,omitempty"`
	Question bool         `json:"question,omitempty"`
	Answered bool         `json:"answered,omitempty"`
	Away     bool         `json:"away,omitempty"`
	Until    content.Date `json:"until,omitzero"`
	DeleteOn content.Date `json:"delete_on,omitzero"` // when the words of a matter of health are deleted
}

// OwnData reads everything that is kept about a member, here or gone. A *Problem with code not_found when there is none.
func (b *Bot) OwnData(ctx context.Context, id string) (OwnData, error) {
	m, ok := b.roster.Get(id)
	if !ok {
		return OwnData{}, &Problem{Code: "not_found", Text: "There is no such member."}
	}
	out := OwnData{Member: m}
	entries, err := b.ledger(ctx, id)
	if err != nil {
		return out, err
	}
	for _, e := range entries {
		out.History = append(out.History, ownChange(id, e))
	}
	if out.Results, err = b.ownRows(ctx, leaderboard.Current(entries)); err != nil {
		return out, err
	}
	if out.Notes, err = b.ownDays(ctx, m); err != nil {
		return out, err
	}
	tokens, err := b.club.Tokens(ctx)
	if err != nil {
		return out, err
	}
	for _, owner := range tokens {
		if owner, _, _ = strings.Cut(owner, " "); owner == id {
			out.Devices++
		}
	}
	if err := b.writeSeen(ctx); err != nil {
		return out, err
	}
	if out.Seen, err = b.club.MarkOf(ctx, id); err != nil {
		return out, err
	}
	log, err := b.After(ctx, id, 0)
	out.Conversation = log.Posts
	return out, err
}

func ownChange(id string, e leaderboard.LedgerEntry) OwnChange {
	c := OwnChange{At: time.UnixMilli(e.At), What: e.Kind, By: "coach", Why: e.Why, Old: e.Old, New: e.New}
	switch e.Who {
	case id:
		c.By = "you"
	case "":
		c.By = "club"
	}
	for _, r := range []*leaderboard.Record{e.Old, e.New} {
		if r != nil {
			c.Date, c.Part = r.Date, r.Part
		}
	}
	return c
}

func (b *Bot) ownRows(ctx context.Context, records []leaderboard.Record) ([]ResultRow, error) {
	var out []ResultRow
	var sheet content.Session
	for i, r := range records {
		if i == 0 || records[i-1].Date != r.Date {
			var err error
			if sheet, err = b.Session(ctx, r.Date); err != nil && asProblem(err) == nil {
				return nil, err
			}
		}
		out = append(out, b.row(sheet, r))
	}
	return out, nil
}

func (b *Bot) ownDays(ctx context.Context, m roster.Member) ([]OwnDayNotes, error) {
	dates, err := b.resultDates(ctx)
	if err != nil {
		return nil, err
	}
	days, err := b.notesFor(ctx, m.ID, dates)
	if err != nil {
		return nil, err
	}
	var out []OwnDayNotes
	for _, d := range dates {
		n, ok := days[d]
		if !ok {
			continue
		}
		day := OwnDayNotes{Date: d, Effort: n.Effort, Notes: []OwnNote{}}
		for _, x := range n.Notes {
			own := OwnNote{At: time.UnixMilli(x.At), Said: x.Said, Note: x.Note, Care: x.Care, Misread: x.Misread, Question: x.Question,
				Answered: x.Answered, Away: x.Kind == noteAway, Until: x.Until}
			if x.Care != "" && !x.Gone {
				own.DeleteOn = content.DateOf(own.At.UTC()).AddDays(b.Club().HealthDays + 1)
			}
			day.Notes = append(day.Notes, own)
		}
		out = append(out, day)
	}
	return out, nil
}

// resultDates returns the dates that have results or notes, ascending.
func (b *Bot) resultDates(ctx context.Context) ([]content.Date, error) {
	raw, err := b.club.ResultDates(ctx)
	if err != nil {
		return nil, err
	}
	return storedDates("results", raw)
}

// Encode writes the data as one JSON object, member by member of its lists, so that a long one is never held twice.
// post says how a post of the conversation is shown.
func (d OwnData) Encode(e *json.Encoder, write func(string) error, profile any, post func(Post) any) error {
	steps := []func() error{
		func() error { return write(`{"member":`) },
		func() error { return e.Encode(profile) },
		func() error {
			return write(fmt.Sprintf(`,"devices":%d,"received":"%d","opened":"%d","results":[`, d.Devices, d.Seen.Received, d.Seen.Opened))
		},
		func() error { return encodeAll(e, write, d.Results, func(r ResultRow) any { return r }) },
		func() error { return write(`],"history":[`) },
		func() error { return encodeAll(e, write, d.History, func(c OwnChange) any { return c }) },
		func() error { return write(`],"notes":[`) },
		func() error { return encodeAll(e, write, d.Notes, func(n OwnDayNotes) any { return n }) },
		func() error { return write(`],"conversation":[`) },
		func() error { return encodeAll(e, write, d.Conversation, post) },
		func() error { return write("]}\n") },
	}
	for _, do := range steps {
		if err := do(); err != nil {
			return err
		}
	}
	return nil
}

func encodeAll[T any](e *json.Encoder, write func(string) error, all []T, show func(T) any) error {
	for i, x := range all {
		if i > 0 {
			if err := write(","); err != nil {
				return err
			}
		}
		if err := e.Encode(show(x)); err != nil {
			return err
		}
	}
	return nil
}
