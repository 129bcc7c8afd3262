package store

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"
)

const day = "2026-11-25"

var boardA = Board{Date: day, Part: "A", Kind: "time", Division: "open"}

// logged is a message that gives a member one result on boardA.
func logged(member, id string, top, score int64, at time.Time) Utterance {
	return Utterance{
		Member: member, Top: top, ID: id, Digest: "digest of " + id, Fact: []byte(`{"said":"` + id + `"}`),
		Results: []ResultWrite{{Field{day, "A", "time", member}, []byte(`{"score":` + itoa(score) + `}`)}},
		Moves: Moves{
			In:    []Place{{boardA, SetMember(at, member), score}},
			Ranks: []Span{{Board: boardA, Score: score, Low: math.MinInt64, High: math.MaxInt64}},
		},
		Ledger: [][]byte{[]byte("first of " + id), []byte("second of " + id)},
	}
}

func say(t testing.TB, c *Club, now time.Time, u Utterance) Said {
	t.Helper()
	said, err := c.Say(t.Context(), now, u)
	if err != nil {
		t.Fatal(err)
	}
	return said
}

func TestSayOutcomes(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		u := logged("mo", "id-1", 0, 872000, noon)
		first := say(t, c, noon, u)
		if want := (Said{Outcome: Done, N: noon.UnixMicro(), Ranks: []Rank{{1, 1}}}); !reflect.DeepEqual(first, want) {
			t.Fatalf("first: %+v, want %+v", first, want)
		}
		if got := say(t, c, noon.Add(time.Hour), u); got.Outcome != Again || got.N != first.N || got.OldTop != first.N {
			t.Errorf("the same id: %+v, want again with n %d", got, first.N)
		}
		other := u
		other.Digest = "of another text"
		if got := say(t, c, noon, other); got.Outcome != Reused || got.N != first.N {
			t.Errorf("the same id with another text: %+v, want reused with n %d", got, first.N)
		}
		if got := say(t, c, noon, logged("mo", "id-2", 0, 1, noon)); got.Outcome != Stale || got.OldTop != first.N {
			t.Errorf("an old top: %+v, want stale with top %d", got, first.N)
		}
		if got := say(t, c, noon, logged("mo", "id-2", first.N, 871000, noon)); got.Outcome != Done || got.N != first.N+1 || got.OldTop != first.N {
			t.Errorf("the right top: %+v", got)
		}
		ledger, err := c.Ledger(t.Context(), "mo")
		if err != nil || len(ledger) != 4 {
			t.Fatalf("ledger: %d entries, %v; the repeats must have written nothing", len(ledger), err)
		}
		if l := ledger[1]; l.N != first.N || l.I != 1 || string(l.Entry) != "second of id-1" {
			t.Errorf("ledger entry: %+v %s", l, l.Entry)
		}
		answer, err := c.Answer(t.Context(), "mo", first.N)
		want := &MailEntry{N: first.N, ID: "id-1", Fact: u.Fact, Ranks: []Rank{{1, 1}}}
		if err != nil || !reflect.DeepEqual(answer, want) {
			t.Errorf("the stored answer: %+v %v, want %+v", answer, err, want)
		}
	})
}

func TestSayStaleWritesNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		before := say(t, c, noon, logged("mo", "a", 0, 10, noon))
		u := logged("mo", "b", before.N-1, 5, noon)
		if got := say(t, c, noon, u); got.Outcome != Stale {
			t.Fatalf("%+v", got)
		}
		u.Top = before.N
		if got := say(t, c, noon, u); got.Outcome != Done {
			t.Errorf("decided again under the same id: %+v, want done", got)
		}
		places, of, err := c.BoardRange(t.Context(), boardA, 0, math.MaxInt64, 0)
		if err != nil || of != 1 || places[0].Score != 5 {
			t.Errorf("board: %v %d %v", places, of, err)
		}
	})
}

func TestRemovalLeavesNoTrace(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		said := say(t, c, noon, logged("mo", "a", 0, 10, noon))
		if b, err := c.Boards(t.Context(), day); err != nil || len(b) != 1 || b[0] != boardA {
			t.Fatalf("boards: %v %v", b, err)
		}
		say(t, c, noon, Utterance{Member: "mo", Top: said.N, ID: "b", Fact: []byte("{}"),
			Results: []ResultWrite{{Field: Field{day, "A", "time", "mo"}}},
			Moves:   Moves{Out: []Place{{Board: boardA, SetMember: SetMember(noon, "mo")}}}})
		results, err := c.Results(t.Context(), day)
		if err != nil || len(results) != 0 {
			t.Errorf("results: %v %v", results, err)
		}
		if _, of, err := c.BoardRange(t.Context(), boardA, math.MinInt64, math.MaxInt64, 0); err != nil || of != 0 {
			t.Errorf("board: %d %v", of, err)
		}
		if b, err := c.Boards(t.Context(), day); err != nil || len(b) != 0 {
			t.Errorf("boards: %v %v", b, err)
		}
		if d, err := c.ResultDates(t.Context()); err != nil || len(d) != 0 {
			t.Errorf("dates: %v %v", d, err)
		}
	})
}

func TestTiesListByWhoLoggedFirst(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		for i, m := range []string{"zoe", "abe", "kim"} {
			say(t, c, noon.Add(time.Duration(i)*time.Second), logged(m, "x", 0, 600, noon.Add(time.Duration(i)*time.Second)))
		}
		say(t, c, noon, logged("bea", "x", 0, 600, noon)) // the same instant as zoe: then by id
		places, _, err := c.BoardRange(t.Context(), boardA, math.MinInt64, math.MaxInt64, 0)
		if err != nil {
			t.Fatal(err)
		}
		var order []string
		for _, p := range places {
			_, m, err := ParseSetMember(p.SetMember)
			if err != nil {
				t.Fatal(err)
			}
			order = append(order, m)
		}
		if want := []string{"bea", "zoe", "abe", "kim"}; !reflect.DeepEqual(order, want) {
			t.Errorf("order %v, want %v", order, want)
		}
		top, of, err := c.BoardRange(t.Context(), boardA, math.MinInt64, math.MaxInt64, 2)
		if err != nil || len(top) != 2 || of != 4 {
			t.Errorf("the first two: %v of %d, %v", top, of, err)
		}
	})
}

// The published examples are of the Redis documentation (commands and data types) and of the PostgreSQL
// documentation, section 3.5, window functions.
func TestRedisAndRankFacts(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		put := func(division string, scores map[string]int64) {
			var cmds []Do
			for m, s := range scores {
				cmds = append(cmds, Do{"ZADD", c.KeyBoard(Board{day, "A", "reps", division}), itoa(s), m})
			}
			if _, err := c.Change(t.Context(), noon, nil, cmds); err != nil {
				t.Fatal(err)
			}
		}
		rank := func(division string, score, low, high int64) Rank {
			t.Helper()
			r, err := c.Rank(t.Context(), []Span{{Board{day, "A", "reps", division}, score, low, high}})
			if err != nil {
				t.Fatal(err)
			}
			return r[0]
		}
		// RD3: one two three; ZCOUNT -inf +inf is 3, ZCOUNT (1 3 is 2
		put("rd3", map[string]int64{"one": 1, "two": 2, "three": 3})
		if got := rank("rd3", 3, math.MinInt64, math.MaxInt64); got != (Rank{3, 3}) {
			t.Errorf("three: %v", got)
		}
		if got := rank("rd3", 3, 2, 3); got != (Rank{2, 2}) {
			t.Errorf("three among 2 to 3: %v", got)
		}
		// RD4, PostgreSQL's "develop": 6000 5200 5200 4500 4200, highest first, ranks 1 2 2 4 5
		put("develop", map[string]int64{"a": -6000, "b": -5200, "c": -5200, "d": -4500, "e": -4200})
		for score, want := range map[int64]int64{-6000: 1, -5200: 2, -4500: 4, -4200: 5} {
			if got := rank("develop", score, math.MinInt64, math.MaxInt64); got != (Rank{want, 5}) {
				t.Errorf("develop %d: %v, want rank %d of 5", score, got, want)
			}
		}
		// RD2: equal scores by bytes, so upper case before lower
		put("rd2", map[string]int64{"a": 7, "B": 7, "é": 7, "b": 7})
		places, _, err := c.BoardRange(t.Context(), Board{day, "A", "reps", "rd2"}, 7, 7, 0)
		if err != nil {
			t.Fatal(err)
		}
		var order string
		for _, p := range places {
			order += p.SetMember
		}
		if order != "Babé" {
			t.Errorf("order %q, want Babé", order)
		}
		// RD1: integers are exact to 2^53; the store refuses what lies beyond
		_, err = c.Say(t.Context(), noon, Utterance{Member: "m", ID: "x", Moves: Moves{In: []Place{{boardA, "m", 1<<53 + 1}}}})
		if err == nil {
			t.Error("a score beyond 2^53 was taken")
		}
	})
}

// RD5 (Redis documentation, ZADD): GT, LT and NX exclude each other, and GT and LT do not keep new members out. So "keep
// the best" by GT alone would still add whoever left; ours takes a place away by ZREM and adds by plain ZADD.
func TestKeepBestOfRedis(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		if c.s.local != nil {
			t.Skip("the embedded store takes writes of its own scripts alone")
		}
		key := c.KeyBoard(Board{day, "A", "reps", "rd5"})
		add := func(args ...any) (int64, error) {
			return c.s.client.Do(t.Context(), append([]any{"ZADD", key}, args...)...).Int64()
		}
		if _, err := add("GT", "NX", "1", "m"); err == nil {
			t.Error("GT and NX together were taken")
		}
		if n, err := add("GT", "5", "m"); err != nil || n != 1 {
			t.Errorf("GT kept a new member out: %d, %v", n, err)
		}
		for _, w := range []struct {
			flag, score string
			want        float64
		}{{"GT", "4", 5}, {"GT", "6", 6}, {"LT", "7", 6}, {"LT", "2", 2}} {
			if _, err := add(w.flag, w.score, "m"); err != nil {
				t.Fatal(err)
			}
			if got := c.s.client.ZScore(t.Context(), key, "m").Val(); got != w.want {
				t.Errorf("after %s %s the score is %v, want %v", w.flag, w.score, got, w.want)
			}
		}
	})
}

func TestScoresStayExact(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		const scaled, unfinished = int64(1) << 50, int64(1) << 49
		scores := []int64{0, 1, unfinished - 1, unfinished, scaled - 1, scaled, scaled + 1, scaled + unfinished + 123456789, 1<<51 - 1}
		for i, s := range scores {
			m := fmt.Sprintf("m%d", i)
			u := logged(m, "x", 0, s, noon)
			u.Moves.Ranks = []Span{{boardA, s, math.MinInt64, math.MaxInt64}, {boardA, s, 0, scaled - 1}, {boardA, s, scaled, math.MaxInt64}}
			got := say(t, c, noon, u)
			want := []Rank{{int64(i) + 1, int64(i) + 1}, {int64(i) + 1, int64(i) + 1}, {1, 0}}
			if s >= scaled { // the middle span ends below it
				want[1], want[2] = got.Ranks[1], Rank{int64(i) - 4, int64(i) - 4}
			}
			if !reflect.DeepEqual(got.Ranks, want) {
				t.Errorf("score %d: ranks %v, want %v", s, got.Ranks, want)
			}
		}
		places, _, err := c.BoardRange(t.Context(), boardA, math.MinInt64, math.MaxInt64, 0)
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range places {
			if p.Score != scores[i] {
				t.Errorf("place %d: score %d, want %d", i, p.Score, scores[i])
			}
		}
	})
}

func TestNumbersNeverGoBack(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		clock := []time.Time{noon, noon.Add(-time.Hour), noon.Add(-48 * time.Hour), noon.Add(time.Millisecond), noon}
		var last int64
		top := int64(0)
		for i, now := range clock {
			said := say(t, c, now, logged("mo", fmt.Sprint(i), top, 1, noon))
			if said.Outcome != Done || said.N <= last {
				t.Fatalf("message %d at %v: %+v after %d", i, now, said, last)
			}
			top = said.N
			n, _, err := c.Post(t.Context(), now, Post{Date: day, OnceID: fmt.Sprint("once", i), Bucket: "b"})
			if err != nil || n <= said.N {
				t.Fatalf("post %d: %d after %d, %v", i, n, said.N, err)
			}
			m, err := c.Change(t.Context(), now, nil, []Do{{"HSET", c.KeyMembers(), "mo", "{}"}})
			if err != nil || m <= n {
				t.Fatalf("change %d: %d after %d, %v", i, m, n, err)
			}
			last = m
		}
		if n, _, err := c.Number(t.Context()); err != nil || n != last {
			t.Errorf("number %d, want %d, %v", n, last, err)
		}
	})
}

func TestKeepsTheLastThousandIDs(t *testing.T) {
	if testing.Short() {
		t.Skip("a thousand messages")
	}
	onBoth(t, func(t *testing.T, c *Club) {
		top := int64(0)
		for i := range 1010 {
			if i%100 == 50 { // mail that answers nobody is trimmed along
				n, err := c.Change(t.Context(), noon, nil, []Do{c.DoMail("mo", "", []byte("notice")), c.DoTop("mo")})
				if err != nil {
					t.Fatal(err)
				}
				top = n
			}
			said := say(t, c, noon, Utterance{Member: "mo", Top: top, ID: fmt.Sprint(i), Digest: "d", Fact: []byte("f")})
			top = said.N
		}
		for i := range 1010 {
			n, err := c.Heard(t.Context(), "mo", fmt.Sprint(i))
			if err != nil || (n != 0) != (i >= 10) {
				t.Fatalf("id %d: heard %d, %v; want only the last 1000", i, n, err)
			}
			if n == 0 {
				continue
			}
			if a, err := c.Answer(t.Context(), "mo", n); err != nil || a == nil || a.ID != fmt.Sprint(i) {
				t.Fatalf("answer of id %d: %+v %v", i, a, err)
			}
		}
		mail, _, err := c.After(t.Context(), "mo", 0)
		if err != nil || len(mail) != 1010 {
			t.Errorf("mail of %d entries, want 1000 answers and 10 notices; %v", len(mail), err)
		}
	})
}

func TestSayRefusesBlurredNames(t *testing.T) {
	c := clubOf(t, open(t, Options{AllowVolatile: true}))
	field := func(part string) Utterance {
		return Utterance{Member: "m", ID: "x", Results: []ResultWrite{{Field{day, part, "time", "m"}, []byte("r")}}}
	}
	in := func(b Board, set string) Utterance {
		return Utterance{Member: "m", ID: "x", Moves: Moves{In: []Place{{b, set, 1}}}}
	}
	for name, u := range map[string]Utterance{
		"no member":        {ID: "x"},
		"no id":            {Member: "m"},
		"colon in part":    field("A:B"),
		"no part":          field(""),
		"brace in board":   in(Board{day, "A", "time", "{open}"}, "m"),
		"no set member":    in(boardA, ""),
		"colon in member":  {Member: "a:b", ID: "x"},
		"empty record":     {Member: "m", ID: "x", Results: []ResultWrite{{Field{day, "A", "time", "m"}, []byte{}}}},
		"rank of no board": {Member: "m", ID: "x", Moves: Moves{Ranks: []Span{{}}}},
	} {
		if _, err := c.Say(t.Context(), noon, u); err == nil || errors.Is(err, ErrNotSaved) {
			t.Errorf("%s: error %v, want a refusal before anything is sent", name, err)
		}
	}
	if n, _, _ := c.Number(t.Context()); n != 0 {
		t.Errorf("the club has number %d", n)
	}
}

// TestBoardAgainstList compares a board with a sorted list through random messages, ties and removals.
func TestBoardAgainstList(t *testing.T) {
	c := clubOf(t, open(t, Options{AllowVolatile: true}))
	run := 0
	rapid.Check(t, func(rt *rapid.T) {
		run++
		b := Board{day, "A", "time", fmt.Sprint("run", run)}
		scores, tops := map[string]int64{}, map[string]int64{}
		for i := range rapid.IntRange(1, 25).Draw(rt, "messages") {
			m := fmt.Sprintf("r%d-%d", run, rapid.IntRange(0, 6).Draw(rt, "member"))
			score := rapid.Int64Range(0, 4).Draw(rt, "score")
			u := Utterance{Member: m, Top: tops[m], ID: fmt.Sprint(i)}
			if _, on := scores[m]; on && score == 0 {
				u.Moves.Out = []Place{{Board: b, SetMember: m}}
				delete(scores, m)
			} else {
				u.Moves.In = []Place{{b, m, score}}
				u.Moves.Ranks = []Span{{b, score, math.MinInt64, math.MaxInt64}}
				scores[m] = score
			}
			said, err := c.Say(t.Context(), noon, u)
			if err != nil || said.Outcome != Done {
				rt.Fatalf("%+v %v", said, err)
			}
			tops[m] = said.N
			better := int64(0)
			for _, s := range scores {
				if s < score {
					better++
				}
			}
			if len(u.Moves.In) > 0 && said.Ranks[0] != (Rank{better + 1, int64(len(scores))}) {
				rt.Fatalf("rank %v, want %d of %d", said.Ranks[0], better+1, len(scores))
			}
		}
	})
}
