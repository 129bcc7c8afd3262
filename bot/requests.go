package bot

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// requested is a request of a member as its handler gets it.
type requested struct {
	st  *state
	m   Message
	r   reply.Reading
	now time.Time
}

// requestFunc answers a request. It may change the member's profile; then it returns store.ErrStale, and is asked
// again on the state as it is then.
type requestFunc func(b *Bot, ctx context.Context, q requested, a *answer) error

// requests are the things that a member can ask for in plain words. A word that is not here goes to the coach.
var requests = map[string]requestFunc{
	"help":   func(_ *Bot, _ context.Context, _ requested, a *answer) error { return say(a, textHelp) },
	"scrap":  func(*Bot, context.Context, requested, *answer) error { return nil }, // decided already
	"stop":   func(_ *Bot, _ context.Context, _ requested, a *answer) error { return askStop(a) },
	"today":  (*Bot).showToday,
	"show":   (*Bot).showMe,
	"board":  (*Bot).showBoard,
	"me":     (*Bot).showOwn,
	"hide":   (*Bot).hideMe,
	"pause":  (*Bot).pause,
	"resume": (*Bot).resume,
}

func say(a *answer, text string) error { a.Lines = append(a.Lines, text); return nil }

func askStop(a *answer) error {
	return say(a, textStopAsk+" Reply: pause, or tell me how you feel.")
}

// request answers a command. A message id that was answered before changes nothing: its first answer is looked up by
// the script, so a profile is only touched for an id never heard.
func (b *Bot) request(ctx context.Context, st *state, m Message, r reply.Reading, out outcome, now time.Time) (outcome, error) {
	if n, err := b.club.Heard(ctx, m.From, m.ID); err != nil || n != 0 {
		return out, err
	}
	out.answer.Request = r.Command
	do, ok := requests[r.Command]
	if !ok {
		return b.forCoach(st, m, r, out, now), nil
	}
	err := do(b, ctx, requested{st, m, r, now}, &out.answer)
	return out, err
}

// forCoach keeps a request that chat cannot fulfil yet for the coach to read.
func (b *Bot) forCoach(st *state, m Message, r reply.Reading, out outcome, now time.Time) outcome {
	out.answer.Lines = append(out.answer.Lines, textNotHere)
	date, notes := st.today(now), dayNotes{Member: m.From}
	if len(st.days) > 0 {
		date, notes = st.days[0].date, st.days[0].notes
		notes.Member = m.From
	}
	if n, ok := out.notes[date]; ok {
		notes = n
	}
	out.notes[date] = notes.with(note{ID: m.ID, At: now.UnixMilli(), Said: m.Text, Note: r.Command, Question: true})
	return out
}

// patch changes the member's profile and asks for the decision to be made again.
func (b *Bot) patch(ctx context.Context, q requested, p roster.Patch) error {
	if _, err := b.roster.Update(ctx, q.now, q.m.From, p); err != nil {
		return err
	}
	return store.ErrStale
}

func (b *Bot) hideMe(ctx context.Context, q requested, a *answer) error {
	return b.onBoards(ctx, q, a, false, textHidden)
}

// showMe is "show me" (stand on boards); "show" alone is today's session.
func (b *Bot) showMe(ctx context.Context, q requested, a *answer) error {
	if strings.TrimSpace(q.r.Argument) == "" && !strings.Contains(strings.ToLower(q.m.Text), "me") {
		return b.showToday(ctx, q, a)
	}
	return b.onBoards(ctx, q, a, true, textShown)
}

func (b *Bot) onBoards(ctx context.Context, q requested, a *answer, on bool, text string) error {
	if q.st.member.OnBoards != on {
		return b.patch(ctx, q, roster.Patch{OnBoards: &on})
	}
	moved, err := b.standsOff(ctx, q.m.From)
	if err != nil {
		return err
	}
	if moved {
		if err := b.restandMember(ctx, q.m.From, q.m.From, a.Said); err != nil {
			return err
		}
		return store.ErrStale
	}
	return say(a, text)
}

// standsOff reports whether some result of the member stands elsewhere than the profile says.
func (b *Bot) standsOff(ctx context.Context, id string) (bool, error) {
	stored, err := b.club.Ledger(ctx, id)
	if err != nil {
		return false, err
	}
	var entries []leaderboard.LedgerEntry
	for _, s := range stored {
		e, err := leaderboard.ReadLedgerEntry(s.Entry)
		if err != nil {
			return false, err
		}
		entries = append(entries, e)
	}
	changes, err := b.restood(ctx, id, id, "", leaderboard.Current(entries))
	return len(changes) > 0, err
}

func (b *Bot) pause(ctx context.Context, q requested, a *answer) error {
	on := true
	if !paused(q.st.member) {
		return b.patch(ctx, q, roster.Patch{Paused: &on})
	}
	return say(a, textPaused)
}

func (b *Bot) resume(ctx context.Context, q requested, a *answer) error {
	off := false
	if paused(q.st.member) {
		return b.patch(ctx, q, roster.Patch{Paused: &off})
	}
	_ = say(a, textResumed)
	return b.showToday(ctx, q, a)
}

// paused reports whether the member's plan ends in a pause.
func paused(m roster.Member) bool {
	return len(m.Buckets) > 0 && m.Buckets[len(m.Buckets)-1].Bucket.IsZero()
}

// showToday shows the session last posted to the member; the sheet's version is kept, the text rendered from it.
func (b *Bot) showToday(_ context.Context, q requested, a *answer) error {
	switch {
	case q.st.member.Held():
		return say(a, textHeld)
	case len(q.st.days) == 0:
		return say(a, textNoSession)
	}
	return say(a, content.Text(*q.st.days[0].fitted, b.library))
}

// boardLines is how many lines of each block a board shows in chat.
const boardLines = 5

// showBoard shows the boards of the latest session on which the member may look: the first lines of each block.
func (b *Bot) showBoard(ctx context.Context, q requested, a *answer) error {
	if len(q.st.days) == 0 {
		return say(a, textNoSession)
	}
	d := q.st.days[0]
	for _, p := range d.fitted.Sheet.Parts {
		if !p.IsScored() || q.r.Argument != "" && !strings.EqualFold(q.r.Argument, p.Letter) {
			continue
		}
		page, err := b.boards().Page(ctx, d.date, p, leaderboard.Query{Limit: boardLines, Units: q.st.member.Units})
		if err != nil {
			return err
		}
		a.Standing = append(a.Standing, boardStanding(p.Letter, page)...)
	}
	if len(a.Standing) == 0 {
		return say(a, "Nobody stands on a board of "+dayName(d.date)+" yet.")
	}
	return nil
}

// boardStanding is a page of a part's boards as lines of an answer.
func boardStanding(part string, page leaderboard.Page) []standing {
	var out []standing
	for _, block := range page.Boards {
		out = append(out, standing{Head: fmt.Sprintf("%s, %s, %s (%d)", part, block.Division, versionWords(block.Version), block.Of)})
		for _, l := range block.Entries {
			out = append(out, standing{Rank: int64(l.Rank), Member: l.Member, Show: l.Result + beside(l.Way)})
		}
	}
	return out
}

// showOwn shows the member's own results of the last days.
func (b *Bot) showOwn(_ context.Context, q requested, a *answer) error {
	for _, d := range q.st.days {
		if len(d.records) == 0 {
			continue
		}
		_ = say(a, dayName(d.date))
		letters := make([]string, 0, len(d.records))
		for l := range d.records {
			letters = append(letters, l)
		}
		slices.Sort(letters)
		for _, l := range letters {
			rec := d.records[l]
			p, ok := d.fitted.Sheet.Part(l)
			if !ok {
				continue
			}
			line := l + ": " + leaderboard.ShowIn(*p, rec.Result, q.st.member.Units)
			if v := versionWords(rec.Result.Version); v != "" {
				line += ", " + v
			}
			_ = say(a, line)
		}
	}
	if len(a.Lines) == 0 {
		return say(a, "Nothing of yours is logged in the last days.")
	}
	return nil
}
