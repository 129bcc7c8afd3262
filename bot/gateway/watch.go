package gateway

import (
	"context"
	"fmt"
	"time"
)

// watch looks at the club's number, at hints and at intervals, and hands out what is new until ctx ends.
func (h *hub) watch(ctx context.Context) {
	ticks := time.NewTicker(h.limits.Look)
	defer ticks.Stop()
	hints := h.voice.Hints(ctx)
	h.look(ctx)
	for tick := 1; ; {
		select {
		case <-ctx.Done():
			return
		case <-ticks.C:
			h.look(ctx)
			if tick++; tick%sweepEvery == 0 {
				h.report("looking at tops", h.sweep(ctx))
			}
		case hint, open := <-hints:
			switch {
			case !open:
				hints = nil
			case hint.Member == "":
				h.look(ctx)
			default:
				h.hint(hint.Member, hint.N)
			}
		}
	}
}

// look reads the club's number and hands out new posts. When the store is away it says so once and goes on.
func (h *hub) look(ctx context.Context) {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	err := h.lookOnce(ctx)
	if ctx.Err() == context.Canceled {
		return
	}
	h.storeIs(err != nil, err)
	if err == nil {
		h.retryBehind()
	}
}

func (h *hub) lookOnce(ctx context.Context) error {
	n, lastPost, err := h.voice.Number(ctx)
	if err != nil {
		return fmt.Errorf("reading the club's number: %w", err)
	}
	handed := h.handed.Load()
	if handed == unknown {
		h.each(func(c *conn) { // it may have read its backlog before the last post
			if c.lags(lastPost) {
				h.spawn(c.catchUp)
			}
		})
		handed = lastPost
		h.handed.Store(handed)
	}
	if lastPost > handed {
		return h.handOutAfter(ctx, handed)
	}
	if n != h.number {
		if err := h.refresh(ctx); err != nil {
			return err
		}
		h.number = n
	}
	return nil
}

// handOutAfter hands out the posts beyond a number, in order.
func (h *hub) handOutAfter(ctx context.Context, handed int64) error {
	facts, upTo, err := h.voice.PostsAfter(ctx, handed)
	if err != nil {
		return fmt.Errorf("reading posts after %d: %w", handed, err)
	}
	if err := h.refresh(ctx); err != nil { // a post is for whoever its bucket is by now
		return err
	}
	for _, f := range facts {
		if err := h.handOut(ctx, f); err != nil {
			return err
		}
		h.handed.Store(f.N)
	}
	h.handed.Store(max(upTo, h.handed.Load()))
	return nil
}

// refresh reads the members who changed; a connection whose token was taken back ends.
func (h *hub) refresh(ctx context.Context) error {
	changed, err := h.people.Refresh(ctx)
	if err != nil {
		return fmt.Errorf("reading changed members: %w", err)
	}
	for _, id := range changed {
		h.recheck(ctx, id)
	}
	return nil
}

// sweep looks at the tops of everyone connected, for whom a hint was lost.
func (h *hub) sweep(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	parties := h.everyParty()
	tops, err := h.tops(ctx, parties)
	if err != nil {
		return err
	}
	for i, p := range parties {
		for _, c := range p.all() {
			if c.lags(tops[i]) {
				h.recheck(ctx, p.member)
				h.spawn(c.catchUp)
			}
		}
	}
	return nil
}

// tops returns the number of the last change of each member.
func (h *hub) tops(ctx context.Context, parties []*party) ([]int64, error) {
	out := make([]int64, 0, len(parties))
	ids := make([]string, 0, min(topsAtOnce, len(parties)))
	for len(out) < len(parties) {
		ids = ids[:0]
		for _, p := range parties[len(out):min(len(out)+topsAtOnce, len(parties))] {
			ids = append(ids, p.member)
		}
		some, err := h.voice.Tops(ctx, ids)
		if err != nil {
			return nil, fmt.Errorf("reading tops: %w", err)
		}
		if len(some) != len(ids) {
			return nil, fmt.Errorf("reading tops: asked for %d members, got %d", len(ids), len(some))
		}
		out = append(out, some...)
	}
	return out, nil
}

func (h *hub) retryBehind() {
	h.mu.Lock()
	again := h.behind
	h.behind = map[*conn]struct{}{}
	h.mu.Unlock()
	for c := range again {
		if c.retry() {
			h.spawn(c.catchUp)
		}
	}
}

func (h *hub) storeIs(away bool, err error) {
	if away == h.isAway {
		return
	}
	h.isAway = away
	if away {
		h.metrics.storeAway.Inc()
		h.log.Error().Err(err).Msg("the store cannot be reached; trying again every look")
		return
	}
	h.metrics.storeAway.Dec()
	h.log.Info().Msg("the store is back")
}

func (h *hub) report(what string, err error) {
	if err != nil {
		h.log.Warn().Err(err).Msg(what)
	}
}

// pingAll sends each connection a ping an interval, a slot of them at a time, and drops those that left the last one
// unanswered.
func (h *hub) pingAll(ctx context.Context) {
	ticks := time.NewTicker(max(h.limits.PingEvery/pingSlots, time.Millisecond))
	defer ticks.Stop()
	for slot := 0; ; slot = (slot + 1) % pingSlots {
		select {
		case <-ctx.Done():
			return
		case <-ticks.C:
		}
		h.mu.RLock()
		turn := append([]*conn(nil), h.wheel[slot]...)
		h.mu.RUnlock()
		for _, c := range turn {
			c.ping()
		}
	}
}
