package bot

import (
	"context"
	"fmt"

	"tallybell/bot/roster"
	"tallybell/content"
)

// noteAway is the kind of a note by which a member is excused for its day.
const noteAway = "away"

// away excuses the member for today, and pauses until the day that they told.
func (b *Bot) away(ctx context.Context, q requested, a *answer) error {
	until, err := q.until()
	if err != nil {
		return err
	}
	if !until.IsZero() && !b.pausesUntil(q, until) {
		on := true
		return b.patch(ctx, q, a, roster.Patch{Paused: &on, Until: until})
	}
	n := note{ID: q.m.ID, At: q.now.UnixMilli(), Said: q.m.Text, Note: q.m.Text, Kind: noteAway, Until: until}
	if err := b.note(ctx, q, q.st.today(q.now), n); err != nil {
		return err
	}
	if until.IsZero() {
		return say(a, textAway)
	}
	return say(a, fmt.Sprintf(textAwayUntil, dayName(until)))
}

// pause stops sessions until the member resumes, or until the day that they told.
func (b *Bot) pause(ctx context.Context, q requested, a *answer) error {
	until, err := q.until()
	if err != nil {
		return err
	}
	on := true
	switch {
	case until.IsZero() && !paused(q.st.member) && !q.patched(), !until.IsZero() && !b.pausesUntil(q, until):
		return b.patch(ctx, q, a, roster.Patch{Paused: &on, Until: until})
	case until.IsZero():
		return say(a, textPaused)
	}
	return say(a, fmt.Sprintf(textPausedUntil, dayName(until)))
}

// pausesUntil reports whether the member pauses until that day already, or cannot pause before it: the sessions up to it
// have come, or this message has asked for it once.
func (b *Bot) pausesUntil(q requested, until content.Date) bool {
	return q.patched() || q.st.member.PauseEnds(q.st.today(q.now)) == until
}

// until is the day that was told, zero when none was.
func (q requested) until() (content.Date, error) {
	if q.r.Until == "" {
		return content.Date{}, nil
	}
	d, err := content.ParseDate(q.r.Until)
	if err != nil {
		return d, fmt.Errorf("the day that a member comes back: %w", err)
	}
	if !q.st.today(q.now).Before(d) {
		d = content.Date{} // until today is no time at all
	}
	return d, nil
}

// resume ends a pause, whenever it would have ended.
func (b *Bot) resume(ctx context.Context, q requested, a *answer) error {
	off := false
	m := q.st.member
	if (paused(m) || !m.PauseEnds(q.st.today(q.now)).IsZero()) && !q.patched() {
		return b.patch(ctx, q, a, roster.Patch{Paused: &off})
	}
	_ = say(a, textResumed)
	if m.Held() || len(q.st.days) > 0 && q.date() == q.st.today(q.now) {
		return b.showToday(ctx, q, a)
	}
	return say(a, textNextSession)
}

// paused reports whether the member's plan ends in a pause.
func paused(m roster.Member) bool {
	return len(m.Buckets) > 0 && m.Buckets[len(m.Buckets)-1].Bucket.IsZero()
}
