package bot

import (
	"context"
	"fmt"
	"strings"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/schedule"
)

// mostLooks is how many lines of the attention list the coach is told in the conversation; the page has them all.
const mostLooks = 40

// tellMorning tells the coach how a day went: "morning" is yesterday, "morning 2027-02-01" another date.
func (b *Bot) tellMorning(ctx context.Context, q coached, a *answer) error {
	date, problem := coachDate(q.rest, q.today)
	switch {
	case problem != "":
		return say(a, problem)
	case q.rest == "":
		date = q.today.AddDays(-1)
	}
	r, err := b.Report(ctx, date)
	if err != nil && (asProblem(err) == nil || len(r.Attention) == 0) {
		return tellOr(a, err)
	}
	b.sayMorning(r, a)
	return nil
}

// sayMorning writes a report into an answer. Names are looked up on reading, since they go when a member is forgotten.
func (b *Bot) sayMorning(r Report, a *answer) {
	if r.Title == "" {
		_ = say(a, dayName(r.Date)+": no session.")
	} else {
		_ = say(a, fmt.Sprintf("%s, %s: sent to %d, heard from %d, missing %d.", dayName(r.Date), r.Title, r.Sent, len(r.Answered), len(r.Missing)))
	}
	if url := strings.TrimSuffix(b.Club().PublicURL, "/"); url != "" {
		_ = say(a, "All of it: "+url+"/coach/day/"+r.Date.String())
	}
	if len(r.Attention) == 0 {
		_ = say(a, "Nobody needs a look.")
	}
	for i, n := range r.Attention {
		if i == mostLooks {
			a.Standing = append(a.Standing, standing{Head: fmt.Sprintf("and %d more on your page", len(r.Attention)-i)})
			break
		}
		show := n.Reason + " (" + n.Because + ")"
		if n.Offer != "" {
			show += "; " + n.Offer
		}
		a.Standing = append(a.Standing, standing{Member: n.Member, Show: show})
	}
}

// SendReport puts the report of the club's previous date into the coaches' conversations, once its time has come. It is
// computed when it is sent; a date without a session of which there is nothing to tell is left out. It may be called at
// any time and by several replicas: each coach gets each report once.
func (b *Bot) SendReport(ctx context.Context, now time.Time) error {
	today := content.DateOf(now.In(b.clubZone()))
	at, ok := schedule.InstantOf(b.clubZone(), b.Club().ReportAt, today)
	if !ok || now.Before(at) || b.reported.Load() == dayNumber(today) {
		return nil
	}
	date := today.AddDays(-1)
	once := "report:" + date.String()
	var due []string
	for _, c := range b.roster.All() {
		if c.Role != roster.RoleCoach || c.Removed() {
			continue
		}
		n, err := b.club.Heard(ctx, c.ID, once)
		if err != nil {
			return fmt.Errorf("report of %s: %w", date, err)
		}
		if n == 0 {
			due = append(due, c.ID)
		}
	}
	if len(due) > 0 {
		r, err := b.Report(ctx, date)
		if p := asProblem(err); err != nil && p == nil {
			return fmt.Errorf("report of %s: %w", date, err)
		} else if p != nil && len(r.Attention) == 0 {
			due = nil
		}
		a := answer{Kind: ReportPost, At: now.UnixMilli(), Date: date}
		b.sayMorning(r, &a)
		for _, id := range due {
			if err := b.notify(ctx, id, once, a, now); err != nil {
				return err
			}
		}
	}
	b.reported.Store(dayNumber(today))
	return nil
}

// dayNumber counts dates, so that one can be kept without a lock.
func dayNumber(d content.Date) int64 {
	return int64(d.DaysSince(content.Date{Year: 1999, Month: 12, Day: 31}))
}
