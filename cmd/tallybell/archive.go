package main

import (
	"context"
	"io"

	"tallybell/bot"
)

// archive is a club for the gateway to write out and read in. What was read in has to be made known to the parts, which
// imported asks for.
type archive struct {
	bot      *bot.Bot
	imported chan<- struct{}
}

func (a archive) Export(ctx context.Context, w io.Writer) error { return a.bot.Export(ctx, w) }

func (a archive) Import(ctx context.Context, r io.Reader) error {
	if err := a.bot.Import(ctx, r); err != nil {
		return err
	}
	select {
	case a.imported <- struct{}{}:
	default: // asked for already
	}
	return nil
}
