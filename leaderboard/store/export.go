package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/redis/go-redis/v9"
)

// exportTries is how often Export begins again when keys come or go while it reads.
const exportTries = 10

// Export writes the whole club as JSON Lines, as it was at one moment: everything is read by one transaction while the
// club goes on. It is held in memory meanwhile.
func (c *Club) Export(ctx context.Context, w io.Writer) error {
	reader, err := c.patientReader(ctx)
	if err != nil {
		return fmt.Errorf("store: export: %w", err)
	}
	defer reader.Close()
	for range exportTries {
		m, err := c.moment(ctx, reader)
		switch {
		case err != nil:
			return fmt.Errorf("store: export: %w", err)
		case m == nil: // a key has come or gone
			continue
		case m.n == 0:
			return fmt.Errorf("store: export: club %s does not exist", c.id)
		}
		if err := m.write(w, c.id); err != nil {
			return fmt.Errorf("store: export: %w", err)
		}
		return nil
	}
	return errors.New("store: export: keys came and went all the time while it was read; try again when it is quieter")
}

// patientReader is a client of the server that holds the club, for replies that are larger than usual.
func (c *Club) patientReader(ctx context.Context) (*redis.Client, error) {
	node, err := c.node(ctx)
	if err != nil {
		return nil, err
	}
	o := *node.Options()
	o.ReadTimeout, o.PoolSize, o.MinIdleConns = -1, 1, 0
	return redis.NewClient(&o), nil
}

// moment is a club at one moment, read and not yet written out.
type moment struct {
	n, lastPost int64
	names       []string
	reads       []redis.Cmder // one a name
}

// moment reads everything that the club holds; nil when keys came or went meanwhile.
func (c *Club) moment(ctx context.Context, reader *redis.Client) (m *moment, err error) {
	if c.s.local != nil { // nothing is written while a read is under way
		err = c.s.local.Read(func() (err error) {
			m, err = c.readMoment(ctx, reader, reader.Pipeline())
			return err
		})
		return m, err
	}
	return c.readMoment(ctx, reader, reader.TxPipeline())
}

func (c *Club) readMoment(ctx context.Context, reader *redis.Client, p redis.Pipeliner) (*moment, error) {
	names, err := c.names(ctx)
	if err != nil {
		return nil, err
	}
	kinds, err := c.kinds(ctx, reader, names)
	if err != nil {
		return nil, err
	}
	m := &moment{names: names}
	line := c.line(ctx, p)
	keys := p.Keys(ctx, c.prefix+"*")
	for i, name := range names {
		read, err := readAll(ctx, p, c.key(name), kinds[i])
		if err != nil {
			return nil, err
		}
		m.reads = append(m.reads, read)
	}
	if _, err := p.Exec(ctx); err != nil && !errors.Is(err, redis.Nil) {
		return nil, err
	}
	if !slices.Equal(c.namesOf(keys.Val()), names) {
		return nil, nil
	}
	m.n, m.lastPost, err = numbers(line)
	return m, err
}

// kinds returns the kind of each key; "none" for one that is gone.
func (c *Club) kinds(ctx context.Context, reader *redis.Client, names []string) ([]string, error) {
	p := reader.Pipeline()
	asked := make([]*redis.StatusCmd, len(names))
	for i, name := range names {
		asked[i] = p.Type(ctx, c.key(name))
	}
	if _, err := p.Exec(ctx); err != nil {
		return nil, err
	}
	kinds := make([]string, len(names))
	for i, a := range asked {
		kinds[i] = a.Val()
	}
	return kinds, nil
}

// readAll asks for all that a key holds.
func readAll(ctx context.Context, p redis.Pipeliner, key, kind string) (redis.Cmder, error) {
	switch kind {
	case "hash":
		return p.HGetAll(ctx, key), nil
	case "set":
		return p.SMembers(ctx, key), nil
	case "zset":
		return p.ZRangeWithScores(ctx, key, 0, -1), nil
	case "stream":
		raw := redis.NewSliceCmd(ctx, "XRANGE", key, "-", "+") // in order of fields, which XMessage loses
		_ = p.Process(ctx, raw)
		return raw, nil
	case "none": // gone since it was listed: the list of keys will tell
		return p.Exists(ctx, key), nil
	}
	return nil, fmt.Errorf("key %q is a %s, which no club has", key, kind)
}

// write writes the moment as an export of a club of that id.
func (m *moment) write(w io.Writer, id string) error {
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	if err := out.Encode(head{"club", format, id, m.n, m.lastPost}); err != nil {
		return err
	}
	parts := 0
	for i, name := range m.names {
		err := partsOf(m.reads[i], func(p part) error {
			parts++
			p.Key = name
			return out.Encode(p)
		})
		if err != nil {
			return fmt.Errorf("key %s: %w", name, err)
		}
	}
	return out.Encode(part{End: &parts})
}

// partsOf gives what was read of a key in parts.
func partsOf(read redis.Cmder, give func(part) error) error {
	var words []text
	switch r := read.(type) {
	case *redis.MapStringStringCmd:
		all := r.Val()
		for _, f := range slices.Sorted(maps.Keys(all)) {
			words = append(words, text(f), text(all[f]))
		}
		return chunks(words, func(t []text) error { return give(part{Hash: t}) })
	case *redis.StringSliceCmd:
		for _, member := range slices.Sorted(slices.Values(r.Val())) {
			words = append(words, text(member))
		}
		return chunks(words, func(t []text) error { return give(part{SetOf: t}) })
	case *redis.ZSliceCmd:
		for _, z := range r.Val() {
			words = append(words, text(z.Member.(string)), text(itoa(int64(z.Score))))
		}
		return chunks(words, func(t []text) error { return give(part{Sorted: t}) })
	case *redis.SliceCmd:
		return streamParts(r.Val(), give)
	}
	return fmt.Errorf("a %T, which nobody asked for", read)
}

func streamParts(entries []any, give func(part) error) error {
	var events []event
	for _, v := range entries {
		e, err := eventOf(v)
		if err != nil {
			return err
		}
		events = append(events, e)
	}
	for some := range slices.Chunk(events, 100) {
		if err := give(part{Stream: some}); err != nil {
			return err
		}
	}
	return nil
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
	return c.namesOf(keys), nil
}

// namesOf are the names of those keys that are the club's, but for the number line and what an import has staged.
func (c *Club) namesOf(keys []string) []string {
	var names []string
	for _, key := range keys {
		if name, ok := strings.CutPrefix(key, c.prefix); ok && name != "club" && !isStaged(name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
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
