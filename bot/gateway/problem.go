package gateway

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strconv"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
)

// problem is an error document, RFC 9457. Detail is for the one who sent the request; the cause is for the log alone.
type problem struct {
	Type      string                `json:"type"`
	Title     string                `json:"title"`
	Status    int                   `json:"status"`
	Detail    string                `json:"detail"`
	Code      string                `json:"code,omitempty"`
	Errors    []content.Problem     `json:"errors,omitempty"`    // of a sheet
	Conflicts []bot.PartConflict    `json:"conflicts,omitempty"` // of a sheet that replaces another
	Fields    []roster.FieldProblem `json:"fields,omitempty"`    // of members' settings

	cause  error
	header http.Header
}

func (p *problem) Error() string {
	if p.cause != nil {
		return p.Detail + ": " + p.cause.Error()
	}
	return p.Detail
}

func (p *problem) Unwrap() error { return p.cause }

// refuse makes a problem that its reader can mend.
func refuse(status int, format string, args ...any) *problem {
	return &problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Detail: fmt.Sprintf(format, args...)}
}

// fault makes a problem that is the operator's, not the reader's.
func fault(cause error) *problem {
	p := refuse(http.StatusInternalServerError, "Something went wrong in the server. It is in the log; try again later.")
	p.cause = cause
	return p
}

// away says that the store cannot be reached just now.
func away(cause error) *problem {
	p := refuse(http.StatusServiceUnavailable, "The store cannot be reached just now, so nothing was saved. Try again in a moment.").retry(2 * time.Second)
	p.cause = cause
	return p
}

func tooMany(wait time.Duration) *problem {
	return refuse(http.StatusTooManyRequests, "Too many requests. Wait a little and try again.").retry(wait)
}

func (p *problem) with(key, value string) *problem {
	if p.header == nil {
		p.header = http.Header{}
	}
	p.header.Set(key, value)
	return p
}

func (p *problem) retry(after time.Duration) *problem {
	return p.with("Retry-After", strconv.Itoa(max(1, int(after.Round(time.Second)/time.Second))))
}

// asProblem turns an error of the bot or the roster into a document. Whatever nobody foresaw is the operator's.
func asProblem(err error) *problem {
	var done *problem
	var said *bot.Problem
	var invalid roster.InvalidError
	switch {
	case errors.As(err, &done):
		return done
	case errors.As(err, &said):
		p := refuse(statusOf(said.Code), "%s", said.Text)
		p.Code, p.cause = said.Code, said.Err
		return p
	case errors.As(err, &invalid):
		p := refuse(http.StatusUnprocessableEntity, "%s", sentence(invalid))
		p.Fields = invalid
		return p
	case errors.Is(err, roster.ErrNoMember):
		return refuse(http.StatusNotFound, "There is no member with that id. GET /api/members lists them.")
	case errors.Is(err, roster.ErrUnknownInvite):
		return refuse(http.StatusNotFound, "%s", sentence(err))
	case errors.Is(err, roster.ErrUsedInvite), errors.Is(err, roster.ErrLastCoach):
		return refuse(http.StatusConflict, "%s", sentence(err))
	case errors.Is(err, roster.ErrKeyReused), errors.Is(err, roster.ErrBadKey):
		return refuse(http.StatusUnprocessableEntity, "%s", sentence(err))
	case errors.Is(err, roster.ErrUnknownToken), errors.Is(err, roster.ErrOtherClub):
		return unauthorised(sentence(err))
	case isLine(err):
		return away(err)
	}
	return fault(err)
}

// isLine reports whether an error is one of the line to the store, which may be back in a moment.
func isLine(err error) bool {
	var ne net.Error
	return errors.As(err, &ne) || errors.Is(err, context.DeadlineExceeded) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF)
}

func statusOf(code string) int {
	switch code {
	case "not_found":
		return http.StatusNotFound
	case "conflict", bot.IDReused:
		return http.StatusConflict
	case "invalid", bot.BadFrame:
		return http.StatusUnprocessableEntity
	case bot.TooLong:
		return http.StatusRequestEntityTooLarge
	case bot.TooFast:
		return http.StatusTooManyRequests
	case bot.NotSaved:
		return http.StatusServiceUnavailable
	}
	return http.StatusInternalServerError
}

// sentence returns an error's text as a sentence.
func sentence(err error) string {
	s := err.Error()
	if s == "" {
		return s
	}
	if c := s[0]; c >= 'a' && c <= 'z' {
		s = string(c-'a'+'A') + s[1:]
	}
	if s[len(s)-1] != '.' {
		s += "."
	}
	return s
}

func unauthorised(detail string) *problem {
	return refuse(http.StatusUnauthorized, "%s", detail).with("WWW-Authenticate", `Bearer realm="tallybell"`)
}

// writeProblem sends the document.
func writeProblem(w http.ResponseWriter, p *problem) {
	for k, v := range p.header {
		w.Header()[k] = v
	}
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(p.Status)
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	_ = e.Encode(p)
}
