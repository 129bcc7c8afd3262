// Package schedule decides when a session goes out: which instant a date's send time is in a zone, and which dates
// are due now. Its core is pure; the Runner ticks it each minute.
package schedule

import (
	"time"

	"tallybell/content"
)

// LoadZone returns the zone with that IANA name. "", "Local" and unknown names are errors that say what to write.
func LoadZone(name string) (*time.Location, error) { return content.LoadZone(name) }

// reach is further than any local clock has been from UTC (Manila was 15:56 behind until 1844).
const reach = 17 * time.Hour

// span is a stretch of time during which a zone keeps one distance from UTC.
type span struct {
	start, end time.Time     // start is in it, end is not; zero when there is none
	offset     time.Duration // of the local clock, east of UTC
}

// spans calls yield for each stretch that holds any instant from..to, in order, until yield returns false.
func spans(z *time.Location, from, to time.Time, yield func(span) bool) {
	for t := from; ; {
		local := t.In(z)
		start, end := local.ZoneBounds()
		_, east := local.Zone()
		if !end.IsZero() && !end.After(t) {
			// Past the years that its data lists, Go gives every year 365 days, so on the last day of a leap year it
			// reports an end that has gone by. The rule in force then holds to the end of the UTC year.
			end = time.Date(t.UTC().Year()+1, 1, 1, 0, 0, 0, 0, time.UTC)
		}
		if !yield(span{start, end, time.Duration(east) * time.Second}) || end.IsZero() || end.After(to) {
			return
		}
		t = end
	}
}

// wall turns a local date and time into the instant at which a clock without any offset would show it.
func wall(d content.Date, at content.Clock) time.Time {
	return time.Date(d.Year, d.Month, d.Day, at.Hour, at.Minute, 0, 0, time.UTC)
}

// wallOf is what the local clock shows at t with that offset, as an instant of a clock without any offset.
func wallOf(t time.Time, offset time.Duration) time.Time { return t.UTC().Add(offset) }

// Change is one change of a zone's clock.
type Change struct {
	At            time.Time     // the first instant of the new offset
	Before, After time.Duration // offsets east of UTC
}

// Gap reports whether the clock goes forward, so that it skips local times.
func (c Change) Gap() bool { return c.After > c.Before }

// Size returns how far the clock goes, always positive.
func (c Change) Size() time.Duration { return max(c.After-c.Before, c.Before-c.After) }

// From returns what the clock would have shown at the change, and To what it does show, both without a zone (in UTC).
func (c Change) From() time.Time { return wallOf(c.At, c.Before) }

// To returns what the clock shows at the change, without a zone (in UTC).
func (c Change) To() time.Time { return wallOf(c.At, c.After) }

// Touches reports whether the change skips or repeats any local time of date d.
func (c Change) Touches(d content.Date) bool {
	low, high := c.From(), c.To()
	if high.Before(low) {
		low, high = high, low
	}
	start := wall(d, content.Clock{})
	return low.Before(start.AddDate(0, 0, 1)) && high.After(start)
}

// Changes returns the changes of z's clock after from and up to to, in order. A change of name or of daylight
// saving that leaves the clock as it is does not count.
func Changes(z *time.Location, from, to time.Time) []Change {
	var out []Change
	var last *span
	spans(z, from, to, func(s span) bool {
		if last != nil && last.offset != s.offset && !s.start.After(to) {
			out = append(out, Change{s.start.UTC(), last.offset, s.offset})
		}
		last = &s
		return true
	})
	return out
}
