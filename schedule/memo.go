package schedule

import (
	"slices"
	"time"

	"tallybell/content"
)

// memo remembers between ticks what cannot have changed, so that a bucket at rest costs one look-up a minute.
// It is dropped whenever the dates with a sheet change; what has been posted only grows and makes nothing due.
type memo struct {
	sheets []content.Date
	until  map[InUse]time.Time // nothing is due before; zero: nothing at all
	zones  map[string]*time.Location

	dailyDone  map[dailyKey]content.Date  // the last date that was done
	dailyAfter map[dailyKey]time.Time     // nothing is to be done before
	dailyAt    map[dailyKey]content.Clock // what dailyAfter was found for
}

func newMemo() memo {
	return memo{until: map[InUse]time.Time{}, zones: map[string]*time.Location{},
		dailyDone: map[dailyKey]content.Date{}, dailyAfter: map[dailyKey]time.Time{}, dailyAt: map[dailyKey]content.Clock{}}
}

// begin returns the dates that can matter at now: those that are still made up, anywhere on Earth, and the next ones.
func (m *memo) begin(now time.Time, all []content.Date, lookBack int) []content.Date {
	today := content.DateOf(now.UTC())
	var near []content.Date
	for _, d := range all {
		if ahead := d.DaysSince(today); ahead >= -lookBack-2 && ahead <= 3 {
			near = append(near, d)
		}
	}
	slices.SortFunc(near, content.Date.Compare)
	if !slices.Equal(near, m.sheets) {
		m.sheets = near
		clear(m.until)
	}
	return near
}

func (m *memo) quiet(b InUse, now time.Time) bool {
	until, known := m.until[b]
	return known && (until.IsZero() || now.Before(until))
}

func (m *memo) rest(b InUse, until time.Time) { m.until[b] = until }

func (m *memo) zone(name string) (*time.Location, error) {
	if z, ok := m.zones[name]; ok {
		return z, nil
	}
	z, err := LoadZone(name)
	if err == nil {
		m.zones[name] = z
	}
	return z, err
}
