package gateway

import (
	"context"
	"io"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// What the gateway needs of a club's bot, by purpose.
type (
	// Conversation hears messages and gives back what was missed.
	Conversation interface {
		Hear(ctx context.Context, m bot.Message) (bot.Heard, error)
		After(ctx context.Context, member string, since int64) (bot.Backlog, error)
		Seen(ctx context.Context, member string, cursor int64) error
		Received(member string, cursor int64)
	}

	// Line tells what is new on the club's number line.
	Line interface {
		Number(ctx context.Context) (n, lastPost int64, err error)
		PostsAfter(ctx context.Context, n int64) ([]bot.Fact, int64, error)
		Tops(ctx context.Context, members []string) ([]int64, error)
		Hints(ctx context.Context) <-chan bot.Hint
	}

	// Renderer turns posts into what members read.
	Renderer interface {
		Concerns(m roster.Member, f bot.Fact) bool
		Render(ctx context.Context, f bot.Fact, fit content.Fit) (bot.Post, error)
	}

	// Sheets stores and sends sessions.
	Sheets interface {
		PutSheet(ctx context.Context, date content.Date, text []byte, o bot.PutOptions) (bot.PutResult, error)
		Sheet(ctx context.Context, date content.Date) (bot.StoredSheet, error)
		SheetDates(ctx context.Context) ([]content.Date, error)
		Publish(ctx context.Context, date content.Date) error
		SendNow(ctx context.Context, date content.Date) (bot.Sent, error)
	}

	// Results reads and mends what came back.
	Results interface {
		Board(ctx context.Context, date content.Date, part string, q leaderboard.Query) (leaderboard.Page, error)
		Explain(ctx context.Context, date content.Date, part, member, units string) (leaderboard.Explained, error)
		Standings(ctx context.Context, q bot.StandingsQuery) (bot.Standings, error)
		Results(ctx context.Context, date content.Date) ([]bot.ResultRow, error)
		Correct(ctx context.Context, by, id string, date content.Date, part, member, reply, why string) (bot.ResultRow, error)
		RemoveResult(ctx context.Context, by, id string, date content.Date, part, member, why string) error
	}

	// Desk is the coach's.
	Desk interface {
		Report(ctx context.Context, date content.Date) (bot.Report, error)
		Questions(ctx context.Context) ([]bot.Question, error)
		Tell(ctx context.Context, by, id, member, text string) (int64, error)
		Rebuild(ctx context.Context) ([]string, error)
	}

	// Past tells what a member has done.
	Past interface {
		History(ctx context.Context, member string, coach bool) (bot.History, error)
		Load(ctx context.Context, member string) (bot.Loads, error)
	}

	// Intake enters results from elsewhere.
	Intake interface {
		ImportResults(ctx context.Context, by string, table []byte, partial bool) (bot.Imported, error)
	}

	// Privacy shows all that is kept of a member, and forgets it.
	Privacy interface {
		OwnData(ctx context.Context, id string) (bot.OwnData, error)
		Forget(ctx context.Context, id string) (n int64, err error)
	}

	// Bot is all of a club's bot.
	Bot interface {
		Conversation
		Line
		Renderer
		Sheets
		Results
		Desk
		Past
		Intake
		Privacy
		Club() roster.Club
	}
)

// What the gateway needs of a club's roster.
type (
	// Doorkeeper proves who somebody is.
	Doorkeeper interface {
		Authenticate(ctx context.Context, token string) (roster.Member, error)
		Join(ctx context.Context, now time.Time, invite, key string) (roster.Member, string, error)
	}

	// Register is the list of members.
	Register interface {
		Refresh(ctx context.Context) ([]string, error)
		Get(id string) (roster.Member, bool)
		All() []roster.Member
	}

	// Office changes the list.
	Office interface {
		Add(ctx context.Context, now time.Time, list []roster.NewMember, idempotencyKey string) ([]roster.Invited, error)
		Update(ctx context.Context, now time.Time, id string, p roster.Patch) (roster.Member, error)
		Remove(ctx context.Context, now time.Time, id string) error
		NewInvite(ctx context.Context, now time.Time, id string, revoke bool) (roster.Invited, error)
	}

	// Roster is all of a club's roster.
	Roster interface {
		Doorkeeper
		Register
		Office
	}
)

// Archive writes a club out and reads one in, as JSON Lines.
type Archive interface {
	Export(ctx context.Context, w io.Writer) error
	Import(ctx context.Context, r io.Reader) error
}
