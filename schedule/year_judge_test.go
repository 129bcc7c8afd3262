package schedule_test

import (
	"testing"
	"time"

	"tallybell/content"
)

// judge knows when things are by looking at a zone's local clock at every quarter of an hour, one after the other: no
// arithmetic with dates, offsets or changes. That a quarter is fine enough is looked at minute by minute wherever the
// clock does not simply go on.
type judge struct {
	start  time.Time
	dates  []content.Date // what the local calendar shows at each quarter
	minute []int          // and the local clock, in minutes
}

const quarter = 15 * time.Minute

func newJudge(t *testing.T, zone string, from, to time.Time) *judge {
	t.Helper()
	z, err := content.LoadZone(zone)
	if err != nil {
		t.Fatal(err)
	}
	j := &judge{start: from}
	read := func(at time.Time) (content.Date, int) {
		l := at.In(z)
		return content.Date{Year: l.Year(), Month: l.Month(), Day: l.Day()}, l.Hour()*60 + l.Minute()
	}
	for at := from; at.Before(to); at = at.Add(quarter) {
		d, m := read(at)
		if n := len(j.minute); n > 0 && (j.minute[n-1]+15)%1440 != m {
			for k := 1; k < 15; k++ {
				if _, between := read(at.Add(-quarter + time.Duration(k)*time.Minute)); between != j.minute[n-1]+k {
					t.Fatalf("%s: the clock changes between the quarters before %v", zone, at)
				}
			}
		}
		j.dates, j.minute = append(j.dates, d), append(j.minute, m)
	}
	return j
}

// instants returns when the session of each date goes out at a local time: the first quarter that shows the date and
// the time or later, or any later date. A date that is never shown has none.
func (j *judge) instants(at content.Clock) map[content.Date]time.Time {
	shown, out := map[content.Date]bool{}, map[content.Date]time.Time{}
	var waiting []content.Date // shown, and not gone out yet
	for i, d := range j.dates {
		if !shown[d] {
			shown[d] = true
			waiting = append(waiting, d)
		}
		rest := waiting[:0]
		for _, w := range waiting {
			if w == d && j.minute[i] >= at.Minutes() || w.Before(d) {
				out[w] = j.start.Add(time.Duration(i) * quarter)
				continue
			}
			rest = append(rest, w)
		}
		waiting = rest
	}
	return out
}

// local returns what a zone's calendar and clock show.
func local(t *testing.T, zone string, at time.Time) (content.Date, content.Clock) {
	t.Helper()
	z, err := content.LoadZone(zone)
	if err != nil {
		t.Fatal(err)
	}
	l := at.In(z)
	return content.Date{Year: l.Year(), Month: l.Month(), Day: l.Day()}, content.Clock{Hour: l.Hour(), Minute: l.Minute()}
}
