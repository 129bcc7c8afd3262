package store

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// A rewritten mail keeps numbers, ids, ranks and order; what is taken away takes its id's memory along; and a mail in
// which nothing changes is not written.
func TestMailIsRewrittenInPlace(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		top := int64(0)
		for i := range 5 {
			u := logged("ada", fmt.Sprint(i), top, int64(i), noon.Add(time.Duration(i)*time.Second))
			u.Fact = fmt.Appendf(nil, "fact %d\r\n", i)
			top = say(t, c, noon.Add(time.Duration(i)*time.Second), u).N
		}
		before := dumpOf(t, c)
		keepAll := func(e MailEntry) ([]byte, bool) { return e.Fact, true }
		if n, err := c.RewriteMail(t.Context(), noon, "ada", keepAll); err != nil || n != 0 || dumpOf(t, c) != before {
			t.Fatalf("%d %v: a mail without a change was written", n, err)
		}
		var was []MailEntry
		read := func() (out []MailEntry) {
			err := c.EachMail(t.Context(), []string{"nobody", "ada"}, func(m string, e MailEntry) bool {
				if m != "ada" {
					t.Errorf("mail of %s", m)
				}
				out = append(out, e)
				return true
			})
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
		was = read()
		n, err := c.RewriteMail(t.Context(), noon, "ada", func(e MailEntry) ([]byte, bool) {
			switch e.ID {
			case "1":
				return nil, false
			case "3":
				return []byte("other"), true
			}
			return e.Fact, true
		})
		if err != nil || n != 2 {
			t.Fatalf("%d changed, %v", n, err)
		}
		now := read()
		if len(now) != 4 || now[0].N != was[0].N || now[1].N != was[2].N || string(now[2].Fact) != "other" || now[2].N != was[3].N ||
			fmt.Sprint(now[3].Ranks) != fmt.Sprint(was[4].Ranks) || len(now[3].Ranks) == 0 || now[3].ID != "4" {
			t.Errorf("was %v\nis %v", was, now)
		}
		for id, want := range map[string]bool{"0": true, "1": false, "3": true} {
			if heard, err := c.Heard(t.Context(), "ada", id); err != nil || (heard != 0) != want {
				t.Errorf("id %s is heard at %d, %v", id, heard, err)
			}
		}
		u := logged("ada", "5", top, 9, noon.Add(time.Minute))
		if said := say(t, c, noon.Add(time.Minute), u); said.Outcome != Done {
			t.Errorf("afterwards: %+v", said)
		}
	})
}

// Forgetting leaves no key, field or set member of theirs. On a real Redis the bare id stays a day among those that
// changed, and Redis is asked to write its file anew.
func TestForgetLeavesNoTrace(t *testing.T) {
	traces := func(t *testing.T, c *Club) (left []string) {
		for line := range strings.Lines(dumpOf(t, c)) {
			if strings.Contains(line, "zebedee") {
				left = append(left, line)
			}
		}
		return left
	}
	forget := func(t *testing.T, c *Club) {
		say(t, c, noon, logged("zebedee", "a", 0, 5, noon))
		say(t, c, noon, logged("ada", "a", 0, 6, noon))
		_, err := c.Change(t.Context(), noon, nil, []Do{{"HSET", c.KeyMembers(), "zebedee", "{}"}, {"HSET", c.KeyMembers(), "ada", "{}"},
			{"HSET", c.KeyTokens(), "t", "zebedee"}, {"HSET", c.KeyInvites(), "i", "zebedee t"}, c.DoChanged("zebedee"), c.DoChanged("ada")})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := c.Forget(t.Context(), noon, "zebedee"); err != nil {
			t.Fatal(err)
		}
		if err := c.Compact(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	t.Run("embedded", func(t *testing.T) {
		c := clubOf(t, openData(t, t.TempDir()))
		forget(t, c)
		if left := traces(t, c); len(left) > 0 {
			t.Errorf("left: %q", left)
		}
	})
	t.Run("redis", func(t *testing.T) {
		r := startRedis(t)
		c := clubOf(t, openRedis(t, r.url))
		forget(t, c)
		if left := traces(t, c); len(left) != 1 || !strings.HasPrefix(left[0], c.KeyChanged()+" zset") {
			t.Errorf("left: %q", left)
		}
		if changed, _, err := c.Changed(t.Context(), 0); err != nil || fmt.Sprint(changed) != "[ada zebedee]" {
			t.Errorf("other replicas are told %v, %v", changed, err)
		}
		info, err := r.client(t).Info(t.Context(), "commandstats").Result()
		if err != nil || !strings.Contains(info, "cmdstat_bgrewriteaof:calls=1") {
			t.Errorf("BGREWRITEAOF was not asked for: %v", err)
		}
		if err := c.Sweep(t.Context(), noon.Add(time.Hour)); err != nil || len(traces(t, c)) != 1 {
			t.Errorf("after an hour: %q %v", traces(t, c), err)
		}
		if err := c.Sweep(t.Context(), noon.Add(25*time.Hour)); err != nil || len(traces(t, c)) != 0 {
			t.Errorf("after a day: %q %v", traces(t, c), err)
		}
		if changed, _, err := c.Changed(t.Context(), 0); err != nil || fmt.Sprint(changed) != "[ada]" {
			t.Errorf("who is here: %v, %v", changed, err)
		}
	})
}

// Where nothing is old the daily job writes nothing, so a quiet club stays as it is.
func TestSweepOfNothingWritesNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		say(t, c, noon, logged("ada", "a", 0, 6, noon))
		if _, _, err := c.Post(t.Context(), noon, Post{Date: day, OnceID: "b", Bucket: "b", Fact: []byte("{}")}); err != nil {
			t.Fatal(err)
		}
		before := dumpOf(t, c)
		if err := c.Sweep(t.Context(), noon.Add(13*24*time.Hour)); err != nil || dumpOf(t, c) != before {
			t.Errorf("%v: changed", err)
		}
	})
}
