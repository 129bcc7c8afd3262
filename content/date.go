package content

import (
	"fmt"
	"time"
)

// Date is a calendar date without a zone. It is a value: compare with ==.
// A member's day is always a Date, never a midnight instant, since some zones have days without a midnight.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf returns the date that the clock of t's location shows at t.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// ParseDate reads an ISO 8601 calendar date, YYYY-MM-DD; a date that does not exist is an error.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse("2006-01-02", s)
	if err != nil || len(s) != 10 {
		return Date{}, fmt.Errorf("%q is not a date: write year-month-day, for example 2027-02-01", s)
	}
	return DateOf(t), nil
}

// String returns YYYY-MM-DD, or "" for the zero Date.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day)
}

// IsZero reports whether d was never set.
func (d Date) IsZero() bool { return d == Date{} }

// noon stands for the date in UTC arithmetic, where every day has 24 hours.
func (d Date) noon() time.Time { return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC) }

// AddDays returns the date n days later (earlier when n is negative).
func (d Date) AddDays(n int) Date { return DateOf(d.noon().AddDate(0, 0, n)) }

// Weekday returns the day of the week of d.
func (d Date) Weekday() time.Weekday { return d.noon().Weekday() }

// DaysSince returns how many days d lies after e; negative when before.
func (d Date) DaysSince(e Date) int { return int(d.noon().Sub(e.noon()) / (24 * time.Hour)) }

// Before reports whether d is earlier than e.
func (d Date) Before(e Date) bool { return d.Compare(e) < 0 }

// Compare returns -1, 0 or 1 as d is earlier than, the same as, or later than e.
func (d Date) Compare(e Date) int { return d.noon().Compare(e.noon()) }

// MarshalText writes the ISO form.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the ISO form; empty text is the zero Date.
func (d *Date) UnmarshalText(b []byte) error {
	if len(b) == 0 {
		*d = Date{}
		return nil
	}
	p, err := ParseDate(string(b))
	if err != nil {
		return err
	}
	*d = p
	return nil
}

// Clock is a time of day on a local clock, in minutes from 00:00 to 23:59.
type Clock struct{ Hour, Minute int }

// ParseClock reads HH:MM, 00:00 to 23:59.
func ParseClock(s string) (Clock, error) {
	t, err := time.Parse("15:04", s)
	if err != nil || len(s) != 5 {
		return Clock{}, fmt.Errorf("%q is not a time of day: write HH:MM from 00:00 to 23:59, for example 06:30", s)
	}
	return Clock{t.Hour(), t.Minute()}, nil
}

// String returns HH:MM.
func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", c.Hour, c.Minute) }

// Minutes returns minutes since 00:00.
func (c Clock) Minutes() int { return c.Hour*60 + c.Minute }

// MarshalText writes HH:MM.
func (c Clock) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads HH:MM.
func (c *Clock) UnmarshalText(b []byte) error {
	p, err := ParseClock(string(b))
	if err != nil {
		return err
	}
	*c = p
	return nil
}

// Bucket is what members who are sent a session at the same instants share: an IANA zone and a send time.
// The zero Bucket (empty Zone) is a pause: nothing is due to it.
type Bucket struct {
	Zone string
	At   Clock
}

// IsZero reports whether b is a pause.
func (b Bucket) IsZero() bool { return b.Zone == "" }

// String returns "Zone@HH:MM", or "" for a pause; ParseBucket reads it back.
func (b Bucket) String() string {
	if b.IsZero() {
		return ""
	}
	return b.Zone + "@" + b.At.String()
}

// ParseBucket reads the form that String writes. It does not check that the zone is known.
func ParseBucket(s string) (Bucket, error) {
	if s == "" {
		return Bucket{}, nil
	}
	for i := len(s) - 1; i > 0; i-- {
		if s[i] == '@' {
			c, err := ParseClock(s[i+1:])
			return Bucket{s[:i], c}, err
		}
	}
	return Bucket{}, fmt.Errorf("%q is not a bucket: want ZONE@HH:MM", s)
}

// MarshalText writes the form of String.
func (b Bucket) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// UnmarshalText reads the form of String.
func (b *Bucket) UnmarshalText(t []byte) error {
	p, err := ParseBucket(string(t))
	if err != nil {
		return err
	}
	*b = p
	return nil
}
