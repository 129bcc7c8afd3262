package bot

import (
	"context"
	"fmt"

	"tallybell/bot/roster"
)

// Run has the club run as told from now on; what stands elsewhere by it is moved by StandAgain.
func (b *Bot) Run(club roster.Club) { b.roster.Run(club) }

// StandAgain compares where every result stands with where the club file, the members' choices and the sheets say, and
// stands those again that differ, from the ledgers: each member's by one script, so that a reader sees a result on its
// old boards or its new ones. Replies go on meanwhile. It returns how many members were moved.
func (b *Bot) StandAgain(ctx context.Context, why string) (int, error) {
	if _, err := b.roster.Refresh(ctx); err != nil {
		return 0, err
	}
	dates, err := b.resultDates(ctx)
	if err != nil {
		return 0, err
	}
	elsewhere, sheets := map[string]bool{}, sheetsRead{b: b}
	var order []string
	for _, date := range dates {
		records, err := b.records(ctx, date)
		if err != nil {
			return 0, err
		}
		for _, r := range records {
			if elsewhere[r.Member] {
				continue
			}
			_, moved, err := b.standsNow(ctx, &sheets, r.Member, r)
			if err != nil {
				return 0, err
			}
			if moved {
				elsewhere[r.Member] = true
				order = append(order, r.Member)
			}
		}
	}
	for i, id := range order {
		if err := b.restandMember(ctx, id, "", why); err != nil {
			return i, fmt.Errorf("standing results again: %w", err)
		}
	}
	return len(order), nil
}
