package roster

import (
	"context"
	"fmt"
	"slices"
	"time"

	"tallybell/content"
)

// Patch changes what is not nil. An empty zone or send time takes the club's again; other empty values take away.
type Patch struct {
	Name      *string            `json:"name,omitempty"`
	Division  *string            `json:"division,omitempty"`
	BirthYear *int               `json:"birth_year,omitempty"`
	Zone      *string            `json:"zone,omitempty"`
	SendAt    *string            `json:"send_at,omitempty"` // HH:MM
	Kit       *[]string          `json:"kit,omitempty"`     // all that there is; an empty list tells that there is none
	Level     *string            `json:"level,omitempty"`   // ends being a newcomer
	Levels    *map[string]string `json:"levels,omitempty"`
	Limits    *[]string          `json:"limits,omitempty"`
	Swaps     *[]Swap            `json:"swaps,omitempty"` // all of them; swaps for past dates are kept unless told anew
	Units     *string            `json:"units,omitempty"`
	OnBoards  *bool              `json:"on_boards,omitempty"`
	Usual     *content.Version   `json:"usual,omitempty"`
	NoRanks   *bool              `json:"no_ranks,omitempty"`
	Remind    *bool              `json:"remind,omitempty"`
	Newcomer  *bool              `json:"newcomer,omitempty"`
	NewUntil  content.Date       `json:"-"`              // with Newcomer false: the last date on which they still are one
	Held      *bool              `json:"held,omitempty"` // false lifts what a warning sign held
	NoScores  *bool              `json:"no_scores,omitempty"`
	Paused    *bool              `json:"paused,omitempty"` // true pauses, false resumes
	Until     content.Date       `json:"until,omitzero"`   // with Paused true: the date on which they resume by themselves
}

// Update changes a person's profile and returns it as it is now. What is wrong with the patch is an InvalidError.
// A change of zone or hour, a pause and a resume hold from the first date whose session neither the old nor the new
// send time has brought. What changes the fit holds from today's session on, in the member's zone; the sessions before
// keep theirs.
func (r *Roster) Update(ctx context.Context, now time.Time, id string, p Patch) (Member, error) {
	return r.write(ctx, now, id, func(rec *record, c *change) error {
		if rec.Removed() {
			return ErrNoMember
		}
		old := rec.Member
		if err := p.apply(rec, checker{club: r.Club(), now: now}); err != nil {
			return err
		}
		rec.remember(old, today(old.Zone, now), r.Club().LateDays)
		return r.move(ctx, now, old, rec, p, c)
	})
}

// apply changes all but the buckets.
func (p Patch) apply(rec *record, c checker) error {
	set(&rec.Name, p.Name, c.name)
	set(&rec.Division, p.Division, c.division)
	set(&rec.BirthYear, p.BirthYear, c.birthYear)
	set(&rec.Zone, p.Zone, c.zone)
	if p.SendAt != nil {
		rec.SendAt = c.sendAt(*p.SendAt)
	}
	set(&rec.Kit, p.Kit, c.kit)
	rec.KitTold = rec.KitTold || p.Kit != nil
	set(&rec.Level, p.Level, func(s string) string { return c.level("level", s) })
	set(&rec.Levels, p.Levels, c.levels)
	set(&rec.Limits, p.Limits, c.limits)
	if p.Swaps != nil {
		rec.Swaps = c.swaps(*p.Swaps, pastSwaps(rec.Swaps, today(rec.Zone, c.now)))
	}
	set(&rec.Units, p.Units, c.units)
	set(&rec.OnBoards, p.OnBoards, same)
	set(&rec.NoRanks, p.NoRanks, same)
	set(&rec.NoScores, p.NoScores, same)
	set(&rec.Remind, p.Remind, same)
	set(&rec.Usual, p.Usual, c.usual)
	if p.Usual != nil {
		rec.UsualOn = today(rec.Zone, c.now)
		if rec.Usual == "" {
			rec.UsualOn = content.Date{}
		}
	}
	if p.Level != nil {
		rec.Newcomer, rec.NewUntil = false, content.Date{}
	}
	if p.Newcomer != nil {
		rec.Newcomer, rec.NewUntil = *p.Newcomer, content.Date{}
		if !rec.Newcomer {
			rec.NewUntil = p.NewUntil
		}
	}
	if p.Held != nil && *p.Held != rec.Held() {
		if *p.Held {
			rec.HeldN = c.now.UnixMicro()
		} else {
			rec.FreedN = max(c.now.UnixMicro(), rec.HeldN)
		}
	}
	if p.Paused != nil && !rec.Joined() {
		c.wrong("paused", "%s has not joined yet, so there is nothing to pause", rec.Name)
	}
	if !p.Until.IsZero() && (p.Paused == nil || !*p.Paused) {
		c.wrong("until", "tells when a pause ends: send it with \"paused\": true")
	} else if on := today(rec.Zone, c.now); !p.Until.IsZero() && !on.Before(p.Until) {
		c.wrong("until", "%s is not after today, %s: write a later date", p.Until, on)
	}
	if len(c.found) > 0 {
		return c.found
	}
	return nil
}

// pastSwaps returns the swaps of single dates before today.
func pastSwaps(list []Swap, today content.Date) []Swap {
	var out []Swap
	for _, s := range list {
		if !s.On.IsZero() && s.On.Before(today) {
			out = append(out, s)
		}
	}
	return out
}

func (c *checker) usual(v content.Version) content.Version {
	switch v {
	case "", content.AsWritten, content.Scaled:
		return v
	}
	c.wrong("usual", "%q is not a version: write %s or %s", v, content.AsWritten, content.Scaled)
	return ""
}

func set[T any](to *T, from *T, check func(T) T) {
	if from != nil {
		*to = check(*from)
	}
}

func same[T any](v T) T { return v }

// move brings the dated list in line with the profile, where zone, hour or pause have changed. A pause that ends by
// itself keeps its end when zone or hour change.
func (r *Roster) move(ctx context.Context, now time.Time, old Member, rec *record, p Patch, c *change) error {
	if len(rec.Buckets) == 0 {
		return nil // not joined yet, or a coach
	}
	earliest := today(old.Zone, now)
	if there := today(rec.Zone, now); there.Before(earliest) {
		earliest = there
	}
	planned := rec.Buckets[len(rec.Buckets)-1].Bucket
	own := content.Bucket{Zone: rec.Zone, At: rec.SendAt}
	to, until := own, content.Date{}
	switch {
	case p.Paused != nil && *p.Paused:
		to, until = content.Bucket{}, p.Until
	case p.Paused == nil && planned.IsZero():
		to = content.Bucket{}
	case p.Paused == nil && planned != own:
		if until = rec.PauseEnds(earliest); !until.IsZero() {
			to = content.Bucket{}
		}
	}
	if p.Paused == nil && planned == own || to == planned && until.IsZero() && rec.PauseEnds(earliest).IsZero() {
		return nil
	}
	if p.Paused == nil && to.IsZero() {
		// A pause that goes on does not begin earlier for a move west: what was theirs before it still comes.
		for _, e := range slices.Backward(rec.Buckets) {
			if e.Bucket.IsZero() {
				if earliest.Before(e.From) {
					earliest = e.From
				}
				break
			}
		}
	}
	posted, err := r.store.Buckets(ctx)
	if err != nil {
		return fmt.Errorf("reading what was posted: %w", err)
	}
	dates, err := readLatest(posted)
	if err != nil {
		return err
	}
	list, asked := moved(rec.Buckets, to, earliest, dates)
	if !until.IsZero() {
		list = resumed(list, own, until, rec.Buckets)
		if !slices.Contains(asked, own) {
			asked = append(asked, own)
		}
	}
	rec.Buckets = list
	for _, b := range asked {
		c.when(r.store.KeyBuckets(), b.String(), posted[b.String()])
	}
	return nil
}

// resumed returns a list that ends in a pause with its end added: own from the date until, even where own has had that
// date's session already, since a paused member has had it from nobody. Where the pause could not begin before that
// date, was stays.
func resumed(list []DatedBucket, own content.Bucket, until content.Date, was []DatedBucket) []DatedBucket {
	last := list[len(list)-1]
	if !last.From.Before(until) {
		return was
	}
	return append(list, DatedBucket{until, own})
}
