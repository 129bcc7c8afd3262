package gateway

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Rate allows Burst at once and Every one more each interval. The zero Rate allows everything.
type Rate struct {
	Every time.Duration
	Burst int
}

// meters holds a token bucket a key. It forgets keys whose bucket is full again.
type meters struct {
	rate Rate

	mu sync.Mutex
	by map[string]*rate.Limiter
}

// crowd is how many keys are held before full ones are looked for.
const crowd = 4096

func newMeters(r Rate) *meters { return &meters{rate: r, by: map[string]*rate.Limiter{}} }

// take takes a token of key's bucket and reports whether there was one.
func (m *meters) take(key string, now time.Time) bool {
	if m.rate.Every <= 0 {
		return true
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.of(key, now).AllowN(now, 1)
}

// left reports whether key's bucket holds a token, without taking it.
func (m *meters) left(key string, now time.Time) bool {
	if m.rate.Every <= 0 {
		return true
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	l, ok := m.by[key]
	return !ok || l.TokensAt(now) >= 1
}

func (m *meters) of(key string, now time.Time) *rate.Limiter {
	l, ok := m.by[key]
	if ok {
		return l
	}
	if len(m.by) >= crowd && len(m.by)%(crowd/4) == 0 {
		m.forget(now)
	}
	l = rate.NewLimiter(rate.Every(m.rate.Every), m.rate.Burst)
	m.by[key] = l
	return l
}

func (m *meters) forget(now time.Time) {
	for k, l := range m.by {
		if l.TokensAt(now) >= float64(m.rate.Burst) {
			delete(m.by, k)
		}
	}
}
