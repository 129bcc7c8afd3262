package roster

import (
	"fmt"
	"slices"

	"tallybell/content"
)

// latest says which date was posted last to each bucket.
type latest map[content.Bucket]content.Date

func readLatest(posted map[string]string) (latest, error) {
	l := latest{}
	for name, date := range posted {
		b, err := content.ParseBucket(name)
		if err != nil {
			continue // not a bucket of members
		}
		d, err := content.ParseDate(date)
		if err != nil {
			return nil, fmt.Errorf("the last date posted to %s: %w", name, err)
		}
		l[b] = d
	}
	return l, nil
}

// moved returns the member's dated list with bucket to from the first date, not before earliest, that neither to nor
// any bucket of theirs has posted: so each date's session reaches them by one bucket, and once. Who comes back from a
// pause on a day whose session is out has not had it from anybody, and begins with it. asked are the buckets that this
// rests on; their latest dates must still hold when the list is written.
func moved(list []DatedBucket, to content.Bucket, earliest content.Date, posted latest) (out []DatedBucket, asked []content.Bucket) {
	from := earliest
	after := func(d content.Date) {
		if d.AddDays(1).Compare(from) > 0 {
			from = d.AddDays(1)
		}
	}
	if !to.IsZero() {
		asked = append(asked, to)
		if d, ok := posted[to]; ok && !paused(list, d) {
			after(d)
		}
	}
	for i, e := range list {
		last := i == len(list)-1
		if e.Bucket.IsZero() || !last && !earliest.Before(list[i+1].From) {
			continue // a pause, or over before the change can begin
		}
		if !slices.Contains(asked, e.Bucket) {
			asked = append(asked, e.Bucket)
		}
		d, ok := posted[e.Bucket]
		if !ok || d.Before(e.From) {
			continue
		}
		if !last && !d.Before(list[i+1].From) {
			d = list[i+1].From.AddDays(-1) // later dates were another bucket's
		}
		after(d)
	}
	for _, e := range list {
		if e.From.Before(from) {
			out = append(out, e)
		}
	}
	if len(out) == 0 || out[len(out)-1].Bucket != to {
		out = append(out, DatedBucket{from, to})
	}
	return out, asked
}

// paused reports whether a date falls in a pause of the list.
func paused(list []DatedBucket, d content.Date) bool {
	for i := len(list) - 1; i >= 0; i-- {
		if !d.Before(list[i].From) {
			return list[i].Bucket.IsZero()
		}
	}
	return false
}
