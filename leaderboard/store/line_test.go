package store

import (
	"errors"
	"fmt"
	"reflect"
	"sync"
	"testing"
	"time"
)

func TestPostOnceByTwoClients(t *testing.T) {
	redis := startRedis(t)
	a, b := clubOf(t, openRedis(t, redis.url)), clubOf(t, openRedis(t, redis.url))
	var wg sync.WaitGroup
	var mu sync.Mutex
	firsts, numbers := 0, map[int64]bool{}
	for i := range 40 {
		c := a
		if i%2 == 1 {
			c = b
		}
		wg.Go(func() {
			n, first, err := c.Post(t.Context(), noon, Post{Date: day, OnceID: "berlin 06:00", Bucket: "berlin 06:00", Fact: []byte("f")})
			mu.Lock()
			defer mu.Unlock()
			if err != nil {
				t.Error(err)
			}
			if first {
				firsts++
			}
			numbers[n] = true
		})
	}
	wg.Wait()
	posts, _, err := a.PostsAfter(t.Context(), 0)
	if firsts != 1 || len(numbers) != 1 || len(posts) != 1 || err != nil {
		t.Errorf("%d were first, numbers %v, %d posts, %v; want one of each", firsts, numbers, len(posts), err)
	}
}

func TestPost(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		post := func(now time.Time, date, once, bucket string) int64 {
			t.Helper()
			n, first, err := c.Post(t.Context(), now, Post{Date: date, OnceID: once, Bucket: bucket, Fact: []byte(once)})
			if err != nil || !first {
				t.Fatalf("%s: first %v, %v", once, first, err)
			}
			return n
		}
		n := post(noon, day, "b", "b")
		post(noon, day, "changed:2:b", "b")
		post(noon, day, "say:x", "*")
		post(noon, "2026-11-26", "b", "b")
		post(noon, "2026-11-24", "b", "b") // an earlier date moves nothing
		if got, err := c.Buckets(t.Context()); err != nil || !reflect.DeepEqual(got, map[string]string{"b": "2026-11-26"}) {
			t.Errorf("buckets %v %v", got, err)
		}
		posted, err := c.Posted(t.Context(), day)
		if err != nil || len(posted) != 3 || posted["b"] != n {
			t.Errorf("posted %v %v", posted, err)
		}
		_, last, err := c.Number(t.Context())
		if err != nil || last != n+4 {
			t.Errorf("last post %d, want %d, %v", last, n+4, err)
		}
		later := post(noon.Add(14*24*time.Hour+time.Second), "2026-12-09", "b", "b")
		left, upTo, err := c.PostsAfter(t.Context(), 0)
		if err != nil || upTo != later || len(left) != 1 || left[0].N != later || left[0].Date != "2026-12-09" || string(left[0].Fact) != "b" {
			t.Errorf("after 14 days: %+v up to %d, %v", left, upTo, err)
		}
	})
}

func TestAfter(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		top := map[string]int64{}
		speak := func(m, id string) int64 {
			t.Helper()
			said := say(t, c, noon, Utterance{Member: m, Top: top[m], ID: id, Fact: []byte(id)})
			top[m] = said.N
			return said.N
		}
		post := func(id string) int64 {
			t.Helper()
			n, _, err := c.Post(t.Context(), noon, Post{Date: day, OnceID: id, Bucket: "b", Fact: []byte(id)})
			if err != nil {
				t.Fatal(err)
			}
			return n
		}
		line := []int64{speak("mo", "1"), post("2"), speak("mo", "3"), speak("kim", "not mo's"), post("4"), post("5"), speak("mo", "6")}
		want := []string{"1", "2", "3", "4", "5", "6"}
		read := func(cursor int64) (got []string, upTo int64) {
			t.Helper()
			entries, upTo, err := c.After(t.Context(), "mo", cursor)
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range entries {
				if (e.Post == nil) == (e.Mail == nil) {
					t.Fatalf("entry %+v is not one of a post and mail", e)
				}
				if e.Post != nil {
					got = append(got, string(e.Post.Fact))
				} else {
					got = append(got, string(e.Mail.Fact))
				}
			}
			return got, upTo
		}
		last := line[len(line)-1]
		for skip, cursor := range []int64{0, line[0], line[1], line[2], line[4], line[5]} {
			if got, upTo := read(cursor); upTo != last || !reflect.DeepEqual(got, want[skip:]) {
				t.Errorf("after %d: %v up to %d, want %v up to %d", cursor, got, upTo, want[skip:], last)
			}
		}
		if got, upTo := read(c.Since(noon.Add(-14 * 24 * time.Hour))); len(got) != 6 || upTo != last {
			t.Errorf("the last 14 days: %v up to %d", got, upTo)
		}
		if got, _ := read(c.Since(noon)); len(got) != 6 {
			t.Errorf("since the very instant: %v", got)
		}
		for _, ahead := range []int64{last, last + 1, last + 1e9, 1 << 62} {
			if got, upTo := read(ahead); len(got) != 0 || upTo != last {
				t.Errorf("a cursor at or ahead of the club: %v up to %d", got, upTo)
			}
		}
		if got, _ := read(-5); len(got) != 6 {
			t.Errorf("a cursor below 0: %v", got)
		}
	})
}

// TestAfterWhileWriting reads on and on while others write: each entry must come once and in order.
func TestAfterWhileWriting(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		const each = 60
		var writers sync.WaitGroup
		writers.Go(func() {
			top := int64(0)
			for i := range each {
				said, err := c.Say(t.Context(), noon, Utterance{Member: "mo", Top: top, ID: fmt.Sprint(i), Fact: []byte("m")})
				if err != nil {
					t.Error(err)
				}
				top = said.N
			}
		})
		writers.Go(func() {
			for i := range each {
				if _, _, err := c.Post(t.Context(), noon, Post{Date: day, OnceID: fmt.Sprint(i), Bucket: "b"}); err != nil {
					t.Error(err)
				}
			}
		})
		done := make(chan struct{})
		go func() { writers.Wait(); close(done) }()
		var got []int64
		cursor := int64(0)
		for finished := false; ; {
			entries, upTo, err := c.After(t.Context(), "mo", cursor)
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range entries {
				got = append(got, e.N)
			}
			cursor = upTo
			if finished {
				break
			}
			select {
			case <-done:
				finished = true
			default:
			}
		}
		if len(got) != 2*each {
			t.Fatalf("%d entries, want %d", len(got), 2*each)
		}
		for i := 1; i < len(got); i++ {
			if got[i] <= got[i-1] {
				t.Fatalf("entry %d after %d", got[i], got[i-1])
			}
		}
	})
}

func TestChange(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		ctx := t.Context()
		profile := `{"name":"$n costs $n","id":"mo"}`
		n, err := c.Change(ctx, noon, []If{{c.KeyMembers(), "mo", ""}}, []Do{
			{"HSET", c.KeyMembers(), "mo", profile}, c.DoTop("mo"), c.DoChanged("mo"),
			c.DoMail("mo", "c1", []byte("$nothing")), c.DoHeard("mo", "c1", "digest"),
			{"HSET", c.KeySheets(day), "1", "$n"[:1] + "n50 pack", "current", "1"},
		})
		if err != nil {
			t.Fatal(err)
		}
		st, err := c.State(ctx, "mo")
		if err != nil || st.Top != n || st.N != n || string(st.Profile) != profile || st.Last == nil || string(st.Last.Fact) != "$nothing" || st.Last.N != n {
			t.Errorf("state %+v %v: what people typed must stay as it is", st, err)
		}
		if h, err := c.Heard(ctx, "mo", "c1"); err != nil || h != n {
			t.Errorf("heard %d %v", h, err)
		}
		if got := say(t, c, noon, Utterance{Member: "mo", Top: n, ID: "c1", Digest: "digest"}); got.Outcome != Again || got.N != n {
			t.Errorf("say of the same id: %+v", got)
		}
		if ids, upTo, err := c.Changed(ctx, 0); err != nil || upTo != n || !reflect.DeepEqual(ids, []string{"mo"}) {
			t.Errorf("changed %v %d %v", ids, upTo, err)
		}
		if ids, _, _ := c.Changed(ctx, n); len(ids) != 0 {
			t.Errorf("changed after itself: %v", ids)
		}
		if s, err := c.Sheets(ctx, day); err != nil || s["1"] != "$n50 pack" || s["current"] != "1" {
			t.Errorf("sheets %v %v", s, err)
		}
		if d, err := c.SheetDates(ctx); err != nil || !reflect.DeepEqual(d, []string{day}) {
			t.Errorf("sheet dates %v %v", d, err)
		}
		for _, conds := range [][]If{
			{{c.KeyMembers(), "mo", ""}}, {c.IfTop("mo", n-1)}, {c.IfTop("mo", n), c.IfUnheard("mo", "c1")}, {c.IfTop("mo", 0)},
		} {
			if _, err := c.Change(ctx, noon, conds, []Do{{"HSET", c.KeyMembers(), "mo", "never"}}); !errors.Is(err, ErrStale) {
				t.Errorf("conditions %v: %v, want stale", conds, err)
			}
		}
		if m, err := c.MembersNamed(ctx, []string{"mo", "nobody"}); err != nil || len(m) != 1 || string(m["mo"]) != profile {
			t.Errorf("members %v %v", m, err)
		}
		if tops, err := c.Tops(ctx, []string{"nobody", "mo"}); err != nil || !reflect.DeepEqual(tops, []int64{0, n}) {
			t.Errorf("tops %v %v", tops, err)
		}
	})
}

func TestChangeRefuses(t *testing.T) {
	c := clubOf(t, open(t, Options{AllowVolatile: true}))
	for name, d := range map[string]Do{
		"no command":         {},
		"another command":    {"FLUSHALL", c.KeyMembers()},
		"lower case":         {"hset", c.KeyMembers(), "a", "b"},
		"another club":       {"HSET", "{other}:members", "a", "b"},
		"the number line":    {"HSET", c.KeyClub(), "n", "1"},
		"half a pair":        {"HSET", c.KeyMembers(), "a"},
		"one of two unknown": {"DEL", c.KeyMembers(), "{other}:members"},
	} {
		if _, err := c.Change(t.Context(), noon, nil, []Do{d}); err == nil || errors.Is(err, ErrNotSaved) {
			t.Errorf("%s: %v, want a refusal", name, err)
		}
	}
	if _, err := c.Change(t.Context(), noon, []If{{"{other}:tops", "m", ""}}, nil); err == nil {
		t.Error("a condition on another club was taken")
	}
}

func TestTopsInParts(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		var ids []string
		var cmds []Do
		for i := range 1203 {
			ids = append(ids, fmt.Sprintf("m%d", i))
			cmds = append(cmds, Do{"HSET", c.KeyTops(), ids[i], itoa(int64(i))})
		}
		if _, err := c.Change(t.Context(), noon, nil, cmds); err != nil {
			t.Fatal(err)
		}
		tops, err := c.Tops(t.Context(), ids)
		if err != nil || len(tops) != len(ids) {
			t.Fatal(len(tops), err)
		}
		for i, top := range tops {
			if top != int64(i) {
				t.Fatalf("top %d is %d", i, top)
			}
		}
	})
}

func TestForget(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		ctx := t.Context()
		both := logged("mo", "a", 0, 5, noon)
		other := boardA
		other.Division = "women"
		both.Moves.In = append(both.Moves.In, Place{other, SetMember(noon, "mo"), 5})
		said := say(t, c, noon, both)
		say(t, c, noon, logged("kim", "a", 0, 5, noon))
		_, err := c.Change(ctx, noon, nil, []Do{
			{"HSET", c.KeyMembers(), "mo", "{}", "kim", "{}"}, {"HSET", c.KeyTokens(), "t1", "mo", "t2", "kim", "t3", "mo2"},
			{"HSET", c.KeyInvites(), "i1", "mo t1", "i2", "kim", "i3", `[{"id":"mo"}]`}, c.DoChanged("mo"), {"HSET", c.KeyTops(), "mo", itoa(said.N)},
		})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := c.Forget(ctx, noon, "mo"); err != nil {
			t.Fatal(err)
		}
		tokens, _ := c.Tokens(ctx)
		invites, _ := c.Invites(ctx)
		if !reflect.DeepEqual(tokens, map[string]string{"t2": "kim", "t3": "mo2"}) || !reflect.DeepEqual(invites, map[string]string{"i2": "kim"}) {
			t.Errorf("tokens %v, invites %v", tokens, invites)
		}
		st, err := c.State(ctx, "mo", Field{day, "A", "time", "mo"})
		if err != nil || st.Top != 0 || st.Profile != nil || st.Last != nil || len(st.Results) != 0 {
			t.Errorf("state %+v %v", st, err)
		}
		if l, _ := c.Ledger(ctx, "mo"); len(l) != 0 {
			t.Errorf("ledger %v", l)
		}
		if b, _ := c.Boards(ctx, day); !reflect.DeepEqual(b, []Board{boardA}) {
			t.Errorf("boards %v", b)
		}
		if r, _ := c.Results(ctx, day); len(r) != 1 {
			t.Errorf("results %v", r)
		}
		if got, err := c.Say(ctx, noon, logged("mo", "late", said.N, 5, noon)); err != nil || got.Outcome != Stale {
			t.Errorf("a message decided before: %+v %v, want stale", got, err)
		}
		if _, err := c.Forget(ctx, noon, "mo"); err != nil {
			t.Errorf("again: %v", err)
		}
	})
}

func TestRestand(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		ctx := t.Context()
		said := say(t, c, noon, logged("mo", "a", 0, 5, noon))
		stray := Board{day, "A", "time", "men"}
		if _, err := c.Change(ctx, noon, nil, []Do{{"ZADD", c.KeyBoard(stray), "9", SetMember(noon, "mo")}, {"SADD", c.KeyBoards(day), "A:time:men"}}); err != nil {
			t.Fatal(err)
		}
		out := Moves{Out: []Place{{Board: stray, SetMember: SetMember(noon, "mo")}}, In: []Place{{boardA, SetMember(noon, "mo"), 4}}}
		if got, err := c.Restand(ctx, noon, "mo", 0, nil, out); err != nil || got.Outcome != Stale {
			t.Errorf("an old top: %+v %v", got, err)
		}
		got, err := c.Restand(ctx, noon, "mo", said.N, nil, out)
		if err != nil || got.Outcome != Done || got.N <= said.N {
			t.Fatalf("%+v %v", got, err)
		}
		if b, _ := c.Boards(ctx, day); !reflect.DeepEqual(b, []Board{boardA}) {
			t.Errorf("boards %v", b)
		}
		if entries, _, _ := c.After(ctx, "mo", said.N); len(entries) != 0 {
			t.Errorf("mail %v", entries)
		}
		if l, _ := c.Ledger(ctx, "mo"); len(l) != 2 {
			t.Errorf("ledger %v", l)
		}
	})
}

func TestSweep(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		for _, p := range []struct {
			date string
			at   time.Time
		}{{"2026-08-01", noon.Add(-15 * 24 * time.Hour)}, {day, noon.Add(-13 * 24 * time.Hour)}} {
			if _, _, err := c.Post(t.Context(), p.at, Post{Date: p.date, OnceID: "b", Bucket: "b"}); err != nil {
				t.Fatal(err)
			}
		}
		if err := c.Sweep(t.Context(), noon); err != nil {
			t.Fatal(err)
		}
		old, err := c.Posted(t.Context(), "2026-08-01")
		if err != nil || len(old) != 0 {
			t.Errorf("posted long ago: %v %v", old, err)
		}
		if kept, err := c.Posted(t.Context(), day); err != nil || len(kept) != 1 {
			t.Errorf("posted today: %v %v", kept, err)
		}
		if posts, _, err := c.PostsAfter(t.Context(), 0); err != nil || len(posts) != 1 || posts[0].Date != day {
			t.Errorf("posts %v %v", posts, err)
		}
	})
}
