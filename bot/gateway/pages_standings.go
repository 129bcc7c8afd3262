package gateway

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/bot/web"
	"tallybell/content"
	"tallybell/leaderboard"
)

// memberLines is how many lines of a board or of standings a member's page shows before their own neighbours.
const memberLines = 10

// coachLines is how many lines of standings the coach's page shows; the table for a spreadsheet holds them all.
const coachLines = 500

// memberBoards shows a member the boards of a day, where they stand, and the standings of the last days.
func (d *desk) memberBoards(w http.ResponseWriter, r *http.Request) {
	v := web.BoardsPage{Club: d.clubName(r)}
	who, err := d.authenticate(r, roster.RoleMember)
	switch {
	case err == nil && !d.api.take(who.club.id+"/"+who.member.ID, time.Now()):
		v.Status, v.Problem = http.StatusTooManyRequests, "That was often. Wait a moment, then open the page again."
	case err != nil:
		v.Status, v.Problem = http.StatusUnauthorized, "Open your own link on this phone first: the boards are for the club's members."
	case who.member.Held():
		v.Status, v.Problem = http.StatusForbidden, "Your coach would like to speak with you first. Ranks wait until then."
	default:
		if err = d.fillBoards(r, who, &v); err != nil {
			p := asProblem(err)
			d.note(r, p)
			v.Status, v.Problem = p.Status, p.Detail
		}
	}
	d.sent(d.pages.Boards(w, v))
}

func (d *desk) fillBoards(r *http.Request, who caller, v *web.BoardsPage) error {
	today := d.today(who.club)
	date := today
	if text := r.PathValue("date"); text != "" {
		var err error
		if date, err = pageDate(text); err != nil {
			return err
		}
	} else {
		var err error
		if date, err = d.latestBoards(r, who, today); err != nil {
			return err
		}
	}
	v.Date, v.DateText, v.Before = date.String(), dayText(date), date.AddDays(-1).String()
	if date.Before(today) {
		v.After = date.AddDays(1).String()
	}
	var err error
	if v.Boards, err = d.boardsFor(r, who, date); err != nil {
		return err
	}
	for _, division := range divisionsOf(who, today) {
		s, err := who.club.Bot.Standings(r.Context(), bot.StandingsQuery{From: today.AddDays(1 - standingsDays), To: today, Division: division})
		if err != nil {
			return err
		}
		v.Standings = append(v.Standings, standingsView(s, memberLines, who.member.ID))
	}
	return nil
}

// latestBoards is the latest day of the last week on which somebody stands on a board, today when there is none.
func (d *desk) latestBoards(r *http.Request, who caller, today content.Date) (content.Date, error) {
	for back := range standingsDays {
		date := today.AddDays(-back)
		boards, err := d.boardsFor(r, who, date)
		if err != nil {
			return date, err
		}
		if slices.ContainsFunc(boards, func(b web.Board) bool { return len(b.Blocks)+len(b.Folded) > 0 }) {
			return date, nil
		}
	}
	return today, nil
}

// boardsFor returns the boards of a day as one member sees them.
func (d *desk) boardsFor(r *http.Request, who caller, date content.Date) ([]web.Board, error) {
	s, ok, err := session(r.Context(), who.club, date)
	if err != nil || !ok {
		return nil, err
	}
	var out []web.Board
	own := leaderboard.Divisions(who.club.Bot.Club().AllDivisions(), who.member.Division, who.member.BirthYear, date)
	for _, part := range s.Parts {
		if !part.IsScored() {
			continue
		}
		page, err := who.club.Bot.Board(r.Context(), date, part.Letter, leaderboard.Query{Limit: memberLines, Around: who.member.ID,
			Units: who.member.Units, Joint: who.club.Bot.Club().JointRanks, Coach: who.isCoach()})
		if err != nil && !isNotFound(err) {
			return nil, err
		}
		board := boardView(part, page, who.member.ID)
		if len(own) > 0 {
			board.Folded = slices.DeleteFunc(slices.Clone(board.Blocks), func(b web.Block) bool { return slices.Contains(own, b.Division) })
			board.Blocks = slices.DeleteFunc(board.Blocks, func(b web.Block) bool { return !slices.Contains(own, b.Division) })
		}
		out = append(out, board)
	}
	return out, nil
}

// divisionsOf returns the divisions whose standings somebody sees first: their own, or all of the club's.
func divisionsOf(who caller, on content.Date) []string {
	all := who.club.Bot.Club().AllDivisions()
	if own := leaderboard.Divisions(all, who.member.Division, who.member.BirthYear, on); len(own) > 0 {
		return own
	}
	return all
}

// coachStandings shows the coach a division's standings over any days.
func (d *desk) coachStandings(w http.ResponseWriter, r *http.Request, who caller) error {
	divisions := who.club.Bot.Club().AllDivisions()
	asked := r.URL.Query()
	if asked.Get("division") == "" && len(divisions) > 0 {
		asked.Set("division", divisions[0])
	}
	v := web.StandingsPage{Shell: d.shell(r, who, "standings", "Standings"), Divisions: divisions, Division: asked.Get("division"),
		Version: asked.Get("version"), From: asked.Get("from"), To: asked.Get("to"), Versions: []web.Choice{
			{Value: "", Text: "the club’s way"}, {Value: "as_written", Text: "as written"}, {Value: "scaled", Text: "scaled"},
			{Value: "all", Text: "everyone together"}}}
	q, err := standingsQuery(asked, d.today(who.club))
	if err == nil {
		v.From, v.To = q.From.String(), q.To.String()
		var s bot.Standings
		if s, err = who.club.Bot.Standings(r.Context(), q); err == nil {
			v.Table = standingsView(s, coachLines, "")
			v.CSV = "/coach/standings.csv?" + url.Values{"from": {v.From}, "to": {v.To}, "division": {v.Division}, "version": {v.Version}}.Encode()
		}
	}
	if err != nil {
		p := asProblem(err)
		if p.Status >= http.StatusInternalServerError {
			return err
		}
		v.Problem = p.Detail
	}
	d.sent(d.pages.Standings(w, v))
	return nil
}

// standingsTable sends the coach's standings as a table.
func (d *desk) standingsTable(w http.ResponseWriter, r *http.Request, who caller) error {
	q, err := standingsQuery(r.URL.Query(), d.today(who.club))
	if err != nil {
		return err
	}
	s, err := who.club.Bot.Standings(r.Context(), q)
	if err != nil {
		return err
	}
	return sendCSV(w, fmt.Sprintf("standings-%s-%s.csv", q.From, q.To), s.WriteCSV)
}

// standingsView is standings as a page shows them: the first lines, and those around the reader.
func standingsView(s bot.Standings, limit int, who string) web.Standings {
	v := web.Standings{Division: s.Division, Of: len(s.Rows), About: about(s)}
	for i, at := range s.Shown(limit, who) {
		row := rowView(s, s.Rows[at], who)
		if i < limit {
			v.Rows = append(v.Rows, row)
		} else {
			v.Around = append(v.Around, row)
		}
	}
	return v
}

func about(s bot.Standings) string {
	if len(s.Rows) == 0 {
		return ""
	}
	parts := []string{shortDay(s.From) + " to " + shortDay(s.To), counted(len(s.Races), "race")}
	if s.From == s.To {
		parts[0] = shortDay(s.From)
	}
	switch s.Version {
	case "":
		parts = append(parts, "each on the board of their own version")
	case leaderboard.All:
		parts = append(parts, "as written and scaled together")
	default:
		parts = append(parts, versionText(s.Version))
	}
	parts = append(parts, "a missed race counts "+s.Missed)
	if s.Discards > 0 {
		parts = append(parts, "everybody's worst "+counted(s.Discards, "score")+" left out")
	}
	return strings.Join(parts, "; ") + "."
}

func rowView(s bot.Standings, r bot.StandingsLine, who string) web.StandingsRow {
	row := web.StandingsRow{Rank: r.Rank, Own: who != "" && r.Member == who, Name: r.Shown(), Points: r.Total.String()}
	switch r.Tie {
	case leaderboard.RuleBest:
		row.Tie = "An equal total, told apart by the best scores (A8.1)."
	case leaderboard.RuleLast:
		row.Tie = "An equal total, told apart by the last races (A8.2)."
	case leaderboard.TieShared:
		row.Tie = "An equal total in every way: the rank is shared."
	}
	for k, sc := range r.Scores {
		row.Scores = append(row.Scores, web.Score{Race: shortDay(s.Races[k].Date) + ", " + s.Races[k].Part, Points: sc.Points.String(),
			Excluded: sc.Excluded, Rule: sc.Rule, Why: sc.Why})
	}
	return row
}

// shortDay writes a date as a line of a table does.
func shortDay(d content.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("Mon 2 Jan")
}
