package store

import (
	"context"
	"fmt"
)

// Sheets returns the sheets of a date: each version's text, and what "current" and "draft" hold.
func (c *Club) Sheets(ctx context.Context, date string) (map[string]string, error) {
	return c.hash(ctx, "sheets", c.KeySheets(date))
}

// SheetDates returns the dates that have a sheet, drafts too, in order.
func (c *Club) SheetDates(ctx context.Context) ([]string, error) {
	return c.sorted(ctx, "dates of sheets", c.KeySheetDates())
}

// Buckets returns the latest date posted to each bucket.
func (c *Club) Buckets(ctx context.Context) (map[string]string, error) {
	return c.hash(ctx, "buckets", c.KeyBuckets())
}

// Posted returns the number of each post of a date by its once-id.
func (c *Club) Posted(ctx context.Context, date string) (map[string]int64, error) {
	all, err := c.hash(ctx, "posted", c.KeyPosted(date))
	if err != nil {
		return nil, err
	}
	out := make(map[string]int64, len(all))
	for once, v := range all {
		if out[once], err = number(v); err != nil {
			return nil, fmt.Errorf("store: posted %s %s: %w", date, once, err)
		}
	}
	return out, nil
}
