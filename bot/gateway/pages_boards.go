package gateway

import (
	"context"
	"net/http"
	"slices"

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
		page, err := c.Bot.Board(r.Context(), date, part.Letter, leaderboard.Query{Coach: true, Joint: c.Bot.Club().JointRanks})
		if err != nil && !isNotFound(err) {
			return nil, err
		}
		out = append(out, boardView(part, page, ""))
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

// boardView is a page of boards as it is shown; who is the reader, where it is a member.
func boardView(part content.Part, page leaderboard.Page, who string) web.Board {
	v := web.Board{Part: part.Letter, Scheme: schemeText(part)}
	for _, b := range page.Boards {
		block := web.Block{Division: b.Division, Version: versionText(b.Version), Of: b.Of}
		for _, e := range b.Entries {
			block.Entries = append(block.Entries, entryView(b, e, who))
		}
		for _, e := range b.Beyond(who) {
			if !slices.ContainsFunc(b.Entries, func(o leaderboard.Line) bool { return o.Member == e.Member }) {
				block.Around = append(block.Around, entryView(b, e, who))
			}
		}
		v.Blocks = append(v.Blocks, block)
	}
	return v
}

func entryView(b leaderboard.Block, e leaderboard.Line, who string) web.Entry {
	v := web.Entry{Rank: int64(e.Rank), Own: who != "" && e.Member == who, Name: e.Shown(), Result: e.Result, Way: e.Way, Load: e.Load,
		Late: e.Late, Marked: e.Marked, Version: versionText(e.Version)}
	if b.Version == content.Scaled {
		v.Joint = int64(e.Joint) // as written, it is the rank itself
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
