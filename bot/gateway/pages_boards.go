package gateway

import (
	"context"
	"net/http"

	"tallybell/bot/web"
	"tallybell/content"
	"tallybell/leaderboard"
)

// boards returns the boards of every scored part of a date, for the coach. A day without a sheet has none.
func (d *desk) boards(r *http.Request, c *club, date content.Date) ([]web.Board, error) {
	s, ok, err := session(r.Context(), c, date)
	if err != nil || !ok {
		return nil, err
	}
	var out []web.Board
	for _, part := range s.Parts {
		if !part.IsScored() {
			continue
		}
		page, err := c.Bot.Board(r.Context(), date, part.Letter, leaderboard.Query{Coach: true})
		if err != nil && !isNotFound(err) {
			return nil, err
		}
		out = append(out, boardView(part, page))
	}
	return out, nil
}

// session returns the session of a date as it is sent; false when there is none.
func session(ctx context.Context, c *club, date content.Date) (content.Session, bool, error) {
	if b, ok := c.Bot.(interface {
		Session(context.Context, content.Date) (content.Session, error)
	}); ok {
		s, err := b.Session(ctx, date)
		if isNotFound(err) {
			return content.Session{}, false, nil
		}
		return s, err == nil, err
	}
	stored, err := c.Bot.Sheet(ctx, date)
	if isNotFound(err) || err == nil && stored.Draft {
		return content.Session{}, false, nil
	}
	if err != nil {
		return content.Session{}, false, err
	}
	s, problems := content.ParseWith(library(c), date.String()+".txt", []byte(stored.Text))
	return s, len(content.Errors(problems)) == 0, nil
}

func boardView(part content.Part, page leaderboard.Page) web.Board {
	v := web.Board{Part: part.Letter, Scheme: schemeText(part)}
	for _, b := range page.Boards {
		block := web.Block{Division: b.Division, Version: versionText(b.Version)}
		for _, e := range b.Entries {
			block.Entries = append(block.Entries, web.Entry{Rank: int64(e.Rank), Name: e.Name, Result: e.Result, Way: e.Way, Load: e.Load,
				Late: e.Late, Marked: e.Marked, Version: versionText(e.Version)})
		}
		v.Blocks = append(v.Blocks, block)
	}
	return v
}

// schemeText says in few words how a part is done.
func schemeText(p content.Part) string {
	card := content.NewCard(content.Unfitted(content.Session{Parts: []content.Part{p}}), content.Builtin())
	if len(card.Parts) == 0 {
		return string(p.Scheme)
	}
	return card.Parts[0].Scheme
}
