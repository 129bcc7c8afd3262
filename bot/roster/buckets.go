package roster

import (
	"cmp"
	"slices"
	"time"

	"tallybell/content"
)

// keepDays is how long a bucket stays scheduled after its last member left it.
const keepDays = 14

// bucketList is the answer of Buckets for one UTC date.
type bucketList struct {
	on   content.Date
	list []DatedBucket
}

// Buckets returns every bucket in use at now, or left within 14 days, in the order of their names, each with the
// first date that anybody belongs to it.
func (r *Roster) Buckets(now time.Time) []DatedBucket {
	on := content.DateOf(now.UTC())
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.inUse.on != on {
		r.inUse = bucketList{on, bucketsFrom(r.people, on.AddDays(-keepDays-1))}
	}
	return slices.Clone(r.inUse.list)
}

// bucketsFrom collects the buckets that somebody belongs to on the date oldest or later.
func bucketsFrom(people map[string]record, oldest content.Date) []DatedBucket {
	first := map[content.Bucket]content.Date{}
	for _, rec := range people {
		for i, d := range rec.Buckets {
			left := i+1 < len(rec.Buckets) && !oldest.Before(rec.Buckets[i+1].From)
			if d.Bucket.IsZero() || left {
				continue
			}
			if f, ok := first[d.Bucket]; !ok || d.From.Before(f) {
				first[d.Bucket] = d.From
			}
		}
	}
	list := make([]DatedBucket, 0, len(first))
	for b, from := range first {
		list = append(list, DatedBucket{from, b})
	}
	slices.SortFunc(list, func(a, b DatedBucket) int { return cmp.Compare(a.Bucket.String(), b.Bucket.String()) })
	return list
}
