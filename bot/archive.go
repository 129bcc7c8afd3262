package bot

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// Export writes the whole club as JSON Lines.
func (b *Bot) Export(ctx context.Context, w io.Writer) error { return b.club.Export(ctx, w) }

// Import makes the club from an export. It takes only a club that holds nothing but its first coach, who gives way: a
// *Problem (conflict) otherwise, or (invalid) for a file that is broken, of which nothing is kept. Afterwards this Bot
// and its Roster know a club that is no more, and have to be made anew.
func (b *Bot) Import(ctx context.Context, r io.Reader) error {
	err := b.club.Import(ctx, r, CheckRecord)
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

// CheckRecord refuses a record of an export that this program could not read later, so that a damaged file is told by its
// line and does not become a club that cannot be opened. Its errors hold nothing that anybody wrote.
func CheckRecord(r store.ExportRecord) error {
	first, rest, _ := strings.Cut(r.Key, ":")
	switch first {
	case "members":
		return roster.CheckProfile(r.Field, []byte(r.Value))
	case "results":
		return checkResult(rest, r)
	case "ledger":
		e, err := leaderboard.ReadLedgerEntry([]byte(r.Values["entry"]))
		if err != nil {
			return unreadable("ledger entry", err)
		}
		for _, rec := range []*leaderboard.Record{e.Old, e.New} {
			if rec != nil && rec.Member != rest {
				return errors.New("an entry about another member")
			}
		}
	case "mail":
		if _, err := readAnswer([]byte(r.Values["fact"])); err != nil {
			return unreadable("message", err)
		}
	case "posts":
		if _, err := readFact(store.PostEntry{Date: r.Values["date"], Bucket: r.Values["bucket"], Fact: []byte(r.Values["fact"])}); err != nil {
			return errors.New("a post that cannot be read")
		}
	case "sheets":
		if _, err := content.ParseDate(rest); err != nil {
			return fmt.Errorf("sheets of no date: %w", err)
		}
	}
	return nil
}

func checkResult(date string, r store.ExportRecord) error {
	if _, err := content.ParseDate(date); err != nil {
		return fmt.Errorf("results of no date: %w", err)
	}
	part, kind, ok := strings.Cut(r.Field, ":")
	kind, member, ok2 := strings.Cut(kind, ":")
	if !ok || !ok2 {
		return errors.New("a result that is not named PART:KIND:MEMBER")
	}
	if kind == kindNotes {
		if err := json.Unmarshal([]byte(r.Value), new(dayNotes)); err != nil {
			return unreadable("notes", err)
		}
		return nil
	}
	rec, err := leaderboard.ReadRecord([]byte(r.Value))
	if err != nil {
		return unreadable("result", err)
	}
	if f := rec.Field(); f.Date != date || f.Part != part || f.Kind != kind || f.Member != member {
		return errors.New("a result of another date, part, kind or member")
	}
	return nil
}

// unreadable says what cannot be read, and where in its JSON, without quoting it.
func unreadable(what string, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return fmt.Errorf("a %s that is no JSON from byte %d on", what, syntax.Offset)
	case errors.As(err, &kind):
		return fmt.Errorf("a %s whose %q is of the wrong type", what, kind.Field)
	}
	return fmt.Errorf("a %s that makes no sense", what)
}
