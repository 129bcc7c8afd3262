package gateway

import (
	"context"
	"encoding/json"
	"net/http"

	"tallybell/bot"
	"tallybell/content"
)

type (
	// ownData is what is kept about a member that is theirs to read.
	ownData struct {
		Member       memberView      `json:"member"`
		Results      []bot.ResultRow `json:"results"`
		Conversation []postView      `json:"conversation"`
	}
	postView struct {
		Cursor string          `json:"cursor"`
		Kind   bot.PostKind    `json:"kind"`
		At     string          `json:"at"`
		Date   content.Date    `json:"date,omitzero"`
		Re     string          `json:"re,omitempty"`
		Said   string          `json:"said,omitempty"`
		Text   string          `json:"text"`
		Card   json.RawMessage `json:"card,omitempty"`
	}
)

func viewOf(p bot.Post) postView {
	card := p.Card
	if !json.Valid(card) {
		card = nil
	}
	return postView{cursorText(p.Cursor), p.Kind, instant(p.At), p.Date, p.Re, p.Said, p.Text, card}
}

// me shows a member's own settings. What the coach noted as limits is the member's own too.
func (s *Server) me(w http.ResponseWriter, r *http.Request, who caller) error {
	return writeJSON(w, s.view(who.member))
}

func (s *Server) myData(w http.ResponseWriter, r *http.Request, who caller) error {
	ctx := r.Context()
	backlog, err := who.club.Bot.After(ctx, who.member.ID, -1)
	if err != nil {
		return away(err)
	}
	out := ownData{Member: s.view(who.member), Results: []bot.ResultRow{}, Conversation: []postView{}}
	dates := map[content.Date]bool{}
	for _, p := range backlog.Posts {
		out.Conversation = append(out.Conversation, viewOf(p))
		if !p.Date.IsZero() && !dates[p.Date] {
			dates[p.Date] = true
			rows, err := ownResults(ctx, who, p.Date)
			if err != nil {
				return err
			}
			out.Results = append(out.Results, rows...)
		}
	}
	return writeJSON(w, out)
}

// ownResults returns the caller's results of a date.
func ownResults(ctx context.Context, who caller, d content.Date) ([]bot.ResultRow, error) {
	rows, err := who.club.Bot.Results(ctx, d)
	if err != nil {
		return nil, err
	}
	own := []bot.ResultRow{}
	for _, row := range rows {
		if row.Member == who.member.ID {
			row.Marked = false // for the coach alone
			own = append(own, row)
		}
	}
	return own, nil
}
