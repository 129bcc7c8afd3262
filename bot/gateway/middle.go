package gateway

import (
	"fmt"
	"net/http"
	"runtime/debug"
	"strconv"
	"time"
)

// wrap stands around every request: a panic ends one request and no more, whatever the mux refuses becomes a problem
// document, and each request is counted and logged by its route, never by what it says.
func (s *Server) wrap(mux *http.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := time.Now()
		w.Header().Set("X-Content-Type-Options", "nosniff")
		watched := &watchedWriter{ResponseWriter: w}
		h, pattern := mux.Handler(r)
		defer func() {
			v := recover()
			if v != nil && v != http.ErrAbortHandler {
				s.o.Log.Error().Str("route", pattern).Str("panic", fmt.Sprint(v)).Bytes("stack", debug.Stack()).Msg("a request failed")
				if watched.status == 0 {
					writeProblem(watched, fault(nil))
				} else {
					v = http.ErrAbortHandler
				}
			}
			s.count(pattern, watched.status, time.Since(start))
			if v == http.ErrAbortHandler {
				panic(v) // half an answer must not look whole
			}
		}()
		if pattern == "" {
			s.noRoute(watched, r, h)
			return
		}
		mux.ServeHTTP(watched, r)
	})
}

func (s *Server) count(pattern string, status int, took time.Duration) {
	if pattern == "" {
		pattern = "none"
	}
	s.metrics.requests.WithLabelValues(pattern, strconv.Itoa(status)).Inc()
	s.o.Log.Debug().Str("route", pattern).Int("status", status).Dur("took", took).Msg("request")
}

// noRoute says that there is no such address, or which methods it takes.
func (s *Server) noRoute(w http.ResponseWriter, r *http.Request, h http.Handler) {
	probe := &probeWriter{header: http.Header{}}
	h.ServeHTTP(probe, r)
	if allow := probe.header.Get("Allow"); probe.status == http.StatusMethodNotAllowed {
		writeProblem(w, refuse(probe.status, "%s is not one of this address's methods: %s.", r.Method, allow).with("Allow", allow))
		return
	}
	writeProblem(w, refuse(http.StatusNotFound, "There is nothing at this address. /openapi.json lists every call."))
}

// refuse answers with the problem; what is the operator's to mend goes to the log.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, err error) {
	p := asProblem(err)
	if p.Status >= http.StatusInternalServerError {
		s.o.Log.Error().Err(p.cause).Str("route", r.Pattern).Int("status", p.Status).Msg("a request could not be answered")
	}
	writeProblem(w, p)
}

// watchedWriter remembers the status.
type watchedWriter struct {
	http.ResponseWriter
	status int
}

func (w *watchedWriter) WriteHeader(status int) {
	if w.status == 0 {
		w.status = status
	}
	w.ResponseWriter.WriteHeader(status)
}

func (w *watchedWriter) Write(p []byte) (int, error) {
	if w.status == 0 {
		w.status = http.StatusOK
	}
	return w.ResponseWriter.Write(p)
}

// Unwrap lets http.ResponseController reach the connection.
func (w *watchedWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// probeWriter takes a status and headers and throws the body away.
type probeWriter struct {
	header http.Header
	status int
}

func (w *probeWriter) Header() http.Header         { return w.header }
func (w *probeWriter) Write(p []byte) (int, error) { return len(p), nil }
func (w *probeWriter) WriteHeader(status int)      { w.status = status }
