package reply

import "tallybell/content"

// countsOf returns how many counts a stations part takes: one a station and time through, and without those that were
// left out.
func countsOf(p *content.Part) (all, left int) {
	left = len(p.Movements)
	for k := range p.Movements {
		if leftOut(&p.Movements[k]) {
			left--
		}
	}
	through := max(p.Through, 1)
	return len(p.Movements) * through, left * through
}

// stationAt returns the station of the k-th of n counts; -1 when there are no stations.
func stationAt(p *content.Part, k, n int) int {
	if len(p.Movements) == 0 {
		return -1
	}
	all, left := countsOf(p)
	if n != left || left == all {
		return k % len(p.Movements)
	}
	k %= left / max(p.Through, 1)
	for m := range p.Movements {
		if leftOut(&p.Movements[m]) {
			continue
		}
		if k == 0 {
			return m
		}
		k--
	}
	return -1
}

// countsInOrder reads counts in the order of the stations. Stations that were left out may be skipped or told as 0;
// either way they count 0. total is what was given as well, -1 for nothing: then it may be one more figure, last or
// first. Where two readings hold it is asked.
func countsInOrder(p *content.Part, ns []int64, total int64) verdict {
	all, left := countsOf(p)
	if len(ns) == all && left == all {
		return stationCounts(p, ns, total)
	}
	var found []counted
	add := func(ns []int64, total int64) {
		if len(ns) == all && zeroWhereLeftOut(p, ns) {
			found = append(found, counted{ns, ns, total})
		} else if len(ns) == left && left < all {
			found = append(found, counted{ns, withZeros(p, ns), total})
		}
	}
	add(ns, total)
	if last := len(ns) - 1; total < 0 && last > 0 && isSum(ns) {
		if 2*ns[last] == sumOf(ns) {
			add(ns[:last], ns[last])
		} else {
			add(ns[1:], ns[0])
		}
	}
	switch {
	case len(found) == 1:
		return stationCounts(p, found[0].counts, found[0].total)
	case len(found) > 1:
		return ask(AboutValue, found[0].text(), found[1].text())
	case len(ns) == all:
		return ask(AboutValue, join(zeroed(p, ns), "/"))
	}
	return ask(AboutValue)
}

// denied reports whether a name at [i, end) is that of what was not done: "no bridges", "skipped the bridges". No and
// without are marked as read with it.
func (r *reader) denied(i, end int) bool {
	b := r.at(i - 1)
	if b.word("the") {
		b = r.at(i - 2)
	}
	switch {
	case b.word("no"), b.word("without"), b.word("minus"):
		b.used = true
		r.useRange(i, end)
	case b.kind == aStop, b.word("skipped"), b.word("out"), b.word("not"):
	default:
		return false
	}
	return true
}

// counted is one reading of figures as counts, with the total that they were given with, -1 for none.
type counted struct {
	typed, counts []int64
	total         int64
}

func (c counted) text() string {
	if c.total < 0 {
		return join(c.typed, "/")
	}
	return join(c.typed, "/") + " total " + itoa(c.total)
}

// isSum reports whether the last or the first figure is the sum of the others.
func isSum(ns []int64) bool {
	if len(ns) < 2 {
		return false
	}
	sum := sumOf(ns)
	return sum == 2*ns[len(ns)-1] || sum == 2*ns[0]
}

func sumOf(ns []int64) int64 {
	var sum int64
	for _, n := range ns {
		sum += n
	}
	return sum
}

func zeroWhereLeftOut(p *content.Part, ns []int64) bool {
	for k, n := range ns {
		if n != 0 && leftOut(&p.Movements[k%len(p.Movements)]) {
			return false
		}
	}
	return true
}

// zeroed returns the counts with 0 for each station that was left out.
func zeroed(p *content.Part, ns []int64) []int64 {
	out := make([]int64, len(ns))
	for k, n := range ns {
		if !leftOut(&p.Movements[k%len(p.Movements)]) {
			out[k] = n
		}
	}
	return out
}

// withZeros puts a 0 among counts for each station that was left out.
func withZeros(p *content.Part, ns []int64) []int64 {
	var out []int64
	for range max(p.Through, 1) {
		for m := range p.Movements {
			if leftOut(&p.Movements[m]) {
				out = append(out, 0)
			} else if len(ns) > 0 {
				out, ns = append(out, ns[0]), ns[1:]
			}
		}
	}
	return out
}
