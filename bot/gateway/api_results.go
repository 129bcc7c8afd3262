package gateway

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"tallybell/bot"
	"tallybell/content"
	"tallybell/leaderboard"
)

type correction struct {
	Reply string `json:"reply"`
	Why   string `json:"why"`
}

// mostLines is how many lines of a board one call gives.
const mostLines = 1000

var boardParams = []param{
	{in: "query", name: "division", about: "One division; without it, every one."},
	{in: "query", name: "version", about: "One version; without it, as written and scaled, a block each.", values: []string{"as_written", "scaled", "all"}},
	{in: "query", name: "limit", about: fmt.Sprintf("Lines a block, 1 to %d; %d without it.", mostLines, leaderboard.DefaultLimit)},
	{in: "query", name: "around", about: "A member's id: each block where they stand also has their line among its neighbours, in \"around\"."},
	{in: "query", name: "units", about: "Of loads.", values: []string{"kg", "lb"}},
	{in: "header", name: "Accept", about: "text/csv for a table."},
}

func (s *Server) board(w http.ResponseWriter, r *http.Request, who caller) error {
	d, part, err := partOfDay(r)
	if err != nil {
		return err
	}
	q, err := boardQuery(r.URL.Query())
	if err != nil {
		return err
	}
	if q.Units == "" {
		q.Units = who.member.Units
	}
	q.Coach, q.Joint = who.isCoach(), who.club.Bot.Club().JointRanks
	page, err := who.club.Bot.Board(r.Context(), d, part, q)
	if err != nil {
		return err
	}
	if wants(r, "text/csv") {
		return sendCSV(w, fmt.Sprintf("board-%s-%s.csv", d, part), func(w io.Writer) error { return leaderboard.WriteCSV(w, page) })
	}
	page.Boards = list(page.Boards)
	return writeJSON(w, page)
}

func boardQuery(v url.Values) (leaderboard.Query, error) {
	q := leaderboard.Query{Division: v.Get("division"), Version: content.Version(v.Get("version")), Units: v.Get("units"), Around: v.Get("around")}
	if known := []content.Version{"", content.AsWritten, content.Scaled, leaderboard.All}; !slices.Contains(known, q.Version) {
		return q, refuse(http.StatusUnprocessableEntity, "version=%s: write as_written, scaled or all.", quote(string(q.Version)))
	}
	if err := checkUnits(q.Units); err != nil {
		return q, err
	}
	if text := v.Get("limit"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > mostLines {
			return q, refuse(http.StatusUnprocessableEntity, "limit=%s: write a number from 1 to %d.", quote(text), mostLines)
		}
		q.Limit = n
	}
	return q, nil
}

// results gives a coach every result of a date, and a member their own.
func (s *Server) results(w http.ResponseWriter, r *http.Request, who caller) error {
	d, err := dateOf(r)
	if err != nil {
		return err
	}
	var rows []bot.ResultRow
	if who.isCoach() {
		rows, err = who.club.Bot.Results(r.Context(), d)
	} else {
		rows, err = ownResults(r.Context(), who, d)
	}
	if err != nil {
		return err
	}
	return writeJSON(w, list(rows))
}

func (s *Server) correct(w http.ResponseWriter, r *http.Request, who caller) error {
	d, part, err := partOfDay(r)
	if err != nil {
		return err
	}
	var q correction
	if err := s.readJSON(w, r, &q); err != nil {
		return err
	}
	if strings.TrimSpace(q.Reply) == "" {
		return refuse(http.StatusUnprocessableEntity, "\"reply\" is empty: write the result as the member would, for example \"14:32 scaled\".")
	}
	if err := needWhy(q.Why); err != nil {
		return err
	}
	if _, err := present(who, r.PathValue("member")); err != nil {
		return err
	}
	row, err := who.club.Bot.Correct(r.Context(), who.member.ID, requestID(r), d, part, r.PathValue("member"), q.Reply, q.Why)
	if err != nil {
		return err
	}
	return writeJSON(w, row)
}

func (s *Server) removeResult(w http.ResponseWriter, r *http.Request, who caller) error {
	d, part, err := partOfDay(r)
	if err != nil {
		return err
	}
	why := r.URL.Query().Get("why")
	if err := needWhy(why); err != nil {
		return err
	}
	if err := who.club.Bot.RemoveResult(r.Context(), who.member.ID, requestID(r), d, part, r.PathValue("member"), why); err != nil {
		return err
	}
	return noContent(w)
}

func needWhy(why string) error {
	if strings.TrimSpace(why) == "" {
		return refuse(http.StatusUnprocessableEntity, "\"why\" is missing: say in a few words why the result is changed; the member can read it.")
	}
	return nil
}

func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return strconv.Itoa(n) + " " + thing + "s"
}
