package store

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/redis/go-redis/v9"
	"github.com/rs/zerolog"

	"tallybell/leaderboard/store/embedded"
)

// Options of a store.
type Options struct {
	Redis         []string // URLs (redis, rediss, unix); several are a cluster; none is the embedded server
	Data          string   // the embedded server's folder; "" keeps everything in memory and needs AllowVolatile
	AllowVolatile bool     // accept a store that may forget what it confirmed
	Log           zerolog.Logger

	Now        func() time.Time // stands in for the store's clock in tests; nil for the real one
	Disk       embedded.Disk    // stands in for the embedded server's disk in tests; nil for the real one
	RetryEvery time.Duration    // between attempts to recover from a failed disk; 0 means a second
}

// Store is a connection to the one place where all state is kept. Its methods may be called from many
// goroutines; Close ends what it started.
type Store struct {
	opt      Options
	log      zerolog.Logger
	scripts  scripts
	client   redis.UniversalClient // for reads; writes go through the batcher
	writer   redis.UniversalClient // for pipelines of scripts: not retried by the client
	batch    *batcher
	lane     lane
	local    *embedded.Server // nil with a real Redis
	clock    storeClock
	state    persistence
	replicas *replicas

	stop  context.CancelFunc
	ended <-chan struct{} // closed by stop
	wg    sync.WaitGroup

	mu    sync.Mutex
	clubs map[string]*Club
}

// Open connects to the store. It refuses a Redis that may forget what it confirmed (unless
// AllowVolatile), a folder that another process uses, a damaged log, and a club of a newer format.
func Open(ctx context.Context, o Options) (*Store, error) {
	s := &Store{opt: o, log: o.Log, scripts: newScripts(), clubs: map[string]*Club{}, replicas: newReplicas()}
	var err error
	if len(o.Redis) == 0 {
		err = s.openEmbedded()
	} else {
		err = s.openRedis(ctx)
	}
	if err != nil {
		return nil, err
	}
	run, stop := context.WithCancel(context.Background())
	s.stop, s.ended = stop, run.Done()
	s.start(func() { s.tend(run) })
	return s, nil
}

// start runs f until Close; false means that the store is closed already.
func (s *Store) start(f func()) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	select {
	case <-s.ended:
		return false
	default:
		s.wg.Go(f)
		return true
	}
}

func (s *Store) openEmbedded() error {
	if s.opt.Data == "" && !s.opt.AllowVolatile {
		return errors.New("store: neither a Redis nor a data folder is given, so nothing would outlive this process; give --data FOLDER or --redis URL, or accept that with --allow-volatile")
	}
	local, err := embedded.Open(embedded.Options{
		Dir: s.opt.Data, Disk: s.opt.Disk, RetryEvery: s.opt.RetryEvery,
		Warn: func(m string) { s.log.Warn().Msg(m) },
	})
	if err != nil {
		return fmt.Errorf("store: %w", err)
	}
	if err := refuseNewer(local); err != nil {
		return errors.Join(err, local.Close())
	}
	s.local = local
	s.client = redis.NewClient(&redis.Options{Addr: "embedded", Dialer: local.Dial, Protocol: 2, DisableIdentity: true, PoolSize: 16,
		MaintNotificationsConfig: noMaintenance()})
	writer := redis.NewClient(&redis.Options{
		Addr: "embedded", Dialer: local.Dial, Protocol: 2, DisableIdentity: true, PoolSize: 2, PipelinePoolSize: 1,
		MaintNotificationsConfig: noMaintenance(),
		MaxRetries:               -1, ReadTimeout: -1, WriteTimeout: -1,
	})
	s.writer = writer
	s.lane = &embeddedLane{server: local, client: writer}
	s.batch = newBatcher(s.lane, s.scripts.all(), 1, embeddedPipeline)
	s.state.set(local.Persistent(), volatileMemory(local.Persistent()))
	return nil
}

// embeddedPipeline is the most calls in one pipeline of the embedded server, whose scripts are slow: an
// answer waits for all of them, and one sync is little beside them.
const embeddedPipeline = 64

func volatileMemory(persistent bool) string {
	if persistent {
		return ""
	}
	return "everything is kept in memory only and ends with this process"
}

// refuseNewer looks at every club of the folder.
func refuseNewer(local *embedded.Server) error {
	for _, key := range local.Keys() {
		id, ok := clubOfKey(key)
		if !ok {
			continue
		}
		if err := checkFormat(id, local.Field(key, "format")); err != nil {
			return err
		}
	}
	return nil
}

// Close ends the store; calls under way finish first.
func (s *Store) Close() error {
	s.mu.Lock()
	s.stop()
	s.mu.Unlock()
	s.batch.close()
	s.wg.Wait()
	err := errors.Join(s.writer.Close(), s.client.Close())
	if s.local != nil {
		err = errors.Join(err, s.local.Close())
	}
	if err != nil {
		return fmt.Errorf("store: close: %w", err)
	}
	return nil
}

// tendEvery is how often the store's clock and the server's settings are looked at.
const tendEvery = time.Minute

// tend keeps the clock and the knowledge of the server fresh, and compacts the embedded log at night.
func (s *Store) tend(ctx context.Context) {
	t := time.NewTicker(tendEvery)
	defer t.Stop()
	compacted := s.Now()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
		case <-s.clock.jumped():
		}
		if s.local == nil {
			s.sample(ctx)
			continue
		}
		if now := s.Now(); nightly(compacted, now) {
			compacted = now
			if err := s.local.Compact(); err != nil {
				s.log.Warn().Err(err).Msg("the log was not compacted")
			}
		}
	}
}

// nightly says whether a compaction is due: once a night, between three and four in the morning.
func nightly(last, now time.Time) bool {
	return now.Local().Hour() == 3 && now.Sub(last) > 2*time.Hour
}

// read makes a pipeline of commands that change nothing. A missing key is no error.
func (s *Store) read(ctx context.Context, what string, fill func(p redis.Pipeliner)) error {
	run := func() error {
		p := s.client.Pipeline()
		fill(p)
		_, err := p.Exec(ctx)
		if errors.Is(err, redis.Nil) {
			return nil // each command has its own error; look for one that is more than a missing key
		}
		return err
	}
	var err error
	if s.local != nil {
		err = s.local.Read(run)
	} else {
		err = run()
	}
	if err != nil {
		return fmt.Errorf("store: %s: %w", what, err)
	}
	return nil
}
