package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"sync/atomic"
	"time"

	"github.com/urfave/cli/v3"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/schedule"
)

func demoCommand() *cli.Command {
	return &cli.Command{
		Name:  "demo",
		Usage: "run the invented Lantern Hall club: a past week of results and today's session",
		Description: `Starts everything on this machine with nothing installed, fills an empty data folder with an invented club whose
week was typed by invented members, and prints the links to open as a member and as the coach.`,
		Flags: slices.DeleteFunc(serverFlags("127.0.0.1:8080"), func(f cli.Flag) bool {
			name := f.Names()[0]
			return name == "coach-token-file"
		}),
		Action: func(ctx context.Context, c *cli.Command) error {
			if c.Args().Present() {
				return cli.Exit("demo takes no arguments, only flags: see tallybell demo --help", exitUsage)
			}
			d, err := loadDemo()
			if err != nil {
				return err
			}
			club, problems := roster.ParseClub("club.txt", d.ClubFile)
			if errs := content.Errors(problems); len(errs) > 0 {
				return fmt.Errorf("demo club: %s", errs[0].In("club.txt"))
			}
			s, err := settingsOf(c)
			if err != nil {
				return err
			}
			if !c.IsSet("data") {
				s.data = "tallybell-demo"
			}
			s.clubs = []roster.Club{club}
			s.demo = true
			return serve(ctx, newLog(c), s, func(ctx context.Context, a *app) error { return seed(ctx, a, d) })
		},
	}
}

// setClock is a clock that is told what time it is, for living through the demo's week.
type setClock struct{ now atomic.Int64 }

func (c *setClock) Now() time.Time      { return time.UnixMicro(c.now.Load()) }
func (c *setClock) set(t time.Time)     { c.now.Store(t.UnixMicro()) }
func newSetClock(t time.Time) *setClock { c := &setClock{}; c.set(t); return c }

// event is one thing that happens in the demo's week.
type event struct {
	at time.Time
	do func(ctx context.Context) error
}

// seed lives through the demo's week: the coach writes a programme, members join, sessions go out and replies are
// typed, each at its time and by the same way as in real life; then today's session goes out at once. A folder that
// has been lived in already is left as it is: its programme goes on by the schedule.
func seed(ctx context.Context, a *app, d demoClub) error {
	c := a.clubs[0]
	z, err := content.LoadZone(c.config.Zone)
	if err != nil {
		return err
	}
	now := a.store.Now()
	today := content.DateOf(now.In(z))
	if members(c.roster) > 0 {
		return startOver(ctx, c.bot, d, today)
	}
	fmt.Fprintln(os.Stderr, "living through an invented week …")
	clock := newSetClock(now.AddDate(0, 0, -demoDays-2))
	club, err := a.store.Club(c.config.ID)
	if err != nil {
		return outside("%w", err)
	}
	b, err := bot.New(ctx, bot.Options{Club: club, Roster: c.roster, Clock: clock, Log: a.log})
	if err != nil {
		return outside("%w", err)
	}
	s := seeding{d: d, bot: b, roster: c.roster, clock: clock, today: today, now: now}
	if err := s.run(ctx); err != nil {
		return outside("the demo's week: %w", errors.Join(err, b.Close()))
	}
	if err := b.Close(); err != nil {
		return outside("%w", err)
	}
	if _, _, err := c.bot.PostsAfter(ctx, 0); err != nil {
		return outside("%w", err)
	}
	_, err = c.bot.SendNow(ctx, today)
	return err
}

func members(r *roster.Roster) int {
	n := 0
	for _, m := range r.All() {
		if m.Role == roster.RoleMember {
			n++
		}
	}
	return n
}

// startOver writes the programme anew from today on when it has no sheet for today: the demo was started again after
// its last day. Dates that have a sheet keep it.
func startOver(ctx context.Context, b *bot.Bot, d demoClub, today content.Date) error {
	dates, err := b.SheetDates(ctx)
	if err != nil || slices.Contains(dates, today) {
		return err
	}
	for i, text := range d.Sheets {
		if date := today.AddDays(i); !slices.Contains(dates, date) {
			if err := putDemoSheet(ctx, b, date, text); err != nil {
				return err
			}
		}
	}
	return nil
}

func putDemoSheet(ctx context.Context, b *bot.Bot, date content.Date, text []byte) error {
	res, err := b.PutSheet(ctx, date, text, bot.PutOptions{})
	if err != nil {
		return err
	}
	if len(res.Errors) > 0 {
		return fmt.Errorf("demo sheet of %s: %s", date, res.Errors[0].In("sheet"))
	}
	return nil
}

// seeding is a demo's week under way.
type seeding struct {
	d      demoClub
	bot    *bot.Bot
	roster *roster.Roster
	clock  *setClock
	today  content.Date
	now    time.Time
	ids    map[string]string // nick -> member id
}

func (s *seeding) run(ctx context.Context) error {
	for i, text := range s.d.Sheets {
		if err := putDemoSheet(ctx, s.bot, s.today.AddDays(i-demoToday), text); err != nil {
			return err
		}
	}
	if err := s.join(ctx); err != nil {
		return err
	}
	var events []event
	for day := -demoDays; day < 0; day++ {
		events = append(events, s.sends(s.today.AddDays(day))...)
	}
	replies, err := s.replies()
	if err != nil {
		return err
	}
	events = append(events, replies...)
	slices.SortStableFunc(events, func(a, b event) int { return a.at.Compare(b.at) })
	for _, e := range events {
		s.clock.set(e.at)
		if err := e.do(ctx); err != nil {
			return err
		}
	}
	return nil
}

// join adds everybody and uses their invites as the replies' first day begins for all of them: who joins on a date is
// sent what stands from that date on, so nothing of the weeks before is made up for.
func (s *seeding) join(ctx context.Context) error {
	list := make([]roster.NewMember, len(s.d.Members))
	at := s.clock.Now()
	for i, m := range s.d.Members {
		list[i] = m.NewMember
		z, err := content.LoadZone(m.Zone)
		if err != nil {
			return err
		}
		if begins, ok := schedule.InstantOf(z, content.Clock{}, s.today.AddDays(-demoDays)); ok && begins.After(at) {
			at = begins
		}
	}
	s.clock.set(at)
	invited, err := s.roster.Add(ctx, at, list, "demo")
	if err != nil {
		return err
	}
	s.ids = map[string]string{}
	for i, in := range invited {
		s.ids[s.d.Members[i].Nick] = in.ID
		if _, _, err := s.roster.Join(ctx, at, in.Invite, ""); err != nil {
			return err
		}
	}
	return nil
}

// sends are what goes out for a date: its session, to each bucket at its instant.
func (s *seeding) sends(date content.Date) []event {
	var events []event
	buckets := map[content.Bucket]bool{}
	for _, m := range s.roster.All() {
		if b := m.BucketOn(date); !b.IsZero() {
			buckets[b] = true
		}
	}
	for b := range buckets {
		z, err := content.LoadZone(b.Zone)
		if err != nil {
			continue
		}
		at, ok := schedule.InstantOf(z, b.At, date)
		if !ok {
			continue
		}
		events = append(events, event{at, func(ctx context.Context) error {
			return s.bot.Send(ctx, b, schedule.Sending{Date: date, Mode: schedule.Regular, Instant: at, Reason: "demo"})
		}})
	}
	return events
}

// replies are typed at their member's local time; what still lies ahead is left out.
func (s *seeding) replies() ([]event, error) {
	var out []event
	for i, r := range s.d.Replies {
		id := s.ids[r.Nick]
		m, ok := s.roster.Get(id)
		if !ok {
			return nil, fmt.Errorf("replies: line %d: nobody is called %q", i+1, r.Nick)
		}
		z, err := content.LoadZone(m.Zone)
		if err != nil {
			return nil, err
		}
		at, ok := schedule.InstantOf(z, r.At, s.today.AddDays(r.Day))
		if !ok || !at.Before(s.now) {
			continue
		}
		out = append(out, event{at, func(ctx context.Context) error {
			_, err := s.bot.Hear(ctx, bot.Message{From: id, ID: fmt.Sprintf("demo-%d", i), Text: r.Text, At: at})
			return err
		}})
	}
	return out, nil
}

// demoLinks are printed once everything runs.
func (a *app) demoLinks(ctx context.Context) error {
	c := a.clubs[0]
	now := a.store.Now()
	coach, err := c.roster.CoachLink(ctx, now)
	if err != nil {
		return outside("the coach's link: %w", err)
	}
	all := c.roster.All()
	i := slices.IndexFunc(all, func(m roster.Member) bool { return m.Role == roster.RoleMember && m.OnBoards && !m.Held() })
	if i < 0 {
		return fmt.Errorf("the demo's club has no member on its boards")
	}
	member, err := c.roster.NewInvite(ctx, now, all[i].ID, false)
	if err != nil {
		return outside("the member's link: %w", err)
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s (an invented club) is running. Each link works once:\n", c.config.Name)
	fmt.Fprintf(&b, "  as a member (%s): %s\n", all[i].Name, member.Link)
	fmt.Fprintf(&b, "  as the coach:     %s\n", coach.Link)
	fmt.Fprintf(&b, "Stop with Ctrl-C; the week is kept.\n")
	_, err = os.Stdout.Write(b.Bytes())
	return err
}
