package main

import (
	"testing"
	"time"

	"tallybell/content"
)

// Old data goes once a day from three in the morning of the club's clock on: also when the server was off at that hour,
// through a change of clocks, and again an hour after a failure.
func TestTidyingIsDueOnceADay(t *testing.T) {
	zone, err := content.LoadZone("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	at := func(day, hour, minute int) time.Time { return time.Date(2027, 3, day, hour, minute, 0, 0, zone) }
	var turn tidyTurn
	for _, tt := range []struct {
		name string
		now  time.Time
		due  bool
	}{
		{"at the start, whatever the hour", at(12, 22, 0), true},
		{"the same day again", at(12, 23, 59), false},
		{"before three", at(13, 2, 59), false},
		{"at three", at(13, 3, 0), true},
		{"later that day", at(13, 20, 0), false},
		{"the night of a changed clock: two does not exist", at(14, 1, 59).Add(time.Minute), true}, // it is three
		{"later", at(14, 12, 0), false},
		{"after two days off", at(16, 9, 0), true},
	} {
		d, due := turn.due(tt.now, zone)
		if due != tt.due {
			t.Errorf("%s (%s): due %t", tt.name, tt.now, due)
		}
		if due {
			turn.done = d
		}
	}
	turn.retry = at(17, 4, 0)
	if _, due := turn.due(at(17, 3, 30), zone); due {
		t.Error("tried again at once after a failure")
	}
	if _, due := turn.due(at(17, 4, 0), zone); !due {
		t.Error("not tried again an hour after a failure")
	}
}
