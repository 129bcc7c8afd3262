package web_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tallybell/bot/web"
)

func wickedStandings() web.Standings {
	long := strings.Repeat("Ångström-Nakagawa ", 12) // 216 characters
	return web.Standings{Division: wicked, About: "Mon 1 Feb to Sun 7 Feb; 2 races.", Of: 9,
		Rows: []web.StandingsRow{
			{Rank: 1, Name: wicked, Points: "2.5", Tie: "An equal total, told apart by the best scores (A8.1).", Scores: []web.Score{
				{Race: "Mon 1 Feb, D", Points: "1", Rule: "A4", Why: "place 1 of 9"},
				{Race: "Tue 2 Feb, B", Points: "10", Excluded: true, Rule: "A5.2", Why: "no place: 9 entries + 1; left out, one of the worst (A2.1)"}}},
			{Rank: 2, Name: "🏋️‍♀️ Bo", Points: "3"}, {Rank: 2, Name: long, Points: "3"}},
		Around: []web.StandingsRow{{Rank: 7, Own: true, Name: "Ana", Points: "21"}}}
}

func wickedBoards() web.BoardsPage {
	entry := func(rank int64, name, result string) web.Entry {
		return web.Entry{Rank: rank, Name: name, Result: result}
	}
	mine := entry(9, "Ana", "23:59:59.999")
	mine.Own, mine.Joint, mine.Late, mine.Way, mine.Load = true, 14, true, wicked, "500 kg"
	block := web.Block{Division: "women", Version: "scaled", Of: 20, Entries: []web.Entry{entry(1, wicked, "0 reps"), entry(2, "🦊", "500 kg")},
		Around: []web.Entry{entry(8, "Bo #b2", "12:00"), mine}}
	return web.BoardsPage{Club: wicked, Date: "2027-02-01", DateText: "Monday 1 February 2027", Before: "2027-01-31", After: "2027-02-02",
		Boards:    []web.Board{{Part: "D", Scheme: "5 rounds for time", Blocks: []web.Block{block}, Folded: []web.Block{block}}, {Part: "C", Scheme: "AMRAP 9:00"}},
		Standings: []web.Standings{wickedStandings(), {Division: "50+"}}}
}

func TestBoardsPage(t *testing.T) {
	w := httptest.NewRecorder()
	if err := newPages(t).Boards(w, wickedBoards()); err != nil {
		t.Fatal(err)
	}
	if w.Code != http.StatusOK || strings.Contains(w.Body.String(), "<script") {
		t.Errorf("status %d, or a script that somebody typed", w.Code)
	}
	golden(t, "boards.html", body(t, w))
	w = httptest.NewRecorder()
	if err := newPages(t).Boards(w, web.BoardsPage{Club: "Hall", Problem: "Open your own link first.", Status: http.StatusUnauthorized}); err != nil {
		t.Fatal(err)
	}
	if page := w.Body.String(); w.Code != http.StatusUnauthorized || !strings.Contains(page, "Open your own link first.") || strings.Contains(page, "seven days") {
		t.Errorf("status %d: %s", w.Code, page)
	}
}

func TestStandingsPage(t *testing.T) {
	w := httptest.NewRecorder()
	v := web.StandingsPage{Shell: shell("standings"), From: "2027-02-01", To: "2027-02-07", Division: wicked, Divisions: []string{"women", wicked},
		Versions: []web.Choice{{Value: "", Text: "the club’s way"}, {Value: "all", Text: "everyone together"}}, Version: "all", Table: wickedStandings(),
		CSV: "/coach/standings.csv?division=a&from=b"}
	if err := newPages(t).Standings(w, v); err != nil {
		t.Fatal(err)
	}
	golden(t, "standings.html", body(t, w))
}

// Both pages on a phone and a desk, light and dark: names of any length and kind, folded and unfolded.
func TestBoardsAndStandingsForEverybody(t *testing.T) {
	pages := newPages(t)
	mux := http.NewServeMux()
	pages.Routes(mux)
	mux.HandleFunc("GET /boards", func(w http.ResponseWriter, _ *http.Request) { _ = pages.Boards(w, wickedBoards()) })
	mux.HandleFunc("GET /coach/standings", func(w http.ResponseWriter, _ *http.Request) {
		v := web.StandingsPage{Shell: shell("standings"), From: "2027-02-01", To: "2027-02-07", Division: "women", Divisions: []string{"women"},
			Versions: []web.Choice{{Value: "", Text: "the club’s way"}}, Table: wickedStandings(), CSV: "/coach/standings.csv"}
		_ = pages.Standings(w, v)
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	b := phone(t, newBrowser(t))
	for _, path := range []string{"/boards", "/coach/standings"} {
		for _, dark := range []bool{false, true} {
			for _, width := range []int64{320, 390, 1280} {
				b.open(server.URL + path)
				b.dark(dark)
				b.do(chromedp.EmulateViewport(width, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2)))
				b.audit(path)
				eval[bool](b, `document.querySelectorAll('details').forEach(d => d.open = true), true`)
				b.audit(path + ", unfolded")
			}
		}
	}
}
