package web_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"tallybell/bot/web"
)

func TestOwnResultsAreNeverHTML(t *testing.T) {
	chart := web.DrawChart("c0", wicked, secondsMeasure, []web.Point{{Day: 0, Date: wicked, Short: wicked, Value: 3, Shape: web.Written, Words: wicked},
		{Day: 3, Date: "b", Short: "b", Value: 2, Shape: web.ScaledTo, Words: "x"}})
	result := web.PastResult{DateText: wicked, Part: "D", Show: wicked, Version: "scaled", Way: wicked, Change: wicked, Best: true, Late: true}
	v := web.Results{Club: wicked, Title: "Your results", Past: web.Past{
		Pieces: []web.Piece{{Name: wicked, Chart: &chart, Results: []web.PastResult{result}}},
		Days:   []web.PastDay{{DateText: "x", Session: wicked, Results: []web.PastResult{result}}},
		Older:  []web.PastDay{{DateText: "x", Session: wicked, Results: []web.PastResult{result}}}}}
	w := httptest.NewRecorder()
	if err := newPages(t).Results(w, v); err != nil || w.Code != http.StatusOK {
		t.Fatal(err, w.Code)
	}
	page := w.Body.String()
	if strings.Contains(page, "<script") || strings.Count(page, "&lt;script&gt;") < 12 {
		t.Errorf("what people typed is HTML, or is gone:\n%s", page)
	}
	w = httptest.NewRecorder()
	if err := newPages(t).Results(w, web.Results{Title: "Your results"}); err != nil || !strings.Contains(w.Body.String(), "Nothing logged yet.") {
		t.Errorf("%v %s", err, w.Body.String())
	}
}

func TestMemberFindsTheirResults(t *testing.T) {
	c := newClub(t)
	c.session("ledge", today())
	b := phone(t, newBrowser(t))
	b.open(c.URL)
	if eval[bool](b, `!document.getElementById('results-link').hidden`) {
		t.Error("a link to results before anybody is signed in")
	}
	b.open(c.URL + invite)
	b.says("lateral step-downs")
	b.until("the link to results", `!document.getElementById('results-link').hidden`)
}
