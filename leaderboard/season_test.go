package leaderboard

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tallybell/content"
)

// roundOf makes a round of a day from "ann 1/3 as_written" like words.
func roundOf(t testing.TB, d int, part string, lines ...string) Round {
	t.Helper()
	r := Round{Date: day.AddDays(d), Part: part}
	for _, l := range lines {
		var x RoundRank
		var version string
		if _, err := fmt.Sscanf(l, "%s %d/%d %s", &x.Member, &x.Rank, &x.Of, &version); err != nil {
			t.Fatalf("%q: %v", l, err)
		}
		x.Version = content.Version(version)
		r.Ranks = append(r.Ranks, x)
	}
	return r
}

func seasonText(rows []SeasonRow) string {
	var b strings.Builder
	for _, r := range rows {
		fmt.Fprintf(&b, "%d %s %s:", r.Rank, r.Member, r.Total)
		for _, s := range r.Scores {
			points := s.Points.String()
			if s.Excluded {
				points = "(" + points + ")"
			}
			fmt.Fprintf(&b, " %s %s", points, s.Rule)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// The first of the scaled board and the first as written share no place: each is first of their own (the board is the
// member's version's), and only equals of one board share by A7.
func TestSeasonOfOwnVersions(t *testing.T) {
	s := Season{Rounds: []Round{roundOf(t, 0, "D", "ann 1/2 as_written", "bo 2/2 as_written", "cy 1/3 scaled", "dee 1/3 scaled", "eve 3/3 scaled")}}
	want := "1 ann 1: 1 A4\n2 cy 1.5: 1.5 A7\n2 dee 1.5: 1.5 A7\n4 bo 2: 2 A4\n5 eve 3: 3 A4\n"
	if got := seasonText(s.Standings()); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// A pause and the days before joining count the average of the other days (A9's guidance, from memory), to the nearest
// tenth; whoever has no other day, and whoever simply missed, scores the entries + 1 (A5.2).
func TestSeasonOfPausesAndLateJoiners(t *testing.T) {
	s := Season{Discards: func(int) int { return 0 }, Rounds: []Round{
		roundOf(t, 0, "D", "ann 1/3 all", "bo 2/3 all", "cy 3/3 all"),
		roundOf(t, 1, "D", "ann 1/2 all", "bo 2/2 all"),
		{Date: day.AddDays(2), Part: "C"}, // nobody: not scored
		roundOf(t, 3, "B", "bo 1/3 all", "late 2/3 all", "cy 3/3 all"),
		roundOf(t, 3, "D", "late 1/2 all", "cy 2/2 all"),
	}}
	s.Excused = func(m string, d content.Date) string {
		switch {
		case m == "late" && d.Before(day.AddDays(3)):
			return "not joined yet"
		case m == "ann" && d == day.AddDays(3):
			return "paused"
		}
		return ""
	}
	rows := s.Standings()
	want := "1 ann 4: 1 A4 1 A4 1 A9 1 A9\n2 late 6: 1.5 A9 1.5 A9 2 A4 1 A4\n3 bo 10: 2 A4 2 A4 1 A4 5 A5.2\n4 cy 13: 3 A4 5 A5.2 3 A4 2 A4\n"
	if got := seasonText(rows); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	for _, w := range []struct {
		row, score int
		want       string
	}{{0, 2, "paused: the average of the other days"}, {1, 0, "not joined yet: the average of the other days"}, {2, 3, "no place: 4 entries + 1"},
		{0, 0, "place 1 of 3"}} {
		if got := rows[w.row].Scores[w.score].Why; got != w.want {
			t.Errorf("%s, race %d: %q, want %q", rows[w.row].Member, w.score+1, got, w.want)
		}
	}
}

// SE8 (Racing Rules of Sailing, A5.3, a repository's test) over boards: 7 entered, 3 came that day, 1 with a place. Whoever
// came without one scores 4, whoever did not come 8.
func TestSeasonOfWhoCame(t *testing.T) {
	names := strings.Split("abcdefg", "")
	first := Round{Date: day, Part: "B"}
	for i, n := range names {
		first.Ranks = append(first.Ranks, RoundRank{Member: n, Rank: int64(i + 1), Of: 7, Version: All})
	}
	s := Season{UseCame: true, Discards: func(int) int { return 0 }, Rounds: []Round{first, roundOf(t, 1, "B", "a 1/1 all")},
		Came: func(m string, d content.Date) bool { return d != day && (m == "b" || m == "c") }}
	for _, r := range s.Standings() {
		want := map[string]string{"a": "1", "b": "4", "c": "4"}[r.Member]
		if want == "" {
			want = "8"
		}
		if got := r.Scores[1].Points.String(); got != want {
			t.Errorf("%s scores %s, want %s", r.Member, got, want)
		}
	}
}

func TestSeasonOfNobody(t *testing.T) {
	if rows := (Season{Rounds: []Round{{Date: day, Part: "D"}}}).Standings(); len(rows) != 0 {
		t.Errorf("standings of nobody: %v", rows)
	}
}

// The order in which results of a round come in changes nothing, the worst are those left out, and the same discards are
// left out of everybody.
func TestSeasonProperties(t *testing.T) {
	names := strings.Split("abcdef", "")
	rapid.Check(t, func(t *rapid.T) {
		var s, shuffled Season
		for d := range rapid.IntRange(1, 9).Draw(t, "rounds") {
			race := competitionRanks(names).Draw(t, "round")
			r := Round{Date: day.AddDays(d / 2), Part: string(rune('A' + d%2))}
			for _, n := range slices.Sorted(maps.Keys(race.Ranks)) {
				r.Ranks = append(r.Ranks, RoundRank{Member: n, Rank: int64(race.Ranks[n]), Of: int64(len(race.Ranks)), Version: All})
			}
			s.Rounds = append(s.Rounds, r)
			r.Ranks = rapid.Permutation(r.Ranks).Draw(t, "shuffled")
			shuffled.Rounds = append(shuffled.Rounds, r)
		}
		n := len(s.Scored())
		rows := s.Standings()
		if a, b := seasonText(rows), seasonText(shuffled.Standings()); a != b {
			t.Fatalf("the order of input shows:\n%s\n%s", a, b)
		}
		for _, r := range rows {
			var kept, left []Points
			for _, sc := range r.Scores {
				if sc.Why == "" {
					t.Fatalf("%s: a score without a reason", r.Member)
				}
				if sc.Excluded {
					left = append(left, sc.Points)
				} else {
					kept = append(kept, sc.Points)
				}
			}
			if len(left) != DefaultDiscards(n) || len(left) > 0 && slices.Min(left) < slices.Max(kept) {
				t.Fatalf("%s: excluded %v, counted %v", r.Member, left, kept)
			}
		}
	})
}

// Who logged when changes the listing of equals and nothing else.
func TestRanksDoNotDependOnTheOrderOfArrival(t *testing.T) {
	parts := scoredParts()
	rapid.Check(t, func(t *rapid.T) {
		k := kinds().Draw(t, "kind")
		rs := make([]Record, rapid.IntRange(1, 25).Draw(t, "n"))
		for i := range rs {
			rs[i] = recordOf(memberID(i), parts[k], results(k).Draw(t, "result"), i)
		}
		later := slices.Clone(rs)
		for i, n := range rapid.Permutation(rs).Draw(t, "arrival") {
			later[i].First, later[i].SetMember = n.First, ""
		}
		ranks := func(es []Entry) map[string]int {
			out := map[string]int{}
			for _, e := range es {
				out[e.Record.Member] = e.Rank
			}
			return out
		}
		if a, b := ranks(Rank(rs)), ranks(Rank(later)); !maps.Equal(a, b) {
			t.Fatalf("ranks %v, and in another order of arrival %v", a, b)
		}
	})
}

// TestWhoChoseAnotherPartHasNotMissedThisOne holds that a choice of parts costs nobody the part they did not choose.
func TestWhoChoseAnotherPartHasNotMissedThisOne(t *testing.T) {
	day := content.Date{Year: 2027, Month: 2, Day: 1}
	rank := func(member string, n int64) RoundRank {
		return RoundRank{Member: member, Rank: n, Of: 2, Version: content.AsWritten}
	}
	s := Season{Discards: func(int) int { return 0 }, Rounds: []Round{
		{Date: day, Part: "B", Ranks: []RoundRank{rank("ada", 1), rank("bo", 2), rank("cy", 3)}},
		{Date: day, Part: "C", Choice: []string{"C", "D"}, Ranks: []RoundRank{rank("ada", 1)}},
		{Date: day, Part: "D", Choice: []string{"C", "D"}, Ranks: []RoundRank{rank("bo", 1)}},
	}}
	for _, row := range s.Standings() {
		for i, sc := range row.Scores[1:] {
			chosen := map[string]int{"ada": 0, "bo": 1}
			at, chose := chosen[row.Member]
			switch {
			case !chose && sc.Points != Points(40): // 3 entries + 1, in tenths
				t.Errorf("%s, who chose nothing, has %v for %d, want 4", row.Member, sc.Points, i)
			case chose && at == i && sc.Points != Points(10):
				t.Errorf("%s has %v for what they chose, want 1", row.Member, sc.Points)
			case chose && at != i && (sc.Rule != RuleAverage || !strings.Contains(sc.Why, "chose")):
				t.Errorf("%s has %v (%s) for what they did not choose", row.Member, sc.Points, sc.Why)
			}
		}
	}
}
