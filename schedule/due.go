package schedule

import (
	"fmt"
	"slices"
	"time"

	"tallybell/content"
)

// Bucket is what members who are sent a session at the same instants share.
type Bucket = content.Bucket

// Mode is how a due session goes out.
type Mode string

// The modes of a send.
const (
	Regular Mode = "regular" // on time
	Late    Mode = "late"    // missed, sent at once: it is still that day and before the club's evening limit
	Silent  Mode = "silent"  // missed, put in the conversation without a sound, marked late
)

// Sending is one session that is to go out now.
type Sending struct {
	Date    content.Date // nominal
	Mode    Mode
	Reason  string    // for the log
	Instant time.Time // when it should have gone out
}

// Policy is the club's say in what is due.
type Policy struct {
	OnTime       time.Duration // a send no later than this after its instant is on time
	EveningLimit content.Clock // from then on a missed send is silent
	LookBack     int           // dates before today that are still made up
}

// DefaultPolicy is 15 minutes, 20:00 and 14 days.
func DefaultPolicy() Policy {
	return Policy{OnTime: 15 * time.Minute, EveningLimit: content.Clock{Hour: 20}, LookBack: 14}
}

// Due returns the sessions that are due to bucket b at now by the default policy: those of the dates with a sheet,
// whose instant has come, that have not been posted, in order of date. A pause and an unknown zone have none.
func Due(now time.Time, b Bucket, sheets []content.Date, posted func(content.Date) bool) []Sending {
	z, err := LoadZone(b.Zone)
	if err != nil {
		return nil
	}
	due, _ := DefaultPolicy().Due(now, z, b.At, sheets, posted)
	return due
}

// Due returns the sessions that are due at now to a bucket of zone z and send time at, in order of date, and the
// next instant at which another of these sheets will be (zero when none will).
func (p Policy) Due(now time.Time, z *time.Location, at content.Clock, sheets []content.Date,
	posted func(content.Date) bool) (due []Sending, next time.Time) {
	today := content.DateOf(now.In(z))
	for _, d := range sheets {
		if today.DaysSince(d) > p.LookBack || posted(d) {
			continue
		}
		instant, ok := InstantOf(z, at, d)
		switch {
		case !ok: // a date that no instant shows has none
		case instant.After(now):
			if next.IsZero() || instant.Before(next) {
				next = instant
			}
		default:
			mode, reason := p.mode(now.In(z), d, instant)
			due = append(due, Sending{d, mode, reason, instant})
		}
	}
	return inOrder(due), next
}

// mode decides how the session of date d goes out at now, which is not before its instant.
func (p Policy) mode(now time.Time, d content.Date, instant time.Time) (Mode, string) {
	after := now.Sub(instant)
	if after <= p.OnTime {
		return Regular, "on time"
	}
	missed := "missed by " + after.Round(time.Second).String()
	if today := content.DateOf(now); today != d {
		return Silent, fmt.Sprintf("%s: the member's date is already %s", missed, today)
	}
	clock := content.Clock{Hour: now.Hour(), Minute: now.Minute()}
	if clock.Minutes() >= p.EveningLimit.Minutes() {
		return Silent, fmt.Sprintf("%s: the member's clock reads %s, the evening limit is %s", missed, clock, p.EveningLimit)
	}
	return Late, fmt.Sprintf("%s: still the day, and before %s", missed, p.EveningLimit)
}

// inOrder sorts by date and drops a date that the list of sheets named twice.
func inOrder(due []Sending) []Sending {
	slices.SortStableFunc(due, func(a, b Sending) int { return a.Date.Compare(b.Date) })
	return slices.CompactFunc(due, func(a, b Sending) bool { return a.Date == b.Date })
}
