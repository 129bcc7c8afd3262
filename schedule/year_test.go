package schedule_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/schedule"
)

// yearZones are 60 zones: all whose clocks do something odd in the year, the edges of the date, and plain ones.
var yearZones = strings.Fields(`Europe/Berlin Europe/London Europe/Dublin Europe/Lisbon Europe/Chisinau Europe/Istanbul
	America/New_York America/Chicago America/Denver America/Los_Angeles America/Phoenix America/St_Johns America/Santiago
	America/Havana America/Nuuk America/Sao_Paulo America/Asuncion America/Bogota America/Vancouver America/Edmonton
	America/Winnipeg America/Mexico_City America/Caracas America/Scoresbysund America/Miquelon Atlantic/Azores
	Africa/Cairo Africa/Casablanca Africa/Lagos Africa/Johannesburg Asia/Beirut Asia/Jerusalem Asia/Amman Asia/Tokyo
	Asia/Kolkata Asia/Kathmandu Asia/Karachi Asia/Dubai Asia/Riyadh Asia/Tehran Asia/Kabul Asia/Yangon Asia/Singapore
	Asia/Shanghai Australia/Sydney Australia/Adelaide Australia/Darwin Australia/Lord_Howe Australia/Eucla Pacific/Chatham
	Pacific/Auckland Pacific/Apia Pacific/Kiritimati Pacific/Pago_Pago Pacific/Marquesas Pacific/Honolulu Pacific/Norfolk
	Antarctica/Troll Pacific/Tongatapu UTC`)

// yearTimes are the local send times, on and beside the hours at which clocks change.
var yearTimes = strings.Fields("00:00 00:30 01:30 02:00 02:15 02:30 02:45 05:00 06:15 06:30 07:00 12:00 18:45 21:00 23:00 23:30 23:45")

// year is a club living through 366 days. All times are passed in.
type year struct {
	t        *testing.T
	rng      *rand.Rand
	ctx      context.Context
	shelf    *shelf
	roster   *roster.Roster
	runners  []*schedule.Runner
	now      time.Time
	from, to time.Time
	ticks    []time.Time // at which a server was up
	releases map[content.Date]time.Time
	zones    []string
	lives    []*life
	of       map[content.Bucket][]*life                    // who has ever belonged to a bucket
	wants    map[content.Bucket]map[content.Date]time.Time // by the judge
	judges   map[string]*judge
	bad      int
}

// life is what a test knows of a member by what was asked for, beside what the roster makes of it.
type life struct {
	id     string
	joined content.Date
	lists  []listed
	rests  []rest
	got    map[content.Date]receipt
}

// listed is a member's dated list from an instant on.
type listed struct {
	at time.Time
	m  roster.Member
}

// rest is a pause: asked for on one local date, ended on another.
type rest struct {
	from, to   content.Date // to: zero while it lasts
	begun, end time.Time
}

// receipt is a session that came to a member.
type receipt struct {
	bucket content.Bucket
	at     time.Time
}

func (y *year) Buckets(_ context.Context, now time.Time) ([]schedule.InUse, error) {
	var out []schedule.InUse
	for _, d := range y.roster.Buckets(now) {
		out = append(out, schedule.InUse{Bucket: d.Bucket, From: d.From})
	}
	return out, nil
}

func (y *year) Sheets(context.Context) ([]content.Date, error) { return y.shelf.sheets, nil }

func (y *year) Posted(_ context.Context, d content.Date) (map[content.Bucket]bool, error) {
	return y.shelf.had[d], nil
}

func (y *year) Send(_ context.Context, b content.Bucket, d schedule.Sending) error {
	err := y.shelf.post(b, d, y.now)
	if _, had := y.shelf.posted[d.Date][b]; had {
		y.deliver(b, d.Date)
	}
	return err
}

// deliver is the hub: a post is for whoever its bucket is for its date, at that moment.
func (y *year) deliver(b content.Bucket, d content.Date) {
	for _, l := range y.of[b] {
		if l.last().BucketOn(d) == b {
			y.receive(l, d, b)
		}
	}
}

func (l *life) last() roster.Member { return l.lists[len(l.lists)-1].m }

func (y *year) receive(l *life, d content.Date, b content.Bucket) {
	if had, ok := l.got[d]; ok {
		if had.bucket != b {
			y.fail("%s has the session of %s twice: by %s and by %s", l.id, d, had.bucket, b)
		}
		return
	}
	l.got[d] = receipt{b, y.now}
}

func (y *year) fail(format string, args ...any) {
	y.t.Helper()
	if y.bad++; y.bad <= 10 {
		y.t.Errorf(format, args...)
	}
}

// changed notes a member's new list: what stands in the backlog for it is found at once, and nothing that was had may
// belong to another bucket now.
func (y *year) changed(l *life, m roster.Member) {
	l.lists = append(l.lists, listed{y.now, m})
	for _, e := range m.Buckets {
		if !slices.Contains(y.of[e.Bucket], l) {
			y.of[e.Bucket] = append(y.of[e.Bucket], l)
		}
	}
	today, _ := local(y.t, "UTC", y.now)
	for d := today.AddDays(-3); d.DaysSince(today) <= 3; d = d.AddDays(1) {
		b := m.BucketOn(d)
		if had, ok := l.got[d]; ok && had.bucket != b {
			y.fail("%s had the session of %s by %s, and it is %q's now (%v)", l.id, d, had.bucket, b, m.Buckets)
		}
		if _, ok := y.shelf.posted[d][b]; ok && !b.IsZero() {
			y.receive(l, d, b)
		}
	}
}

func (y *year) zone() string { return y.zones[y.rng.IntN(len(y.zones))] }

// hour is one of three send times that members of a zone choose from: the zones together have all.
func (y *year) hour(zone string) string {
	return yearTimes[(3*slices.Index(yearZones, zone)+y.rng.IntN(3))%len(yearTimes)]
}

// join brings a member into the club.
func (y *year) join(l *life, zone, at string) {
	in, err := y.roster.Add(y.ctx, y.now, []roster.NewMember{{Name: "Invented " + strconv.Itoa(len(y.shelf.changed)), Zone: zone, SendAt: at}}, "")
	if err != nil {
		y.t.Fatal(err)
	}
	m, _, err := y.roster.Join(y.ctx, y.now, in[0].Invite, "")
	if err != nil {
		y.t.Fatal(err)
	}
	l.id = m.ID
	l.joined, _ = local(y.t, zone, y.now)
	y.changed(l, m)
}

// turn changes something of a member: they travel, choose another hour, pause or resume.
func (y *year) turn(l *life) {
	m := l.last()
	here, _ := local(y.t, m.Zone, y.now)
	var p roster.Patch
	yes, no := true, false
	resting := len(l.rests) > 0 && (l.rests[len(l.rests)-1].to.IsZero() || here.Before(l.rests[len(l.rests)-1].to))
	switch roll := y.rng.IntN(10); {
	case roll < 5:
		zone := y.zone()
		at := y.hour(zone)
		p.Zone, p.SendAt = &zone, &at
	case roll < 7:
		at := y.hour(m.Zone)
		p.SendAt = &at
	case resting:
		p.Paused = &no
	default:
		p.Paused = &yes
		if roll == 9 {
			p.Until = here.AddDays(1 + y.rng.IntN(9))
		}
	}
	now, err := y.roster.Update(y.ctx, y.now, m.ID, p)
	if err != nil {
		y.t.Fatal(err)
	}
	switch {
	case p.Paused == nil:
	case *p.Paused:
		l.rests = append(l.rests, rest{from: here, to: p.Until, begun: y.now})
	default:
		r := &l.rests[len(l.rests)-1]
		r.to, r.end = here, y.now
	}
	y.changed(l, now)
}

// runYear lives through the days with so many members.
func runYear(t *testing.T, seed uint64, members, days int, zones []string) *year {
	y := &year{t: t, zones: zones, rng: rand.New(rand.NewPCG(seed, 12)), ctx: t.Context(), shelf: newShelf(),
		from: time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC), releases: map[content.Date]time.Time{}, of: map[content.Bucket][]*life{},
		wants: map[content.Bucket]map[content.Date]time.Time{}, judges: map[string]*judge{}}
	y.to = y.from.AddDate(0, 0, days)
	var err error
	if y.roster, err = roster.New(y.ctx, y.shelf, roster.DefaultClub("lantern-hall")); err != nil {
		t.Fatal(err)
	}
	for _, z := range zones {
		y.judges[z] = newJudge(t, z, y.from.AddDate(0, 0, -4), y.to.AddDate(0, 0, 7))
	}
	type event struct {
		at time.Time
		do func()
	}
	var plan []event
	anyTime := func() time.Time {
		// People act a few times a day, so that the roster is not counted anew at each minute.
		hours := y.rng.IntN(days * 4)
		return y.from.Add(time.Duration(hours)*6*time.Hour + time.Duration(seed%7)*13*time.Minute)
	}
	for i := range members {
		l := &life{got: map[content.Date]receipt{}}
		y.lives = append(y.lives, l)
		at, zone := y.from, zones[i%len(zones)]
		hour := y.hour(zone)
		if i >= len(zones) && y.rng.IntN(3) == 0 {
			at = anyTime()
		}
		plan = append(plan, event{at, func() { y.join(l, zone, hour) }})
		for range y.rng.IntN(5) {
			if turn := anyTime(); turn.After(at) {
				plan = append(plan, event{turn, func() { y.turn(l) }})
			}
		}
	}
	first, _ := local(t, "UTC", y.from)
	for i := -3; i < days+3; i++ {
		d := first.AddDays(i)
		release := y.from.AddDate(0, 0, i-10) // days before, as a rule
		switch roll := y.rng.IntN(20); {
		case roll == 0:
			continue // a rest day
		case roll == 1: // published on the day itself, at any hour; a draft until then
			release = time.Date(d.Year, d.Month, d.Day, 0, 15*y.rng.IntN(96), 0, 0, time.UTC)
		}
		y.releases[d] = release
		plan = append(plan, event{release, func() { y.shelf.sheets = append(y.shelf.sheets, d) }})
	}
	slices.SortStableFunc(plan, func(a, b event) int { return a.at.Compare(b.at) })
	var down []time.Time // begins and ends of downtime, in turn
	for at := y.from.AddDate(0, 0, 5); at.Before(y.to); at = at.AddDate(0, 0, 10+y.rng.IntN(30)) {
		down = append(down, at, at.Add(time.Duration(1+y.rng.IntN(200))*quarter))
	}
	y.shelf.rolls = func() fate {
		switch y.rng.IntN(100) {
		case 0:
			return stops
		case 1:
			return loses
		}
		return goes
	}
	y.restart()
	for at := y.from; at.Before(y.to.AddDate(0, 0, 4)); at = at.Add(quarter) {
		minutes := []time.Time{at}
		if y.rng.IntN(8) == 0 {
			minutes = append(minutes, at.Add(time.Duration(1+y.rng.IntN(14))*time.Minute))
		}
		for _, y.now = range minutes {
			for len(plan) > 0 && !plan[0].at.After(y.now) {
				plan[0].do()
				plan = plan[1:]
			}
			for len(down) > 1 && !y.now.Before(down[1]) {
				down = down[2:]
				y.restart()
			}
			if len(down) > 0 && !y.now.Before(down[0]) {
				continue
			}
			y.tick()
		}
	}
	return y
}

func (y *year) restart() {
	y.runners = nil
	for range 2 {
		r, err := schedule.New(schedule.Options{Book: y, Sender: y, Now: func() time.Time { return y.now }, Log: zerolog.Nop()})
		if err != nil {
			y.t.Fatal(err)
		}
		y.runners = append(y.runners, r)
	}
}

// tick is a minute of one replica, and often of the other.
func (y *year) tick() {
	y.ticks = append(y.ticks, y.now)
	if y.rng.IntN(400) == 0 {
		y.restart()
	}
	for i, r := range y.runners {
		if i > 0 && y.rng.IntN(4) > 0 {
			continue
		}
		if err := r.Tick(y.ctx, y.now); err != nil && !errors.Is(err, errStopped) {
			y.t.Fatal(err)
		}
	}
}

// want is the judge's instant of a date in a bucket.
func (y *year) want(b content.Bucket, d content.Date) (time.Time, bool) {
	all, ok := y.wants[b]
	if !ok {
		j := y.judges[b.Zone]
		if j == nil {
			j = newJudge(y.t, b.Zone, y.from.AddDate(0, 0, -4), y.to.AddDate(0, 0, 7))
			y.judges[b.Zone] = j
		}
		all = j.instants(b.At)
		y.wants[b] = all
	}
	t, ok := all[d]
	return t, ok
}

// upAt returns the first minute at or after an instant at which a server looked and was not stopped in the middle.
func (y *year) upAt(b content.Bucket, d content.Date, at time.Time) time.Time {
	i, _ := slices.BinarySearchFunc(y.ticks, at, time.Time.Compare)
	for i < len(y.ticks) && y.shelf.failed[failure{b, d, y.ticks[i]}] {
		i++
	}
	if i == len(y.ticks) {
		return time.Time{}
	}
	return y.ticks[i]
}

// check holds every member against what they asked for, every date against the judge.
func (y *year) check() (sessions int) {
	last, _ := local(y.t, "UTC", y.to)
	for _, l := range y.lives {
		if l.id == "" {
			continue
		}
		for d := l.joined; d.Before(last); d = d.AddDays(1) {
			if _, sheet := y.releases[d]; !sheet {
				if _, had := l.got[d]; had {
					y.fail("%s has a session of %s, a rest day", l.id, d)
				}
				continue
			}
			got, had := l.got[d]
			must, may := y.expected(l, d, got)
			switch {
			case must && !had:
				y.fail("%s never had the session of %s (lists %v, pauses %v)", l.id, d, l.last().Buckets, l.rests)
			case had && !may:
				y.fail("%s had the session of %s while they paused (%v)", l.id, d, l.rests)
			case had:
				sessions++
				y.checkInstant(l, d, got)
			}
		}
	}
	return sessions
}

// expected tells whether a member must, and may, have a date's session, by their pauses alone. On the date of asking
// for a pause both are right; what had come before stays.
func (y *year) expected(l *life, d content.Date, got receipt) (must, may bool) {
	for _, r := range l.rests {
		end := r.to
		switch {
		case d == r.from:
			return false, true
		case r.from.Before(d) && (end.IsZero() || d.Before(end)):
			return false, !got.at.IsZero() && (got.at.Before(r.begun) || !r.end.IsZero() && !got.at.Before(r.end))
		}
	}
	return true, true
}

// checkInstant holds one delivery against the judge: at its instant, or at the first look after what kept it.
func (y *year) checkInstant(l *life, d content.Date, got receipt) {
	instant, ok := y.want(got.bucket, d)
	if !ok {
		y.fail("%s had the session of %s by %s, where that date does not exist", l.id, d, got.bucket)
		return
	}
	// since when the member has belonged to the bucket for that date without a break
	var since time.Time
	for _, h := range slices.Backward(l.lists) {
		if h.at.After(got.at) {
			continue
		}
		if h.m.BucketOn(d) != got.bucket {
			break
		}
		since = h.at
	}
	ready := instant
	if release := y.releases[d]; release.After(ready) {
		ready = release
	}
	due := ready
	if since.After(due) {
		due = since
	}
	if want := y.upAt(got.bucket, d, due); got.at.Before(ready) || got.at.After(want) {
		y.fail("%s had the session of %s by %s at %v; its instant is %v, published %v, theirs since %v, a server looked at %v",
			l.id, d, got.bucket, got.at.UTC(), instant, y.releases[d], since, want)
	}
	y.checkMode(d, got.bucket, instant)
}

// checkMode holds how it went out against the rule, told once more by the local clock.
func (y *year) checkMode(d content.Date, b content.Bucket, instant time.Time) {
	p := y.shelf.posted[d][b]
	on, clock := local(y.t, b.Zone, p.at)
	want := schedule.Silent
	switch {
	case p.at.Sub(instant) <= 15*time.Minute:
		want = schedule.Regular
	case on == d && clock.Minutes() < 20*60:
		want = schedule.Late
	}
	if p.mode != want || p.reason == "" {
		y.fail("the session of %s to %s went out at %v, its instant is %v: %s (%q), want %s", d, b, p.at, instant, p.mode, p.reason, want)
	}
}

func seedOf(t *testing.T) uint64 {
	seed := uint64(time.Now().UnixNano())
	if s := os.Getenv("TALLYBELL_SEED"); s != "" {
		n, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		seed = n
	}
	t.Logf("seed %d: TALLYBELL_SEED=%d runs the same again", seed, seed)
	return seed
}

// TestAYear: 5,000 members in 60 zones live through 366 days, in two clubs at once, with travel, pauses, restarts,
// downtime, sends that stop between deciding and writing, sheets published late, and two replicas each. Every member
// has each of their dates' sessions exactly once, at the right instant or with the right reason.
func TestAYear(t *testing.T) {
	if len(yearZones) != 60 {
		t.Fatalf("%d zones", len(yearZones))
	}
	if testing.Short() {
		t.Skip("lives through a year of 5,000 members")
	}
	seed := seedOf(t)
	for club := range 2 {
		t.Run(fmt.Sprint("club ", club+1), func(t *testing.T) {
			t.Parallel()
			var zones []string
			for i := club; i < len(yearZones); i += 2 {
				zones = append(zones, yearZones[i])
			}
			y := runYear(t, seed+uint64(club), 2500, 366, zones)
			sessions := y.check()
			if sessions < 500_000 {
				t.Errorf("only %d sessions were received", sessions)
			}
			modes := map[schedule.Mode]int{}
			for _, of := range y.shelf.posted {
				for _, p := range of {
					modes[p.mode]++
				}
			}
			for _, m := range []schedule.Mode{schedule.Regular, schedule.Late, schedule.Silent} {
				if modes[m] < 100 {
					t.Errorf("only %d posts were %s", modes[m], m)
				}
			}
			t.Logf("%d sessions received, posts %v, %d stopped in the middle, %d wrong", sessions, modes, len(y.shelf.failed), y.bad)
		})
	}
}

// TestTheYearCanFail: a schedule that loses, doubles or delays a session is found out.
func TestTheYearCanFail(t *testing.T) {
	for what, spoil := range map[string]func(y *year){
		"lost": func(y *year) { delete(y.lives[0].got, firstGot(y.lives[0])) },
		"early": func(y *year) {
			d := firstGot(y.lives[0])
			g := y.lives[0].got[d]
			g.at = g.at.Add(-time.Minute)
			y.lives[0].got[d] = g
		},
		"delayed": func(y *year) {
			d := firstGot(y.lives[0])
			g := y.lives[0].got[d]
			g.at = g.at.Add(24 * time.Hour)
			y.lives[0].got[d] = g
		},
	} {
		y := runYear(t, 7, 20, 20, yearZones[:12])
		quiet := &testing.T{}
		if y.check(); y.bad > 0 {
			t.Fatalf("%d wrong before anything is spoiled", y.bad)
		}
		y.t = quiet
		spoil(y)
		if y.check(); y.bad == 0 {
			t.Errorf("a session that is %s is not found out", what)
		}
	}
}

// firstGot is the third date of what a member received: one at its own instant.
func firstGot(l *life) content.Date {
	var all []content.Date
	for d := range l.got {
		all = append(all, d)
	}
	slices.SortFunc(all, content.Date.Compare)
	return all[2]
}

var _ roster.Store = (*shelf)(nil)
