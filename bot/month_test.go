package bot

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/schedule"
)

// monthZones are 12 zones whose clocks differ by whole and half hours; five of them change in the month.
var monthZones = strings.Fields(`Europe/London Europe/Berlin Africa/Cairo America/New_York America/St_Johns America/Havana
	Asia/Kolkata Asia/Tokyo Australia/Sydney Pacific/Kiritimati Pacific/Pago_Pago Pacific/Honolulu`)

// firstHalfHour returns the first half hour at which a zone's clock shows a date and a time or later, looking at one
// after the other: the judge of what the schedule says.
func firstHalfHour(t testing.TB, zone string, d content.Date, at content.Clock) time.Time {
	t.Helper()
	z, err := content.LoadZone(zone)
	if err != nil {
		t.Fatal(err)
	}
	for i := time.Date(d.Year, d.Month, d.Day-1, 0, 0, 0, 0, time.UTC); ; i = i.Add(30 * time.Minute) {
		l := i.In(z)
		on := content.Date{Year: l.Year(), Month: l.Month(), Day: l.Day()}
		if on == d && l.Hour()*60+l.Minute() >= at.Minutes() || d.Before(on) {
			return i
		}
	}
}

// month is a club on the real bot and an embedded store.
type month struct {
	*club
	rng      *rand.Rand
	replicas []*replica
	homes    map[string]bool // who never moves or pauses
	cursor   map[string]int64
	got      map[string]map[content.Date][]time.Time
	reminded map[string]map[content.Date]int
}

type replica struct {
	bot    *Bot
	runner *schedule.Runner
}

func (m *month) start() *replica {
	b, err := New(context.Background(), Options{Club: m.bot.club, Roster: m.bot.roster, Clock: m.clock, Log: zerolog.Nop()})
	if err != nil {
		m.t.Fatal(err)
	}
	r, err := schedule.New(schedule.Options{Book: b, Sender: b, Now: m.clock.Now, Daily: b.Daily, Log: zerolog.Nop()})
	if err != nil {
		m.t.Fatal(err)
	}
	return &replica{b, r}
}

// read gives every member what they have not had, as their page would.
func (m *month) read() {
	for name, id := range m.ids {
		log, err := m.bot.After(context.Background(), id, m.cursor[id])
		if err != nil {
			m.t.Fatal(err)
		}
		for _, p := range log.Posts {
			switch {
			case p.Kind == SessionPost:
				if m.got[name] == nil {
					m.got[name] = map[content.Date][]time.Time{}
				}
				m.got[name][p.Date] = append(m.got[name][p.Date], p.At)
			case p.Kind == NoticePost && p.Text == textReminder:
				if m.reminded[name] == nil {
					m.reminded[name] = map[content.Date]int{}
				}
				m.reminded[name][p.Date]++
			}
		}
		m.cursor[id] = log.UpTo
	}
}

// TestAMonth: 50 members in 12 zones through the real bot and the embedded store, over the changes of March 2027, with
// two replicas, restarts, and members who travel. Each of their dates' sessions comes once, at its instant; the coach
// has each date's report once; reminders come once.
func TestAMonth(t *testing.T) {
	if testing.Short() {
		t.Skip("lives through a month")
	}
	const days = 30
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	m := &month{club: newClub(t), rng: rand.New(rand.NewPCG(seed, 1)), homes: map[string]bool{}, cursor: map[string]int64{},
		got: map[string]map[content.Date][]time.Time{}, reminded: map[string]map[content.Date]int{}}
	ctx := context.Background()
	start := time.Date(2027, 3, 5, 0, 0, 0, 0, time.UTC)
	m.clock.set(start)
	first := content.Date{Year: 2027, Month: 3, Day: 6}
	yes := true
	for i := range 50 {
		name := fmt.Sprintf("Invented %02d", i)
		zone := monthZones[i%len(monthZones)]
		at := content.Clock{Hour: []int{0, 2, 6, 19, 23}[i%5], Minute: 30 * (i % 2)}
		in, err := m.bot.roster.Add(ctx, m.clock.Now(), []roster.NewMember{{Name: name, Zone: zone, SendAt: at.String()}}, "")
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := m.bot.roster.Join(ctx, m.clock.Now(), in[0].Invite, ""); err != nil {
			t.Fatal(err)
		}
		m.ids[name] = in[0].ID
		m.homes[name] = i%3 > 0
		if i%4 == 0 {
			m.patch(name, roster.Patch{Remind: &yes})
		}
	}
	for i := -1; i < days+2; i++ {
		if res, err := m.bot.PutSheet(ctx, first.AddDays(i), []byte(undated), PutOptions{}); err != nil || len(res.Errors) > 0 {
			t.Fatal(err, res.Errors)
		}
	}
	m.replicas = []*replica{m.start(), m.start()}
	defer func() {
		for _, r := range m.replicas {
			_ = r.bot.Close()
		}
	}()
	for now := start; now.Before(start.AddDate(0, 0, days+3)); now = now.Add(30 * time.Minute) {
		m.clock.set(now)
		if m.rng.IntN(60) == 0 {
			i := m.rng.IntN(2)
			_ = m.replicas[i].bot.Close()
			m.replicas[i] = m.start()
		}
		if m.rng.IntN(12) == 0 {
			i := m.rng.IntN(17) * 3
			if name := fmt.Sprintf("Invented %02d", i); !m.homes[name] && m.ids[name] != "" {
				zone := monthZones[m.rng.IntN(len(monthZones))]
				m.patch(name, roster.Patch{Zone: &zone})
			}
		}
		for i, r := range m.replicas {
			if i > 0 && m.rng.IntN(2) == 0 {
				continue
			}
			if err := r.runner.Tick(ctx, now); err != nil {
				t.Fatal(err)
			}
		}
		if m.rng.IntN(40) == 0 {
			m.read()
		}
	}
	m.read()
	m.check(first, days)
}

func (m *month) check(first content.Date, days int) {
	for name, id := range m.ids {
		who, _ := m.bot.roster.Get(id)
		for i := 1; i < days; i++ {
			d := first.AddDays(i)
			got := m.got[name][d]
			if len(got) != 1 {
				m.t.Errorf("%s (%s) has the session of %s %d times", name, who.Zone, d, len(got))
				continue
			}
			b := who.BucketOn(d)
			if want := firstHalfHour(m.t, b.Zone, d, b.At); m.homes[name] && !got[0].Equal(want) || got[0].Before(want) {
				m.t.Errorf("%s has the session of %s by %s at %v, want %v", name, d, b, got[0].UTC(), want)
			}
			// Who has their session by the hour of reminders is reminded, and nobody logs anything here.
			want := 0
			if who.Remind && b.At.Minutes() <= m.bot.Club().RemindAt.Minutes() {
				want = 1
			}
			if n := m.reminded[name][d]; n > 1 || m.homes[name] && n != want {
				m.t.Errorf("%s (%s) was reminded of %s %d times, want %d", name, b, d, n, want)
			}
		}
	}
	reports := m.mailOf(m.coach(), ReportPost)
	for i := 1; i < days; i++ {
		head := dayName(first.AddDays(i)) + ", "
		if n := len(slices.DeleteFunc(slices.Clone(reports), func(s string) bool { return !strings.HasPrefix(s, head) })); n != 1 {
			m.t.Errorf("%d reports of %s", n, first.AddDays(i))
		}
	}
}
