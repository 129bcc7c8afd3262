package bot

import (
	"context"
	"fmt"
	"strings"

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
		_ = say(a, fmt.Sprintf("%s, %s: sent to %d, received by %d, opened by %d, heard from %d, missing %d.",
			dayName(r.Date), r.Title, r.Sent, len(r.Received), len(r.Opened), len(r.Answered), len(r.Missing)))
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

// sendReport puts the report of the club's previous date into the coaches' conversations, computed now, once. A date
// without a session of which there is nothing to tell is left out.
func (b *Bot) sendReport(ctx context.Context, t schedule.Turn) error {
	date := t.Date.AddDays(-1)
	for range 7 { // a date that the zone's clock skipped is no date to report of
		if _, shown := schedule.InstantOf(t.Zone, content.Clock{}, date); shown {
			break
		}
		date = date.AddDays(-1)
	}
	r, err := b.Report(ctx, date)
	switch p := asProblem(err); {
	case err != nil && p == nil:
		return err
	case p != nil && len(r.Attention) == 0:
		return nil
	}
	a := answer{Kind: ReportPost, Date: date}
	b.sayMorning(r, &a)
	return b.mailCoaches(ctx, "report:"+date.String(), a)
}
