package store

import (
	"context"
	"fmt"
	"time"
)

// Days that the daily job leaves: what was posted for a date is asked for while it may still be sent or corrected.
const (
	keepPosted  = 60
	sweepPosted = 460 // further back than a year of missed jobs
	keepPosts   = 14 * 24 * time.Hour
)

// Sweep removes what is old: posts of more than 14 days, and what was posted for dates more than 60 days back. It is
// meant for a daily job; nothing of ours expires by itself.
func (c *Club) Sweep(ctx context.Context, now time.Time) error {
	old := Do{"DEL"}
	today := now.UTC()
	for d := keepPosted; d < sweepPosted; d++ {
		old = append(old, c.KeyPosted(today.AddDate(0, 0, -d).Format(time.DateOnly)))
	}
	if err := c.sweepImport(ctx, now); err != nil {
		return fmt.Errorf("store: sweep: %w", err)
	}
	oldest := itoa(micros(now.Add(-keepPosts))) + "-0"
	if _, err := c.Change(ctx, now, nil, []Do{old, {"XTRIM", c.KeyPosts(), "MINID", "=", oldest}}); err != nil {
		return fmt.Errorf("store: sweep: %w", err)
	}
	return nil
}
