package leaderboard

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// arena is a place to keep results, boards and ledgers in: plain maps, or a store.
type arena interface {
	Reader
	BoardRange(ctx context.Context, b store.Board, low, high int64, limit int) ([]store.Place, int64, error)
	// say writes one change of a member and returns the ranks that its moves ask for.
	say(member string, m store.Moves, ws []store.ResultWrite, ledger [][]byte) ([]store.Rank, error)
	// damage changes boards behind the ledger's back.
	damage(member string, m store.Moves) error
	// rebuild sets every member right from their ledger.
	rebuild() error
}

// model is the plain truth: what each member has, in a slice.
type model struct {
	arena    arena
	now      int
	stand    []Record
	parts    []content.Part
	division []string
}

func newModel(a arena) *model {
	return &model{arena: a, parts: []content.Part{forTime(), amrap()}, division: []string{"women", "men", "50+"}}
}

func (m *model) find(member, part string) int {
	return slices.IndexFunc(m.stand, func(r Record) bool { return r.Member == member && r.Part == part })
}

// change makes one change everywhere and checks the ranks that come back against the slice.
func (m *model) change(t *rapid.T, kind Happened, old, now *Record) {
	entry, err := LedgerEntry{Kind: kind, Who: "somebody", At: at(m.now).UnixMilli(), Old: old, New: now}.Encode()
	if err != nil {
		t.Fatal(err)
	}
	writes, err := Writes(old, now)
	if err != nil {
		t.Fatal(err)
	}
	moves := Change(old, now, true)
	member := ""
	if old != nil {
		member = old.Member
		m.stand = slices.Delete(m.stand, m.find(member, old.Part), m.find(member, old.Part)+1)
	}
	if now != nil {
		member = now.Member
		m.stand = append(m.stand, *now)
	}
	ranks, err := m.arena.say(member, moves, writes, [][]byte{entry})
	if err != nil {
		t.Fatal(err)
	}
	if len(ranks) != len(moves.Ranks) {
		t.Fatalf("%d ranks for %d questions", len(ranks), len(moves.Ranks))
	}
	for i, span := range moves.Ranks {
		entries := Rank(Of(m.on(span.Board), SpanVersion(span)))
		at := slices.IndexFunc(entries, func(e Entry) bool { return e.Record.Member == member })
		if want := (store.Rank{Rank: int64(entries[at].Rank), Of: int64(len(entries))}); ranks[i] != want {
			t.Fatalf("%s among %s on %v: %+v, want %+v", member, SpanVersion(span), span.Board, ranks[i], want)
		}
	}
}

// on returns the records that stand on a board.
func (m *model) on(b store.Board) []Record {
	var out []Record
	for _, r := range m.stand {
		if r.Part == b.Part && string(r.Kind) == b.Kind && slices.Contains(r.Divisions, b.Division) {
			out = append(out, r)
		}
	}
	return out
}

func (m *model) submit(t *rapid.T) {
	p := rapid.SampledFrom(m.parts).Draw(t, "part")
	r := results(p.Kind()).Draw(t, "result")
	switch rapid.IntRange(0, 7).Draw(t, "sort") {
	case 0:
		r.Version = ""
	case 1:
		r = content.Result{Kind: content.KindDone}
	}
	member := memberID(rapid.IntRange(0, 7).Draw(t, "member"))
	divisions := rapid.SliceOfDistinct(rapid.SampledFrom(m.division), rapid.ID[string]).Draw(t, "divisions")
	m.now += rapid.IntRange(0, 1).Draw(t, "wait")
	kind, first := Logged, int64(0)
	var old *Record
	if i := m.find(member, p.Letter); i >= 0 {
		o := m.stand[i]
		old, first = &o, o.First
		kind = rapid.SampledFrom([]Happened{Replaced, Corrected}).Draw(t, "kind")
	}
	rec := NewRecord(member, day, p, p, r, first, at(m.now), divisions)
	m.change(t, kind, old, &rec)
}

func (m *model) any(t *rapid.T) *Record {
	if len(m.stand) == 0 {
		t.Skip("nothing stands")
	}
	r := rapid.SampledFrom(m.stand).Draw(t, "record")
	return &r
}

func (m *model) tellVersion(t *rapid.T) {
	old := m.any(t)
	now := *old
	now.Result.Version = versions().Draw(t, "version")
	m.change(t, Corrected, old, &now)
}

func (m *model) remove(t *rapid.T) { m.change(t, Removed, m.any(t), nil) }

func (m *model) restand(t *rapid.T) {
	old := m.any(t)
	now, changed := Restood(*old, rapid.SliceOfDistinct(rapid.SampledFrom(m.division), rapid.ID[string]).Draw(t, "divisions"), old.Off)
	if !changed {
		t.Skip("nothing changes")
	}
	m.change(t, Stood, old, &now)
}

// damageAndRebuild breaks boards, then expects a rebuild to mend them; check does the comparing.
func (m *model) damageAndRebuild(t *rapid.T) {
	r := m.any(t)
	var broken store.Moves
	for _, p := range r.Places() {
		switch rapid.IntRange(0, 2).Draw(t, "damage") {
		case 0:
			broken.Out = append(broken.Out, p)
		case 1:
			p.Score++
			broken.In = append(broken.In, p)
		case 2:
			p.Board.Division = "strangers"
			broken.In = append(broken.In, p)
		}
	}
	if err := m.arena.damage(r.Member, broken); err != nil {
		t.Fatal(err)
	}
	if err := m.arena.rebuild(); err != nil {
		t.Fatal(err)
	}
}

// check compares every board with the slice: which boards there are, who stands on them, in which order.
func (m *model) check(t *rapid.T) {
	ctx := context.Background()
	have, err := m.arena.Boards(ctx, day.String())
	if err != nil {
		t.Fatal(err)
	}
	want := map[store.Board]bool{}
	for _, r := range m.stand {
		for _, p := range r.Places() {
			want[p.Board] = true
		}
	}
	for _, b := range have {
		if !want[b] {
			t.Fatalf("board %v is there, and nobody stands on it", b)
		}
	}
	if len(have) != len(want) {
		t.Fatalf("%d boards, want %d", len(have), len(want))
	}
	for b := range want {
		for _, v := range []content.Version{content.AsWritten, content.Scaled, All} {
			low, high := Bounds(v)
			places, of, err := m.arena.BoardRange(ctx, b, low, high, 0)
			if err != nil {
				t.Fatal(err)
			}
			entries := Rank(Of(m.on(b), v))
			if got, want := placesText(places), entriesText(entries); got != want || of != int64(len(entries)) {
				t.Fatalf("board %v, %s (%d):\n%s\nwant\n%s", b, v, of, got, want)
			}
		}
	}
}

func placesText(ps []store.Place) string {
	out := ""
	for _, p := range ps {
		out += fmt.Sprintf("%s %d\n", p.SetMember, p.Score)
	}
	return out
}

func entriesText(es []Entry) string {
	out := ""
	for _, e := range es {
		out += fmt.Sprintf("%s %d\n", e.Record.SetMember, e.Score)
	}
	return out
}

// runModel lets random members log, correct, tell versions, remove, hide and come back, with damage and rebuilds in
// between, and compares the arena with the model after each step.
func runModel(t *testing.T, fresh func(t *rapid.T) arena) {
	rapid.Check(t, func(t *rapid.T) {
		m := newModel(fresh(t))
		t.Repeat(map[string]func(*rapid.T){
			"submit":       m.submit,
			"submit again": m.submit,
			"tell version": m.tellVersion,
			"remove":       m.remove,
			"restand":      m.restand,
			"rebuild":      m.damageAndRebuild,
			"":             m.check,
		})
	})
}

// plain is an arena of maps.
type plain struct {
	memory
	ledgers map[string][]LedgerEntry
}

func (p *plain) say(member string, m store.Moves, ws []store.ResultWrite, ledger [][]byte) ([]store.Rank, error) {
	for _, w := range ws {
		if w.Record == nil {
			delete(p.results, w.Field)
		} else {
			p.results[w.Field] = w.Record
		}
	}
	p.boards.apply(m)
	for _, b := range ledger {
		e, err := ReadLedgerEntry(b)
		if err != nil {
			return nil, err
		}
		p.ledgers[member] = append(p.ledgers[member], e)
	}
	var ranks []store.Rank
	for _, s := range m.Ranks {
		r := store.Rank{Rank: 1}
		for _, score := range p.boards[s.Board] {
			if s.Low <= score && score <= s.High {
				r.Of++
				if score < s.Score {
					r.Rank++
				}
			}
		}
		ranks = append(ranks, r)
	}
	return ranks, nil
}

func (p *plain) damage(_ string, m store.Moves) error {
	p.boards.apply(m)
	return nil
}

func (p *plain) rebuild() error {
	for member, ledger := range p.ledgers {
		var places []store.Place
		for b, set := range p.boards {
			for name, score := range set {
				if _, id, err := store.ParseSetMember(name); err == nil && id == member {
					places = append(places, store.Place{Board: b, SetMember: name, Score: score})
				}
			}
		}
		results := map[store.Field][]byte{}
		for f, b := range p.results {
			if f.Member == member {
				results[f] = b
			}
		}
		rep, err := Restand(Current(ledger), results, places)
		if err != nil {
			return err
		}
		if len(rep.Results) > 0 {
			return fmt.Errorf("results were never damaged, yet %v", rep.Found)
		}
		p.boards.apply(rep.Moves)
	}
	return nil
}

func TestModelOnMaps(t *testing.T) {
	runModel(t, func(*rapid.T) arena {
		return &plain{memory: memory{boards: sets{}, results: map[store.Field][]byte{}}, ledgers: map[string][]LedgerEntry{}}
	})
}
