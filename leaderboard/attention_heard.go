package leaderboard

import (
	"fmt"
	"slices"

	"tallybell/content"
)

// The rules about what members wrote, and about those who wrote nothing.

func hurt(f *Followed, t Thresholds, on content.Date) (Notice, bool) {
	if t.HurtDays <= 0 {
		return Notice{}, false
	}
	var dates []content.Date
	n := Notice{Reason: "wrote of pain or of their health"}
	for _, m := range f.Hurt {
		if m.since(on, t.HurtDays) && (m.Stop || !m.Mishap) {
			dates, n.urgent = append(dates, m.Date), n.urgent || m.Stop
		}
	}
	if n.urgent || f.Held {
		n.Reason, n.urgent = "wrote of a warning sign", true
	}
	if f.Held {
		n.Offer = "no session and no rank until you have spoken and lifted it"
	}
	if n.Because = daysText(dates); len(dates) == 0 {
		n.Because = "earlier, and not lifted yet"
	}
	return n, len(dates) > 0 || f.Held
}

// since reports whether a mention falls on a date or the few days before it.
func (m Mention) since(on content.Date, days int) bool {
	ago := on.DaysSince(m.Date)
	return 0 <= ago && ago < days
}

func incident(f *Followed, t Thresholds, on content.Date) (Notice, bool) {
	var dates []content.Date
	for _, m := range f.Hurt {
		if m.Mishap && !m.Stop && m.since(on, t.HurtDays) {
			dates = append(dates, m.Date)
		}
	}
	return Notice{Reason: "told of a mishap", Because: daysText(dates), Offer: "look at the movement and its kit with them"}, len(dates) > 0
}

func question(f *Followed, _ Thresholds, on content.Date) (Notice, bool) {
	dates := slices.DeleteFunc(slices.Clone(f.Asked), func(d content.Date) bool { return on.Before(d) })
	if len(dates) == 0 {
		return Notice{}, false
	}
	return Notice{Reason: count(int64(len(dates)), "question") + " without an answer", Because: daysText(dates)}, true
}

func quiet(f *Followed, t Thresholds, _ content.Date) (Notice, bool) {
	if t.QuietDays <= 0 || f.Away || f.Held || f.neverHeard() {
		return Notice{}, false
	}
	silent := f.silent()
	return Notice{Reason: fmt.Sprintf("no result for %s", count(int64(len(silent)), "scheduled day")), Because: daysText(silent)},
		len(silent) >= t.QuietDays
}

// silent returns the scheduled days since the member was last heard of that are over.
func (f *Followed) silent() []content.Date {
	var out []content.Date
	for _, d := range f.Days {
		if d.Heard {
			break
		}
		if d.Sent && d.Over && !d.Excused {
			out = append(out, d.Date)
		}
	}
	return out
}

// neverHeard tells a newcomer who has not replied at all.
func (f *Followed) neverHeard() bool {
	if f.Joined.IsZero() || len(f.Days) == 0 || f.Joined.Before(f.Days[len(f.Days)-1].Date) {
		return false
	}
	return !slices.ContainsFunc(f.Days, func(d Day) bool { return d.Heard })
}

func newcomer(f *Followed, t Thresholds, on content.Date) (Notice, bool) {
	if t.NewcomerDays <= 0 || f.Away || f.Held || !f.neverHeard() {
		return Notice{}, false
	}
	for _, d := range slices.Backward(f.Days) {
		if d.Sent && !d.Excused {
			days := on.DaysSince(d.Date)
			return Notice{Reason: "new, and no first reply for " + count(int64(days), "day"),
				Because: "joined " + dayText(f.Joined) + ", first session " + dayText(d.Date)}, days >= t.NewcomerDays
		}
	}
	return Notice{}, false
}
