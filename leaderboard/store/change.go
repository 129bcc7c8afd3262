package store

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Change makes commands together, all while every condition holds, and returns the number that the change
// took on the club's line. When a condition fails it writes nothing and returns ErrStale.
//
// A word that is "$n", or begins with "$n-" (a stream's id) or "$n ", gets the number in place of "$n"; any
// other word is written as it is, so that what people typed is never touched.
//
// A lost reply leaves the outcome unknown (ErrNotSaved); Change is not sent twice by itself. The conditions of
// the caller's next attempt find out.
func (c *Club) Change(ctx context.Context, now time.Time, conds []If, cmds []Do) (n int64, err error) {
	call, err := c.changeCall(now, conds, cmds)
	if err != nil {
		return 0, err
	}
	reply, err := c.s.batch.do(ctx, call)
	if err != nil {
		return 0, err
	}
	if len(reply) != 2 {
		return 0, call.notSaved(fmt.Errorf("a reply of %d values", len(reply)))
	}
	if n, err = number(reply[1]); err != nil {
		return 0, call.notSaved(err)
	}
	if reply[0] == "stale" {
		return 0, fmt.Errorf("store: change: condition %d: %w", n, ErrStale)
	}
	return n, nil
}

// changeWords are the commands that Change may make, with the fewest words that each needs.
var changeWords = map[string]int{
	"HSET": 4, "HDEL": 3, "ZADD": 4, "ZREM": 3, "SADD": 3, "SREM": 3, "XADD": 5, "XTRIM": 4, "XDEL": 3, "DEL": 2,
}

// maxDo bounds the words of one command; a script can hand over no more at once.
const maxDo = 1000

func (c *Club) changeCall(now time.Time, conds []If, cmds []Do) (*call, error) {
	k := newKeyList(c.KeyClub())
	list := &call{}
	list.addInt(len(conds))
	for _, f := range conds {
		if err := c.checkKey(f.Key); err != nil {
			return nil, err
		}
		k.place(f.Key)
		list.add(f.Key, f.Field, f.Want)
	}
	cmds = c.withSheetDates(cmds)
	list.addInt(len(cmds))
	for _, d := range cmds {
		if err := c.checkDo(d); err != nil {
			return nil, err
		}
		for _, key := range d.keys() {
			k.place(key)
		}
		list.addInt(len(d))
		for _, w := range d {
			list.add(marked(w))
		}
	}
	call := newCall(c.s.scripts.change, false, k.keys, 1+len(list.args))
	call.add(itoa(micros(now)))
	call.args = append(call.args, list.args...)
	return call, nil
}

// marked leads a word by '=' when it is written as it is, and by '$' when the number goes before the rest.
func marked(w string) string {
	if rest, ok := strings.CutPrefix(w, "$n"); ok && (rest == "" || rest[0] == '-' || rest[0] == ' ') {
		return "$" + rest
	}
	return "=" + w
}

// keys are the words of a command that name keys.
func (d Do) keys() []string {
	if d[0] == "DEL" {
		return d[1:]
	}
	return d[1:2]
}

func (c *Club) checkDo(d Do) error {
	if len(d) < 2 || len(d) > maxDo {
		return fmt.Errorf("store: change: a command of %d words; want 2 to %d", len(d), maxDo)
	}
	least, ok := changeWords[d[0]]
	if !ok {
		return fmt.Errorf("store: change: %q is not one of its commands (HSET, HDEL, ZADD, ZREM, SADD, SREM, XADD, XTRIM, XDEL, DEL)", d[0])
	}
	if len(d) < least || d[0] == "HSET" && len(d)%2 != 0 {
		return fmt.Errorf("store: change: %s with %d words", d[0], len(d))
	}
	for _, key := range d.keys() {
		if err := c.checkKey(key); err != nil {
			return err
		}
	}
	return nil
}

func (c *Club) checkKey(key string) error {
	if !strings.HasPrefix(key, c.prefix) || key == c.KeyClub() {
		return fmt.Errorf("store: change: the key %q is not one that club %s may change", key, c.id)
	}
	return nil
}

// withSheetDates adds what keeps the list of dates that have a sheet.
func (c *Club) withSheetDates(cmds []Do) []Do {
	all := slices.Clip(cmds)
	for _, d := range cmds {
		if len(d) < 2 {
			continue
		}
		for _, key := range d.keys() {
			date, ok := strings.CutPrefix(key, c.KeySheets(""))
			switch {
			case !ok:
			case d[0] == "HSET":
				all = append(all, Do{"SADD", c.KeySheetDates(), date})
			case d[0] == "DEL":
				all = append(all, Do{"SREM", c.KeySheetDates(), date})
			}
		}
	}
	return all
}
