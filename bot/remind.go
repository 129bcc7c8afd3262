package bot

import (
	"context"
	"errors"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/schedule"
)

const textReminder = "Today's session is here whenever you are ready. Nothing to make up if not."

// remind tells those members of a zone who want it that today's session waits: only whom it had reached by then, who
// have logged and written nothing for it, and who are neither held nor away nor paused. Rest days have none.
func (b *Bot) remind(ctx context.Context, t schedule.Turn) error {
	if content.DateOf(t.Now.In(t.Zone)) != t.Date {
		return nil // it is tomorrow for them already
	}
	wanted := b.inZone(t.Zone.String(), func(m roster.Member) bool { return m.Remind && !m.Held() && !pausing(m, t.Date) })
	if len(wanted) == 0 {
		return nil
	}
	if err := b.lookAtPosts(ctx); err != nil {
		return err
	}
	had := b.posts.buckets(t.Date)
	if len(had) == 0 {
		return nil
	}
	done, err := b.toldOn(ctx, t.Date, true)
	if err != nil {
		return err
	}
	var errs []error
	for _, m := range wanted {
		f, sent := b.sentTo(m, t.Date, had)
		if !sent || f.At.After(t.Instant) || done[m.ID] > 0 {
			continue
		}
		s, err := b.session(ctx, t.Date, f.Version)
		if err != nil {
			return err
		}
		if s.Rest {
			continue
		}
		errs = append(errs, b.mailOnce(ctx, m.ID, "remind:"+t.Date.String(), fieldsOf(t.Date, *s, m.ID), func(p present) (*answer, error) {
			if !p.member.Remind || p.member.Held() || pausing(p.member, t.Date) || len(p.results) > 0 {
				return nil, nil
			}
			return &answer{Kind: NoticePost, Date: t.Date, Words: textReminder}, nil
		}))
	}
	return errors.Join(errs...)
}

// toldOn returns how much each member has told for a date: their results, and their notes as well when asked for.
func (b *Bot) toldOn(ctx context.Context, date content.Date, notes bool) (map[string]int, error) {
	raw, err := b.club.Results(ctx, date.String())
	if err != nil {
		return nil, err
	}
	out := map[string]int{}
	for f := range raw {
		if notes || f.Kind != kindNotes {
			out[f.Member]++
		}
	}
	return out, nil
}
