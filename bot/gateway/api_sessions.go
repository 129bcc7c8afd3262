package gateway

import (
	"io"
	"net/http"

	"tallybell/bot"
	"tallybell/content"
)

type (
	putAnswer struct {
		Warnings []content.Problem `json:"warnings"`
		NoFit    []bot.NoFit       `json:"no_fit"`
	}
	sessionList struct {
		Dates []content.Date `json:"dates"`
	}
	sheetView struct {
		Date    content.Date `json:"date"`
		Version string       `json:"version"`
		Draft   bool         `json:"draft"`
		Sent    bool         `json:"sent"`
		Text    string       `json:"text"`
	}
)

func (s *Server) listSessions(w http.ResponseWriter, r *http.Request, who caller) error {
	dates, err := who.club.Bot.SheetDates(r.Context())
	if err != nil {
		return err
	}
	return writeJSON(w, sessionList{list(dates)})
}

func (s *Server) putSession(w http.ResponseWriter, r *http.Request, who caller) error {
	d, err := dateOf(r)
	if err != nil {
		return err
	}
	var o bot.PutOptions
	if o.Draft, err = flag(r, "draft"); err != nil {
		return err
	}
	if o.Force, err = flag(r, "force"); err != nil {
		return err
	}
	text, err := readBody(w, r, sheetTypes, s.o.Limits.Sheet)
	if err != nil {
		return err
	}
	res, err := who.club.Bot.PutSheet(r.Context(), d, text, o)
	switch {
	case err != nil:
		return err
	case len(res.Errors) > 0:
		p := refuse(http.StatusUnprocessableEntity, "The sheet has %s and was not stored.", counted(len(res.Errors), "error"))
		p.Errors = res.Errors
		return p
	case len(res.Conflict) > 0:
		p := refuse(http.StatusConflict, "Parts that have results would change their kind, so the sheet was not stored. Send it with ?force=1 to replace it all the same; those results then stand on no board.")
		p.Conflicts = res.Conflict
		return p
	}
	return writeJSON(w, putAnswer{list(res.Warnings), list(res.NoFit)})
}

// getSession gives a coach the sheet, and a member the session as it was sent to them.
func (s *Server) getSession(w http.ResponseWriter, r *http.Request, who caller) error {
	d, err := dateOf(r)
	if err != nil {
		return err
	}
	if !who.isCoach() {
		return s.ownSession(w, r, who, d)
	}
	sheet, err := who.club.Bot.Sheet(r.Context(), d)
	if err != nil {
		return err
	}
	w.Header().Set("ETag", `"`+sheet.Version+`"`)
	if wants(r, "application/json") {
		return writeJSON(w, sheetView{sheet.Date, sheet.Version, sheet.Draft, sheet.Sent, sheet.Text})
	}
	return writeText(w, sheet.Text)
}

func (s *Server) ownSession(w http.ResponseWriter, r *http.Request, who caller, d content.Date) error {
	backlog, err := who.club.Bot.After(r.Context(), who.member.ID, -1)
	if err != nil {
		return away(err)
	}
	for i := len(backlog.Posts) - 1; i >= 0; i-- {
		p := backlog.Posts[i]
		if p.Kind != bot.SessionPost || p.Date != d {
			continue
		}
		if wants(r, "application/json") {
			return writeJSON(w, viewOf(p))
		}
		return writeText(w, p.Text)
	}
	return refuse(http.StatusNotFound, "No session of %s was sent to you in the last 14 days.", d)
}

func (s *Server) publishSession(w http.ResponseWriter, r *http.Request, who caller) error {
	d, err := dateOf(r)
	if err != nil {
		return err
	}
	if err := who.club.Bot.Publish(r.Context(), d); err != nil {
		return err
	}
	return noContent(w)
}

func (s *Server) sendSession(w http.ResponseWriter, r *http.Request, who caller) error {
	d, err := dateOf(r)
	if err != nil {
		return err
	}
	sent, err := who.club.Bot.SendNow(r.Context(), d)
	if err != nil {
		return err
	}
	return writeJSON(w, sent)
}

func writeText(w http.ResponseWriter, text string) error {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	_, _ = io.WriteString(w, text)
	return nil
}
