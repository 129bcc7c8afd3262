package leaderboard

import (
	"encoding/csv"
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"tallybell/content"
)

// ranksOf ranks numbers, given best first or not, and returns their ranks in the order given.
func ranksOf(kind content.Kind, values []int64) []int {
	rs := make([]Record, len(values))
	for i, v := range values {
		switch kind {
		case content.KindTime:
			rs[i] = recordOf(memberID(i), forTime(), finished(v+1, content.AsWritten), i)
		default:
			rs[i] = recordOf(memberID(i), scheme(content.MostReps), counted(v, content.AsWritten), i)
		}
	}
	out := make([]int, len(values))
	for _, e := range Rank(rs) {
		i, _ := strconv.Atoi(e.Record.Member[1:])
		out[i] = e.Rank
	}
	return out
}

func TestRankAgainstPublishedValues(t *testing.T) {
	low, high := content.KindTime, content.KindReps // which way is better
	tests := []struct {
		source string
		kind   content.Kind
		values []int64
		want   []int
	}{
		{"RK1: SciPy documentation, scipy.stats.rankdata, method min", low, []int64{0, 2, 3, 2}, []int{1, 2, 4, 2}},
		{"RK3: PostgreSQL documentation 3.5, rank() by salary, develop", high, []int64{6000, 5200, 5200, 4500, 4200}, []int{1, 2, 2, 4, 5}},
		{"RK3: the same, personnel", high, []int64{3900, 3500}, []int{1, 2}},
		{"RK3: the same, sales", high, []int64{5000, 4800, 4800}, []int{1, 2, 2}},
		{"RK4: PostgreSQL documentation, window functions, definition of rank", low, []int64{1, 2, 2, 3, 4}, []int{1, 2, 2, 4, 5}},
		{"RK5: Wikipedia, Ranking, standard competition ranking 1224", low, []int64{10, 20, 20, 30}, []int{1, 2, 2, 4}},
		{"RK6: header of an open ranking function, standard", low, []int64{5, 9, 9, 23, 67, 67, 67}, []int{1, 2, 2, 4, 5, 5, 5}},
	}
	for _, tt := range tests {
		t.Run(tt.source, func(t *testing.T) {
			if got := ranksOf(tt.kind, tt.values); !slices.Equal(got, tt.want) {
				t.Errorf("ranks %v, want %v", got, tt.want)
			}
		})
	}
}

// RK2 (from memory): of the same numbers dense ranks are 1 2 3 2, ordinal ones 1 2 4 3, max ones 1 3 4 3. Ours are none
// of these.
func TestRankIsNoOtherKindOfRank(t *testing.T) {
	got := ranksOf(content.KindTime, []int64{0, 2, 3, 2})
	for _, other := range [][]int{{1, 2, 3, 2}, {1, 2, 4, 3}, {1, 3, 4, 3}} {
		if slices.Equal(got, other) {
			t.Errorf("ranks %v", got)
		}
	}
}

// RK7: HSAUR heptathlon (Rdatasets csv/HSAUR/heptathlon.csv), column score: 25 results with two ties.
func TestRankHeptathlon(t *testing.T) {
	f, err := os.Open("testdata/heptathlon.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var scores []int64
	for _, row := range rows[1:] {
		n, err := strconv.ParseInt(row[0], 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		scores = append(scores, n)
	}
	var want []int
	for i := range 25 {
		want = append(want, i+1)
	}
	want[4], want[9], want[10] = 4, 9, 11
	want[8] = 9
	if got := ranksOf(content.KindReps, scores); !slices.Equal(got, want) {
		t.Errorf("ranks %v, want %v", got, want)
	}
}

func TestRankOrderOfTies(t *testing.T) {
	p := forTime()
	rs := []Record{
		recordOf("zoe", p, finished(600000, content.AsWritten), 3),
		recordOf("cleo", p, unfinished(70, content.AsWritten), 1),
		recordOf("ann", p, finished(600000, content.AsWritten), 5),
		recordOf("bo", p, finished(600000, content.AsWritten), 3),
		recordOf("dot", p, unfinished(71, content.AsWritten), 9),
		recordOf("eli", p, finished(100, content.Scaled), 0),
		recordOf("nil", p, finished(1, ""), 0),
	}
	want := "1 bo|1 zoe|1 ann|4 dot|5 cleo|6 eli|"
	if got := listing(Rank(rs)); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := listing(Rank(Of(rs, content.Scaled))); got != "1 eli|" {
		t.Errorf("scaled alone: %s", got)
	}
}

func listing(es []Entry) string {
	out := ""
	for _, e := range es {
		out += fmt.Sprintf("%d %s|", e.Rank, e.Record.Member)
	}
	return out
}

func TestRankProperties(t *testing.T) {
	parts := scoredParts()
	rapid.Check(t, func(t *rapid.T) {
		k := kinds().Draw(t, "kind")
		rs := make([]Record, rapid.IntRange(0, 30).Draw(t, "n"))
		for i := range rs {
			rs[i] = recordOf(memberID(i), parts[k], results(k).Draw(t, "r"), rapid.IntRange(0, 5).Draw(t, "when"))
		}
		entries := Rank(rs)
		shuffled := rapid.Permutation(rs).Draw(t, "shuffled")
		if a, b := listing(entries), listing(Rank(shuffled)); a != b {
			t.Fatalf("the order of input shows: %s and %s", a, b)
		}
		sum := 0.0
		for _, e := range entries {
			strictly, equal := 0, 0
			for _, r := range rs {
				if better(r.Result, e.Record.Result) {
					strictly++
				} else if !better(e.Record.Result, r.Result) {
					equal++
				}
			}
			if e.Rank != 1+strictly {
				t.Fatalf("%s has rank %d, but %d are better", e.Record.Member, e.Rank, strictly)
			}
			sum += float64(e.Rank) + float64(equal-1)/2
		}
		if n := float64(len(rs)); sum != n*(n+1)/2 {
			t.Fatalf("fractional ranks sum to %v", sum)
		}
		if len(rs) == 0 {
			return
		}
		if a, b := listing(entries), listing(Rank(rs[1:])); without(entries, rs[0].Member) != names(Rank(rs[1:])) {
			t.Fatalf("one more result changes the order of the others: %s and %s", a, b)
		}
	})
}

func names(es []Entry) string { return without(es, "") }

func without(es []Entry, member string) string {
	out := ""
	for _, e := range es {
		if e.Record.Member != member {
			out += e.Record.Member + " "
		}
	}
	return out
}

func BenchmarkRank10000(b *testing.B) {
	rs := make([]Record, 10000)
	for i := range rs {
		rs[i] = recordOf(memberID(i), forTime(), finished(int64(i*7919%4000)+1, content.AsWritten), i)
	}
	b.ReportAllocs()
	for b.Loop() {
		Rank(rs)
	}
}
