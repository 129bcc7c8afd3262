package bot

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

// requested is a request of a member as its handler gets it.
type requested struct {
	st    *state
	m     Message
	r     reply.Reading
	now   time.Time
	notes map[content.Date]dayNotes // days whose notes change with the answer
}

// date is the date of the session that the request is about: the one last posted. There is one.
func (q requested) date() content.Date { return q.st.days[0].date }

// tried is what answering a message has changed so far. A change of the profile makes the decision stale, and it is made
// again on the profile as it is then; what the answer tells of the change is remembered here meanwhile.
type tried struct {
	before *roster.Member // as the member was before the first change
}

// requestFunc answers a request. It may change the member's profile by Bot.patch, and is then asked again on the state as
// it is by then.
type requestFunc func(b *Bot, ctx context.Context, q requested, a *answer) error

// Requests that are not typed as such: Bot's own readings of a message in its dialogue.
const (
	requestNoPain  = "no pain"
	requestSettled = "settled"
)

// requests are the things that a member can ask for in plain words: every command of a reading, and the dialogue's own.
var requests = map[string]requestFunc{
	"help":   func(_ *Bot, _ context.Context, _ requested, a *answer) error { return say(a, textHelp) },
	"scrap":  func(*Bot, context.Context, requested, *answer) error { return nil }, // decided already
	"stop":   (*Bot).askStop,
	"today":  (*Bot).showToday,
	"short":  (*Bot).showShort,
	"show":   (*Bot).showMe,
	"hide":   (*Bot).hideMe,
	"board":  (*Bot).showBoard,
	"me":     (*Bot).showOwn,
	"data":   (*Bot).showData,
	"kit":    (*Bot).kit,
	"level":  (*Bot).level,
	"limits": (*Bot).limits,
	"swap":   (*Bot).swap,
	"away":   (*Bot).away,
	"pause":  (*Bot).pause,
	"resume": (*Bot).resume,
	"forget": (*Bot).forget,

	requestNoPain:  (*Bot).noPain,
	requestSettled: func(_ *Bot, _ context.Context, _ requested, a *answer) error { return say(a, textSettled) },
}

func say(a *answer, text string) error { a.Lines = append(a.Lines, text); return nil }

// request answers a command. A message id that was answered before changes nothing: its first answer is looked up by
// the script, so a profile is only touched for an id never heard.
func (b *Bot) request(ctx context.Context, st *state, m Message, r reply.Reading, out outcome, now time.Time) (outcome, error) {
	if n, err := b.club.Heard(ctx, m.From, m.ID); err != nil || n != 0 {
		return out, err
	}
	do, ok := requests[r.Command]
	if !ok {
		return out, errors.New("no answer to the command " + r.Command) // a test holds the table against the reader's words
	}
	out.answer.Request = r.Command
	err := do(b, ctx, requested{st, m, r, now, out.notes}, &out.answer)
	return out, err
}

// patch changes the member's profile and asks for the decision to be made again. What the roster refuses is told.
func (b *Bot) patch(ctx context.Context, q requested, a *answer, p roster.Patch) error {
	if q.m.tried != nil && q.m.tried.before == nil {
		before := q.st.member
		q.m.tried.before = &before
	}
	_, err := b.roster.Update(ctx, q.now, q.m.From, p)
	var invalid roster.InvalidError
	if errors.As(err, &invalid) && len(invalid) > 0 {
		return say(a, fmt.Sprintf(textNotKept, invalid[0].Message))
	}
	if err != nil {
		return err
	}
	return store.ErrStale
}

// patched reports whether this message has changed the profile already. It does so once: where another device changed it
// meanwhile, the later change stands, and the answer tells what stands.
func (q requested) patched() bool {
	_, changed := q.before()
	return changed
}

// before is the member as they were before this message changed them; false when it has changed nothing.
func (q requested) before() (roster.Member, bool) {
	if q.m.tried == nil || q.m.tried.before == nil {
		return roster.Member{}, false
	}
	return *q.m.tried.before, true
}

// sayRefitted tells that the session last posted reads differently since this message changed the profile.
func (b *Bot) sayRefitted(ctx context.Context, q requested, a *answer) error {
	before, changed := q.before()
	if !changed || len(q.st.days) == 0 {
		return nil
	}
	d := q.st.days[0]
	was, err := b.fitted(ctx, d.date, d.version, before.FitOn(d.date))
	if err != nil {
		return err
	}
	if content.Text(*was, b.library) == content.Text(*d.fitted, b.library) {
		return nil
	}
	return say(a, fmt.Sprintf(textRefitted, q.whose()))
}

// whose names the session last posted: "Today's session", or that of its day.
func (q requested) whose() string {
	if d := q.date(); d != q.st.today(q.now) {
		return fmt.Sprintf(textSessionOf, dayName(d))
	}
	return textTodays
}

// note keeps a note on a date for the coach, whether or not that date's session has come to the member.
func (b *Bot) note(ctx context.Context, q requested, date content.Date, n note) error {
	notes, had := q.notes[date]
	if i := q.st.on(date); !had && i >= 0 {
		notes = q.st.days[i].notes
	} else if !had {
		kept, err := b.notesFor(ctx, q.m.From, []content.Date{date})
		if err != nil {
			return err
		}
		notes = kept[date]
	}
	notes.Member = q.m.From
	if !slices.ContainsFunc(notes.Notes, func(o note) bool { return o.ID == n.ID }) {
		notes = notes.with(n)
	}
	q.notes[date] = notes
	return nil
}
