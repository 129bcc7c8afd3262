package gateway

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/bot/web"
	"tallybell/content"
	"tallybell/leaderboard"
)

// openDays is how many dates of a past stand open; the earlier ones are folded.
const openDays = 14

// ownPast is a member's own page of results. It is told to whoever holds a member's cookie, and to nobody else.
func (d *desk) ownPast(w http.ResponseWriter, r *http.Request) {
	v := web.Results{Club: d.clubName(r), Title: "Your results"}
	who, err := d.authenticate(r, roster.RoleMember)
	if err == nil && !d.api.take(who.club.id+"/"+who.member.ID, time.Now()) {
		err = tooMany(time.Second)
	}
	var h bot.History
	if err == nil {
		v.Club = nameOf(who.club)
		h, err = who.club.Bot.History(r.Context(), who.member.ID, false)
	}
	if err != nil {
		p := asProblem(err)
		d.note(r, p)
		v.Problem = p.Detail
		if p.Status == http.StatusUnauthorized {
			v.Problem = "This page needs your link: open it once on this phone, then come back here."
		}
	}
	v.Past = pastView(h, who.member.Units)
	d.sent(d.pages.Results(w, v))
}

// fillPast adds what a member did to their page on the coach's desk.
func (d *desk) fillPast(ctx context.Context, v *web.PersonFit, who caller, m roster.Member) error {
	h, err := who.club.Bot.History(ctx, m.ID, true)
	if err != nil {
		return err
	}
	loads, err := who.club.Bot.Load(ctx, m.ID)
	if err != nil {
		return err
	}
	v.Past = pastView(h, m.Units)
	for _, s := range h.Heaviest {
		v.Sets = append(v.Sets, heavyView(s, m.Units))
	}
	for _, w := range loads.Weeks {
		v.Weeks = append(v.Weeks, weekView(w))
	}
	return nil
}

func pastView(h bot.History, units string) web.Past {
	var v web.Past
	var day content.Date
	for _, r := range h.Results {
		if r.Date != day || len(v.Days) == 0 {
			day = r.Date
			v.Days = append(v.Days, web.PastDay{DateText: shortDate(r.Date), Session: r.Session})
		}
		last := &v.Days[len(v.Days)-1]
		last.Results = append(last.Results, pastResult(r))
	}
	if len(v.Days) > openDays+2 {
		v.Days, v.Older = v.Days[:openDays], v.Days[openDays:]
	}
	for i, p := range h.Pieces {
		piece := web.Piece{Name: p.Name, Chart: chartOf("chart"+strconv.Itoa(i), p, units)}
		for _, r := range slices.Backward(p.Results) {
			piece.Results = append(piece.Results, pastResult(r))
		}
		v.Pieces = append(v.Pieces, piece)
	}
	return v
}

func pastResult(r bot.PastResult) web.PastResult {
	v := web.PastResult{DateText: shortDate(r.Date), Part: r.Part, Show: r.Show, Version: versionText(r.Result.Version), Way: r.Way,
		Change: r.Change, Best: r.Best, Late: r.Late, Eased: r.Eased, Marked: r.Marked}
	if e := r.Result.Effort; e != nil {
		v.Effort = strconv.FormatFloat(*e, 'f', -1, 64)
	}
	return v
}

func shortDate(d content.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("2 Jan 2006")
}

// chartOf draws a piece's results; nil where fewer than two can be drawn.
func chartOf(id string, p bot.PastPiece, units string) *web.Chart {
	m, value := measureOf(p, units)
	var points []web.Point
	for _, r := range p.Results {
		pt := web.Point{Day: r.Date.DaysSince(p.Results[0].Date), Date: shortDate(r.Date), Words: r.Show, Shape: web.Plain}
		pt.Short = strings.TrimSuffix(pt.Date, " "+strconv.Itoa(r.Date.Year))
		switch r.Result.Version {
		case content.AsWritten:
			pt.Shape = web.Written
		case content.Scaled:
			pt.Shape = web.ScaledTo
		}
		if v := versionText(r.Result.Version); v != "" {
			pt.Words += ", " + v
		}
		if r.Result.Kind == content.KindTime && !r.Result.IsFinished() {
			pt.Shape = web.Unfinished
		} else if pt.Value = value(r.Result); pt.Value <= 0 {
			continue
		}
		points = append(points, pt)
	}
	if len(points) < 2 {
		return nil
	}
	c := web.DrawChart(id, p.Name, m, points)
	return &c
}

// steps of marks: of times in seconds, of everything else.
var (
	clockSteps = []float64{1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 1800, 3600}
	plainSteps = []float64{0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000}
)

// measureOf tells what a chart of a piece shows, and a result's value on it.
func measureOf(p bot.PastPiece, units string) (web.Measure, func(content.Result) float64) {
	clock := func(s float64) string { return leaderboard.ShowClock(int64(math.Round(s)) * 1000) }
	plain := func(unit string) func(float64) string {
		return func(x float64) string { return strings.TrimSpace(strconv.FormatFloat(x, 'f', -1, 64) + " " + unit) }
	}
	load := func(r content.Result) float64 { return leaderboard.LoadIn(r.LoadG, units) }
	if units != "lb" {
		units = "kg"
	}
	switch p.Kind {
	case content.KindTime:
		return web.Measure{Name: "Time", Reads: "lower is faster", Steps: clockSteps, Label: clock},
			func(r content.Result) float64 { return float64(r.TimeMS) / 1000 }
	case content.KindHold:
		return web.Measure{Name: "Time held", Reads: "higher is longer", Steps: clockSteps, Label: clock},
			func(r content.Result) float64 { return float64(r.TimeMS) / 1000 }
	case content.KindReps:
		return web.Measure{Name: "Reps", Reads: "higher is more", Steps: plainSteps[1:], Label: plain("")},
			func(r content.Result) float64 { return float64(r.RepCount()) }
	case content.KindDistance:
		return web.Measure{Name: "Distance", Reads: "higher is farther", Steps: plainSteps, Label: plain("m")},
			func(r content.Result) float64 { return float64(r.DistanceMM) / 1000 }
	}
	loads := 0
	for _, r := range p.Results {
		if r.Result.LoadG > 0 {
			loads++
		}
	}
	if p.Kind == content.KindLoad || loads > 1 {
		return web.Measure{Name: "Load", Reads: "higher is heavier", Steps: plainSteps, Label: plain(units)}, load
	}
	return web.Measure{Name: "Reps over all sets", Reads: "higher is more", Steps: plainSteps[1:], Label: plain("")},
		func(r content.Result) float64 {
			var sum int64
			for _, n := range r.SetReps {
				sum += n
			}
			return float64(sum)
		}
}

func heavyView(s bot.HeavySet, units string) web.HeavySet {
	v := web.HeavySet{Movement: s.Movement, Set: fmt.Sprintf("%s × %d", leaderboard.ShowLoad(s.LoadG, units), s.Reps), DateText: shortDate(s.Date)}
	from, to, ok := leaderboard.OnceRange(float64(s.LoadG), s.Reps)
	low, high := tenths(int64(math.Round(from))), tenths(int64(math.Round(to)))
	switch {
	case !ok:
	case low == high:
		v.Estimate = "estimate: " + leaderboard.ShowLoad(low, units)
	default:
		v.Estimate = "estimate: " + leaderboard.ShowLoad(low, units) + " to " + leaderboard.ShowLoad(high, units)
	}
	return v
}

// tenths rounds grams to tenths of a kilogram: an estimate has no more figures than that.
func tenths(g int64) int64 { return (g + 50) / 100 * 100 }

func weekView(w bot.LoadWeek) web.LoadWeek {
	text := func(x *float64, digits int) string {
		if x == nil {
			return "n/a"
		}
		return strconv.FormatFloat(*x, 'f', digits, 64)
	}
	v := web.LoadWeek{Dates: shortDate(w.From) + " to " + shortDate(w.To), Sum: text(w.Sum, 0), Mean: text(w.Mean, 0),
		Monotony: text(w.Monotony, 2), Strain: text(w.Strain, 0), Untold: counted(w.Untold, "day")}
	var daily []string
	for _, d := range w.Days {
		if d.Load == nil {
			daily = append(daily, "not told")
			continue
		}
		daily = append(daily, text(d.Load, 0))
	}
	v.Daily = strings.Join(daily, ", ")
	return v
}
