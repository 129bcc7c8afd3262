package gateway

import (
	"net/http"
	"time"
)

type rebuildAnswer struct {
	Differences []string `json:"differences"`
}

func (s *Server) reportOf(w http.ResponseWriter, r *http.Request, who caller) error {
	d, err := dateOf(r)
	if err != nil {
		return err
	}
	rep, err := who.club.Bot.Report(r.Context(), d)
	if err != nil {
		return err
	}
	return writeJSON(w, rep)
}

func (s *Server) questions(w http.ResponseWriter, r *http.Request, who caller) error {
	qs, err := who.club.Bot.Questions(r.Context())
	if err != nil {
		return err
	}
	return writeJSON(w, list(qs))
}

func (s *Server) rebuild(w http.ResponseWriter, r *http.Request, who caller) error {
	diff, err := who.club.Bot.Rebuild(r.Context())
	if err != nil {
		return err
	}
	return writeJSON(w, rebuildAnswer{list(diff)})
}

func noArchive() error {
	return refuse(http.StatusNotImplemented, "This server neither exports nor imports clubs.")
}

// export streams the club. A failure on the way cuts the connection, so that half a club never looks whole.
func (s *Server) export(w http.ResponseWriter, r *http.Request, who caller) error {
	if who.club.Archive == nil {
		return noArchive()
	}
	_ = http.NewResponseController(w).SetWriteDeadline(time.Time{})
	w.Header().Set("Content-Type", "application/jsonl")
	w.Header().Set("Cache-Control", "no-store")
	sent := &countingWriter{w: w}
	if err := who.club.Archive.Export(r.Context(), sent); err != nil {
		if sent.n == 0 {
			return err
		}
		s.o.Log.Error().Err(err).Msg("an export broke off")
		panic(http.ErrAbortHandler)
	}
	return nil
}

func (s *Server) importClub(w http.ResponseWriter, r *http.Request, who caller) error {
	if who.club.Archive == nil {
		return noArchive()
	}
	if err := checkType(r, lineTypes); err != nil {
		return err
	}
	_ = http.NewResponseController(w).SetReadDeadline(time.Time{})
	if err := who.club.Archive.Import(r.Context(), r.Body); err != nil {
		return err
	}
	return noContent(w)
}

type countingWriter struct {
	w http.ResponseWriter
	n int64
}

func (c *countingWriter) Write(p []byte) (int, error) {
	if len(p) == 0 {
		return 0, nil
	}
	n, err := c.w.Write(p)
	c.n += int64(n)
	return n, err
}
