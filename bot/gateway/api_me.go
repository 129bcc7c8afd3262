package gateway

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"

	"tallybell/bot"
	"tallybell/content"
)

type (
	// ownData describes everything that is kept about a member. It is written piece by piece: see bot.OwnData.Encode.
	ownData struct {
		Member       memberView        `json:"member"`
		Devices      int               `json:"devices"`  // keys by which their devices open the page
		Received     string            `json:"received"` // the cursor up to which their devices have had the conversation
		Opened       string            `json:"opened"`   // and up to which their page has shown it
		Results      []bot.ResultRow   `json:"results"`  // what stands, of all dates
		History      []bot.OwnChange   `json:"history"`  // every change of them
		Notes        []bot.OwnDayNotes `json:"notes"`    // what they wrote for the coach
		Conversation []postView        `json:"conversation"`
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

// myData gives a member everything that is kept about them.
func (s *Server) myData(w http.ResponseWriter, r *http.Request, who caller) error {
	return s.sendData(w, r, who, who.member.ID)
}

// memberData gives a coach the same of one member, for the member; of one who has left as well.
func (s *Server) memberData(w http.ResponseWriter, r *http.Request, who caller) error {
	return s.sendData(w, r, who, r.PathValue("id"))
}

func (s *Server) sendData(w http.ResponseWriter, r *http.Request, who caller, id string) error {
	d, err := who.club.Bot.OwnData(r.Context(), id)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Disposition", `attachment; filename="data.json"`)
	out := bufio.NewWriter(w)
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	write := func(text string) error { _, err := out.WriteString(text); return err }
	err = d.Encode(e, write, s.view(d.Member), func(p bot.Post) any { return viewOf(p) })
	if err == nil {
		err = out.Flush()
	}
	if err != nil {
		panic(http.ErrAbortHandler) // half of it must not look whole
	}
	return nil
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
