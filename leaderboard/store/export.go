package store

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/redis/go-redis/v9"
)

// exportTries is how often Export begins again when the club changes meanwhile.
const exportTries = 5

// Export writes the whole club as JSON Lines. It is held in memory until it is known to be of one moment; when
// the club keeps changing, it says so instead.
func (c *Club) Export(ctx context.Context, w io.Writer) error {
	for range exportTries {
		var b bytes.Buffer
		n, lastPost, err := c.Number(ctx)
		if err != nil {
			return err
		}
		if n == 0 {
			return fmt.Errorf("store: export: club %s does not exist", c.id)
		}
		if err := c.exportTo(ctx, &b, head{"club", format, c.id, n, lastPost}); err != nil {
			return fmt.Errorf("store: export: %w", err)
		}
		after, _, err := c.Number(ctx)
		if err != nil {
			return err
		}
		if after == n {
			_, err = w.Write(b.Bytes())
			return err
		}
	}
	return errors.New("store: export: the club kept changing while it was read; try again when it is quieter")
}

func (c *Club) exportTo(ctx context.Context, w io.Writer, h head) error {
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	if err := out.Encode(h); err != nil {
		return err
	}
	names, err := c.names(ctx)
	if err != nil {
		return err
	}
	parts := 0
	for _, name := range names {
		err := c.exportKey(ctx, name, func(p part) error {
			parts++
			p.Key = name
			return out.Encode(p)
		})
		if err != nil {
			return err
		}
	}
	return out.Encode(part{End: &parts})
}

// names lists the club's keys without their prefix, but for the number line itself, in order.
func (c *Club) names(ctx context.Context) ([]string, error) {
	var keys []string
	if c.s.local != nil {
		keys = c.s.local.Keys()
	} else {
		node, err := c.node(ctx)
		if err != nil {
			return nil, err
		}
		scan := node.Scan(ctx, 0, c.prefix+"*", 1000).Iterator()
		for scan.Next(ctx) {
			keys = append(keys, scan.Val())
		}
		if err := scan.Err(); err != nil {
			return nil, err
		}
	}
	var names []string
	for _, key := range keys {
		if name, ok := strings.CutPrefix(key, c.prefix); ok && name != "club" && !isStaged(name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names), nil
}

// node is the server that holds the club.
func (c *Club) node(ctx context.Context) (*redis.Client, error) {
	switch r := c.s.client.(type) {
	case *redis.Client:
		return r, nil
	case *redis.ClusterClient:
		return r.MasterForKey(ctx, c.KeyClub())
	}
	return nil, errors.New("no server")
}

func (c *Club) exportKey(ctx context.Context, name string, give func(part) error) error {
	key := c.key(name)
	var kind *redis.StatusCmd
	if err := c.s.read(ctx, name, func(p redis.Pipeliner) { kind = p.Type(ctx, key) }); err != nil {
		return err
	}
	switch kind.Val() {
	case "hash":
		all, err := c.hash(ctx, name, key)
		if err != nil {
			return err
		}
		var words []text
		for _, f := range slices.Sorted(keysOf(all)) {
			words = append(words, text(f), text(all[f]))
		}
		return chunks(words, func(t []text) error { return give(part{Hash: t}) })
	case "set":
		members, err := c.sorted(ctx, name, key)
		if err != nil {
			return err
		}
		words := make([]text, len(members))
		for i, m := range members {
			words[i] = text(m)
		}
		return chunks(words, func(t []text) error { return give(part{SetOf: t}) })
	case "zset":
		return c.exportSorted(ctx, name, key, give)
	case "stream":
		return c.exportStream(ctx, name, key, give)
	case "none": // gone meanwhile
		return nil
	}
	return fmt.Errorf("key %q is a %s, which no club has", name, kind.Val())
}

func keysOf(m map[string]string) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func (c *Club) exportSorted(ctx context.Context, name, key string, give func(part) error) error {
	var all *redis.ZSliceCmd
	if err := c.s.read(ctx, name, func(p redis.Pipeliner) { all = p.ZRangeWithScores(ctx, key, 0, -1) }); err != nil {
		return err
	}
	var words []text
	for _, z := range all.Val() {
		words = append(words, text(z.Member.(string)), text(itoa(int64(z.Score))))
	}
	return chunks(words, func(t []text) error { return give(part{Sorted: t}) })
}

func (c *Club) exportStream(ctx context.Context, name, key string, give func(part) error) error {
	raw := redis.NewSliceCmd(ctx, "XRANGE", key, "-", "+") // in order of fields, which XMessage loses
	if err := c.s.read(ctx, name, func(p redis.Pipeliner) { _ = p.Process(ctx, raw) }); err != nil {
		return err
	}
	var events []event
	for _, v := range raw.Val() {
		e, err := eventOf(v)
		if err != nil {
			return fmt.Errorf("stream %s: %w", name, err)
		}
		events = append(events, e)
	}
	for part100 := range slices.Chunk(events, 100) {
		if err := give(part{Stream: part100}); err != nil {
			return err
		}
	}
	return nil
}

func eventOf(v any) (event, error) {
	pair, ok := v.([]any)
	if !ok || len(pair) != 2 {
		return event{}, errors.New("an entry that is no pair")
	}
	id, ok := pair[0].(string)
	values, ok2 := pair[1].([]any)
	if !ok || !ok2 {
		return event{}, errors.New("an entry without id or values")
	}
	e := event{ID: id}
	for _, v := range values {
		s, _ := v.(string)
		e.Values = append(e.Values, text(s))
	}
	return e, nil
}

func chunks(words []text, give func([]text) error) error {
	for len(words) > 0 {
		n := min(partWords, len(words))
		if err := give(words[:n]); err != nil {
			return err
		}
		words = words[n:]
	}
	return nil
}
