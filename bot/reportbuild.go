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
	"tallybell/leaderboard"
)

// Report computes the morning report of a date: who did what, who is missing, who hurts, who asks, who deserves a look.
func (b *Bot) Report(ctx context.Context, date content.Date) (Report, error) {
	r := emptyReport(date)
	if err := b.lookAtPosts(ctx); err != nil {
		return r, err
	}
	days, err := b.past(ctx, append(daysBack(date, leaderboard.FollowedDays), daysBack(b.today().AddDays(early), early+questionDays+1)...))
	if err != nil {
		return r, err
	}
	r.Questions = b.questionsOf(days)
	r.Attention = b.attention(date, days, r.Questions)
	if err := b.reportSeen(ctx, date, &r); err != nil {
		return r, err
	}
	return r, b.reportDay(days[date], &r)
}

func emptyReport(date content.Date) Report {
	return Report{Date: date, Received: []Person{}, Opened: []Person{}, Answered: []Attendance{}, Missing: []Person{}, Paused: []Person{}, Concerns: []Concern{},
		Questions: []Question{}, Waiting: []Person{}, Attention: []leaderboard.Notice{}}
}

// whoCame is the part of a report that its own date tells, without questions and attention.
func (b *Bot) whoCame(ctx context.Context, date content.Date) (Report, error) {
	r := emptyReport(date)
	days, err := b.past(ctx, []content.Date{date})
	if err != nil {
		return r, err
	}
	return r, b.reportDay(days[date], &r)
}

// reportDay fills in what a date tells of itself. A *Problem with code not_found when it has no sheet.
func (b *Bot) reportDay(day *pastDay, r *Report) error {
	if !day.written {
		return &Problem{Code: "not_found", Text: "There is no published sheet for " + day.date.String() + "."}
	}
	r.Title, r.Rest = day.sheet.Title, day.sheet.Rest
	of := map[string]*Attendance{}
	attend := func(id string) *Attendance {
		if of[id] == nil {
			of[id] = &Attendance{Person: b.person(id), Results: []ResultRow{}}
		}
		return of[id]
	}
	for _, row := range b.rows(day.sheet, day.records) {
		a := attend(row.Member)
		a.Results = append(a.Results, row)
		if waits(day.sheet, row) && !slices.Contains(r.Waiting, row.Person) {
			r.Waiting = append(r.Waiting, row.Person)
		}
	}
	excused := map[string]bool{}
	b.reportNotes(day, r, attend, excused)
	for _, a := range of {
		r.Answered = append(r.Answered, *a)
	}
	slices.SortFunc(r.Answered, func(x, y Attendance) int { return byName(x.Person, y.Person) })
	b.reportAbsent(day.date, r, of, excused)
	return nil
}

// today is the UTC date, by which notes are kept and looked for.
func (b *Bot) today() content.Date { return content.DateOf(b.clock.Now().UTC()) }

func waits(s content.Session, row ResultRow) bool {
	p, ok := s.Part(row.Part)
	return ok && p.IsScored() && row.Result.Kind == p.Kind() && row.Result.Version == ""
}

func byName(x, y Person) int {
	return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.Member, y.Member))
}

// reportNotes adds what members wrote beside their results; whoever wrote about the session has answered, and who wrote
// that they cannot train is excused.
func (b *Bot) reportNotes(day *pastDay, r *Report, attend func(string) *Attendance, excused map[string]bool) {
	for member, n := range day.notes {
		m, _ := b.roster.Get(member)
		for _, x := range n.Notes {
			if x.Kind == noteAway {
				excused[member] = true
				continue
			}
			a := attend(member)
			if x.Note != "" && x.Care == "" && !x.Question {
				if a.Note != "" {
					a.Note += "; "
				}
				a.Note += x.Note
			}
			if x.Care != "" {
				r.Concerns = append(r.Concerns, Concern{Person: b.person(member), Care: x.Care, Said: x.Said, At: time.UnixMilli(x.At), Held: m.Held(), Misread: x.Misread})
			}
		}
	}
	slices.SortFunc(r.Concerns, func(x, y Concern) int {
		return cmp.Or(-cmp.Compare(x.Care, y.Care), x.At.Compare(y.At), cmp.Compare(x.Member, y.Member)) // stop before check
	})
}

// reportAbsent sorts those who have not answered: missing only if the session reached them.
func (b *Bot) reportAbsent(date content.Date, r *Report, answered map[string]*Attendance, excused map[string]bool) {
	had := b.posts.buckets(date)
	for _, m := range b.roster.All() {
		if m.Role != roster.RoleMember || !m.Joined() {
			continue
		}
		_, sent := b.sentTo(m, date, had)
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

// early is how many days before its date a session may be sent, and questions come about it.
const early = 2

// questionDays is how far back questions are looked for.
const questionDays = backlogDays

// Questions returns what members asked and nobody has answered, oldest first.
func (b *Bot) Questions(ctx context.Context) ([]Question, error) {
	out := []Question{}
	err := b.eachNotes(ctx, b.clock.Now(), "", func(_ content.Date, n dayNotes) { out = append(out, b.asked(n)...) })
	slices.SortFunc(out, oldestFirst)
	return out, err
}

// questionsOf is Questions for days that have been read.
func (b *Bot) questionsOf(days map[content.Date]*pastDay) []Question {
	out := []Question{}
	today := b.today()
	for d, day := range days {
		if today.DaysSince(d) > questionDays {
			continue
		}
		for _, n := range day.notes {
			out = append(out, b.asked(n)...)
		}
	}
	slices.SortFunc(out, oldestFirst)
	return out
}

func (b *Bot) asked(n dayNotes) []Question {
	var out []Question
	for _, x := range n.Notes {
		if x.Question && !x.Answered {
			out = append(out, Question{Person: b.person(n.Member), ID: x.ID, Said: x.Said, At: time.UnixMilli(x.At)})
		}
	}
	return out
}

func oldestFirst(x, y Question) int {
	return cmp.Or(x.At.Compare(y.At), cmp.Compare(x.Member, y.Member), cmp.Compare(x.ID, y.ID))
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
