package bot

import (
	"context"
	"fmt"
	"slices"
	"time"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// Board returns the boards of one part. A *Problem with code not_found when the date or part has none.
func (b *Bot) Board(ctx context.Context, date content.Date, part string, q leaderboard.Query) (leaderboard.Page, error) {
	s, err := b.Session(ctx, date)
	if err != nil {
		return leaderboard.Page{}, err
	}
	p, ok := s.Part(part)
	if !ok {
		return leaderboard.Page{}, noPart(date, part)
	}
	return b.boards().Page(ctx, date, *p, q)
}

func noPart(date content.Date, part string) error {
	return &Problem{Code: "not_found", Text: fmt.Sprintf("The session of %s has no part %s.", date, part)}
}

// Results returns every result of a date, by part, then name, then member.
func (b *Bot) Results(ctx context.Context, date content.Date) ([]ResultRow, error) {
	records, err := b.records(ctx, date)
	if err != nil {
		return nil, err
	}
	if len(records) == 0 {
		return []ResultRow{}, nil
	}
	s, err := b.Session(ctx, date)
	if err != nil {
		return nil, err
	}
	return b.rows(s, records), nil
}

// rows shows results of one session, by part, then name, then member.
func (b *Bot) rows(s content.Session, records []leaderboard.Record) []ResultRow {
	rows := make([]ResultRow, 0, len(records))
	for _, r := range records {
		rows = append(rows, b.row(s, r))
	}
	slices.SortFunc(rows, func(x, y ResultRow) int {
		return slices.Compare([]string{x.Part, x.Name, x.Member}, []string{y.Part, y.Name, y.Member})
	})
	return rows
}

func (b *Bot) person(id string) Person {
	m, _ := b.roster.Get(id)
	return Person{Member: id, Name: m.Name, Division: m.Division}
}

func (b *Bot) row(s content.Session, r leaderboard.Record) ResultRow {
	p := content.Part{}
	if sp, ok := s.Part(r.Part); ok {
		p = *sp
	}
	return ResultRow{Person: b.person(r.Member), Date: r.Date, Part: r.Part, Show: leaderboard.Show(p, r.Result), Result: r.Result,
		Way: r.Way, Eased: r.Eased, OnBoard: len(r.Places()) > 0, Late: r.Late, Marked: r.Marked, At: time.UnixMilli(r.At)}
}

// Correct reads reply as the member's result for a part and puts it in the place of what stands. id makes a repeat
// harmless; the member is told who and why.
func (b *Bot) Correct(ctx context.Context, by, id string, date content.Date, part, member, typed, why string) (ResultRow, error) {
	for range attempts {
		now := b.clock.Now()
		st, i, err := b.dayFor(ctx, member, date, part, now)
		if err != nil {
			return ResultRow{}, err
		}
		pr, err := b.readFor(st, i, part, typed)
		if err != nil {
			return ResultRow{}, err
		}
		pr.Correction = true
		m := Message{From: by, ID: id, Text: typed}
		d := decision{rules: rules{club: b.Club()}, st: st, m: m, at: now, logAt: now, open: true,
			out: outcome{answer: answer{Kind: NoticePost, At: now.UnixMilli(), By: by, Why: why, Date: date,
				Words: "Your coach has corrected a result of yours: " + why}}}
		d.log(pr)
		if len(d.out.changes) == 0 {
			return ResultRow{}, &Problem{Code: "invalid", Text: "Nothing was changed: that part takes no result."}
		}
		d.out.changes[0].entry.Why = why
		if d.out.settlesIn, err = b.settlesIn(ctx, st, d.out); err != nil {
			return ResultRow{}, err
		}
		if d.out.settlesIn {
			d.out.answer.Lines = append(d.out.answer.Lines, textAsWritten)
		}
		row, stale, err := b.writeFor(ctx, st, member, id, typed, d.out, now)
		if err == nil && !stale && d.out.settlesIn {
			err = b.settleIn(ctx, st, now)
		}
		if err != nil || !stale {
			return row, err
		}
	}
	return ResultRow{}, &Problem{Code: NotSaved, Text: "Not saved: the member was logging at the same moment. Send it again."}
}

// RemoveResult takes a result away; the ledger keeps who and why, and the member is told.
func (b *Bot) RemoveResult(ctx context.Context, by, id string, date content.Date, part, member, why string) error {
	for range attempts {
		now := b.clock.Now()
		st, i, err := b.dayFor(ctx, member, date, part, now)
		if err != nil {
			return err
		}
		if n, err := b.club.Heard(ctx, member, coachID(id)); err != nil || n != 0 {
			return err
		}
		old, ok := st.days[i].records[part]
		if !ok {
			return &Problem{Code: "not_found", Text: fmt.Sprintf("There is no result of that member for %s of %s.", part, date)}
		}
		sheet, _ := st.days[i].fitted.Sheet.Part(part)
		out := outcome{answer: answer{Kind: NoticePost, At: now.UnixMilli(), By: by, Why: why, Date: date,
			Words:    "Your coach has taken away a result of yours: " + why,
			Scrapped: []logged{{Part: part, Result: old.Result, Show: leaderboard.Show(*sheet, old.Result)}}}}
		out.changes = []change{{old: &old, entry: leaderboard.LedgerEntry{Kind: leaderboard.Removed, Who: by, Why: why,
			At: now.UnixMilli(), ID: id, Old: &old}}}
		_, stale, err := b.writeFor(ctx, st, member, id, "", out, now)
		if err != nil || !stale {
			return err
		}
	}
	return &Problem{Code: NotSaved, Text: "Not saved: the member was logging at the same moment. Send it again."}
}

// dayFor reads a member's state with one date in it, whether or not it was posted to them, and returns the date's
// place among its days.
func (b *Bot) dayFor(ctx context.Context, member string, date content.Date, part string, now time.Time) (*state, int, error) {
	m, ok := b.roster.Get(member)
	if !ok || m.Role != roster.RoleMember {
		return nil, 0, &Problem{Code: "not_found", Text: "There is no such member."}
	}
	s, err := b.Session(ctx, date)
	if err != nil {
		return nil, 0, err
	}
	if _, ok := s.Part(part); !ok {
		return nil, 0, noPart(date, part)
	}
	sessions := b.posts.lastOf(m, now, b.Club().LateDays)
	if !slices.ContainsFunc(sessions, func(f Fact) bool { return f.Date == date }) {
		version, err := b.current(ctx, date)
		if err != nil {
			return nil, 0, err
		}
		sessions = append(sessions, Fact{Kind: SessionPost, Date: date, Version: version})
	}
	st, err := b.readState(ctx, m, sessions, now)
	if err != nil {
		return nil, 0, err
	}
	b.states.drop(member) // it may hold a day more than was posted to them
	return st, st.on(date), nil
}

// readFor reads what the coach typed as one result of one part.
func (b *Bot) readFor(st *state, i int, part, typed string) (reply.PartResult, error) {
	d := st.days[i]
	in := reply.Input{Session: *d.fitted, Library: b.library, Units: st.member.Units, Today: d.date, Insist: true}
	for _, text := range []string{part + " " + typed, typed} {
		r := reply.Read(text, in)
		if len(r.Results) == 1 && r.Results[0].Part == part {
			pr := r.Results[0]
			pr.Day = d.date.String()
			if pr.Kind == "" {
				old, ok := d.records[part]
				if !ok {
					break
				}
				v := pr.Version
				pr.Result = old.Result
				pr.Version = v
			}
			if d.fitted.Eased(part) {
				pr.Version = toldVersion(text, part, d, in)
			}
			return pr, nil
		}
	}
	return reply.PartResult{}, &Problem{Code: "invalid",
		Text: fmt.Sprintf("%q cannot be read for certain as a result of part %s. Write it as a member would, for example 14:32 scaled.", typed, part)}
}

// toldVersion returns the version of a part which was sent eased as the coach typed it, without the question that a
// member would be asked: "" when none was told and a result stands whose version holds.
func toldVersion(text, part string, d day, in reply.Input) content.Version {
	in.Session = content.Unfitted(d.fitted.Sheet)
	if r := reply.Read(text, in); len(r.Results) == 1 && r.Results[0].Part == part && r.Results[0].Version != "" {
		return r.Results[0].Version
	}
	if _, had := d.records[part]; had {
		return ""
	}
	return content.Scaled
}

// coachID keeps ids of the coach apart from the member's own.
func coachID(id string) string { return "coach:" + digest(id) }

// writeFor writes an outcome into a member's keys under the coach's message id.
func (b *Bot) writeFor(ctx context.Context, st *state, member, id, text string, out outcome, now time.Time) (ResultRow, bool, error) {
	out.answer.Open = st.openAt(now)
	u, err := utterance(st, Message{From: member, ID: coachID(id), Text: text}, out)
	if err != nil {
		return ResultRow{}, false, err
	}
	said, err := b.club.Say(ctx, now, u)
	b.states.drop(member)
	if err != nil {
		return ResultRow{}, false, b.problem(err)
	}
	switch said.Outcome {
	case store.Stale:
		return ResultRow{}, true, nil
	case store.Reused:
		return ResultRow{}, false, &Problem{Code: IDReused, Text: "This id was used before for another correction. Send it again under a new one."}
	}
	b.hint(Hint{Member: member, N: said.N})
	if c := out.changes[0]; c.new != nil {
		s, err := b.Session(ctx, c.new.Date)
		if err != nil {
			return ResultRow{}, false, err
		}
		return b.row(s, *c.new), false, nil
	}
	return ResultRow{}, false, nil
}

// Tell puts a private word of the coach into a member's conversation and returns its cursor. Questions that the member
// has open are answered by it.
func (b *Bot) Tell(ctx context.Context, by, id, member, text string) (int64, error) {
	if m, ok := b.roster.Get(member); !ok || m.Removed() {
		return 0, &Problem{Code: "not_found", Text: "There is no such member."}
	}
	for range attempts {
		now := b.clock.Now()
		st, err := b.state(ctx, member, now, true)
		if err != nil {
			return 0, err
		}
		notes, err := b.notesOf(ctx, member, now)
		if err != nil {
			return 0, err
		}
		out := outcome{answer: answer{Kind: CoachPost, At: now.UnixMilli(), By: by, Words: text, Open: st.openAt(now)}, notes: notes}
		u, err := utterance(st, Message{From: member, ID: coachID(id), Text: text}, out)
		if err != nil {
			return 0, err
		}
		said, err := b.club.Say(ctx, now, u)
		b.states.drop(member)
		if err != nil {
			return 0, b.problem(err)
		}
		switch said.Outcome {
		case store.Stale:
			continue
		case store.Reused:
			return 0, &Problem{Code: IDReused, Text: "This id was used before for other words. Send it again under a new one."}
		}
		b.hint(Hint{Member: member, N: said.N})
		return said.N, nil
	}
	return 0, &Problem{Code: NotSaved, Text: "Not saved: the member was writing at the same moment. Send it again."}
}

// notesOf returns the days on which a member's questions wait, with them answered.
func (b *Bot) notesOf(ctx context.Context, member string, now time.Time) (map[content.Date]dayNotes, error) {
	out := map[content.Date]dayNotes{}
	err := b.eachNotes(ctx, now, member, func(d content.Date, n dayNotes) {
		changed := false
		n.Notes = slices.Clone(n.Notes)
		for i := range n.Notes {
			if n.Notes[i].Question && !n.Notes[i].Answered {
				n.Notes[i].Answered, changed = true, true
			}
		}
		if changed {
			out[d] = n
		}
	})
	return out, err
}
