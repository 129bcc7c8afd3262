package store

import (
	"context"

	"github.com/redis/go-redis/v9"
)

// Results returns every result record of a date.
func (c *Club) Results(ctx context.Context, date string) (map[Field][]byte, error) {
	all, err := c.hash(ctx, "results", c.KeyResults(date))
	if err != nil {
		return nil, err
	}
	out := make(map[Field][]byte, len(all))
	for name, record := range all {
		if f, ok := parseField(date, name); ok {
			out[f] = []byte(record)
		}
	}
	return out, nil
}

// ResultsOf returns those of the named results that exist, of any dates.
func (c *Club) ResultsOf(ctx context.Context, want []Field) (map[Field][]byte, error) {
	var reads fieldReads
	err := c.s.read(ctx, "results", func(p redis.Pipeliner) { reads = c.askFields(ctx, p, want) })
	if err != nil {
		return nil, err
	}
	return reads.values(), nil
}

// fieldReads are HMGETs under way, one a date.
type fieldReads struct {
	byDate map[string][]Field
	asked  map[string]*redis.SliceCmd
}

func (c *Club) askFields(ctx context.Context, p redis.Pipeliner, want []Field) fieldReads {
	r := fieldReads{byDate: map[string][]Field{}, asked: map[string]*redis.SliceCmd{}}
	for _, f := range want {
		r.byDate[f.Date] = append(r.byDate[f.Date], f)
	}
	for date, fields := range r.byDate {
		names := make([]string, len(fields))
		for i, f := range fields {
			names[i] = f.field()
		}
		r.asked[date] = p.HMGet(ctx, c.KeyResults(date), names...)
	}
	return r
}

func (r fieldReads) values() map[Field][]byte {
	out := map[Field][]byte{}
	for date, cmd := range r.asked {
		for i, v := range cmd.Val() {
			if s, ok := v.(string); ok {
				out[r.byDate[date][i]] = []byte(s)
			}
		}
	}
	return out
}

// ResultDates returns the dates that have a result, in order.
func (c *Club) ResultDates(ctx context.Context) ([]string, error) {
	return c.sorted(ctx, "dates of results", c.KeyResultDates())
}

// Ledger returns a member's ledger, oldest first.
func (c *Club) Ledger(ctx context.Context, member string) ([]LedgerEntry, error) {
	var stream *redis.XMessageSliceCmd
	err := c.s.read(ctx, "ledger", func(p redis.Pipeliner) { stream = p.XRange(ctx, c.KeyLedger(member), "-", "+") })
	if err != nil {
		return nil, err
	}
	out := make([]LedgerEntry, 0, len(stream.Val()))
	for _, m := range stream.Val() {
		n, i, err := streamID(m.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, LedgerEntry{N: n, I: i, Entry: []byte(word(m, "entry"))})
	}
	return out, nil
}
