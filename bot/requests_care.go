package bot

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
)

// optionUnwell is the option of who typed stop because they feel unwell: their coach is told as of a warning sign.
const optionUnwell = "unwell"

// isUnwell reports whether an answer to a plain stop says so in other words.
func isUnwell(text string) bool {
	text = strings.ReplaceAll(text, "’", "'")
	if isWord(text, "i don't feel well", "i don't feel good", "i do not feel well", "not feeling well", "i'm not feeling well") {
		return true
	}
	for _, start := range []string{"", "yes, ", "i am ", "i'm ", "im ", "i feel ", "feeling ", "i'm feeling "} {
		if isWord(text, start+"unwell", start+"ill", start+"sick", start+"not well", start+"faint", start+"awful", start+"bad", start+"not good", start+"not ok") {
			return true
		}
	}
	return false
}

// askStop asks what a plain stop means.
func (b *Bot) askStop(_ context.Context, q requested, a *answer) error {
	a.ask(question{About: aboutStop, At: q.now.UnixMilli(), Said: q.m.Text, Text: textStopAsk,
		Options: []string{"pause", optionUnwell}, Labels: []string{"stop messages", "I am unwell"}})
	return nil
}

// painLife is how long after it was written a mention of pain can be taken back by the words for it.
const painLife = 24 * time.Hour

// lastPain finds the latest mention of pain that was not taken back: the day's place, the note's place.
func lastPain(st *state, at time.Time) (i, k int, ok bool) {
	newest := int64(0)
	for di, d := range st.days {
		for ni, n := range d.notes.Notes {
			if n.Care == string(reply.CareCheck) && !n.Misread && n.At > newest && at.Sub(time.UnixMilli(n.At)) <= painLife {
				i, k, newest, ok = di, ni, n.At, true
			}
		}
	}
	return i, k, ok
}

// takesBackPain reports whether a text says that the last mention of pain was misread. A warning sign cannot be taken
// back in chat.
func takesBackPain(st *state, text string, at time.Time) bool {
	if !isWord(text, "no pain", "no pain at all", "misread", "it was misread", "not pain", "no, no pain", "that was no pain", "no pain thanks", "no pain, thanks") {
		return false
	}
	_, _, ok := lastPain(st, at)
	return ok
}

// noPain marks the last mention of pain as misread, and tells the coach so.
func (b *Bot) noPain(ctx context.Context, q requested, a *answer) error {
	i, k, ok := lastPain(q.st, q.now)
	if !ok {
		return say(a, textNoted)
	}
	d := q.st.days[i]
	notes := d.notes
	notes.Member, notes.Notes = q.m.From, slices.Clone(notes.Notes)
	notes.Notes[k].Misread = true
	q.notes[d.date] = notes
	said := notes.Notes[k]
	heard, notice := textMisread, textMisreadNotice
	if len(said.About) > 0 && !slices.Contains(said.About, reply.MatterPain) {
		heard, notice = textMisreadOther, textMisreadOtherNotice
	}
	for _, c := range b.roster.All() {
		if c.Role != roster.RoleCoach {
			continue
		}
		err := b.notify(ctx, c.ID, "misread:"+q.m.From+":"+strconv.FormatInt(said.At, 10), answer{Kind: NoticePost, At: q.now.UnixMilli(),
			Words: notice, Standing: []standing{{Member: q.m.From, Show: said.Said}}, By: q.m.From}, q.now)
		if err != nil {
			return err
		}
	}
	return say(a, heard)
}
