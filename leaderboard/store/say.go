package store

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"
)

// Say writes one message of a member and everything that it changes, or nothing. now is the store-clock
// time. The same message id is answered once: a repeat gets Again with the number of the first answer,
// which Answer reads. Stale means that Top no longer holds: read the member's state and decide again.
func (c *Club) Say(ctx context.Context, now time.Time, u Utterance) (Said, error) {
	if u.ID == "" || u.Member == "" {
		return Said{}, errors.New("store: say needs a member and a message id")
	}
	return c.say(ctx, now, u, true)
}

// Restand puts a member's results and places right without a message: nothing is added to their mail or
// ledger. It is stale unless top still holds, so it changes nothing that the caller has not seen. The
// outcome is Done or Stale.
func (c *Club) Restand(ctx context.Context, now time.Time, member string, top int64, results []ResultWrite, moves Moves) (Said, error) {
	if member == "" {
		return Said{}, errors.New("store: restand needs a member")
	}
	// after a lost reply a repeat would find its own change and be stale, which the caller handles
	return c.say(ctx, now, Utterance{Member: member, Top: top, Results: results, Moves: moves}, true)
}

func (c *Club) say(ctx context.Context, now time.Time, u Utterance, resend bool) (Said, error) {
	call, err := c.sayCall(now, u, resend)
	if err != nil {
		return Said{}, err
	}
	reply, err := c.s.batch.do(ctx, call)
	if err != nil {
		return Said{}, err
	}
	said, err := readSaid(reply)
	if err != nil {
		return Said{}, call.notSaved(err)
	}
	return said, nil
}

// keyList numbers keys as a script names them, each once.
type keyList struct {
	keys []string
	at   map[string]int
}

func newKeyList(fixed ...string) *keyList {
	return &keyList{keys: fixed, at: make(map[string]int, 8)}
}

// place returns the place of a key in KEYS, counted from 1.
func (k *keyList) place(key string) int {
	if i, ok := k.at[key]; ok {
		return i
	}
	k.keys = append(k.keys, key)
	k.at[key] = len(k.keys)
	return len(k.keys)
}

// board returns the place of a board's key and declares the index of its date.
func (c *Club) boardPlace(k *keyList, b Board) int {
	k.place(c.KeyBoards(b.Date))
	return k.place(c.KeyBoard(b))
}

func (c *Club) sayCall(now time.Time, u Utterance, resend bool) (*call, error) {
	if err := u.check(); err != nil {
		return nil, err
	}
	k := newKeyList(c.KeyClub(), c.KeyTops(), c.KeySaid(u.Member), c.KeyMail(u.Member), c.KeyLedger(u.Member))
	if len(u.Results) > 0 {
		k.place(c.KeyResultDates())
	}
	words := 6 + 5 + 3*len(u.Results) + 2*len(u.Moves.Out) + 3*len(u.Moves.In) + 4*len(u.Moves.Ranks) + len(u.Ledger)
	list := &call{args: make([]any, 0, words)} // the lists, written first because they name the keys
	list.addInt(len(u.Results))
	for _, r := range u.Results {
		list.addInt(k.place(c.KeyResults(r.Field.Date)))
		list.add(r.Field.field())
		list.addBytes(r.Record)
	}
	list.addInt(len(u.Moves.Out))
	for _, p := range u.Moves.Out {
		list.addInt(c.boardPlace(k, p.Board))
		list.add(p.SetMember)
	}
	list.addInt(len(u.Moves.In))
	for _, p := range u.Moves.In {
		list.addInt(c.boardPlace(k, p.Board))
		list.add(itoa(p.Score), p.SetMember)
	}
	list.addInt(len(u.Moves.Ranks))
	for _, s := range u.Moves.Ranks {
		list.addInt(c.boardPlace(k, s.Board))
		list.add(itoa(s.Score), bound(s.Low), bound(s.High))
	}
	if u.ID != "" {
		list.addInt(len(u.Ledger))
		for _, e := range u.Ledger {
			list.addBytes(e)
		}
	}
	call := newCall(c.s.scripts.say, resend, k.keys, 6+len(list.args))
	call.add(itoa(micros(now)), u.Member, itoa(u.Top), u.ID, u.Digest)
	call.addBytes(u.Fact)
	call.args = append(call.args, list.args...)
	return call, nil
}

// maxList bounds each list of an utterance.
const maxList = 2000

func (u Utterance) check() error {
	if err := checkNames("message", u.Member); err != nil {
		return err
	}
	if n := max(len(u.Results), len(u.Moves.Out), len(u.Moves.In), len(u.Moves.Ranks), len(u.Ledger)); n > maxList {
		return fmt.Errorf("store: say: a list of %d, more than %d", n, maxList)
	}
	for _, r := range u.Results {
		if err := r.Field.check(); err != nil {
			return err
		}
		if r.Record != nil && len(r.Record) == 0 {
			return fmt.Errorf("store: say: the record of %s is empty; nil removes it", r.Field.field())
		}
	}
	for _, p := range u.Moves.Out {
		if err := p.Board.check(); err != nil {
			return err
		}
	}
	for _, p := range u.Moves.In {
		if err := p.check(); err != nil {
			return err
		}
	}
	for _, s := range u.Moves.Ranks {
		if err := s.Board.check(); err != nil {
			return err
		}
	}
	return nil
}

// maxScore is where a sorted set's scores end: beyond it two different results could become equal.
const maxScore = int64(1) << 53

func (p Place) check() error {
	if p.SetMember == "" {
		return errors.New("store: a place on a board needs a set member")
	}
	if p.Score > maxScore || p.Score < -maxScore {
		return fmt.Errorf("store: the score %d of %s is beyond 2^53, where scores are no longer exact", p.Score, p.SetMember)
	}
	return p.Board.check()
}

// bound writes one end of a span of scores.
func bound(n int64) string {
	switch n {
	case math.MinInt64:
		return "-inf"
	case math.MaxInt64:
		return "+inf"
	}
	return itoa(n)
}

// readSaid reads {outcome, n, top before, lastpost, rank, of, …}.
func readSaid(reply []any) (Said, error) {
	if len(reply) < 4 || len(reply)%2 != 0 {
		return Said{}, fmt.Errorf("a reply of %d values", len(reply))
	}
	var said Said
	outcomes := map[any]Outcome{"done": Done, "again": Again, "reused": Reused, "stale": Stale}
	outcome, ok := outcomes[reply[0]]
	if !ok {
		return Said{}, fmt.Errorf("an unknown outcome %q", reply[0])
	}
	said.Outcome = outcome
	var nums [3]int64
	for i := range nums {
		n, err := number(reply[1+i])
		if err != nil {
			return Said{}, err
		}
		nums[i] = n
	}
	said.N, said.OldTop, said.LastPost = nums[0], nums[1], nums[2]
	for i := 4; i < len(reply); i += 2 {
		rank, err := number(reply[i])
		if err != nil {
			return Said{}, err
		}
		of, err := number(reply[i+1])
		if err != nil {
			return Said{}, err
		}
		said.Ranks = append(said.Ranks, Rank{Rank: rank, Of: of})
	}
	return said, nil
}
