package store

import (
	"bytes"
	"maps"
	"testing"
)

// TestSeen: the highest counts, whoever told it and in whatever order; who is no member is left out; forgetting and
// export know of it; and no number of the line is taken.
func TestSeen(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		ctx := t.Context()
		if _, err := c.Change(ctx, noon, nil, []Do{{"HSET", c.KeyMembers(), "ada", "{}", "bo", "{}"}}); err != nil {
			t.Fatal(err)
		}
		if m, err := c.MarkOf(ctx, "ada"); err != nil || m != (Mark{}) {
			t.Errorf("before anything is noted: %v %v", m, err)
		}
		before, _, err := c.Number(ctx)
		if err != nil {
			t.Fatal(err)
		}
		const far = 1<<53 - 1 // beyond what Lua writes with 14 digits
		for _, m := range []map[string]Mark{
			{"ada": {Received: 1764072000000123, Opened: 5}, "gone": {Received: 7}},
			{"ada": {Received: 9, Opened: 1764072000000122}, "bo": {Received: far}},
			{"bo": {Received: far - 1}},
			{},
		} {
			if err := c.Seen(ctx, m); err != nil {
				t.Fatal(err)
			}
		}
		want := map[string]Mark{"ada": {1764072000000123, 1764072000000122}, "bo": {Received: far}}
		got, err := c.Marks(ctx)
		if err != nil || !maps.Equal(got, want) {
			t.Fatalf("%v %v, want %v", got, err, want)
		}
		if m, err := c.MarkOf(ctx, "bo"); err != nil || m != want["bo"] {
			t.Errorf("bo alone: %v %v, want %v", m, err, want["bo"])
		}
		if n, _, err := c.Number(ctx); err != nil || n != before {
			t.Errorf("the line is at %d (%v), was at %d", n, err, before)
		}
		var out bytes.Buffer
		if err := c.Export(ctx, &out); err != nil || !bytes.Contains(out.Bytes(), []byte(`{"key":"seen","hash":["ada","1764072000000123 1764072000000122","bo",`)) {
			t.Errorf("the export does not hold it (%v):\n%s", err, out.String())
		}
		if _, err := c.Forget(ctx, noon, "ada"); err != nil {
			t.Fatal(err)
		}
		if err := c.Seen(ctx, map[string]Mark{"ada": {Received: 1}}); err != nil { // told late, by another replica
			t.Fatal(err)
		}
		delete(want, "ada")
		if got, err := c.Marks(ctx); err != nil || !maps.Equal(got, want) {
			t.Errorf("after forgetting: %v %v, want %v", got, err, want)
		}
	})
}
