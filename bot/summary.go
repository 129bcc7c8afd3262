package bot

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/schedule"
)

// summaryDays is how many dates a weekly summary goes back over, its own included.
const summaryDays = 7

func (b *Bot) summaryDay(t schedule.Turn) bool { return t.Date.Weekday() == b.Club().SummaryOn }

// summariseMembers tells each member of a zone who has logged something in the week what it was. It counts what was
// done, never what was not, and tells no rank.
func (b *Bot) summariseMembers(ctx context.Context, t schedule.Turn) error {
	if !b.summaryDay(t) {
		return nil
	}
	logged := map[string]bool{}
	for i := range summaryDays {
		day, err := b.toldOn(ctx, t.Date.AddDays(-i), false)
		if err != nil {
			return err
		}
		for id := range day {
			logged[id] = true
		}
	}
	var errs []error
	due := func(m roster.Member) bool { return logged[m.ID] && !m.Held() && !pausing(m, t.Date) }
	for _, m := range b.inZone(t.Zone.String(), due) {
		errs = append(errs, b.mailOnce(ctx, m.ID, "week:"+t.Date.String(), nil, func(p present) (*answer, error) {
			if p.member.Held() || pausing(p.member, t.Date) {
				return nil, nil
			}
			lines, err := b.weekOf(ctx, p.member, t.Date)
			if err != nil || len(lines) == 0 {
				return nil, err
			}
			return &answer{Kind: NoticePost, Date: t.Date, Lines: lines}, nil
		}))
	}
	return errors.Join(errs...)
}

// weekOf writes a member's week up to a date, a line a day with results; nil when there are none.
func (b *Bot) weekOf(ctx context.Context, m roster.Member, last content.Date) ([]string, error) {
	entries, err := b.ledger(ctx, m.ID)
	if err != nil {
		return nil, err
	}
	all := leaderboard.Current(entries)
	var week []leaderboard.Record
	for _, r := range all {
		if back := last.DaysSince(r.Date); back >= 0 && back < summaryDays {
			week = append(week, r)
		}
	}
	if len(week) == 0 {
		return nil, nil
	}
	slices.SortFunc(week, func(x, y leaderboard.Record) int {
		return cmp.Or(x.Date.Compare(y.Date), cmp.Compare(x.Part, y.Part))
	})
	var days []string
	var on content.Date
	for _, r := range week {
		show := r.Part + " " + b.showAlone(ctx, m, r)
		if isBest(all, r) {
			show += " (your best so far)"
		}
		if r.Date == on {
			days[len(days)-1] += "; " + show
			continue
		}
		on = r.Date
		days = append(days, dayName(on)+": "+show)
	}
	head := fmt.Sprintf("Your week: %s, %s.", counted(len(days), "session"), counted(len(week), "result"))
	return append([]string{head}, days...), nil
}

// showAlone is a result with its version, by the sheet of its date; without that sheet it is shown by its kind alone.
func (b *Bot) showAlone(ctx context.Context, m roster.Member, r leaderboard.Record) string {
	p := content.Part{}
	if s, err := b.Session(ctx, r.Date); err == nil {
		if sp, ok := s.Part(r.Part); ok {
			p = *sp
		}
	}
	show := leaderboard.ShowIn(p, r.Result, m.Units)
	if v := versionWords(r.Result.Version); v != "" {
		show += ", " + v
	}
	return show
}

// isBest reports whether a record is the best of its piece in its version, and better than one before it.
func isBest(all []leaderboard.Record, r leaderboard.Record) bool {
	if r.Kind == content.KindDone || r.Result.Version == "" || r.Piece == "" {
		return false
	}
	best, ok := leaderboard.Best(all, r.Piece, r.Result.Version)
	if !ok || best.Date != r.Date || best.Part != r.Part {
		return false
	}
	_, before := leaderboard.LastBefore(all, r.Piece, r.Result.Version, r.Date)
	return before
}

// summariseClub tells the coaches their club's week in numbers.
func (b *Bot) summariseClub(ctx context.Context, t schedule.Turn) error {
	if !b.summaryDay(t) {
		return nil
	}
	if err := b.lookAtPosts(ctx); err != nil {
		return err
	}
	sessions, results := 0, 0
	members := map[string]bool{}
	for i := range summaryDays {
		d := t.Date.AddDays(-i)
		if len(b.posts.buckets(d)) > 0 {
			sessions++
		}
		day, err := b.toldOn(ctx, d, false)
		if err != nil {
			return err
		}
		for id, n := range day {
			members[id] = true
			results += n
		}
	}
	if sessions == 0 && results == 0 {
		return nil
	}
	line := fmt.Sprintf("The week to %s: %s went out, %s logged at least once, %s.", dayName(t.Date),
		counted(sessions, "session"), counted(len(members), "member"), counted(results, "result"))
	return b.mailCoaches(ctx, "week:"+t.Date.String(), answer{Kind: ReportPost, Date: t.Date, Lines: []string{line}})
}

// mailCoaches puts a fact into every coach's mail, once by its id.
func (b *Bot) mailCoaches(ctx context.Context, once string, a answer) error {
	var errs []error
	for _, id := range b.coaches() {
		errs = append(errs, b.mailOnce(ctx, id, once, nil, func(present) (*answer, error) {
			own := a
			return &own, nil
		}))
	}
	return errors.Join(errs...)
}

// counted writes "1 session", "4 sessions".
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, strings.TrimSuffix(what, "s"))
}
