package leaderboard

import (
	"cmp"
	"slices"

	"tallybell/content"
)

// Entry is one line of a board.
type Entry struct {
	Rank   int // standard competition rank, from 1
	Score  int64
	Record Record
}

// Rank orders the results of one part by standard competition ranks: equal results share a rank, and the next rank is
// one more than the count of strictly better ones (1 2 2 4). Equal results are listed by who first logged, then by
// member id. Records that stand nowhere are left out; rs itself is not changed.
func Rank(rs []Record) []Entry {
	keys := make([]sortKey, 0, len(rs))
	for i := range rs {
		if s, ok := rs[i].Score(); ok {
			keys = append(keys, sortKey{score: s, first: rs[i].First, at: i})
		}
	}
	slices.SortFunc(keys, func(a, b sortKey) int {
		return cmp.Or(cmp.Compare(a.score, b.score), cmp.Compare(a.first, b.first), cmp.Compare(rs[a.at].Member, rs[b.at].Member))
	})
	out := make([]Entry, len(keys))
	for i, k := range keys {
		out[i] = Entry{Rank: i + 1, Score: k.score, Record: rs[k.at]}
		if i > 0 && keys[i-1].score == k.score {
			out[i].Rank = out[i-1].Rank
		}
	}
	return out
}

// sortKey is what orders one record, small enough to sort quickly.
type sortKey struct {
	score, first int64
	at           int // among the records
}

// Of returns the records of one version, or all that stand for All, in their order.
func Of(rs []Record, v content.Version) []Record {
	var out []Record
	for _, r := range rs {
		if _, ok := r.Score(); ok && (v == All || r.Result.Version == v) {
			out = append(out, r)
		}
	}
	return out
}
