package bot

import "context"

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

// forgetNow forgets the member. The answer is stored nowhere: there is no conversation left to keep it in.
func (b *Bot) forgetNow(ctx context.Context, st *state, m Message, out outcome) (Heard, error) {
	n, err := b.Forget(ctx, m.From)
	if err != nil && n == 0 {
		return Heard{}, err
	}
	if err != nil {
		b.log.Error().Err(err).Msg("a member was forgotten; the store's own file, or others' conversations, may hold traces until the next night")
	}
	a := out.answer
	a.Lines, a.Open = []string{textForgotten}, nil
	return Heard{Post: b.answerPost(ctx, st.member, n, m.ID, a, nil, &ownLedger{}), OldTop: st.top}, nil
}
