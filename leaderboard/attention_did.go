package leaderboard

import (
	"fmt"
	"slices"
	"strings"

	"tallybell/content"
)

// The rules about what members did.

// latest returns the member's outcomes that pick takes, latest first, at most n.
func (f *Followed) latest(n int, pick func(Outcome) bool) []Outcome {
	var out []Outcome
	for _, d := range f.Days {
		for _, o := range slices.Backward(d.Results) {
			if len(out) < n && pick(o) {
				out = append(out, o)
			}
		}
	}
	return out
}

// fresh reports whether the latest of some outcomes is new enough to be told of.
func fresh(os []Outcome, on content.Date) bool {
	return len(os) > 0 && on.DaysSince(os[0].Record.Date) < freshDays
}

func outOfTime(f *Followed, t Thresholds, on content.Date) (Notice, bool) {
	if t.OutOfTime <= 0 || f.Away {
		return Notice{}, false
	}
	last := f.latest(t.OutOfTime, func(o Outcome) bool { return o.Record.Kind == content.KindTime && o.Record.Off == "" })
	if len(last) < t.OutOfTime || !fresh(last, on) {
		return Notice{}, false
	}
	for _, o := range last {
		if o.Record.Result.IsFinished() || o.Record.Result.Version != last[0].Record.Result.Version || o.Record.Eased != last[0].Record.Eased {
			return Notice{}, false
		}
	}
	n := Notice{Reason: fmt.Sprintf("out of time %s running", times(t.OutOfTime)), Because: outcomesText(last), Offer: "you may offer an easier line"}
	if v := strings.ReplaceAll(string(last[0].Record.Result.Version), "_", " "); v != "" {
		n.Reason += ", " + v
	}
	return n, true
}

// hurtSince reports whether the member wrote of pain on a date or after it: then nobody is told that they are ready for
// more.
func (f *Followed) hurtSince(d content.Date) bool {
	return f.Held || slices.ContainsFunc(f.Hurt, func(m Mention) bool { return !m.Date.Before(d) })
}

const offerHarder = "you may offer a harder line; the bot never does"

func light(f *Followed, t Thresholds, on content.Date) (Notice, bool) {
	if t.LightTimes <= 0 || t.LightEffort <= 0 || f.Away {
		return Notice{}, false
	}
	var told []string
	var last content.Date
	for _, d := range f.Days {
		written, scored := d.asWritten()
		if !scored || d.Effort == nil {
			continue
		}
		if !written || *d.Effort > t.LightEffort || len(told) == 0 && on.DaysSince(d.Date) >= freshDays {
			return Notice{}, false
		}
		told, last = append(told, "effort "+decimals(*d.Effort, 1)+" on "+dayText(d.Date)), d.Date
		if len(told) == t.LightTimes {
			slices.Reverse(told)
			return Notice{Reason: fmt.Sprintf("as written with effort %s or less %s", decimals(t.LightEffort, 1), times(t.LightTimes)),
				Because: strings.Join(told, ", "), Offer: offerHarder}, !f.hurtSince(last)
		}
	}
	return Notice{}, false
}

// asWritten reports whether every scored result of a day was done as written, and whether there was any. A piece that
// was not finished was not done as written with ease.
func (d Day) asWritten() (written, scored bool) {
	for _, o := range d.Results {
		r := o.Record
		if r.Kind == content.KindDone || r.Off != "" {
			continue
		}
		scored = true
		if r.Result.Version != content.AsWritten || r.Kind == content.KindTime && !r.Result.IsFinished() {
			return false, true
		}
	}
	return scored, scored
}

func fastest(f *Followed, t Thresholds, on content.Date) (Notice, bool) {
	if t.FastestTimes <= 0 || t.FastestIn <= 0 || f.Away {
		return Notice{}, false
	}
	last := f.latest(t.FastestTimes, func(o Outcome) bool {
		return slices.ContainsFunc(o.Places, func(s Standing) bool { return s.Of >= int64(t.FastestOf) })
	})
	if len(last) < t.FastestTimes || !fresh(last, on) || f.hurtSince(last[len(last)-1].Record.Date) {
		return Notice{}, false
	}
	var told []string
	for _, o := range slices.Backward(last) {
		i := slices.IndexFunc(o.Places, func(s Standing) bool {
			return s.Of >= int64(t.FastestOf) && s.Rank*int64(t.FastestIn) <= s.Of
		})
		if i < 0 {
			return Notice{}, false
		}
		told = append(told, fmt.Sprintf("%d of %d %s, %s on %s", o.Places[i].Rank, o.Places[i].Of, o.Places[i].Division, o.Record.Part, dayText(o.Record.Date)))
	}
	return Notice{Reason: fmt.Sprintf("in the fastest %s of at least %d %s running", shareWord(t.FastestIn), t.FastestOf, times(t.FastestTimes)),
		Because: strings.Join(told, "; "), Offer: offerHarder}, true
}

func marked(f *Followed, t Thresholds, on content.Date) (Notice, bool) {
	last := f.latest(FollowedDays, func(o Outcome) bool {
		return o.Record.Marked && on.DaysSince(o.Record.Date) < t.MarkedDays
	})
	if len(last) == 0 {
		return Notice{}, false
	}
	return Notice{Reason: "a result that looked implausible, and was insisted on", Because: outcomesText(last), Offer: "please check it with them"}, true
}

// weekDays is a week of the load rule: seven days ending with the report's.
const weekDays = 7

func loaded(f *Followed, t Thresholds, on content.Date) (Notice, bool) {
	if t.LoadPercent <= 0 || f.Joined.IsZero() || on.AddDays(1-FollowedDays).Before(f.Joined) {
		return Notice{}, false
	}
	var weeks [FollowedDays / weekDays]float64 // the latest first
	for _, d := range f.Days {
		week := on.DaysSince(d.Date) / weekDays
		switch {
		case on.Before(d.Date), week >= len(weeks):
			continue
		case d.Load != nil:
			weeks[week] += *d.Load
		case len(d.Results) > 0 && week > 0:
			return Notice{}, false // a week with a load that nobody knows is not a full one
		}
	}
	before := WeekOf(weeks[1:])
	if slices.Contains(weeks[1:], 0) || weeks[0] <= before.Mean*(1+float64(t.LoadPercent)/100) {
		return Notice{}, false
	}
	above := 100 * (weeks[0]/before.Mean - 1)
	return Notice{Reason: fmt.Sprintf("a week's load more than %d %% above the three weeks before", t.LoadPercent),
		Because: fmt.Sprintf("%.0f in 7 days, a mean of %.0f before (%+.0f %%)", weeks[0], before.Mean, above)}, true
}
