package bot

import (
	"context"

	"tallybell/content"
	"tallybell/leaderboard"
)

// minutesOf returns how long a member was at a part: the time they told where it is one, the cap where they ran out of
// time, else the middle of the sheet's estimate. Warm-up, changes between parts and cool-down are not counted.
func minutesOf(p content.Part, r content.Result, lib *content.Library) float64 {
	switch {
	case r.Kind == content.KindTime && r.IsFinished() && r.TimeMS > 0, r.Kind == content.KindHold && r.TimeMS > 0:
		return float64(r.TimeMS) / 60_000
	case r.Kind == content.KindTime && !r.IsFinished() && p.Cap > 0:
		return p.Cap.Minutes()
	}
	low, high := content.Estimate(p, lib)
	return (low + high).Minutes() / 2
}

// effortAndLoad returns the effort of a member's day and its load, each nil when it is not known. An effort told for a
// session of which no part was logged counts for the sheet's estimate of the whole of it.
func (b *Bot) effortAndLoad(day *pastDay, rs []*leaderboard.Record, whole *float64) (effort, load *float64) {
	shares := make([]leaderboard.Share, 0, len(rs))
	for _, r := range rs {
		p, ok := day.sheet.Part(r.Part)
		if !ok {
			p = &content.Part{Letter: r.Part}
		}
		shares = append(shares, leaderboard.Share{Minutes: minutesOf(*p, r.Result, b.library), Effort: r.Result.Effort})
	}
	if len(rs) == 0 && whole != nil && day.written {
		low, high := content.EstimateSession(day.sheet, b.library)
		shares = append(shares, leaderboard.Share{Minutes: (low + high).Minutes() / 2})
	}
	if e, ok := leaderboard.DayEffort(whole, shares); ok {
		effort = &e
	}
	if l, ok := leaderboard.DayLoad(whole, shares); ok {
		load = &l
	}
	return effort, load
}

// LoadDay is one date of a member's training load.
type LoadDay struct {
	Date    content.Date `json:"date"`
	Effort  *float64     `json:"effort,omitempty"`
	Minutes float64      `json:"minutes,omitempty"` // of the parts that were logged
	Load    *float64     `json:"load"`              // effort x minutes; 0 on a day of rest; null where no effort was told
}

// LoadWeek is seven days of it; see leaderboard.WeekOf. Where the effort of a day was not told, sum and mean are over
// the other days, and there is neither monotony nor strain. What has no meaning is null.
type LoadWeek struct {
	From     content.Date `json:"from"`
	To       content.Date `json:"to"`
	Sum      *float64     `json:"sum"`
	Mean     *float64     `json:"mean"`
	Monotony *float64     `json:"monotony"`
	Strain   *float64     `json:"strain"`
	Untold   int          `json:"untold"` // days of training whose effort was not told
	Days     []LoadDay    `json:"days"`   // earliest first
}

// sumUp fills in the figures of a week from its days.
func (w *LoadWeek) sumUp() {
	var known []float64
	for _, d := range w.Days {
		if d.Load != nil {
			known = append(known, *d.Load)
		}
	}
	w.Untold = len(w.Days) - len(known)
	sums := leaderboard.WeekOf(known)
	if w.Untold > 0 {
		sums.Monotony, sums.Strain = nil, nil // not the seven days that these are of
	}
	if w.Untold == 0 || sums.Sum > 0 {
		w.Sum, w.Mean = &sums.Sum, &sums.Mean
	}
	w.Monotony, w.Strain = sums.Monotony, sums.Strain
}

// Loads is a member's training load of the last four weeks, up to yesterday. It describes; it predicts nothing.
type Loads struct {
	Person
	Weeks []LoadWeek `json:"weeks"` // latest first, none before they joined
}

// Load returns the training load of a member. A *Problem with code not_found when there is none.
func (b *Bot) Load(ctx context.Context, member string) (Loads, error) {
	m, ok := b.roster.Get(member)
	if !ok {
		return Loads{}, &Problem{Code: "not_found", Text: "There is no such member."}
	}
	last := b.clubToday().AddDays(-1)
	records, err := b.ownRecords(ctx, member)
	if err != nil {
		return Loads{}, err
	}
	dates := daysBack(last, leaderboard.FollowedDays)
	notes, err := b.notesFor(ctx, member, dates)
	if err != nil {
		return Loads{}, err
	}
	did := map[content.Date][]*leaderboard.Record{}
	for i := range records {
		did[records[i].Date] = append(did[records[i].Date], &records[i])
	}
	out := Loads{Person: b.person(m.ID), Weeks: []LoadWeek{}}
	for start := 0; start+7 <= len(dates); start += 7 {
		w := LoadWeek{From: dates[start+6], To: dates[start]}
		if w.To.Before(m.JoinedOn) {
			break
		}
		for i := start + 6; i >= start; i-- {
			d := LoadDay{Date: dates[i]}
			whole := notes[d.Date].Effort
			if rs := did[d.Date]; len(rs) == 0 && whole == nil {
				d.Load = new(float64)
			} else if err := b.loadOf(ctx, &d, rs, whole); err != nil {
				return Loads{}, err
			}
			w.Days = append(w.Days, d)
		}
		w.sumUp()
		out.Weeks = append(out.Weeks, w)
	}
	return out, nil
}

// loadOf fills in a day of training.
func (b *Bot) loadOf(ctx context.Context, d *LoadDay, rs []*leaderboard.Record, whole *float64) error {
	day := &pastDay{date: d.Date}
	if err := b.readSheet(ctx, day); err != nil {
		return err
	}
	d.Effort, d.Load = b.effortAndLoad(day, rs, whole)
	if d.Effort != nil && d.Load != nil {
		d.Minutes = *d.Load / *d.Effort
	}
	return nil
}
