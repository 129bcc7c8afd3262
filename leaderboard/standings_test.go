package leaderboard

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// raceOf gives names their ranks in the order of Entries; 0 is no result.
func raceOf(names []string, ranks ...int) Race {
	r := Race{Ranks: map[string]int{}}
	for i, n := range names {
		if ranks[i] > 0 {
			r.Ranks[n] = ranks[i]
		}
	}
	return r
}

// seriesOfScores builds a series in which each member's finishing places are those given; the places nobody of them
// took go to invented others, so that every place is a real one.
func seriesOfScores(discards int, places map[string][]int) (Series, []string) {
	var named []string
	races, last := 0, 0
	for n, ps := range places {
		named = append(named, n)
		races, last = len(ps), max(last, slices.Max(ps))
	}
	slices.Sort(named)
	s := Series{Discards: discards, Entries: slices.Clone(named)}
	for i := range last {
		s.Entries = append(s.Entries, fmt.Sprintf("other %02d", i+1))
	}
	for k := range races {
		r := Race{Ranks: map[string]int{}}
		taken := map[int]bool{}
		for _, n := range named {
			r.Ranks[n] = places[n][k]
			taken[places[n][k]] = true
		}
		for i := range last {
			if !taken[i+1] {
				r.Ranks[fmt.Sprintf("other %02d", i+1)] = i + 1
			}
		}
		s.Races = append(s.Races, r)
	}
	return s, named
}

// rowsOf returns the standings of the named alone.
func rowsOf(s Series, named []string) []StandingsRow {
	var out []StandingsRow
	for _, r := range Standings(s) {
		if slices.Contains(named, r.Name) {
			out = append(out, r)
		}
	}
	return out
}

func order(rows []StandingsRow) string {
	out := ""
	for _, r := range rows {
		out += fmt.Sprintf("%s %s %s; ", r.Name, r.Total, r.Tie)
	}
	return out
}

// SE1: World Sailing, Racing Rules of Sailing, appendix A, A4: 1, 2, 3 ... 7, each place after one more.
func TestPlacePointsA4(t *testing.T) {
	for rank := 1; rank <= 9; rank++ {
		if got := placePoints(rank, 1); got != WholePoints(rank) {
			t.Errorf("place %d scores %s", rank, got)
		}
	}
}

// SE2: Racing Rules of Sailing, A7, with both examples of a scorers' forum.
func TestSharedPlacesA7(t *testing.T) {
	tests := []struct {
		name  string
		ranks []int
		want  []string
	}{
		{"two in 2nd place", []int{1, 2, 2, 4}, []string{"1 A4", "2.5 A7", "2.5 A7", "4 A4"}},
		{"three in 4th place", []int{1, 2, 3, 4, 4, 4, 7}, []string{"1 A4", "2 A4", "3 A4", "5 A7", "5 A7", "5 A7", "7 A4"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			names := strings.Split("abcdefg", "")[:len(tt.ranks)]
			rows := Standings(Series{Entries: names, Races: []Race{raceOf(names, tt.ranks...)}})
			got := make([]string, len(rows))
			for _, r := range rows {
				got[slices.Index(names, r.Name)] = r.Scores[0].Points.String() + " " + r.Scores[0].Rule
			}
			if !slices.Equal(got, tt.want) {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

// SE3: Racing Rules of Sailing, A2.1 (an older edition with British prescriptions): places 4 3 2 1 6 6 come to 22;
// the earlier of the two worst, race 5, is excluded and leaves 16.
func TestEarliestWorstIsExcludedA21(t *testing.T) {
	s, named := seriesOfScores(1, map[string][]int{"B": {4, 3, 2, 1, 6, 6}})
	row := rowsOf(s, named)[0]
	if row.Total != WholePoints(16) {
		t.Errorf("total %s, want 16", row.Total)
	}
	for i, sc := range row.Scores {
		if sc.Excluded != (i == 4) {
			t.Errorf("race %d excluded: %t", i+1, sc.Excluded)
		}
	}
}

// SE4: "A Reference for Race Officials", p. 105 (publisher not verified): nets 16 each; C by A8.1, then B before A on
// the last race.
func TestTieOfThreeA81ThenA82(t *testing.T) {
	s, named := seriesOfScores(1, map[string][]int{
		"A": {3, 4, 1, 6, 2, 7}, "B": {4, 3, 2, 1, 6, 6}, "C": {1, 2, 7, 3, 3, 14}})
	if got, want := order(rowsOf(s, named)), "C 16 A8.1; B 16 A8.2; A 16 A8.2; "; got != want {
		t.Errorf("got %s want %s", got, want)
	}
}

// SE5: the same page, A8.2 ("even if that is a discarded score"): all net 12 with 3 4 5 counting; by the last race
// D C B A.
func TestTieOfFourA82UsesExcludedScores(t *testing.T) {
	s, named := seriesOfScores(1, map[string][]int{
		"A": {3, 4, 5, 10}, "B": {11, 3, 4, 5}, "C": {5, 15, 3, 4}, "D": {4, 5, 6, 3}})
	if got, want := order(rowsOf(s, named)), "D 12 A8.2; C 12 A8.2; B 12 A8.2; A 12 A8.2; "; got != want {
		t.Errorf("got %s want %s", got, want)
	}
}

// SE6: a sailing club's page on scoring: totals 14 and 15, both 10 with one excluded; the last step, that 1 2 3 4 beats
// 2 2 3 3, follows from A8.1.
func TestTieOfTwoA81(t *testing.T) {
	places := map[string][]int{"J22": {2, 4, 3, 2, 3}, "J80": {4, 3, 5, 1, 2}}
	s, named := seriesOfScores(0, places)
	if got, want := order(rowsOf(s, named)), "J22 14 ; J80 15 ; "; got != want {
		t.Errorf("nothing excluded: got %s want %s", got, want)
	}
	s, named = seriesOfScores(1, places)
	if got, want := order(rowsOf(s, named)), "J80 10 A8.1; J22 10 A8.1; "; got != want {
		t.Errorf("one excluded: got %s want %s", got, want)
	}
}

// SE7: Racing Rules of Sailing 2025-2028, A5.2 (a third party's summary): with 7 entered, every code scores 8.
func TestAbsentA52(t *testing.T) {
	names := strings.Split("abcdefg", "")
	for _, r := range Standings(Series{Entries: names, Races: []Race{raceOf(names, 1, 0, 0, 0, 0, 0, 0)}})[1:] {
		if r.Scores[0] != (SeriesScore{Points: WholePoints(8), Rule: "A5.2"}) {
			t.Errorf("%s scores %+v", r.Name, r.Scores[0])
		}
	}
}

// SE8: Racing Rules of Sailing, A5.3 (a repository's test): 7 entered, 3 came, 1 finished: who came without a
// finish scores 4, who never came 8.
func TestCameOnlyA53(t *testing.T) {
	names := strings.Split("abcdefg", "")
	race := raceOf(names, 1, 0, 0, 0, 0, 0, 0)
	race.Came = []string{"b", "c"}
	for _, useCame := range []bool{true, false} {
		got := map[string]string{}
		for _, r := range Standings(Series{Entries: names, Races: []Race{race}, UseCame: useCame}) {
			got[r.Name] = r.Scores[0].Points.String()
		}
		want := "8"
		if useCame {
			want = "4"
		}
		if got["a"] != "1" || got["b"] != want || got["c"] != want || got["d"] != "8" {
			t.Errorf("A5.3 taken %t: %v", useCame, got)
		}
	}
}

// SE9: "A Reference for Race Officials", p. 104, and rule 90.3(b): a score that may not be excluded stays, and the next
// worst goes instead.
func TestScoreThatMayNotBeExcluded(t *testing.T) {
	s, named := seriesOfScores(1, map[string][]int{"A": {2, 9, 4}})
	s.Races[1].Fixed = []string{"A"}
	if got := order(rowsOf(s, named)); got != "A 11 ; " {
		t.Errorf("got %s, want 2 and 9 counting", got)
	}
}

// Racing Rules of Sailing, A9 (from memory): the average of the other days to the nearest tenth, 0.05 upward.
func TestPausedDays(t *testing.T) {
	tests := []struct {
		name string
		b    []int // places of b; 0 is paused
		want string
	}{
		{"one paused day", []int{1, 2, 2, 0}, "1 A4, 2 A4, 2 A4, 1.7 A9"},
		{"0.05 goes up: 25/20 is 1.25", append(append(slices.Repeat([]int{1}, 15), slices.Repeat([]int{2}, 5)...), 0), "1.3 A9"},
		{"two paused days do not count for each other", []int{2, 0, 0, 1}, "2 A4, 1.5 A9, 1.5 A9, 1 A4"},
		{"no other day", []int{0, 0}, "3 A5.2, 3 A5.2"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			names := []string{"a", "b"}
			s := Series{Entries: names}
			for _, p := range tt.b {
				switch p {
				case 0:
					s.Races = append(s.Races, Race{Ranks: map[string]int{"a": 1}, Paused: []string{"b"}})
				default:
					s.Races = append(s.Races, raceOf(names, 3-p, p))
				}
			}
			row := rowsOf(s, []string{"b"})[0]
			var got []string
			for _, sc := range row.Scores {
				got = append(got, sc.Points.String()+" "+sc.Rule)
			}
			if text := strings.Join(got, ", "); !strings.HasSuffix(text, tt.want) {
				t.Errorf("got %s, want %s", text, tt.want)
			}
		})
	}
}

func TestStandingsSharedAndUnscoredDays(t *testing.T) {
	names := []string{"a", "b", "c"}
	s := Series{Entries: names, Races: []Race{raceOf(names, 1, 1, 3), {}, raceOf(names, 1, 1, 3)}}
	rows := Standings(s)
	if got, want := order(rows), "a 3 shared; b 3 shared; c 6 ; "; got != want {
		t.Errorf("got %s want %s", got, want)
	}
	if rows[0].Rank != 1 || rows[1].Rank != 1 || rows[2].Rank != 3 {
		t.Errorf("ranks %d %d %d", rows[0].Rank, rows[1].Rank, rows[2].Rank)
	}
	if len(rows[0].Scores) != 2 {
		t.Errorf("%d scores, but a day without any result is not scored", len(rows[0].Scores))
	}
}

func TestPointsText(t *testing.T) {
	for p, want := range map[Points]string{0: "0", 160: "16", 25: "2.5", -13: "-1.3"} {
		if p.String() != want {
			t.Errorf("%d is %s, want %s", int64(p), p, want)
		}
	}
}

// competitionRanks draws ranks for some of the names.
func competitionRanks(names []string) *rapid.Generator[Race] {
	return rapid.Custom(func(t *rapid.T) Race {
		r := Race{Ranks: map[string]int{}}
		results := map[string]int{}
		for _, n := range names {
			if x := rapid.IntRange(0, 5).Draw(t, n); x > 0 {
				results[n] = x
			}
		}
		for n, x := range results {
			r.Ranks[n] = 1
			for _, y := range results {
				if y < x {
					r.Ranks[n]++
				}
			}
		}
		return r
	})
}

func TestStandingsProperties(t *testing.T) {
	names := strings.Split("abcdef", "")
	rapid.Check(t, func(t *rapid.T) {
		s := Series{Entries: names, Races: rapid.SliceOfN(competitionRanks(names), 1, 6).Draw(t, "races")}
		scored := len(s.Scored())
		s.Discards = rapid.IntRange(0, max(0, scored-1)).Draw(t, "discards")
		rows := Standings(s)
		for k := range scored {
			var sum Points
			absent := 0
			for _, r := range rows {
				sum += r.Scores[k].Points
				if r.Scores[k].Rule == RuleAbsent {
					absent++
				}
			}
			n := len(names) - absent
			if want := WholePoints(n*(n+1)/2 + absent*(len(names)+1)); sum != want {
				t.Fatalf("race %d gives %s points, want %s", k+1, sum, want)
			}
		}
		for i, r := range rows {
			var kept, left []Points
			for _, sc := range r.Scores {
				if sc.Excluded {
					left = append(left, sc.Points)
				} else {
					kept = append(kept, sc.Points)
				}
			}
			if len(left) != s.Discards || len(left) > 0 && slices.Min(left) < slices.Max(kept) {
				t.Fatalf("%s: excluded %v, counted %v", r.Name, left, kept)
			}
			if i > 0 && (rows[i-1].Total > r.Total || rows[i-1].Rank > r.Rank) {
				t.Fatalf("row %d is better than the one before it", i)
			}
			if tied := slices.ContainsFunc(rows, func(o StandingsRow) bool { return o.Name != r.Name && o.Total == r.Total }); tied != (r.Tie != "") {
				t.Fatalf("%s: tie is %q, but a tie in the total is %t", r.Name, r.Tie, tied)
			}
		}
		shuffled := s
		shuffled.Entries = rapid.Permutation(names).Draw(t, "entries")
		for _, r := range Standings(shuffled) {
			i := slices.IndexFunc(rows, func(o StandingsRow) bool { return o.Name == r.Name })
			if rows[i].Rank != r.Rank || rows[i].Tie != r.Tie {
				t.Fatalf("the order of entries changes the rank of %s", r.Name)
			}
		}
	})
}
