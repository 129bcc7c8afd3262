package gateway

import (
	"net/http"
	"strings"
	"testing"
)

func TestAMembersDataIsTheirsAndTheCoachs(t *testing.T) {
	r := start(t)
	resp, body := r.call("GET", "/api/me/data", r.ada, "")
	if resp.StatusCode != 200 || resp.Header.Get("Cache-Control") != "no-store" || !strings.Contains(body, `"id":"ada"`) || !strings.Contains(body, `"said":"sore"`) ||
		!strings.Contains(body, `"history":[]`) {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	if _, theirs := r.call("GET", "/api/members/ada/data", r.coach, ""); theirs != body {
		t.Errorf("the coach's copy for them differs:\n%s\n%s", theirs, body)
	}
	if resp, body := r.call("GET", "/api/members/nobody/data", r.coach, ""); resp.StatusCode != 404 {
		t.Errorf("nobody's: %d %s", resp.StatusCode, body)
	}
	if resp, _ := r.call("GET", "/api/members/bo/data", r.ada, ""); resp.StatusCode != 403 {
		t.Errorf("another member's: %d", resp.StatusCode)
	}
}

func TestForgettingOnRequestClosesConnections(t *testing.T) {
	r := start(t)
	c := r.dial(r.ada, "")
	if resp, body := r.call("DELETE", "/api/members/ada?forget=maybe", r.coach, ""); resp.StatusCode != 400 {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	if resp, body := r.call("DELETE", "/api/members/ada?forget=1", r.coach, ""); resp.StatusCode != 204 {
		t.Fatalf("%d %s", resp.StatusCode, body)
	}
	if code, _ := c.closed(); code != 1008 {
		t.Errorf("the connection closed with %d", code)
	}
	if resp, _ := r.call("GET", "/api/me", r.ada, ""); resp.StatusCode != http.StatusUnauthorized {
		t.Errorf("the token still gets %d", resp.StatusCode)
	}
	if resp, _ := r.call("DELETE", "/api/members/ada?forget=1", r.coach, ""); resp.StatusCode != 404 {
		t.Errorf("again: %d", resp.StatusCode)
	}
	if resp, _ := r.call("DELETE", "/api/members/boss?forget=1", r.coach, ""); resp.StatusCode != 404 {
		t.Errorf("the coach: %d", resp.StatusCode)
	}
}

func TestATableOfResults(t *testing.T) {
	r := start(t)
	for _, tt := range []struct {
		path, kind, body string
		status           int
		says             string
	}{
		{"/api/results", "text/csv", "fine", 200, `"written":2`},
		{"/api/results", "text/csv; charset=utf-8", "fine", 200, `"problems":[]`},
		{"/api/results", "text/csv", "bad", 422, `"errors":[{"line":3,"column":9,"message":"not read, for `},
		{"/api/results?partial=1", "text/csv", "bad", 200, `"written":1`},
		{"/api/results?partial=some", "text/csv", "bad", 400, "partial"},
		{"/api/results", "application/pdf", "fine", 415, "text/csv"},
		{"/api/results", "text/csv", strings.Repeat("x", mostTable+1), 413, "in parts"},
	} {
		resp, body := r.call("POST", tt.path, r.coach, tt.body, "Content-Type", tt.kind)
		if resp.StatusCode != tt.status || !strings.Contains(body, tt.says) {
			t.Errorf("%s %s %.10s: %d %.300s", tt.path, tt.kind, tt.body, resp.StatusCode, body)
		}
		if tt.status >= 400 {
			checkProblem(t, resp, body)
		}
	}
}
