package bot

import (
	"context"
	"encoding/json"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

// Number returns the club's number and that of the last post.
func (b *Bot) Number(ctx context.Context) (n, lastPost int64, err error) { return b.club.Number(ctx) }

// Tops returns, per member, the number of the last change that concerns them.
func (b *Bot) Tops(ctx context.Context, members []string) ([]int64, error) {
	return b.club.Tops(ctx, members)
}

// After returns what a member has not had beyond the cursor since, in order. A negative since means no cursor: the
// last 14 days.
func (b *Bot) After(ctx context.Context, member string, since int64) (Backlog, error) {
	m, ok := b.roster.Get(member)
	if !ok {
		return Backlog{}, &Problem{Code: "not_found", Text: "no such member"}
	}
	if since < 0 {
		since = b.club.Since(b.clock.Now().AddDate(0, 0, -backlogDays))
	}
	entries, upTo, err := b.club.After(ctx, member, since)
	if err != nil {
		return Backlog{}, err
	}
	log, own := Backlog{UpTo: upTo}, &ownLedger{}
	for _, e := range entries {
		p, theirs, err := b.entryPost(ctx, m, e, own)
		if err != nil {
			return Backlog{}, err
		}
		if theirs {
			log.Posts = append(log.Posts, p)
		}
	}
	return log, nil
}

// entryPost renders one entry of a conversation; false when it is not the member's.
func (b *Bot) entryPost(ctx context.Context, m roster.Member, e store.Entry, own *ownLedger) (Post, bool, error) {
	if e.Mail != nil {
		p, err := b.mailPost(ctx, m, *e.Mail, own)
		return p, p.Kind != quietPost, err
	}
	f, err := readFact(*e.Post)
	if err != nil || !b.Concerns(m, f) {
		return Post{}, false, err
	}
	p, err := b.Render(ctx, f, m.FitOn(f.Date))
	return p, true, err
}

// Render returns the post as members with that fit read it; a session is rendered once a fit and kept.
func (b *Bot) Render(ctx context.Context, f Fact, fit content.Fit) (Post, error) {
	p := Post{Cursor: f.N, Kind: f.Kind, At: f.At, Date: f.Date, Text: f.Text}
	if f.Kind != SessionPost {
		return p, nil
	}
	fit1, err := b.fittingOf(ctx, f.Date, f.Version, fit)
	if err != nil {
		return Post{}, err
	}
	fit1.once.Do(func() {
		fit1.text = content.Text(fit1.session, b.library)
		if fit1.card, err = json.Marshal(content.NewCard(fit1.session, b.library)); err != nil {
			b.log.Error().Err(err).Str("date", f.Date.String()).Msg("a session's card could not be written; its text goes out alone")
		}
	})
	p.Text, p.Card = fit1.text, fit1.card
	if f.Late {
		p.Text = "(This comes late.)\n" + p.Text
	}
	return p, nil
}

// Hints returns a channel of hints until ctx ends. A hint with N 0 says that some may have been lost.
func (b *Bot) Hints(ctx context.Context) <-chan Hint {
	out := make(chan Hint, 64)
	in := b.club.Subscribe(ctx)
	b.wg.Go(func() {
		defer close(out)
		for h := range in {
			hint := Hint{Member: h.Member, N: h.N}
			if h.Member == "*" || h.Look {
				hint.Member = ""
			}
			select {
			case out <- hint:
			case <-ctx.Done():
				return
			}
		}
	})
	return out
}

// hint tells other replicas, soon; when too many wait it is dropped, and they find out within a second.
func (b *Bot) hint(h Hint) {
	select {
	case b.hints <- h:
	default:
	}
}

func (b *Bot) publish(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case h := <-b.hints:
			call, cancel := context.WithTimeout(ctx, 5*time.Second)
			if err := b.club.Publish(call, store.Hint{Member: h.Member, N: h.N}); err != nil && ctx.Err() == nil {
				b.log.Debug().Err(err).Msg("a hint was not told; replicas find out by looking")
			}
			cancel()
		}
	}
}
