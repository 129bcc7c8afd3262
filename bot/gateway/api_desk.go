package gateway

import (
	"errors"
	"io"
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

// importResults enters results from a table. With a problem anywhere, and without partial, nothing is entered.
func (s *Server) importResults(w http.ResponseWriter, r *http.Request, who caller) error {
	partial, err := flag(r, "partial")
	if err != nil {
		return err
	}
	if err := checkType(r, tableTypes); err != nil {
		return err
	}
	table, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostTable))
	var over *http.MaxBytesError
	switch {
	case errors.As(err, &over):
		return refuse(http.StatusRequestEntityTooLarge, "The table is larger than the %d bytes that are read at once: send it in parts.", mostTable)
	case err != nil:
		return refuse(http.StatusBadRequest, "The table could not be read to its end.")
	}
	_ = http.NewResponseController(w).SetWriteDeadline(time.Time{})
	got, err := who.club.Bot.ImportResults(r.Context(), who.member.ID, table, partial)
	if err != nil {
		return err
	}
	if len(got.Problems) > 0 && !partial {
		p := refuse(http.StatusUnprocessableEntity, "Nothing was entered: %s of the table cannot be read. Mend them, or send partial=1 to enter the others.", counted(len(got.Problems), "line"))
		p.Errors = got.Problems
		return p
	}
	return writeJSON(w, got)
}

// mostTable is the largest table of results that is read at once.
const mostTable = 8 << 20

// forgetMember removes everything of a member and closes their connections.
func (s *Server) forgetMember(w http.ResponseWriter, r *http.Request, who caller, id string) error {
	n, err := who.club.Bot.Forget(r.Context(), id)
	if n == 0 && err != nil {
		return err
	}
	who.club.hub.forget(id)
	if err != nil {
		p := fault(err)
		p.Detail = "The member is forgotten, but traces may be left in the store's own file or in what others were shown. It is in the log; the store cleans its file at night."
		return p
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
