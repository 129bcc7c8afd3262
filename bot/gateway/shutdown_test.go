package gateway

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"github.com/gorilla/websocket"
	dto "github.com/prometheus/client_model/go"

	"github.com/prometheus/client_golang/prometheus"

	"tallybell/content"
)

func counterValue(c prometheus.Metric) float64 {
	var m dto.Metric
	if c.Write(&m) != nil {
		return -1
	}
	if m.Counter != nil {
		return m.Counter.GetValue()
	}
	return m.Gauge.GetValue()
}

func TestShutdownWaitsForAnswersAndSendsEverybodyAway(t *testing.T) {
	r := start(t)
	hold, in := make(chan struct{}), make(chan struct{}, 1)
	busy, idle := r.dial(r.ada, ""), r.dial(r.bo, "")
	r.fake.set(func() { r.fake.holdHear, r.fake.inHear = hold, in })
	busy.say("m", "14:32")
	<-in
	done := make(chan error, 1)
	go func() {
		ctx, cancel := context.WithTimeout(context.Background(), wait)
		defer cancel()
		done <- r.srv.Shutdown(ctx)
	}()
	code, _ := idle.closed()
	if code != websocket.CloseGoingAway {
		t.Errorf("the idle connection closed with %d", code)
	}
	idle.ws.Close()
	select {
	case err := <-done:
		t.Fatalf("shutdown did not wait for the answer: %v", err)
	default:
	}
	if _, _, err := r.tryDial(r.bo, "", nil); err == nil {
		t.Error("a new connection is let in during shutdown")
	}
	close(hold)
	code, before := busy.closed()
	if code != websocket.CloseGoingAway || len(before) != 1 || before[0].Re != "m" || before[0].Type != "post" {
		t.Errorf("the busy connection closed with %d after %+v", code, before)
	}
	busy.ws.Close()
	if err := <-done; err != nil {
		t.Errorf("shutdown: %v", err)
	}
}

func TestShutdownEndsWhenItsTimeIsUp(t *testing.T) {
	r := start(t)
	c := r.dial(r.ada, "")
	in := make(chan struct{}, 1)
	r.fake.set(func() { r.fake.holdHear, r.fake.inHear = make(chan struct{}), in })
	c.say("m", "14:32")
	<-in
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := r.srv.Shutdown(ctx); err == nil || !strings.Contains(err.Error(), "canceled") {
		t.Errorf("shutdown: %v", err)
	}
}

func TestGoingAwayAdvisesJitter(t *testing.T) {
	seen := map[string]bool{}
	for range 200 {
		seen[goingAway().reason] = true
	}
	if len(seen) < jitterSeconds/2 {
		t.Errorf("only %d different waits", len(seen))
	}
}

// RFC 6455, section 7.4.1: an endpoint never sends 1005, 1006 or 1015, and a reason has at most 123 bytes (5.5).
func TestCloseFramesAreLegal(t *testing.T) {
	for _, c := range []*closing{goingAway(), tooSlow(), notAllowed(), badUTF8()} {
		if c.code == 1005 || c.code == 1006 || c.code == 1015 || len(c.reason) > 123 {
			t.Errorf("%+v", c)
		}
		if f := closeFrame(c); f[0] != 0x88 || int(f[1]) != len(f)-2 || int(f[2])<<8|int(f[3]) != c.code {
			t.Errorf("frame % x", f)
		}
	}
}

func TestReadiness(t *testing.T) {
	store := &fakeStore{}
	r := start(t, func(o *Options) {
		c := o.Clubs["lantern"]
		c.Store = store
		o.Clubs["lantern"] = c
	})
	for name, tc := range map[string]struct {
		store  fakeStore
		status int
		want   string
	}{
		"well":       {fakeStore{Health{Persistent: true}, nil}, 200, `{"ready":true,"stores":[{"reachable":true,"persistent":true}]}`},
		"volatile":   {fakeStore{Health{Warning: "Nothing is kept on disk."}, nil}, 200, `{"ready":true,"stores":[{"reachable":true,"persistent":false,"warning":"Nothing is kept on disk."}]}`},
		"store away": {fakeStore{Health{}, errAway}, 503, `{"ready":false,"stores":[{"reachable":false,"persistent":false,"warning":"The store cannot be reached."}]}`},
	} {
		t.Run(name, func(t *testing.T) {
			*store = tc.store
			tc.want = strings.TrimSuffix(tc.want, "}") + `,"zone_data":"` + content.ZoneData() + `"}`
			if resp, body := r.call("GET", "/readyz", "", ""); resp.StatusCode != tc.status || strings.TrimSpace(body) != tc.want {
				t.Errorf("%d %s", resp.StatusCode, body)
			}
		})
	}
	if resp, body := r.call("GET", "/healthz", "", ""); resp.StatusCode != http.StatusOK || body != "ok\n" {
		t.Errorf("healthz: %d %s", resp.StatusCode, body)
	}
	r.dial(r.ada, "").say("m", "x")
	eventually(t, "metrics count the message", func() bool {
		_, body := r.call("GET", "/metrics", "", "")
		return strings.Contains(body, "tallybell_connections 1\n") && strings.Contains(body, `tallybell_messages_total{outcome="answered"} 1`)
	})
}

type fakeStore struct {
	h   Health
	err error
}

func (s *fakeStore) Health(context.Context) (Health, error) { return s.h, s.err }
