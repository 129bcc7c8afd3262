package gateway

import "net/http"

// myHistory is a member's own past.
func (s *Server) myHistory(w http.ResponseWriter, r *http.Request, who caller) error {
	h, err := who.club.Bot.History(r.Context(), who.member.ID, false)
	if err != nil {
		return err
	}
	return writeJSON(w, h)
}

// historyOf is a member's past as the coach sees it.
func (s *Server) historyOf(w http.ResponseWriter, r *http.Request, who caller) error {
	m, err := present(who, r.PathValue("id"))
	if err != nil {
		return err
	}
	h, err := who.club.Bot.History(r.Context(), m.ID, true)
	if err != nil {
		return err
	}
	return writeJSON(w, h)
}

func (s *Server) loadOf(w http.ResponseWriter, r *http.Request, who caller) error {
	m, err := present(who, r.PathValue("id"))
	if err != nil {
		return err
	}
	l, err := who.club.Bot.Load(r.Context(), m.ID)
	if err != nil {
		return err
	}
	return writeJSON(w, l)
}
