package schedule

import (
	"time"

	"tallybell/content"
)

// InstantOf returns the instant at which the session of date d goes out in zone z at local time at, and false when
// no instant shows that date there (Samoa had no 30 December 2011).
//
// It is the first instant at which the local clock reads d and at, or later: of a time that happens twice the first
// one, and for a time that the clock skips the first instant after the gap. When the gap ends in a later date, that
// instant already shows the later date; it still is d's.
func InstantOf(z *time.Location, at content.Clock, d content.Date) (time.Time, bool) {
	want := wall(d, at)
	dayStart, dayEnd := wall(d, content.Clock{}), wall(d.AddDays(1), content.Clock{})
	var afterGap, found time.Time
	shown := false
	spans(z, dayStart.Add(-reach), dayEnd.Add(reach), func(s span) bool {
		first := s.shows(want)
		switch {
		case first.IsZero():
		case wallOf(first, s.offset).Before(dayEnd):
			found = first
			return false
		case afterGap.IsZero():
			afterGap = first
		}
		if t := s.shows(dayStart); !t.IsZero() && wallOf(t, s.offset).Before(dayEnd) {
			shown = true
		}
		return true
	})
	if !found.IsZero() {
		return found.In(z), true
	}
	return afterGap.In(z), shown && !afterGap.IsZero()
}

// shows returns the first instant of the stretch at which its local clock reads wall time w or later, zero when none
// does.
func (s span) shows(w time.Time) time.Time {
	t := w.Add(-s.offset)
	if !s.start.IsZero() && t.Before(s.start) {
		t = s.start
	}
	if !s.end.IsZero() && !t.Before(s.end) {
		return time.Time{}
	}
	return t
}

// Next returns the first send instant strictly later than after, in zone z, and the date whose session it is. That
// is the nominal date: after a gap at the end of a day the instant may already show the next one.
func Next(z *time.Location, at content.Clock, after time.Time) (time.Time, content.Date) {
	// The date before yesterday's instant can still be ahead when a whole day was skipped or lived twice.
	for d := content.DateOf(after.In(z)).AddDays(-2); ; d = d.AddDays(1) {
		if t, ok := InstantOf(z, at, d); ok && t.After(after) {
			return t, d
		}
	}
}
