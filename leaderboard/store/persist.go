package store

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"

	"github.com/redis/go-redis/v9"
)

// persistence is what is known about how well the server keeps what it confirmed.
type persistence struct {
	mu      sync.Mutex
	ok      bool
	warning string
}

func (p *persistence) set(ok bool, warning string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.ok, p.warning = ok, warning
}

func (p *persistence) get() (ok bool, warning string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.ok, p.warning
}

// wantConfig is what a Redis must be set to, so that a confirmed write survives a power cut and no key is
// ever thrown out.
var wantConfig = [...][2]string{{"appendonly", "yes"}, {"appendfsync", "always"}, {"maxmemory-policy", "noeviction"}}

// configFaults lists what a server's settings lack, each as the setting that would mend it.
func configFaults(ctx context.Context, node redis.Cmdable) ([]string, error) {
	var faults []string
	for _, want := range wantConfig {
		got, err := node.ConfigGet(ctx, want[0]).Result()
		if err != nil {
			return nil, err
		}
		if v := got[want[0]]; v != want[1] {
			faults = append(faults, fmt.Sprintf("%s is %q, not %q", want[0], v, want[1]))
		}
	}
	return faults, nil
}

// examine looks at every server's settings and replicas. warning is "" when all is well; err is a server
// that does not answer.
func (s *Store) examine(ctx context.Context) (warning string, err error) {
	var mu sync.Mutex
	look := func(ctx context.Context, node *redis.Client) error {
		faults, err := configFaults(ctx, node)
		var reply redis.Error
		if err != nil && errors.As(err, &reply) {
			faults, err = []string{"its settings cannot be read (CONFIG GET: " + reply.Error() + ")"}, nil
		}
		if err != nil {
			return err
		}
		if _, err := s.replicas.ask(ctx, node); err != nil {
			return err
		}
		mu.Lock()
		defer mu.Unlock()
		if len(faults) > 0 && warning == "" {
			warning = fmt.Sprintf("the Redis at %s may forget what it confirmed: %s", node.Options().Addr, strings.Join(faults, "; "))
		}
		return nil
	}
	switch c := s.client.(type) {
	case *redis.Client:
		err = look(ctx, c)
	case *redis.ClusterClient:
		err = c.ForEachMaster(ctx, look)
	}
	return warning, err
}

// sample renews the clock, the settings and the replicas; what fails is logged and asked again next time.
func (s *Store) sample(ctx context.Context) {
	if err := s.sampleClock(ctx); err != nil {
		s.log.Warn().Err(err).Msg("the store's time was not read; carrying on with the last")
	}
	warning, err := s.examine(ctx)
	if err != nil {
		s.log.Warn().Err(err).Msg("the store's settings were not read")
		return
	}
	if _, was := s.state.get(); warning != was && warning != "" {
		s.log.Warn().Msg(warning)
	}
	s.state.set(warning == "", warning)
}

// Health asks the store how it is. With the embedded server it also tries to recover from a failed disk.
func (s *Store) Health(ctx context.Context) Health {
	h := Health{Embedded: s.local != nil}
	h.Persistent, h.Warning = s.state.get()
	var err error
	if s.local != nil {
		err = s.local.Recover()
	} else {
		err = s.ping(ctx)
	}
	h.OK = err == nil
	if err != nil {
		h.Err = err.Error()
	}
	return h
}

func (s *Store) ping(ctx context.Context) error {
	if c, ok := s.client.(*redis.ClusterClient); ok {
		return c.ForEachMaster(ctx, func(ctx context.Context, node *redis.Client) error { return node.Ping(ctx).Err() })
	}
	return s.client.Ping(ctx).Err()
}
