package store

import (
	"context"
	"sync"
	"time"
)

// storeClock carries the server's time on between samples by this process's monotonic clock, so that every
// replica agrees on when it is, whatever its own clock says.
type storeClock struct {
	mu     sync.Mutex
	server time.Time // the server's time at the sample, without a monotonic part
	local  time.Time // this process's time at the sample
	kick   chan struct{}
}

// jump is how far the wall clock may drift from the monotonic one before the server is asked again: a
// laptop that slept has a monotonic clock that stood still.
const jump = time.Second

func (k *storeClock) set(server, local time.Time) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.server, k.local = server.Round(0), local
}

// now returns the carried time; jumped says that the process slept or its clock was set.
func (k *storeClock) at(now time.Time) (t time.Time, slept bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	passed := now.Sub(k.local)                 // monotonic
	wall := now.Round(0).Sub(k.local.Round(0)) // by the wall clock
	return k.server.Add(passed), (wall - passed).Abs() > jump
}

func (k *storeClock) jumped() <-chan struct{} { return k.kick }

// Now is the store's time: TIME of the server, sampled each minute and carried on by the monotonic clock;
// for the embedded server the time of this process.
func (s *Store) Now() time.Time {
	switch {
	case s.opt.Now != nil:
		return s.opt.Now()
	case s.local != nil:
		return time.Now()
	}
	t, slept := s.clock.at(time.Now())
	if slept {
		select {
		case s.clock.kick <- struct{}{}:
		default:
		}
	}
	return t
}

// farSample is the longest round trip of a sample that is believed.
const farSample = 2 * time.Second

// sampleClock asks the server for its time.
func (s *Store) sampleClock(ctx context.Context) error {
	before := time.Now()
	t, err := s.client.Time(ctx).Result()
	if err != nil {
		return err
	}
	trip := time.Since(before)
	if trip > farSample {
		return context.DeadlineExceeded
	}
	s.clock.set(t, before.Add(trip/2))
	return nil
}
