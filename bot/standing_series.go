package bot

import (
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// StandingsQuery says which standings are wanted: of a division, over the scored parts of some days.
type StandingsQuery struct {
	From, To content.Date // both included
	Division string
	Version  content.Version // one version's boards, or leaderboard.All; "" as the club says
}

// Standings are the standings of one division over several days, by low points.
type Standings struct {
	From     content.Date        `json:"from"`
	To       content.Date        `json:"to"`
	Division string              `json:"division"`
	Version  content.Version     `json:"version,omitempty"` // "" when each result is ranked on its own version's board
	Races    []leaderboard.Round `json:"races"`
	Discards int                 `json:"discards"`
	Missed   string              `json:"missed"` // what a missed race counts, with its rule
	Rows     []StandingsLine     `json:"standings"`
}

// StandingsLine is one member's line. Scores are in the order of the races.
type StandingsLine struct {
	leaderboard.SeasonRow
	Name     string `json:"name"`
	Namesake bool   `json:"namesake,omitempty"` // somebody else in the club is called that too
}

// Shown is the name as tables show it: with the member's id where another has the same name.
func (l StandingsLine) Shown() string {
	return leaderboard.Line{Name: l.Name, Member: l.Member, Namesake: l.Namesake}.Shown()
}

// mostStandingsDays bounds a series.
const mostStandingsDays = 366

func (q StandingsQuery) check(divisions []string) (StandingsQuery, error) {
	invalid := func(format string, args ...any) (StandingsQuery, error) {
		return q, &Problem{Code: "invalid", Text: fmt.Sprintf(format, args...)}
	}
	switch i := slices.IndexFunc(divisions, func(d string) bool { return strings.EqualFold(d, q.Division) }); {
	case q.To.Before(q.From):
		return invalid("The days end before they begin: %s is after %s.", q.From, q.To)
	case q.To.DaysSince(q.From) >= mostStandingsDays:
		return invalid("From %s to %s are more than %d days: ask for fewer.", q.From, q.To, mostStandingsDays)
	case i < 0:
		return invalid("%q is none of the club's divisions: they are %s.", q.Division, strings.Join(divisions, ", "))
	case !slices.Contains([]content.Version{"", content.AsWritten, content.Scaled, leaderboard.All}, q.Version):
		return invalid("%q is no version: write as_written, scaled or all.", q.Version)
	default:
		q.Division = divisions[i]
	}
	return q, nil
}

// Standings scores a division's boards of the scored parts between two days, as the club's file says. A *Problem with
// code invalid tells what is wrong with the query.
func (b *Bot) Standings(ctx context.Context, q StandingsQuery) (Standings, error) {
	club := b.Club()
	q, err := q.check(club.AllDivisions())
	if err != nil {
		return Standings{}, err
	}
	if q.Version == "" && club.JointBoards {
		q.Version = leaderboard.All
	}
	season := leaderboard.Season{Discards: club.Discards.Of, UseCame: club.MissedCame, Excused: b.excused}
	if season.Rounds, err = b.rounds(ctx, q); err != nil {
		return Standings{}, err
	}
	if club.MissedCame {
		if season.Came, err = b.cameOn(ctx, season.Scored()); err != nil {
			return Standings{}, err
		}
	}
	out := Standings{From: q.From, To: q.To, Division: q.Division, Version: q.Version, Missed: missedWords(club.MissedCame),
		Races: season.Scored(), Rows: []StandingsLine{}}
	out.Discards = club.Discards.Of(len(out.Races))
	rows := season.Standings()
	leaderboard.SortShared(rows, func(x, y string) int {
		return cmp.Or(cmp.Compare(b.roster.Name(x), b.roster.Name(y)), cmp.Compare(x, y))
	})
	for _, r := range rows {
		out.Rows = append(out.Rows, StandingsLine{SeasonRow: r, Name: b.roster.Name(r.Member), Namesake: b.roster.Namesake(r.Member)})
	}
	return out, nil
}

func missedWords(came bool) string {
	if came {
		return "those who came that day + 1 (A5.3); who did not come, entries + 1"
	}
	return "entries + 1 (A5.2)"
}

// excused says why a missed day counts a member the average of their other days, "" when it does not.
func (b *Bot) excused(member string, d content.Date) string {
	m, ok := b.roster.Get(member)
	switch {
	case !ok:
		return ""
	case m.Joined() && d.Before(m.JoinedOn):
		return "not joined yet"
	case m.PausedOn(d):
		return "paused"
	}
	return ""
}

// rounds reads the boards of every scored part between the days, in one round trip beside the sheets.
func (b *Bot) rounds(ctx context.Context, q StandingsQuery) ([]leaderboard.Round, error) {
	dates, err := b.resultDates(ctx)
	if err != nil {
		return nil, err
	}
	versions := []content.Version{content.AsWritten, content.Scaled}
	if q.Version != "" {
		versions = []content.Version{q.Version}
	}
	var rounds []leaderboard.Round
	var asked []store.Window
	sheets := sheetsRead{b: b}
	for _, d := range dates {
		if d.Before(q.From) || q.To.Before(d) {
			continue
		}
		s, ok, err := sheets.of(ctx, d)
		if err != nil {
			return nil, err
		}
		if !ok {
			continue
		}
		for _, p := range s.Parts {
			if !p.IsScored() {
				continue
			}
			round := leaderboard.Round{Date: d, Part: p.Letter}
			if slices.Contains(s.Choose, p.Letter) {
				round.Choice = s.Choose
			}
			rounds = append(rounds, round)
			for _, v := range versions {
				low, high := leaderboard.Bounds(v)
				asked = append(asked, store.Window{Low: low, High: high,
					Board: store.Board{Date: d.String(), Part: p.Letter, Kind: string(p.Kind()), Division: q.Division}})
			}
		}
	}
	views, err := b.club.Windows(ctx, asked)
	if err != nil {
		return nil, err
	}
	for i, v := range views {
		r := &rounds[i/len(versions)]
		for _, s := range v.First {
			_, member, err := store.ParseSetMember(s.SetMember)
			if err != nil || b.roster.Name(member) == "" {
				continue // gone for good
			}
			r.Ranks = append(r.Ranks, leaderboard.RoundRank{Member: member, Rank: s.Rank, Of: v.Of, Version: versions[i%len(versions)]})
		}
	}
	return rounds, nil
}

// cameOn tells who gave any result on the days of some rounds.
func (b *Bot) cameOn(ctx context.Context, rounds []leaderboard.Round) (func(member string, d content.Date) bool, error) {
	came := map[content.Date]map[string]bool{}
	for _, r := range rounds {
		if came[r.Date] != nil {
			continue
		}
		records, err := b.records(ctx, r.Date)
		if err != nil {
			return nil, err
		}
		came[r.Date] = map[string]bool{}
		for _, rec := range records {
			came[r.Date][rec.Member] = true
		}
	}
	return func(member string, d content.Date) bool { return came[d][member] }, nil
}

// WriteCSV writes standings as a table: a line for each score, so that every point can be traced.
func (s Standings) WriteCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	err := c.Write([]string{"division", "rank", "member", "name", "total", "tie", "date", "part", "points", "counts", "rule", "why"})
	for _, r := range s.Rows {
		for k, sc := range r.Scores {
			counts := "yes"
			if sc.Excluded {
				counts = "no"
			}
			err = errors.Join(err, c.Write(leaderboard.Cells(s.Division, strconv.Itoa(r.Rank), r.Member, r.Name, r.Total.String(), r.Tie,
				s.Races[k].Date.String(), s.Races[k].Part, sc.Points.String(), counts, sc.Rule, sc.Why)))
		}
	}
	c.Flush()
	return errors.Join(err, c.Error())
}
