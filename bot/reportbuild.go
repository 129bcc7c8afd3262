package bot

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
)

// Report computes the morning report of a date: who did what, who is missing, who hurts, who asks.
func (b *Bot) Report(ctx context.Context, date content.Date) (Report, error) {
	r := Report{Date: date, Answered: []Attendance{}, Missing: []Person{}, Paused: []Person{}, Concerns: []Concern{},
		Questions: []Question{}, Waiting: []Person{}}
	s, err := b.Session(ctx, date)
	if err != nil {
		return r, err
	}
	r.Title, r.Rest = s.Title, s.Rest
	rows, err := b.Results(ctx, date)
	if err != nil {
		return r, err
	}
	of := map[string]*Attendance{}
	attend := func(id string) *Attendance {
		if of[id] == nil {
			of[id] = &Attendance{Person: b.person(id), Results: []ResultRow{}}
		}
		return of[id]
	}
	for _, row := range rows {
		a := attend(row.Member)
		a.Results = append(a.Results, row)
		if waits(s, row) && !slices.Contains(r.Waiting, row.Person) {
			r.Waiting = append(r.Waiting, row.Person)
		}
	}
	excused := map[string]bool{}
	if err := b.reportNotes(ctx, date, &r, attend, excused); err != nil {
		return r, err
	}
	for _, a := range of {
		r.Answered = append(r.Answered, *a)
	}
	slices.SortFunc(r.Answered, func(x, y Attendance) int { return byName(x.Person, y.Person) })
	b.reportAbsent(date, &r, of, excused)
	if r.Questions, err = b.Questions(ctx); err != nil {
		return r, err
	}
	return r, nil
}

func waits(s content.Session, row ResultRow) bool {
	p, ok := s.Part(row.Part)
	return ok && p.IsScored() && row.Result.Kind == p.Kind() && row.Result.Version == ""
}

func byName(x, y Person) int {
	return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.Member, y.Member))
}

// reportNotes adds what members wrote beside their results; whoever wrote about the session has answered, and who wrote
// that they cannot train is excused.
func (b *Bot) reportNotes(ctx context.Context, date content.Date, r *Report, attend func(string) *Attendance, excused map[string]bool) error {
	raw, err := b.club.Results(ctx, date.String())
	if err != nil {
		return err
	}
	for f, v := range raw {
		if f.Kind != kindNotes {
			continue
		}
		var n dayNotes
		if err := json.Unmarshal(v, &n); err != nil {
			return fmt.Errorf("notes of %s: %w", date, err)
		}
		m, _ := b.roster.Get(f.Member)
		for _, x := range n.Notes {
			if x.Kind == noteAway {
				excused[f.Member] = true
				continue
			}
			a := attend(f.Member)
			if x.Note != "" && x.Care == "" && !x.Question {
				if a.Note != "" {
					a.Note += "; "
				}
				a.Note += x.Note
			}
			if x.Care != "" {
				r.Concerns = append(r.Concerns, Concern{Person: b.person(f.Member), Care: x.Care, Said: x.Said, At: time.UnixMilli(x.At), Held: m.Held(), Misread: x.Misread})
			}
		}
	}
	slices.SortFunc(r.Concerns, func(x, y Concern) int {
		return cmp.Or(-cmp.Compare(x.Care, y.Care), x.At.Compare(y.At), cmp.Compare(x.Member, y.Member)) // stop before check
	})
	return nil
}

// reportAbsent sorts those who have not answered: missing only if the session reached them.
func (b *Bot) reportAbsent(date content.Date, r *Report, answered map[string]*Attendance, excused map[string]bool) {
	had := b.posts.buckets(date)
	for _, m := range b.roster.All() {
		if m.Role != roster.RoleMember || !m.Joined() {
			continue
		}
		bucket := m.BucketOn(date)
		f, sent := had[bucket]
		sent = sent && !bucket.IsZero() && !m.HeldAt(f.N)
		if sent {
			r.Sent++
		}
		switch {
		case answered[m.ID] != nil:
		case m.PausedOn(date), excused[m.ID]:
			r.Paused = append(r.Paused, b.person(m.ID))
		case sent && !r.Rest:
			r.Missing = append(r.Missing, b.person(m.ID))
		}
	}
}

// questionDays is how far back questions are looked for.
const questionDays = backlogDays

// Questions returns what members asked and nobody has answered, oldest first.
func (b *Bot) Questions(ctx context.Context) ([]Question, error) {
	out := []Question{}
	err := b.eachNotes(ctx, b.clock.Now(), "", func(_ content.Date, n dayNotes) {
		for _, x := range n.Notes {
			if x.Question && !x.Answered {
				out = append(out, Question{Person: b.person(n.Member), ID: x.ID, Said: x.Said, At: time.UnixMilli(x.At)})
			}
		}
	})
	slices.SortFunc(out, func(x, y Question) int { return cmp.Or(x.At.Compare(y.At), cmp.Compare(x.ID, y.ID)) })
	return out, err
}

// eachNotes calls f with the notes of the last days, of one member or (for "") of all.
func (b *Bot) eachNotes(ctx context.Context, now time.Time, member string, f func(content.Date, dayNotes)) error {
	dates, err := b.club.ResultDates(ctx)
	if err != nil {
		return err
	}
	today := content.DateOf(now.UTC())
	for _, raw := range dates {
		d, err := content.ParseDate(raw)
		if err != nil {
			return fmt.Errorf("stored results: %w", err)
		}
		if today.DaysSince(d) > questionDays {
			continue
		}
		fields, err := b.club.Results(ctx, raw)
		if err != nil {
			return err
		}
		for field, v := range fields {
			if field.Kind != kindNotes || member != "" && field.Member != member {
				continue
			}
			var n dayNotes
			if err := json.Unmarshal(v, &n); err != nil {
				return fmt.Errorf("notes of %s: %w", raw, err)
			}
			n.Member = field.Member
			f(d, n)
		}
	}
	return nil
}
