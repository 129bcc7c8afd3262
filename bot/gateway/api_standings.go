package gateway

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"

	"tallybell/bot"
	"tallybell/content"
	"tallybell/leaderboard"
)

var unitsParam = []param{{in: "query", name: "units", about: "Of loads.", values: []string{"kg", "lb"}}}

var standingsParams = []param{
	{in: "query", name: "from", about: "The first day, as 2027-02-01; without it, six days before the last."},
	{in: "query", name: "to", about: "The last day; without it, today by the club's clock."},
	{in: "query", name: "division", about: "Needed: one of the club's divisions or age bands."},
	{in: "query", name: "version", about: "One version's boards, or all for the board of everyone; without it as the club file says.",
		values: []string{"as_written", "scaled", "all"}},
	{in: "header", name: "Accept", about: "text/csv for a table."},
}

// sendCSV sends a table as a file.
func sendCSV(w http.ResponseWriter, name string, write func(io.Writer) error) error {
	w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	w.Header().Set("Cache-Control", "no-store")
	return write(w)
}

func checkUnits(units string) error {
	if !slices.Contains([]string{"", "kg", "lb"}, units) {
		return refuse(http.StatusUnprocessableEntity, "units=%s: write kg or lb.", quote(units))
	}
	return nil
}

// explain tells the coach why a result stands where it stands.
func (s *Server) explain(w http.ResponseWriter, r *http.Request, who caller) error {
	d, part, err := partOfDay(r)
	if err != nil {
		return err
	}
	units := r.URL.Query().Get("units")
	if err := checkUnits(units); err != nil {
		return err
	}
	e, err := who.club.Bot.Explain(r.Context(), d, part, r.PathValue("member"), units)
	if err != nil {
		return err
	}
	return writeJSON(w, e)
}

func (s *Server) standings(w http.ResponseWriter, r *http.Request, who caller) error {
	q, err := standingsQuery(r.URL.Query(), s.clubToday(who.club))
	if err != nil {
		return err
	}
	got, err := who.club.Bot.Standings(r.Context(), q)
	if err != nil {
		return err
	}
	got.Races, got.Rows = list(got.Races), list(got.Rows)
	if wants(r, "text/csv") {
		return sendCSV(w, fmt.Sprintf("standings-%s-%s.csv", q.From, q.To), got.WriteCSV)
	}
	return writeJSON(w, got)
}

// standingsDays is how many days standings have when nothing else is asked, today included.
const standingsDays = 7

// standingsQuery reads what standings are asked for; today is the club's.
func standingsQuery(v url.Values, today content.Date) (bot.StandingsQuery, error) {
	q := bot.StandingsQuery{To: today, Division: v.Get("division"), Version: content.Version(v.Get("version"))}
	day := func(name string, into *content.Date) error {
		text := v.Get(name)
		if text == "" {
			return nil
		}
		d, err := content.ParseDate(text)
		if err != nil {
			return refuse(http.StatusUnprocessableEntity, "%s=%s: %s", name, quote(text), sentence(err))
		}
		*into = d
		return nil
	}
	if err := day("to", &q.To); err != nil {
		return q, err
	}
	q.From = q.To.AddDays(1 - standingsDays)
	if err := day("from", &q.From); err != nil {
		return q, err
	}
	if known := []content.Version{"", content.AsWritten, content.Scaled, leaderboard.All}; !slices.Contains(known, q.Version) {
		return q, refuse(http.StatusUnprocessableEntity, "version=%s: write as_written, scaled or all.", quote(string(q.Version)))
	}
	return q, nil
}
