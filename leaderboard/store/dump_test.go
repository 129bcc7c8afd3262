package store

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
)

func openLog(t *testing.T, path string) *os.File {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// furnish writes a bit of everything, with removals, trimmed streams and awkward text.
func furnish(t *testing.T, c *Club) {
	t.Helper()
	top := map[string]int64{}
	for i := range 60 {
		m := fmt.Sprintf("m%d", i%7)
		u := logged(m, fmt.Sprint(i), top[m], int64(i)<<45, noon.Add(time.Duration(i)*time.Second))
		u.Fact = []byte("\r\n$5\r\né\x00")
		if i%5 == 4 {
			u.Results[0].Record = nil
			u.Moves = Moves{Out: []Place{{Board: boardA, SetMember: SetMember(noon, m)}}}
		}
		top[m] = say(t, c, noon, u).N
		if _, _, err := c.Post(t.Context(), noon.Add(time.Duration(i)*24*time.Hour), Post{Date: day, OnceID: fmt.Sprint(i % 40), Bucket: "b", Fact: u.Fact}); err != nil {
			t.Fatal(err)
		}
	}
	_, err := c.Change(t.Context(), noon, nil, []Do{
		{"HSET", c.KeySheets(day), "1", "line\nline", "current", "1"}, {"HSET", c.KeyTokens(), "x", "m1"}, c.DoChanged("m1"),
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Forget(t.Context(), noon, "m3"); err != nil {
		t.Fatal(err)
	}
}

// dumpOf lists everything that a club holds, key by key, as the server gives it.
func dumpOf(t *testing.T, c *Club) string {
	t.Helper()
	ctx, r := t.Context(), c.s.client
	keys, err := r.Keys(ctx, "*").Result()
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(keys)
	var b strings.Builder
	for _, key := range keys {
		if !strings.HasPrefix(key, c.prefix) {
			continue
		}
		kind, err := r.Type(ctx, key).Result()
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%s %s ", key, kind)
		switch kind {
		case "hash":
			fmt.Fprintf(&b, "%q\n", r.HGetAll(ctx, key).Val()) // maps print in order of key
		case "zset":
			for _, z := range r.ZRangeWithScores(ctx, key, 0, -1).Val() {
				fmt.Fprintf(&b, "%q %.0f ", z.Member, z.Score)
			}
			fmt.Fprintln(&b)
		case "set":
			members := r.SMembers(ctx, key).Val()
			slices.Sort(members)
			fmt.Fprintf(&b, "%q\n", members)
		case "stream":
			for _, m := range r.XRange(ctx, key, "-", "+").Val() {
				fmt.Fprintf(&b, "%s %q ", m.ID, m.Values)
			}
			fmt.Fprintln(&b)
		default:
			t.Fatalf("%s is a %s", key, kind)
		}
	}
	return b.String()
}

func TestReopenAndCompact(t *testing.T) {
	dir := t.TempDir()
	s := openData(t, dir)
	c := clubOf(t, s)
	furnish(t, c)
	want := dumpOf(t, c)
	if err := s.local.Compact(); err != nil {
		t.Fatal(err)
	}
	if got := dumpOf(t, c); got != want {
		t.Error("changed by compaction")
	}
	for range 2 {
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		s = openData(t, dir)
		if got := dumpOf(t, clubOf(t, s)); got != want {
			t.Errorf("reopened:\n%s\nwant\n%s", got, want)
		}
	}
}

func TestForgottenIsOffTheDisk(t *testing.T) {
	dir := t.TempDir()
	c := clubOf(t, openData(t, dir))
	u := logged("mo", "a", 0, 1, noon)
	u.Fact = []byte("my shoulder hurts")
	say(t, c, noon, u)
	if _, err := c.Forget(t.Context(), noon, "mo"); err != nil {
		t.Fatal(err)
	}
	if err := c.Compact(t.Context()); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(dir + "/append.resp")
	if err != nil {
		t.Fatal(err)
	}
	for _, trace := range []string{"shoulder", ".mo", ":mo", "\r\nmo\r\n"} {
		if strings.Contains(string(b), trace) {
			t.Errorf("the log still holds %q", trace)
		}
	}
}
