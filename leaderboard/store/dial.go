package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/redis/go-redis/v9"
	"github.com/redis/go-redis/v9/maintnotifications"
)

// senders is how many pipelines may be under way to a real Redis: while it syncs one, the next is written.
const senders = 2

// openRedis connects to one Redis or a cluster and looks at its settings.
func (s *Store) openRedis(ctx context.Context) error {
	opts, err := parseURLs(s.opt.Redis)
	if err != nil {
		return err
	}
	if len(opts) == 1 {
		s.dialOne(opts[0])
	} else {
		s.dialCluster(opts)
	}
	s.clock.kick = make(chan struct{}, 1)
	if err := s.admit(ctx); err != nil {
		return errors.Join(err, s.writer.Close(), s.client.Close())
	}
	s.batch = newBatcher(s.lane, s.scripts.all(), senders, maxPipeline)
	return nil
}

// admit refuses a server that does not answer, or that may forget what it confirmed.
func (s *Store) admit(ctx context.Context) error {
	if err := s.sampleClock(ctx); err != nil {
		return fmt.Errorf("store: the Redis at %s does not answer; is it running, and is the URL right? %w", s.where(), err)
	}
	warning, err := s.examine(ctx)
	if err != nil {
		return fmt.Errorf("store: the settings of the Redis at %s: %w", s.where(), err)
	}
	if warning != "" && !s.opt.AllowVolatile {
		return fmt.Errorf("store: %s. Start it with --appendonly yes --appendfsync always --maxmemory-policy noeviction, or accept the loss with --allow-volatile", warning)
	}
	if warning != "" {
		s.log.Warn().Msg(warning)
	}
	s.state.set(warning == "", warning)
	return nil
}

// where names the servers without their passwords.
func (s *Store) where() string {
	switch c := s.client.(type) {
	case *redis.Client:
		return c.Options().Addr
	case *redis.ClusterClient:
		return fmt.Sprint(c.Options().Addrs)
	}
	return "?"
}

func parseURLs(urls []string) ([]*redis.Options, error) {
	opts := make([]*redis.Options, 0, len(urls))
	for i, u := range urls {
		o, err := redis.ParseURL(u)
		if err != nil {
			// the URL may hold a password: say which one, not what it says
			return nil, fmt.Errorf("store: Redis URL number %d is not one; want redis://HOST:PORT/DB, rediss://HOST:PORT or unix:///PATH: %w", i+1, withoutURL(err))
		}
		o.Protocol = 2
		o.DisableIdentity = true
		opts = append(opts, o)
	}
	return opts, nil
}

// withoutURL drops the address that net/url repeats in its errors.
func withoutURL(err error) error {
	for e := err; e != nil; e = errors.Unwrap(e) {
		if inner := errors.Unwrap(e); inner == nil {
			return e
		}
	}
	return err
}

// noMaintenance keeps the client from asking for notices of a hosted Redis's upkeep: it would look up the names of
// hosts for that, the embedded server's too.
func noMaintenance() *maintnotifications.Config {
	return &maintnotifications.Config{Mode: maintnotifications.ModeDisabled}
}

func (s *Store) dialOne(o *redis.Options) {
	o.MaintNotificationsConfig = noMaintenance()
	s.client = redis.NewClient(o)
	w := *o
	w.MaxRetries, w.DialerRetries = -1, 1
	writer := redis.NewClient(&w)
	s.writer = writer
	s.lane = &serverLane{client: writer, replicas: s.replicas}
}

// stateReload is how soon a cluster client learns of a failover.
const stateReload = time.Second

func (s *Store) dialCluster(opts []*redis.Options) {
	o := redis.ClusterOptions{
		Username: opts[0].Username, Password: opts[0].Password, TLSConfig: opts[0].TLSConfig,
		Protocol: 2, DisableIdentity: true, ClusterStateReloadInterval: stateReload,
		MaintNotificationsConfig: noMaintenance(),
	}
	for _, p := range opts {
		o.Addrs = append(o.Addrs, p.Addr)
	}
	reader, writer := o, o
	writer.DialerRetries = 1
	s.client = redis.NewClusterClient(&reader)
	cluster := redis.NewClusterClient(&writer)
	s.writer = cluster
	s.lane = &clusterLane{cluster: cluster, replicas: s.replicas}
}
