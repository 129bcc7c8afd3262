package bot

import (
	"context"
	"sync"

	"github.com/rs/zerolog"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// Options are what a Bot is made of.
type Options struct {
	Club    *store.Club
	Roster  *roster.Roster
	Library *content.Library // nil is the club's
	Clock   store.Clock
	Log     zerolog.Logger
}

// Bot is the conversation of one club. Its methods may be called from many goroutines; Close ends what New started.
type Bot struct {
	club    *store.Club
	roster  *roster.Roster
	library *content.Library
	clock   store.Clock
	log     zerolog.Logger

	states states
	sheets sheets
	posts  posts
	marks  marks
	sight  sight

	hints chan Hint // waiting to be told to other replicas
	stop  context.CancelFunc
	wg    sync.WaitGroup
}

// New returns the bot of a club, with the posts of the last days read.
func New(ctx context.Context, o Options) (*Bot, error) {
	b := &Bot{club: o.Club, roster: o.Roster, library: o.Library, clock: o.Clock, log: o.Log,
		hints: make(chan Hint, 1024)}
	if b.library == nil {
		b.library = b.Club().Library()
	}
	b.posts.upTo = b.club.Since(b.clock.Now().AddDate(0, 0, -2*backlogDays))
	if err := b.lookAtPosts(ctx); err != nil {
		return nil, err
	}
	run, stop := context.WithCancel(context.WithoutCancel(ctx))
	b.stop = stop
	b.wg.Go(func() { b.publish(run) })
	b.wg.Go(func() { b.keepSeen(run) })
	return b, nil
}

// Close ends the bot's own goroutines; how far members have come is written down before.
func (b *Bot) Close() error {
	b.stop()
	b.wg.Wait()
	return nil
}

// Club returns the club's settings as they are now.
func (b *Bot) Club() roster.Club { return b.roster.Club() }

// Roster returns the club's members.
func (b *Bot) Roster() *roster.Roster { return b.roster }

// Library returns the movements that the club's sheets may name.
func (b *Bot) Library() *content.Library { return b.library }

// boards reads the club's boards; names of people who are gone are left out.
func (b *Bot) boards() *leaderboard.Boards {
	return &leaderboard.Boards{Store: b.club, Divisions: b.Club().AllDivisions(), Namesake: b.roster.Namesake,
		Name: func(id string) (string, bool) {
			name := b.roster.Name(id)
			return name, name != ""
		}}
}
