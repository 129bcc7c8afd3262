package gateway

import (
	"context"
	"net/http"
	"slices"
	"time"

	"tallybell/content"
)

// readiness says whether the server can do its work. Clubs are not named: no token is asked for.
type readiness struct {
	Ready    bool         `json:"ready"`
	Stores   []storeState `json:"stores"`
	ZoneData string       `json:"zone_data"` // release and place of the time zone data in use
}

type storeState struct {
	Reachable  bool   `json:"reachable"`
	Persistent bool   `json:"persistent"`
	Warning    string `json:"warning,omitempty"`
}

func (s *Server) healthz(w http.ResponseWriter, r *http.Request, _ caller) error {
	return writeText(w, "ok\n")
}

func (s *Server) readyz(w http.ResponseWriter, r *http.Request, _ caller) error {
	ctx, cancel := context.WithTimeout(r.Context(), 2*time.Second)
	defer cancel()
	out := readiness{Ready: !s.draining.Load(), Stores: []storeState{}, ZoneData: content.ZoneData()}
	ids := make([]string, 0, len(s.clubs))
	for id := range s.clubs {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		state := s.storeState(ctx, s.clubs[id])
		out.Ready = out.Ready && state.Reachable
		out.Stores = append(out.Stores, state)
	}
	b, err := marshal(out)
	if err != nil {
		return fault(err)
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	if !out.Ready {
		w.Header().Set("Retry-After", "2")
		w.WriteHeader(http.StatusServiceUnavailable)
	}
	_, _ = w.Write(b)
	return nil
}

func (s *Server) storeState(ctx context.Context, c *club) storeState {
	if c.Store == nil {
		return storeState{Reachable: true, Persistent: true}
	}
	h, err := c.Store.Health(ctx)
	if err != nil {
		s.o.Log.Warn().Err(err).Str("club", c.id).Msg("the store is not well")
		return storeState{Warning: "The store cannot be reached."}
	}
	return storeState{Reachable: true, Persistent: h.Persistent, Warning: h.Warning}
}

// Warning returns what a club's coach and operator must know of its store, "" when all is well.
func (s *Server) storeWarning(ctx context.Context, c *club) string {
	return s.storeState(ctx, c).Warning
}

func (s *Server) metricsText(w http.ResponseWriter, r *http.Request, _ caller) error {
	s.metrics.handler().ServeHTTP(w, r)
	return nil
}
