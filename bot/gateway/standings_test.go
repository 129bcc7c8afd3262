package gateway

import (
	"net/http"
	"strings"
	"testing"
)

func TestStandingsAndExplanations(t *testing.T) {
	r := start(t)
	resp, body := r.call("GET", "/api/standings?from=2026-11-01&to=2026-11-07&division=women", r.ada, "")
	want := `{"from":"2026-11-01","to":"2026-11-07","division":"women","races":[{"date":"2026-11-07","part":"B"}],"discards":0,"missed":"entries + 1 (A5.2)",` +
		`"standings":[{"rank":1,"member":"ada","total":1,"tie":"","scores":[{"points":1,"excluded":false,"rule":"A4","rank":1,"of":2,"why":"place 1 of 2"}],"name":"=Ada"},` +
		`{"rank":2,"member":"bo","total":2,"tie":"","scores":[{"points":2,"excluded":false,"rule":"A4","rank":2,"of":2,"why":"place 2 of 2"}],"name":"Bo"}]}`
	if resp.StatusCode != 200 || strings.TrimSpace(body) != want {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	resp, body = r.call("GET", "/api/standings?to=2026-11-07&division=women", r.ada, "", "Accept", "text/csv")
	if !strings.Contains(resp.Header.Get("Content-Disposition"), `"standings-2026-11-01-2026-11-07.csv"`) || !strings.Contains(body, "\nwomen,1,ada,'=Ada,1,,2026-11-07,B,1,yes,A4,place 1 of 2\n") {
		t.Errorf("%s %s", resp.Header, body)
	}
	if resp, body := r.call("GET", "/api/boards/2026-11-25/B/ada", r.coach, ""); resp.StatusCode != 200 || !strings.Contains(body, `"result":"14:32"`) {
		t.Errorf("%d %s", resp.StatusCode, body)
	}
	if resp, _ := r.call("GET", "/api/boards/2026-11-25/B/ada", r.ada, ""); resp.StatusCode != http.StatusForbidden {
		t.Errorf("a member gets %d for an explanation", resp.StatusCode)
	}
}

func TestBoardsPageOfAMember(t *testing.T) {
	p := startPages(t)
	resp, page := p.get("/boards", p.ada)
	if resp.StatusCode != 200 {
		t.Fatalf("%d %s", resp.StatusCode, page)
	}
	inOrder(t, page, "Wednesday 25 November 2026", "Ada Invented", "towel row", "The last seven days", "=Ada", "place 1 of 2")
	if strings.Contains(page, "<script") {
		t.Error("a name became a script")
	}
	for path, want := range map[string]int{"/boards/2026-11-25": 200, "/boards/2026-11-20": 200, "/boards/2026-02-30": 404} {
		if resp, _ := p.get(path, p.ada); resp.StatusCode != want {
			t.Errorf("%s: %d, want %d", path, resp.StatusCode, want)
		}
	}
	for _, token := range []string{"", "lantern.guess"} {
		if resp, page := p.get("/boards", token); resp.StatusCode != http.StatusUnauthorized || strings.Contains(page, "Ada Invented") {
			t.Errorf("a stranger gets %d", resp.StatusCode)
		}
	}
	p.fake.set(func() {
		m := p.fake.members["ada"]
		m.HeldN = 1
		p.fake.members["ada"] = m
	})
	if resp, page := p.get("/boards", p.ada); resp.StatusCode != http.StatusForbidden || strings.Contains(page, "towel row") {
		t.Errorf("who is held gets %d", resp.StatusCode)
	}
}

func TestStandingsPageOfTheCoach(t *testing.T) {
	p := startPages(t)
	resp, page := p.get("/coach/standings?from=2026-11-01&to=2026-11-07&division=women&version=scaled", p.coach)
	if resp.StatusCode != 200 {
		t.Fatalf("%d %s", resp.StatusCode, page)
	}
	inOrder(t, page, `value="2026-11-01"`, `value="2026-11-07"`, "<option selected>women", `<option value="scaled" selected>`, "Sun 1 Nov to Sat 7 Nov; 1 race; scaled",
		"=Ada", "A4: place 1 of 2", "standings.csv?division=women&amp;from=2026-11-01")
	resp, page = p.get("/coach/standings?from=someday&division=women", p.coach)
	if resp.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(page, "Not done:") || !strings.Contains(page, "someday") {
		t.Errorf("%d %s", resp.StatusCode, page)
	}
	resp, page = p.get("/coach/standings.csv?from=2026-11-01&to=2026-11-07&division=women", p.coach)
	if resp.StatusCode != 200 || !strings.Contains(page, ",'=Ada,") {
		t.Errorf("%d %s", resp.StatusCode, page)
	}
}
