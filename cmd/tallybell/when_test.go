package main

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/urfave/cli/v3"
)

// runWhen runs the command alone and returns what it prints, what it notes, and its exit code.
func runWhen(t *testing.T, args ...string) (out, notes string, code int) {
	t.Helper()
	var o, n bytes.Buffer
	root := &cli.Command{Name: "tallybell", Writer: &o, ErrWriter: &n, Commands: []*cli.Command{whenCommand()},
		ExitErrHandler: func(context.Context, *cli.Command, error) {}}
	err := root.Run(t.Context(), append([]string{"tallybell", "when"}, args...))
	if err == nil {
		return o.String(), n.String(), 0
	}
	var coder cli.ExitCoder
	if !errors.As(err, &coder) {
		return o.String(), err.Error(), exitUsage
	}
	return o.String(), err.Error(), coder.ExitCode()
}

func TestWhen(t *testing.T) {
	for _, c := range []struct {
		what  string
		args  []string
		want  []string
		notes []string // parts of what is told on stderr; none: nothing is told
	}{
		{"an ordinary week", []string{"--zone", "Asia/Tokyo", "--at", "06:30", "--after", "2026-11-24T21:30:00Z", "--count", "2"},
			[]string{"2026-11-26T06:30:00+09:00", "2026-11-27T06:30:00+09:00"}, nil},
		{"strictly after", []string{"--zone", "Asia/Tokyo", "--at", "06:30", "--after", "2026-11-24T21:29:59.999999999Z"},
			[]string{"2026-11-25T06:30:00+09:00"}, nil},
		{"over a gap", []string{"--zone", "Europe/Berlin", "--at", "02:30", "--after", "2026-03-28T00:00:00+01:00", "--count=3"},
			[]string{"2026-03-28T02:30:00+01:00", "2026-03-29T03:00:00+02:00", "2026-03-30T02:30:00+02:00"},
			[]string{"note: 2026-03-29: clocks go forward by 1h, from 2026-03-29 02:00 to 2026-03-29 03:00; the session of that date goes out at 2026-03-29T03:00:00+02:00"}},
		{"over an overlap", []string{"--zone", "Europe/Berlin", "--at", "02:30", "--after", "2026-10-24t12:00:00z", "--count", "2"},
			[]string{"2026-10-25T02:30:00+02:00", "2026-10-26T02:30:00+01:00"},
			[]string{"note: 2026-10-25: clocks go back by 1h, from 2026-10-25 03:00 to 2026-10-25 02:00"}},
		{"half an hour", []string{"--zone", "Australia/Lord_Howe", "--at", "02:15", "--after", "2026-10-03T00:00:00Z"},
			[]string{"2026-10-04T02:30:00+11:00"}, []string{"clocks go forward by 30m,"}},
		{"a gap that ends in the next date", []string{"--zone", "America/Nuuk", "--at", "23:30", "--after", "2026-03-28T12:00:00Z", "--count", "2"},
			[]string{"2026-03-29T00:00:00-01:00", "2026-03-29T23:30:00-01:00"},
			[]string{"note: 2026-03-28: clocks go forward by 1h, from 2026-03-28 23:00 to 2026-03-29 00:00"}},
		{"a missing date", []string{"--zone", "Pacific/Apia", "--at", "06:00", "--after", "2011-12-29T12:00:00Z", "--count", "2"},
			[]string{"2011-12-29T06:00:00-10:00", "2011-12-31T06:00:00+14:00"},
			[]string{"note: 2011-12-30 does not exist in Pacific/Apia"}},
		{"a local mean time", []string{"--zone", "Europe/Berlin", "--at", "06:30", "--after", "1890-01-01T12:00:00Z"},
			[]string{"1890-01-02T06:29:32+00:53"}, nil},
	} {
		t.Run(c.what, func(t *testing.T) {
			out, notes, code := runWhen(t, c.args...)
			if got := strings.Split(strings.TrimSuffix(out, "\n"), "\n"); code != 0 || !slices.Equal(got, c.want) {
				t.Errorf("exit %d, got %q, want %q (%s)", code, got, c.want, notes)
			}
			for _, n := range c.notes {
				if !strings.Contains(notes, n) {
					t.Errorf("notes %q do not say %q", notes, n)
				}
			}
			if len(c.notes) == 0 && notes != "" {
				t.Errorf("notes %q, want none", notes)
			}
		})
	}
}

func TestWhenRefuses(t *testing.T) {
	for _, c := range []struct {
		args []string
		says string
	}{
		{nil, "--zone is missing"},
		{[]string{"--zone", "Europe/Berlin"}, "--at is missing"},
		{[]string{"--zone", "", "--at", "06:30"}, "the time zone is empty"},
		{[]string{"--zone", "Local", "--at", "06:30"}, "no place's clock"},
		{[]string{"--zone", "Europe/Berlim", "--at", "06:30"}, "did you mean Europe/Berlin?"},
		{[]string{"--zone", "UTC", "--at", "24:00"}, "--at:"},
		{[]string{"--zone", "UTC", "--at", "6:30"}, "write HH:MM"},
		{[]string{"--zone", "UTC", "--at", ""}, "--at:"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--after", "2026-02-30T00:00:00Z"}, "--after:"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--after", "2026-11-25T06:30:00"}, "is not an instant"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--after", "2026-11-25"}, "is not an instant"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--after", ""}, "is not an instant"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--after", "2026-11-25T06:30:00,5Z"}, "is not an instant"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--after", "9999-12-31T06:30:00Z"}, "beyond the year 9999"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--count", "0"}, "--count:"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--count", "-2"}, "--count:"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--count", "two"}, "--count:"},
		{[]string{"--zone", "UTC", "--at", "06:30", "--count", "1000000"}, "--count:"},
		{[]string{"--zone", "UTC", "--at", "06:30", "tomorrow"}, "takes no argument"},
	} {
		out, notes, code := runWhen(t, c.args...)
		if code != exitUsage || out != "" || !strings.Contains(notes, c.says) {
			t.Errorf("when %q: exit %d, stdout %q, %q does not say %q", c.args, code, out, notes, c.says)
		}
	}
}

func TestWhenStartsNow(t *testing.T) {
	out, _, code := runWhen(t, "--zone", "UTC", "--at", "12:00")
	got, err := time.Parse(time.RFC3339, strings.TrimSpace(out))
	if code != 0 || err != nil || !got.After(time.Now().Add(-time.Minute)) || time.Until(got) > 24*time.Hour {
		t.Errorf("exit %d, %q, %v: want an instant within a day from now", code, out, err)
	}
}

func FuzzParseInstant(f *testing.F) {
	for _, s := range []string{"2026-11-25T06:30:00Z", "2026-11-25T06:30:00.5+01:00", "2026-11-25t06:30:00z", "2026-11-25", "9999-12-31T23:59:59-23:59", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		i, err := parseInstant(s)
		if err != nil {
			return
		}
		again, err := parseInstant(i.Format(time.RFC3339Nano))
		if err != nil || !again.Equal(i) {
			t.Errorf("%q is %v, written and read again %v (%v)", s, i, again, err)
		}
	})
}
