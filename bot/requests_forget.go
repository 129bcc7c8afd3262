package bot

import (
	"context"
	"fmt"
	"slices"

	"tallybell/bot/roster"
	"tallybell/leaderboard/store"
)

// forget tells what forgetting takes away, and asks for the whole sentence; only that is done, by forgetNow.
func (b *Bot) forget(_ context.Context, q requested, a *answer) error {
	if q.r.Argument != argumentForGood {
		return say(a, textForgetAsk)
	}
	a.Forget = true
	return nil
}

// argumentForGood is what follows forget when the member means it.
const argumentForGood = "for good"

// forgetNow removes everything of a member, and what of their words was passed to the coach's conversation. The answer is
// stored nowhere: there is no conversation left to keep it in.
func (b *Bot) forgetNow(ctx context.Context, st *state, m Message, out outcome) (Heard, error) {
	passed, err := b.passedOn(ctx, m.From)
	if err != nil {
		return Heard{}, err
	}
	now := b.clock.Now()
	n, err := b.club.Forget(ctx, now, m.From, append(passed, b.club.DoChanged(m.From))...)
	if err != nil && n == 0 {
		return Heard{}, fmt.Errorf("forgetting a member: %w", err)
	}
	if err != nil {
		b.log.Error().Err(err).Msg("a member was forgotten; the store's own file holds them until it is next written anew")
	}
	b.states.drop(m.From)
	b.marks.forget(m.From)
	if _, err := b.roster.Refresh(ctx); err != nil {
		b.log.Error().Err(err).Msg("a member was forgotten; this process reads it with the next look at who changed")
	}
	b.hint(Hint{Member: m.From, N: n})
	a := out.answer
	a.Lines, a.Open = []string{textForgotten}, nil
	return Heard{Post: b.answerPost(ctx, st.member, n, m.ID, a, nil), OldTop: st.top}, nil
}

// names reports whether a line of the answer is about the member.
func (a answer) names(member string) bool {
	return slices.ContainsFunc(a.Standing, func(s standing) bool { return s.Member == member })
}

// passedOn returns what removes a member's words from the coaches' conversations.
func (b *Bot) passedOn(ctx context.Context, member string) ([]store.Do, error) {
	var out []store.Do
	for _, c := range b.roster.All() {
		if c.Role != roster.RoleCoach {
			continue
		}
		entries, _, err := b.club.After(ctx, c.ID, 0)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			if e.Mail == nil {
				continue
			}
			a, err := readAnswer(e.Mail.Fact)
			if err != nil {
				return nil, fmt.Errorf("stored answer %d: %w", e.N, err)
			}
			if a.By == member && a.Kind == NoticePost || isWord(a.Said, "questions") && a.names(member) {
				out = append(out, store.Do{"XDEL", b.club.KeyMail(c.ID), fmt.Sprintf("%d-0", e.N)})
			}
		}
	}
	return out, nil
}
