package bot

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

// backlogDays is how long posts are kept, and how far back a client without a cursor is caught up.
const backlogDays = 14

// posts is what this process knows of the club's posts of the last days, by date and bucket.
type posts struct {
	mu    sync.RWMutex
	upTo  int64
	dates map[content.Date]map[content.Bucket]Fact // sessions, in their latest version
}

// add notes facts read up to a number.
func (p *posts) add(facts []Fact, upTo int64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.dates == nil {
		p.dates = map[content.Date]map[content.Bucket]Fact{}
	}
	for _, f := range facts {
		if f.Kind != SessionPost && !f.changed() {
			continue
		}
		of := p.dates[f.Date]
		if of == nil {
			of = map[content.Bucket]Fact{}
			p.dates[f.Date] = of
		}
		if had, ok := of[f.Bucket]; !ok || had.N < f.N {
			of[f.Bucket] = f
		}
	}
	p.upTo = max(p.upTo, upTo)
	p.prune()
}

// prune forgets dates long gone, by the latest date known.
func (p *posts) prune() {
	var latest content.Date
	for d := range p.dates {
		if latest.IsZero() || latest.Before(d) {
			latest = d
		}
	}
	for d := range p.dates {
		if latest.DaysSince(d) > 2*backlogDays {
			delete(p.dates, d)
		}
	}
}

func (p *posts) known() int64 {
	p.mu.RLock()
	defer p.mu.RUnlock()
	return p.upTo
}

// buckets returns the buckets that had a date's session.
func (p *posts) buckets(d content.Date) map[content.Bucket]Fact {
	p.mu.RLock()
	defer p.mu.RUnlock()
	out := make(map[content.Bucket]Fact, len(p.dates[d]))
	for b, f := range p.dates[d] {
		out[b] = f
	}
	return out
}

// lastOf returns the sessions posted to a member, latest first, at most days back from the member's own date (one
// more forward, since a session may be sent early).
func (p *posts) lastOf(m roster.Member, now time.Time, days int) []Fact {
	today := content.DateOf(now.UTC())
	var out []Fact
	p.mu.RLock()
	defer p.mu.RUnlock()
	for d := today.AddDays(2); d.DaysSince(today) >= -days-1; d = d.AddDays(-1) {
		bucket := m.BucketOn(d)
		if bucket.IsZero() {
			continue
		}
		if f, ok := p.dates[d][bucket]; ok && !m.HeldAt(f.N) {
			out = append(out, f)
		}
	}
	return out
}

// changed reports whether the fact tells that a session's sheet was replaced.
func (f Fact) changed() bool { return f.Kind == NoticePost && f.Version != "" }

// postFact is how a post is stored.
type postFact struct {
	Kind    PostKind `json:"kind"`
	Version string   `json:"version,omitempty"`
	At      int64    `json:"at"`
	Late    bool     `json:"late,omitempty"`
	Text    string   `json:"text,omitempty"`
}

func readFact(e store.PostEntry) (Fact, error) {
	var p postFact
	if err := json.Unmarshal(e.Fact, &p); err != nil {
		return Fact{}, fmt.Errorf("stored post %d: %w", e.N, err)
	}
	f := Fact{N: e.N, Kind: p.Kind, Version: p.Version, At: time.UnixMilli(p.At), Late: p.Late, Text: p.Text}
	var err error
	if e.Date != "" {
		if f.Date, err = content.ParseDate(e.Date); err != nil {
			return Fact{}, fmt.Errorf("stored post %d: %w", e.N, err)
		}
	}
	if f.All = e.Bucket == "*"; !f.All {
		if f.Bucket, err = content.ParseBucket(e.Bucket); err != nil {
			return Fact{}, fmt.Errorf("stored post %d: %w", e.N, err)
		}
	}
	return f, nil
}

// PostsAfter returns the facts posted beyond n, in order, and the number looked up to.
func (b *Bot) PostsAfter(ctx context.Context, n int64) ([]Fact, int64, error) {
	entries, upTo, err := b.club.PostsAfter(ctx, n)
	if err != nil {
		return nil, 0, err
	}
	facts := make([]Fact, 0, len(entries))
	for _, e := range entries {
		f, err := readFact(e)
		if err != nil {
			return nil, 0, err
		}
		facts = append(facts, f)
	}
	if n <= b.posts.known() {
		b.posts.add(facts, upTo)
	}
	return facts, upTo, nil
}

// lookAtPosts reads the posts that this process has not seen.
func (b *Bot) lookAtPosts(ctx context.Context) error {
	_, _, err := b.PostsAfter(ctx, b.posts.known())
	return err
}

// Concerns reports whether a post is the member's: its bucket is theirs for its date, whenever it was written; a word
// to all is theirs if they had joined before it.
func (b *Bot) Concerns(m roster.Member, f Fact) bool {
	switch {
	case m.Removed() || !m.Joined():
		return false
	case f.All:
		return m.JoinedN < f.N
	case m.HeldAt(f.N):
		return false
	}
	return m.BucketOn(f.Date) == f.Bucket
}
