package bot

import (
	"context"
	"errors"
	"io"

	"tallybell/leaderboard/store"
)

// Export writes the whole club as JSON Lines.
func (b *Bot) Export(ctx context.Context, w io.Writer) error { return b.club.Export(ctx, w) }

// Import makes the club from an export. It takes only a club that holds nothing but its first coach, who gives way: a
// *Problem (conflict) otherwise, or (invalid) for a file that is broken, of which nothing is kept. Afterwards this Bot
// and its Roster know a club that is no more, and have to be made anew.
func (b *Bot) Import(ctx context.Context, r io.Reader) error {
	err := b.club.Import(ctx, r)
	var bad store.ExportError
	switch {
	case errors.Is(err, store.ErrExists):
		return &Problem{Code: "conflict", Text: "This club has members, sheets or a conversation already, and an import only makes a club that does not exist yet. " +
			"Start a server on an empty data folder and import there."}
	case errors.As(err, &bad):
		return &Problem{Code: "invalid", Text: "Nothing was imported. The export cannot be read: " + bad.Error() + "."}
	}
	return err
}
