package store

import (
	"context"
	"fmt"
	"sync"
	"time"
)

// maxPipeline bounds one pipeline: the embedded server stalls on much longer ones, and an answer waits
// for its whole pipeline.
const maxPipeline = 500

// attempts of a call before it counts as not saved, and the pause after the first one (it doubles).
const (
	attempts   = 5
	firstPause = 20 * time.Millisecond
)

// batcher sends the calls in flight as one pipeline, again and again.
type batcher struct {
	lane   lane
	load   []script
	limit  int
	in     chan *call
	closed chan struct{}
	once   sync.Once
	wg     sync.WaitGroup
}

// newBatcher starts the given number of senders; one sender keeps writes strictly one pipeline at a time.
func newBatcher(l lane, load []script, senders, limit int) *batcher {
	b := &batcher{lane: l, load: load, limit: min(limit, maxPipeline), in: make(chan *call, maxPipeline), closed: make(chan struct{})}
	for range senders {
		b.wg.Go(b.run)
	}
	return b
}

// do sends a call and waits for its reply. When ctx ends first the call may still be made.
func (b *batcher) do(ctx context.Context, c *call) ([]any, error) {
	select {
	case <-b.closed:
		return nil, c.notSaved(ErrClosed)
	default:
	}
	select {
	case b.in <- c:
	case <-ctx.Done():
		return nil, c.notSaved(context.Cause(ctx))
	case <-b.closed:
		return nil, c.notSaved(ErrClosed)
	}
	select {
	case <-c.done:
	case <-ctx.Done():
		return nil, c.notSaved(context.Cause(ctx))
	case <-b.closed:
		b.wg.Wait() // a sender still at work finishes what it took
		select {
		case <-c.done:
		default:
			return nil, c.notSaved(ErrClosed)
		}
	}
	if c.err != nil {
		return nil, c.notSaved(c.err)
	}
	return c.reply, nil
}

// close lets the pipelines under way finish and refuses everything else.
func (b *batcher) close() {
	b.once.Do(func() { close(b.closed) })
	b.wg.Wait()
}

func (b *batcher) run() {
	calls := make([]*call, 0, b.limit)
	for {
		select {
		case <-b.closed:
			return
		case c := <-b.in:
			calls = append(calls[:0], c)
		}
		for more := true; more && len(calls) < b.limit; {
			select {
			case c := <-b.in:
				calls = append(calls, c)
			default:
				more = false
			}
		}
		b.send(calls)
		for _, c := range calls {
			close(c.done)
		}
	}
}

// send makes every call, and those that fail for a passing reason again, until each has a reply or an
// error that lasts. It never cuts a pipeline short: its outcome would be unknown.
func (b *batcher) send(calls []*call) {
	ctx := context.Background()
	pause := firstPause
	for try, loads := 1, 0; ; {
		b.round(ctx, calls)
		var again []*call
		wait := false
		for _, c := range calls {
			f := c.fault()
			if f == noScript || f == passing || f == unknown && c.resend {
				again = append(again, c)
				wait = wait || f != noScript
			}
		}
		if wait {
			try++
		} else {
			loads++ // the scripts are loaded by now: no need to wait
		}
		if len(again) == 0 || try > attempts || loads > attempts {
			return
		}
		if wait && !b.sleep(&pause) {
			return
		}
		calls = again
	}
}

// sleep waits before the next attempt; false means that the batcher closes.
func (b *batcher) sleep(pause *time.Duration) bool {
	t := time.NewTimer(*pause)
	defer t.Stop()
	*pause *= 2
	select {
	case <-t.C:
		return true
	case <-b.closed:
		return false
	}
}

// round sends every call once, grouped by the server that owns its keys.
func (b *batcher) round(ctx context.Context, calls []*call) {
	groups := b.lane.split(ctx, calls)
	if len(groups) == 1 {
		b.pipeline(ctx, groups[0])
		return
	}
	var wg sync.WaitGroup
	for _, g := range groups {
		wg.Go(func() { b.pipeline(ctx, g) })
	}
	wg.Wait()
}

// pipeline sends one group and gives each of its calls a reply or an error.
func (b *batcher) pipeline(ctx context.Context, g group) {
	err := b.lane.guard(func() error { return g.exec(ctx) })
	if err != nil {
		for _, c := range g.calls {
			c.reply, c.err = nil, fmt.Errorf("%w: %w", errUnguarded, err)
		}
		return
	}
	missing, astray := false, false
	for _, c := range g.calls {
		switch c.fault() {
		case noScript:
			missing = true
		case passing, unknown:
			astray = true
		}
	}
	if missing {
		g.loadScripts(ctx, b.load)
	}
	if astray {
		b.lane.moved(ctx)
	}
}
