package gateway

import (
	"context"
	"reflect"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"
	"unsafe"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
)

// audience is a member whom a post concerns, with their connections here.
type audience struct {
	party *party
	fit   content.Fit
	key   string // of the fit
	frame []byte // shared by all of one fit; nil when it could not be rendered
	top   int64
}

// chunk is how many members a goroutine takes at a time.
const chunk = 32

// handOut gives one post to every connection here whose member it concerns: rendered once a fit, written by as many
// goroutines as there are cores. Whoever it cannot go to directly catches up. On an error nothing is handed out.
func (h *hub) handOut(ctx context.Context, f bot.Fact) error {
	start := time.Now()
	list := h.concerned(f)
	if err := h.addTops(ctx, list); err != nil {
		return err
	}
	h.renderAll(ctx, f, list)
	inChunks(len(list), func(from, to int) {
		for _, a := range list[from:to] {
			a.hand(f.N)
		}
	})
	h.metrics.posts.Inc()
	h.metrics.fanOut.Observe(time.Since(start).Seconds())
	return nil
}

// concerned returns the members whom a post concerns. Whoever has left the club is sent away.
func (h *hub) concerned(f bot.Fact) []audience {
	parties := h.everyParty()
	all := make([]audience, len(parties))
	inChunks(len(parties), func(from, to int) {
		for i, p := range parties[from:to] {
			m, ok := h.people.Get(p.member)
			switch {
			case !ok || m.Removed():
				h.forget(p.member)
			case h.voice.Concerns(m, f):
				a := &all[from+i]
				a.party = p
				a.fit, a.key = p.fits.of(m, f.Date)
			}
		}
	})
	return slices.DeleteFunc(all, func(a audience) bool { return a.party == nil })
}

func (h *hub) addTops(ctx context.Context, list []audience) error {
	parties := make([]*party, len(list))
	for i := range list {
		parties[i] = list[i].party
	}
	tops, err := h.tops(ctx, parties)
	if err != nil {
		return err
	}
	for i, top := range tops {
		list[i].top = top
	}
	return nil
}

// renderAll renders the post once for each fit. What cannot be rendered stays nil and is tried again by catching up.
func (h *hub) renderAll(ctx context.Context, f bot.Fact, list []audience) {
	frames := map[string][]byte{}
	for i := range list {
		a := &list[i]
		frame, done := frames[a.key]
		if !done {
			p, err := h.voice.Render(ctx, f, a.fit)
			if err == nil {
				p.Cursor = f.N
				frame = encodePost(p)
			} else {
				h.log.Error().Err(err).Int64("post", f.N).Msg("a post could not be rendered")
			}
			frames[a.key] = frame
		}
		a.frame = frame
	}
}

// hand gives post n to the member's connections. No write waits, so a slow reader holds up nobody.
func (a audience) hand(n int64) {
	safe := a.top
	if a.frame == nil {
		safe = never
	}
	for _, c := range a.party.all() {
		if c.direct(n, safe, a.frame) {
			c.hub.spawn(c.catchUp)
		}
	}
}

// inChunks does the work for 0 to n in as many goroutines as there are cores.
func inChunks(n int, work func(from, to int)) {
	var next atomic.Int64
	worker := func() {
		for {
			from := int(next.Add(chunk)) - chunk
			if from >= n {
				return
			}
			work(from, min(from+chunk, n))
		}
	}
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), (n+chunk-1)/chunk) - 1 {
		wg.Go(worker)
	}
	worker()
	wg.Wait()
}

// fitCache remembers a member's fit and its key for as long as nothing that decides them has changed. Profiles are
// never changed in place, so the same slices and maps mean the same fit; the pointers keep them from being reused.
type fitCache struct {
	source fitSource
	known  bool
	fit    content.Fit
	key    string
}

type fitSource struct {
	level, units         string
	newcomer, told       bool
	newUntil             content.Date
	on                   content.Date // the post's date, where the fit depends on it
	kit, limits          *string
	swaps                *roster.Swap
	past                 *roster.DatedFit
	levels               unsafe.Pointer
	kitN, limitN, swapsN int
}

// of returns the member's fit for a post of a date; a post without one is the same to everybody.
func (c *fitCache) of(m roster.Member, on content.Date) (content.Fit, string) {
	if on.IsZero() {
		return content.Fit{}, ""
	}
	s := fitSource{
		level: m.Level, units: m.Units, newcomer: m.Newcomer, told: m.KitTold, newUntil: m.NewUntil,
		kit: unsafe.SliceData(m.Kit), kitN: len(m.Kit), limits: unsafe.SliceData(m.Limits), limitN: len(m.Limits),
		swaps: unsafe.SliceData(m.Swaps), swapsN: len(m.Swaps), past: unsafe.SliceData(m.Past),
		levels: reflect.ValueOf(m.Levels).UnsafePointer(),
	}
	if len(m.Past) > 0 || len(m.Swaps) > 0 || !m.NewUntil.IsZero() {
		s.on = on
	}
	if !c.known || s != c.source {
		fit := m.FitOn(on)
		c.source, c.known, c.fit, c.key = s, true, fit, fit.Key()
	}
	return c.fit, c.key
}
