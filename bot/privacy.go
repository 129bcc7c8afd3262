package bot

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

// textHealthGone stands in the place of a member's words about their health once these are deleted.
const textHealthGone = "(The words were deleted after %d days.)"

// SweepHealth deletes what members wrote about their health once the club's days of keeping it are over: the words in
// the notes of the day, the notices of them to the coaches, and those messages in the member's own conversation. That
// there was something, when, and how it was taken stays. It is run once a day and safe to repeat.
func (b *Bot) SweepHealth(ctx context.Context, now time.Time) error {
	before := now.AddDate(0, 0, -b.Club().HealthDays)
	notes, err := b.sweepNotes(ctx, now, before)
	if err != nil {
		return fmt.Errorf("deleting old words about health: %w", err)
	}
	mail, err := b.sweepMail(ctx, now, before)
	if err != nil {
		return fmt.Errorf("deleting old messages about health: %w", err)
	}
	if notes+mail == 0 {
		return nil
	}
	return b.club.Compact(ctx)
}

// sweepNotes takes the words out of the notes of days; it returns how many notes have changed.
func (b *Bot) sweepNotes(ctx context.Context, now, before time.Time) (int, error) {
	dates, err := b.resultDates(ctx)
	if err != nil {
		return 0, err
	}
	changed := 0
	for _, d := range dates {
		if content.DateOf(before.UTC()).DaysSince(d) < -1 { // a note is written on its day or later, in any zone
			break
		}
		fields, err := b.club.Results(ctx, d.String())
		if err != nil {
			return changed, err
		}
		for f, raw := range fields {
			if f.Kind != kindNotes {
				continue
			}
			n, err := b.sweepDay(ctx, now, before, f, raw)
			if err != nil {
				return changed, fmt.Errorf("notes of %s: %w", d, err)
			}
			changed += n
		}
	}
	return changed, nil
}

func (b *Bot) sweepDay(ctx context.Context, now, before time.Time, f store.Field, raw []byte) (int, error) {
	var day dayNotes
	if err := json.Unmarshal(raw, &day); err != nil {
		return 0, err
	}
	gone := 0
	for i, n := range day.Notes {
		if n.Care != "" && !n.Gone && n.At < before.UnixMilli() {
			day.Notes[i].Said, day.Notes[i].Note, day.Notes[i].Gone = fmt.Sprintf(textHealthGone, b.Club().HealthDays), "", true
			gone++
		}
	}
	if gone == 0 {
		return 0, nil
	}
	swept, err := json.Marshal(day)
	if err != nil {
		return 0, err
	}
	key, field := b.club.KeyResults(f.Date), f.Part+":"+f.Kind+":"+f.Member
	// The top moves too, so that no decision which rests on the old notes writes them again.
	_, err = b.club.Change(ctx, now, []store.If{{Key: key, Field: field, Want: string(raw)}},
		[]store.Do{{"HSET", key, field, string(swept)}, b.club.DoTop(f.Member)})
	b.states.drop(f.Member)
	if errors.Is(err, store.ErrStale) {
		return 0, nil // the member was writing: the next night
	}
	return gone, err
}

// sweepMail takes messages about health out of conversations; it returns how many entries have changed.
func (b *Bot) sweepMail(ctx context.Context, now, before time.Time) (int, error) {
	people, err := b.club.Members(ctx)
	if err != nil {
		return 0, err
	}
	old := map[string]map[string]bool{} // member -> their old words about health
	err = b.club.EachMail(ctx, slices.Sorted(maps.Keys(people)), func(m string, e store.MailEntry) bool {
		if bytes.Contains(e.Fact, []byte(`"care":`)) || bytes.Contains(e.Fact, []byte(`"by":`)) || bytes.Contains(e.Fact, []byte(`"standing":`)) {
			a, err := readAnswer(e.Fact)
			if err == nil && a.At < before.UnixMilli() && b.aboutHealth(m, a) {
				if old[m] == nil {
					old[m] = map[string]bool{}
				}
				old[m][a.Said] = true
			}
		}
		return e.N < before.UnixMicro()
	})
	if err != nil {
		return 0, err
	}
	changed := 0
	for _, m := range slices.Sorted(maps.Keys(old)) {
		n, err := b.club.RewriteMail(ctx, now, m, func(e store.MailEntry) ([]byte, bool) {
			a, err := readAnswer(e.Fact)
			if err != nil || a.At >= before.UnixMilli() {
				return e.Fact, true
			}
			if b.aboutHealth(m, a) {
				return nil, false
			}
			if a.Open != nil && slices.ContainsFunc(a.Open.chain(), func(q question) bool { return old[m][q.Said] }) {
				a.Open = nil // it has run out long ago, and repeats the words
				return a.bytes(), true
			}
			return e.Fact, true
		})
		if err != nil {
			return changed, err
		}
		changed += n
		b.states.drop(m)
	}
	return changed, nil
}

// aboutHealth reports whether an entry of somebody's mail holds words about health: their own, or for a coach a notice
// of a member's words or a list of them.
func (b *Bot) aboutHealth(reader string, a answer) bool {
	if a.Care != "" {
		return true
	}
	m, _ := b.roster.Get(reader)
	if m.Role != roster.RoleCoach {
		return false
	}
	by, known := b.roster.Get(a.By)
	return a.Kind == NoticePost && known && by.Role == roster.RoleMember || isWord(a.Said, "questions") && len(a.Standing) > 0
}
