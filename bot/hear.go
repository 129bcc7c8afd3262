package bot

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"time"
	"unicode/utf8"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// attempts is how often a message is decided again because the member's state moved meanwhile.
const attempts = 4

// Hear answers one message: it reads it against the session last posted to the member, decides, and writes result,
// boards and answer with one script, or nothing. The same id gets the same answer. An error is a *Problem whose text
// says what to do.
func (b *Bot) Hear(ctx context.Context, m Message) (Heard, error) {
	member, ok := b.roster.Get(m.From)
	if !ok || member.Removed() {
		return Heard{}, &Problem{Code: "not_found", Text: "You are not a member of this club any more. Ask your coach for a new link."}
	}
	if err := m.check(member.Role); err != nil {
		return Heard{}, err
	}
	m.tried = &tried{}
	for try := range attempts {
		now := m.At
		if now.IsZero() {
			now = b.clock.Now()
		}
		h, stale, err := b.hearOnce(ctx, m, now, try > 0)
		if err != nil {
			return Heard{}, b.problem(err)
		}
		if !stale {
			return h, nil
		}
	}
	return Heard{}, &Problem{Code: NotSaved, Text: "This was not saved: too much changed at once. Please send it again."}
}

func (m Message) check(role roster.Role) error {
	limit := MaxText
	if role == roster.RoleCoach {
		limit = MaxCoachText
	}
	switch {
	case m.ID == "" || utf8.RuneCountInString(m.ID) > 64:
		return &Problem{Code: BadFrame, Text: "A message needs an id of 1 to 64 characters, made by your app."}
	case len(m.Text) > limit:
		return &Problem{Code: TooLong, Text: fmt.Sprintf("That is too long: %d bytes, at most %d. Please send it in shorter pieces.", len(m.Text), limit)}
	case !utf8.ValidString(m.Text):
		return &Problem{Code: BadFrame, Text: "That is not readable text (it must be UTF-8)."}
	}
	return nil
}

// problem makes an error readable; what is not known to be saved is said to be so.
func (b *Bot) problem(err error) error {
	var p *Problem
	if errors.As(err, &p) {
		return p
	}
	return &Problem{Code: NotSaved, Text: "This is not known to be saved. It is sent again by itself; nothing counts twice.", Err: err}
}

func (b *Bot) hearOnce(ctx context.Context, m Message, now time.Time, fresh bool) (h Heard, stale bool, err error) {
	st, err := b.state(ctx, m.From, now, fresh)
	if err != nil {
		return Heard{}, false, err
	}
	out, err := b.outcome(ctx, st, m, now)
	if errors.Is(err, store.ErrStale) {
		return Heard{}, true, nil
	}
	if err != nil {
		return Heard{}, false, err
	}
	if out.answer.Forget {
		h, err := b.forgetNow(ctx, st, m, out)
		return h, false, err
	}
	u, err := utterance(st, m, out)
	if err != nil {
		return Heard{}, false, err
	}
	said, err := b.club.Say(ctx, now, u)
	if err != nil {
		b.states.drop(m.From)
		return Heard{}, false, err
	}
	switch said.Outcome {
	case store.Stale:
		return Heard{}, true, nil
	case store.Reused:
		return Heard{}, false, &Problem{Code: IDReused, Text: "This message id was used before for another text. Send it again as a new message."}
	}
	if said.Outcome == store.Again {
		if err := b.settleAgain(ctx, st, now); err != nil {
			return Heard{}, false, err
		}
		p, err := b.answerAt(ctx, st.member, said.N)
		return Heard{Post: p, Again: true, OldTop: said.OldTop, LastPost: said.LastPost}, false, err
	}
	b.states.put(st.after(said.N, out))
	b.marks.moved(m.From, st.top, said.N, out.changes)
	if out.settlesIn {
		if err := b.settleIn(ctx, st, now); err != nil {
			return Heard{}, false, err // the client sends it again: settleAgain
		}
	}
	b.passOn(m, st, out, now)
	b.hint(Hint{Member: m.From, N: said.N}) // their other devices may be on another replica
	return Heard{Post: b.answerPost(ctx, st.member, said.N, m.ID, out.answer, said.Ranks, &ownLedger{}), OldTop: said.OldTop, LastPost: said.LastPost}, false, nil
}

// outcome reads the message and decides; requests that need more than the state are done here.
func (b *Bot) outcome(ctx context.Context, st *state, m Message, now time.Time) (outcome, error) {
	if st.member.Role == roster.RoleCoach {
		return b.coachOutcome(ctx, st, m, now)
	}
	in := b.input(st, now)
	h := read(st, m.Text, in, now)
	ru := rules{club: b.Club()}
	out := ru.decide(st, m, h, now)
	if out.hold && !st.member.Held() {
		if err := b.hold(ctx, st.member.ID, now); err != nil {
			return outcome{}, err
		}
		return outcome{}, store.ErrStale // the profile has moved: decide again on it
	}
	if err := b.bests(ctx, st, &out); err != nil {
		return outcome{}, err
	}
	if out.request != "" {
		return b.request(ctx, st, m, h.reading, out, now)
	}
	if len(st.days) == 0 && out.answer.Care == "" && !out.answer.Passed {
		out.answer.Lines = append(out.answer.Lines, textNoSession)
	}
	var err error
	if out.settlesIn, err = b.settlesIn(ctx, st, out); out.settlesIn {
		out.answer.Lines = append(out.answer.Lines, textAsWritten)
	}
	return out, err
}

// input is what the reader needs to know.
func (b *Bot) input(st *state, now time.Time) reply.Input {
	in := reply.Input{Library: b.library, Usual: st.member.Usual, Units: st.member.Units, Today: st.today(now)}
	if len(st.days) > 0 {
		in.Session = *st.days[0].fitted
	}
	in.Sheet = func(d content.Date) (content.FittedSession, bool) {
		if i := st.on(d); i >= 0 {
			return *st.days[i].fitted, true
		}
		return content.FittedSession{}, false
	}
	return in
}

// utterance is what the script is given for an outcome.
func utterance(st *state, m Message, out outcome) (store.Utterance, error) {
	u := store.Utterance{Member: m.From, Top: st.top, ID: m.ID, Digest: digest(m.Text), Fact: out.answer.bytes()}
	for _, c := range out.changes {
		w, err := leaderboard.Writes(c.old, c.new)
		if err != nil {
			return u, err
		}
		u.Results = append(u.Results, w...)
		moves := leaderboard.Change(c.old, c.new, false)
		u.Moves.Out = append(u.Moves.Out, moves.Out...)
		u.Moves.In = append(u.Moves.In, moves.In...)
		e, err := c.entry.Encode()
		if err != nil {
			return u, err
		}
		u.Ledger = append(u.Ledger, e)
	}
	u.Moves.Ranks = spans(out)
	for date, n := range out.notes {
		rec, err := json.Marshal(n)
		if err != nil {
			return u, fmt.Errorf("notes of %s: %w", date, err)
		}
		u.Results = append(u.Results, store.ResultWrite{Field: notesField(date, m.From), Record: rec})
	}
	return u, nil
}

// spans asks for the ranks in the order of the answer's lines.
func spans(out outcome) []store.Span {
	var asked []store.Span
	for _, l := range out.answer.Logged {
		for _, c := range out.changes {
			if c.new != nil && c.new.Part == l.Part && (l.Date.IsZero() || l.Date == c.new.Date) {
				asked = append(asked, leaderboard.Change(c.old, c.new, l.Joint).Ranks...)
				break
			}
		}
	}
	return asked
}

// kindNotes is the kind under which a day's notes stand in the hash of its results.
const kindNotes = "notes"

func notesField(d content.Date, member string) store.Field {
	return store.Field{Date: d.String(), Part: "-", Kind: kindNotes, Member: member}
}

func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:16])
}

// after is the state once an outcome has been written under number n.
func (s *state) after(n int64, out outcome) *state {
	next := *s
	next.top, next.open = n, out.answer.Open
	if notes, ok := out.notes[s.looseOn]; ok && !s.looseOn.IsZero() {
		next.loose = notes
	}
	next.days = make([]day, len(s.days))
	copy(next.days, s.days)
	for i := range next.days {
		d := &next.days[i]
		if notes, ok := out.notes[d.date]; ok {
			d.notes = notes
		}
		for _, c := range out.changes {
			switch {
			case c.new != nil && c.new.Date == d.date:
				d.records = maps.Clone(d.records)
				d.records[c.new.Part] = *c.new
			case c.new == nil && c.old.Date == d.date:
				d.records = maps.Clone(d.records)
				delete(d.records, c.old.Part)
			}
		}
	}
	return &next
}

// answerPost renders an answer as its member reads it.
func (b *Bot) answerPost(ctx context.Context, m roster.Member, n int64, re string, a answer, ranks []store.Rank, own *ownLedger) Post {
	told := !m.NoRanks && !m.Held()
	past, err := b.lastTimes(ctx, m, a, ranks, own)
	if err != nil {
		b.log.Warn().Err(err).Msg("an answer goes out without the member's own last time")
	}
	p := Post{Cursor: n, Kind: a.Kind, At: time.UnixMilli(a.At), Date: a.Date, Re: re, Said: a.Said,
		Text: a.spoken(ranks, past, told, b.roster.Shown), Card: a.card(ranks, told)}
	return p
}

// answerAt renders an answer that is stored.
func (b *Bot) answerAt(ctx context.Context, m roster.Member, n int64) (Post, error) {
	e, err := b.club.Answer(ctx, m.ID, n)
	if err != nil {
		return Post{}, err
	}
	return b.mailPost(ctx, m, *e, &ownLedger{})
}

// mailPost renders one entry of a member's mail.
func (b *Bot) mailPost(ctx context.Context, m roster.Member, e store.MailEntry, own *ownLedger) (Post, error) {
	a, err := readAnswer(e.Fact)
	if err != nil {
		return Post{}, fmt.Errorf("stored answer %d: %w", e.N, err)
	}
	re := e.ID
	if a.Kind != AnswerPost {
		re = ""
	}
	return b.answerPost(ctx, m, e.N, re, a, e.Ranks, own), nil
}
