package schedule

import (
	"time"

	"github.com/rs/zerolog"
)

// everyMinute fires at each whole UTC minute. It replaces the library's own specs, whose idea of a changing clock
// skips or doubles sends.
type everyMinute struct{}

// Next returns the whole minute after t.
func (everyMinute) Next(t time.Time) time.Time { return t.Truncate(time.Minute).Add(time.Minute) }

// once fires a moment after it is first asked, and never again.
type once struct{ asked bool }

// Next returns t at first and then the zero time, which the library takes for never.
func (o *once) Next(t time.Time) time.Time {
	if o.asked {
		return time.Time{}
	}
	o.asked = true
	return t
}

// cronLog passes the library's own errors on; what it says of each wake-up is left out.
type cronLog struct{ log zerolog.Logger }

// Info drops the library's chatter.
func (cronLog) Info(string, ...any) {}

// Error logs what the library could not do.
func (l cronLog) Error(err error, msg string, keys ...any) {
	l.log.Error().Err(err).Fields(keys).Msg("schedule: " + msg)
}
