package bot

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
	"tallybell/schedule"
)

// How late the club's own timed things may still be done: a reminder hours later is noise, a report is read all day.
const (
	remindWithin  = 2 * time.Hour
	summaryWithin = 16 * time.Hour
	reportWithin  = 16 * time.Hour
)

// Daily returns the club's own timed things, as the schedule does them: each safe to repeat, on every replica.
func (b *Bot) Daily() []schedule.Daily {
	c := b.Club()
	club, zones := []string{c.Zone}, b.zones()
	out := []schedule.Daily{
		{Name: "report", At: c.ReportAt, Zones: club, Within: reportWithin, Do: b.sendReport},
		{Name: "reminders", At: c.RemindAt, Zones: zones, Within: remindWithin, Do: b.remind},
	}
	if c.NoSummary {
		return out
	}
	at := c.SummaryAt()
	return append(out,
		schedule.Daily{Name: "weeks of members", At: at, Zones: zones, Within: summaryWithin, Do: b.summariseMembers},
		schedule.Daily{Name: "week of the club", At: at, Zones: club, Within: summaryWithin, Do: b.summariseClub})
}

// zones returns the zones by whose clocks members live, sorted: those of the buckets in use, which are known without
// looking at every member.
func (b *Bot) zones() []string {
	var out []string
	for _, d := range b.roster.Buckets(b.clock.Now()) {
		if i, has := slices.BinarySearch(out, d.Bucket.Zone); !has {
			out = slices.Insert(out, i, d.Bucket.Zone)
		}
	}
	return out
}

// inZone returns the members who are here, live by that zone's clock and are wanted.
func (b *Bot) inZone(zone string, wanted func(roster.Member) bool) []roster.Member {
	var out []roster.Member
	for _, m := range b.roster.All() {
		if m.Role == roster.RoleMember && m.Joined() && m.Zone == zone && wanted(m) {
			out = append(out, m)
		}
	}
	return out
}

// pausing reports whether a member has asked for a pause by date d: one asked for after the day's session came begins
// with the next date.
func pausing(m roster.Member, d content.Date) bool { return m.PausedOn(d) || m.PausedOn(d.AddDays(1)) }

// coaches returns the ids of the club's coaches.
func (b *Bot) coaches() []string {
	var out []string
	for _, m := range b.roster.All() {
		if m.Role == roster.RoleCoach && !m.Removed() {
			out = append(out, m.ID)
		}
	}
	return out
}

// present is a person as the store has them at one moment, and those of their results that were asked for.
type present struct {
	member  roster.Member
	results map[store.Field][]byte
}

// mailOnce puts into somebody's mail what decide makes of them, once by its id, over restarts and replicas. decide sees
// them as they are at the moment of writing, and declines with nil. An open question stays open without being asked
// again.
func (b *Bot) mailOnce(ctx context.Context, id, once string, fields []store.Field, decide func(present) (*answer, error)) error {
	for range attempts {
		now := b.clock.Now()
		got, err := b.club.State(ctx, id, fields...)
		if err != nil {
			return err
		}
		if got.Profile == nil {
			return nil // forgotten meanwhile
		}
		p := present{results: got.Results}
		if err := json.Unmarshal(got.Profile, &p.member); err != nil {
			return fmt.Errorf("reading the profile of %s: %w", id, err)
		}
		if p.member.Removed() {
			return nil
		}
		a, err := decide(p)
		if err != nil || a == nil {
			return err
		}
		a.At = now.UnixMilli()
		if a.Open, err = carried(got.Last, now); err != nil {
			return err
		}
		said, err := b.club.Say(ctx, now, store.Utterance{Member: id, Top: got.Top, ID: once, Digest: digest(once), Fact: a.bytes()})
		if err != nil {
			return err
		}
		if said.Outcome == store.Stale {
			continue
		}
		if said.Outcome == store.Done {
			b.states.drop(id)
			b.hint(Hint{Member: id, N: said.N})
		}
		return nil
	}
	return fmt.Errorf("%s for %s: %w", once, id, store.ErrStale)
}

// carried returns the questions open after the last entry of a mail, none of them to be asked aloud again.
func carried(last *store.MailEntry, now time.Time) (*question, error) {
	if last == nil {
		return nil, nil
	}
	was, err := readAnswer(last.Fact)
	if err != nil {
		return nil, fmt.Errorf("stored answer %d: %w", last.N, err)
	}
	open := (&state{open: was.Open}).openAt(now).chain()
	for i := range open {
		open[i].Carried = true
	}
	return chained(open), nil
}

// sentTo returns the post of a date's session to a member, false when none was theirs. had is what went out for it.
func (b *Bot) sentTo(m roster.Member, date content.Date, had map[content.Bucket]Fact) (Fact, bool) {
	if m.Role != roster.RoleMember || !m.Joined() || m.Removed() {
		return Fact{}, false
	}
	bucket := m.BucketOn(date)
	f, ok := had[bucket]
	return f, ok && !bucket.IsZero() && !m.HeldAt(f.N)
}
