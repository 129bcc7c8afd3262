package main

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v3"

	"tallybell/content"
	"tallybell/schedule"
)

// mostWhen is the most send instants that one call prints.
const mostWhen = 100_000

// whenCommand prints the next send instants of a zone and send time.
func whenCommand() *cli.Command {
	return &cli.Command{
		Name:  "when",
		Usage: "print the next instants at which a session goes out, one a line",
		Description: `A session goes out once a local date: at the first instant at which the zone's clock reads the send
time or later. A time that the clock skips goes out at the first instant after the gap, one that happens
twice at the first. Days with a change of clock are told on stderr.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "zone", Usage: "IANA time zone, for example Europe/Berlin"},
			&cli.StringFlag{Name: "at", Usage: "local send time, HH:MM"},
			&cli.StringFlag{Name: "after", Usage: "print instants strictly later than this one, RFC 3339 with zone (default: now)"},
			&cli.StringFlag{Name: "count", Value: "1", Usage: "how many to print"},
		},
		Action: func(_ context.Context, c *cli.Command) error {
			w, err := readWhen(c, time.Now())
			if err != nil {
				return cli.Exit(err.Error(), exitUsage)
			}
			if err := w.print(c.Root().Writer, c.Root().ErrWriter); err != nil {
				return cli.Exit(fmt.Sprintf("cannot write the instants: %v", err), exitOutside)
			}
			return nil
		},
	}
}

// when is one question for send instants.
type when struct {
	zone  *time.Location
	at    content.Clock
	after time.Time
	count int
}

func readWhen(c *cli.Command, now time.Time) (when, error) {
	w := when{after: now}
	if c.Args().Present() {
		return w, fmt.Errorf("when takes no argument %q: write --zone, --at, --after or --count before it", c.Args().First())
	}
	if !c.IsSet("zone") {
		return w, fmt.Errorf("--zone is missing: write an IANA time zone, for example --zone Europe/Berlin")
	}
	if !c.IsSet("at") {
		return w, fmt.Errorf("--at is missing: write a local send time, for example --at 06:30")
	}
	var err error
	if w.zone, err = schedule.LoadZone(c.String("zone")); err != nil {
		return w, fmt.Errorf("--zone: %w", err)
	}
	if w.at, err = content.ParseClock(c.String("at")); err != nil {
		return w, fmt.Errorf("--at: %w", err)
	}
	if c.IsSet("after") {
		if w.after, err = parseInstant(c.String("after")); err != nil {
			return w, fmt.Errorf("--after: %w", err)
		}
	}
	w.count, err = strconv.Atoi(c.String("count"))
	if err != nil || w.count < 1 || w.count > mostWhen {
		return w, fmt.Errorf("--count: %q is not a number from 1 to %d", c.String("count"), mostWhen)
	}
	if last := w.after.UTC().AddDate(0, 0, w.count+7); last.Year() > 9999 {
		return w, fmt.Errorf("the instants asked for lie beyond the year 9999")
	}
	return w, nil
}

// parseInstant reads an RFC 3339 date and time with zone; fractions of a second are allowed.
func parseInstant(s string) (time.Time, error) {
	var t time.Time
	// UnmarshalText is stricter than Parse, but takes a comma before a fraction, which RFC 3339 does not.
	if err := t.UnmarshalText([]byte(strings.ToUpper(s))); err != nil || strings.Contains(s, ",") {
		return time.Time{}, fmt.Errorf("%q is not an instant: write date, T, time and zone, for example 2027-02-01T06:30:00+01:00 or 2027-02-01T05:30:00Z", s)
	}
	return t, nil
}

// print writes the instants to out and what there is to know about them to notes.
func (w when) print(out, notes io.Writer) error {
	if note := schedule.OutdatedZone(w.zone); note != "" {
		fmt.Fprintln(notes, "note: "+note)
	}
	last := content.Date{}
	after := w.after
	for range w.count {
		t, date := schedule.Next(w.zone, w.at, after)
		if _, err := fmt.Fprintln(out, instantText(t)); err != nil {
			return err
		}
		for d := last.AddDays(1); !last.IsZero() && d.Before(date); d = d.AddDays(1) {
			fmt.Fprintf(notes, "note: %s does not exist in %s: it has no session\n", d, w.zone)
		}
		w.note(notes, t, date)
		last, after = date, t
	}
	return nil
}

// note tells how a change of clock touches the day of one instant.
func (w when) note(notes io.Writer, t time.Time, date content.Date) {
	for _, c := range schedule.Changes(w.zone, t.Add(-30*time.Hour), t.Add(30*time.Hour)) {
		if !c.Touches(date) {
			continue
		}
		way := "back"
		if c.Gap() {
			way = "forward"
		}
		fmt.Fprintf(notes, "note: %s: clocks go %s by %s, from %s to %s; the session of that date goes out at %s\n", date, way,
			sizeText(c.Size()), c.From().Format("2006-01-02 15:04"),
			c.To().Format("2006-01-02 15:04"), instantText(t))
	}
}

// sizeText writes a duration without the units that are zero: 1h, 30m, 6m32s.
func sizeText(d time.Duration) string {
	s := d.String()
	if strings.HasSuffix(s, "m0s") {
		s = strings.TrimSuffix(s, "0s")
	}
	if strings.HasSuffix(s, "h0m") {
		s = strings.TrimSuffix(s, "0m")
	}
	return s
}

// instantText writes t in RFC 3339 in its zone. The format has no seconds in a zone's offset, which local mean times
// had: those are written with the offset cut to the minute, so that the instant is exact.
func instantText(t time.Time) string {
	if _, east := t.Zone(); east%60 != 0 {
		t = t.In(time.FixedZone("", east-east%60))
	}
	return t.Format(time.RFC3339)
}
