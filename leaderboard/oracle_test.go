package leaderboard

import (
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// The judge of boards as they are read: an invented club of 20,000 results on each kind of store, in all kinds, both
// versions and several divisions, against SQL's RANK() with a partition a board (modernc.org/sqlite). Under the
// race detector it is a club of 8,000, with -short of 1,500.
func TestBoardsOfALargeClubEqualSQL(t *testing.T) {
	n := 20_000
	switch {
	case testing.Short():
		n = 1500
	case raced:
		n = 8000
	}
	rng := rand.New(rand.NewPCG(20, 27))
	rs := inventedClub(rng, n)
	want := sqlBoards(t, rs)
	stores(t, func(t *testing.T, s *store.Store) {
		club, err := s.Club("oracle")
		if err != nil {
			t.Fatal(err)
		}
		logAll(t, club, rs)
		boards := &Boards{Store: club, Name: func(id string) (string, bool) { return id, true }}
		lines := 0
		for kind, part := range scoredParts() {
			for _, v := range []content.Version{"", All} {
				page, err := boards.Page(context.Background(), day, part, Query{Version: v, Limit: -1, Joint: true})
				if err != nil {
					t.Fatal(err)
				}
				for _, b := range page.Boards {
					key := boardKey{string(kind), b.Division, string(b.Version)}
					lines += compareLines(t, key, want[key], b)
				}
			}
		}
		// each result stands once a division among its version, and once among all
		if all := 2 * len(rs) * 2; lines != all {
			t.Errorf("%d lines on all boards, want %d", lines, all)
		}
		lookAround(t, boards, rng, rs, want)
	})
}

type boardKey struct{ kind, division, version string }

// compareLines compares a whole board with SQL's, and returns how many lines it has.
func compareLines(t *testing.T, key boardKey, want []sqlRow, b Block) int {
	t.Helper()
	if len(b.Entries) != len(want) || b.Of != int64(len(want)) {
		t.Errorf("%v: %d lines of %d, SQL has %d", key, len(b.Entries), b.Of, len(want))
		return len(b.Entries)
	}
	for i, l := range b.Entries {
		if l.Member != want[i].member || l.Rank != want[i].rank {
			t.Errorf("%v, line %d: %s with rank %d, SQL says %s with rank %d", key, i, l.Member, l.Rank, want[i].member, want[i].rank)
			break
		}
	}
	return len(b.Entries)
}

// lookAround compares the lines around some members, and their joint ranks, with SQL's.
func lookAround(t *testing.T, boards *Boards, rng *rand.Rand, rs []Record, want map[boardKey][]sqlRow) {
	t.Helper()
	parts := scoredParts()
	for range 40 {
		r := rs[rng.IntN(len(rs))]
		page, err := boards.Page(context.Background(), day, parts[r.Kind], Query{Division: r.Divisions[0], Version: r.Result.Version,
			Limit: 1, Around: r.Member, Joint: true})
		if err != nil {
			t.Fatal(err)
		}
		key := boardKey{string(r.Kind), r.Divisions[0], string(r.Result.Version)}
		board, around := want[key], page.Boards[0].Around
		own, at := -1, -1
		for i, row := range board {
			if row.member == r.Member {
				own = i
			}
		}
		for i, l := range around {
			if l.Member == r.Member {
				at = i
			}
		}
		if at < 0 || len(around) != min(4, len(board)) {
			t.Errorf("%v: around %s stand %v", key, r.Member, around)
			continue
		}
		for i, l := range around {
			if row := board[own-at+i]; row.member != l.Member || row.rank != l.Rank {
				t.Errorf("%v: around %s: %s with rank %d, SQL says %s with rank %d", key, r.Member, l.Member, l.Rank, row.member, row.rank)
			}
			key.version = string(All)
			for _, row := range want[key] {
				if row.member == l.Member && row.rank != l.Joint {
					t.Errorf("%v: the joint rank of %s is %d, SQL says %d", key, l.Member, l.Joint, row.rank)
				}
			}
			key.version = string(r.Result.Version)
		}
	}
}

// inventedClub makes a club's results, each of another member, on two boards each; ties are common.
func inventedClub(rng *rand.Rand, n int) []Record {
	parts := scoredParts()
	kinds := []content.Kind{content.KindTime, content.KindReps, content.KindLoad, content.KindHold, content.KindDistance}
	divisions := []string{"women", "men", "open", "ältere Ruderer"}
	bands := []string{"40-49", "50+", "60+"}
	rs := make([]Record, n)
	for i := range rs {
		k := kinds[rng.IntN(len(kinds))]
		rs[i] = recordOf(fmt.Sprintf("m%05d", i), parts[k], randomResult(rng, k), rng.IntN(n), divisions[rng.IntN(4)], bands[rng.IntN(3)])
		switch rng.IntN(50) { // what stands beside a result does not move it
		case 0:
			rs[i].Way = "towel row"
		case 1:
			rs[i].Late = true
		}
	}
	return rs
}

// logAll logs every result, many at a time as members do.
func logAll(t *testing.T, club *store.Club, rs []Record) {
	t.Helper()
	var wg sync.WaitGroup
	work := make(chan *Record)
	for range 64 {
		wg.Go(func() {
			for r := range work {
				if err := logOne(club, r); err != nil {
					t.Error(err)
				}
			}
		})
	}
	for i := range rs {
		work <- &rs[i]
	}
	close(work)
	wg.Wait()
	if t.Failed() {
		t.FailNow()
	}
}

func logOne(club *store.Club, r *Record) error {
	writes, err := Writes(nil, r)
	if err != nil {
		return err
	}
	said, err := club.Say(context.Background(), at(0), store.Utterance{Member: r.Member, ID: "1", Digest: "d", Fact: []byte("{}"),
		Results: writes, Moves: store.Moves{In: Change(nil, r, false).In}})
	if err == nil && said.Outcome != store.Done {
		err = fmt.Errorf("%s: outcome %d", r.Member, said.Outcome)
	}
	return err
}

// sqlBoards ranks a club by plain columns, a partition a board.
func sqlBoards(t *testing.T, rs []Record) map[boardKey][]sqlRow {
	t.Helper()
	db, err := sql.Open("sqlite", ":memory:")
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(err)
	defer db.Close()
	db.SetMaxOpenConns(1)
	_, err = db.Exec(`CREATE TABLE r (kind TEXT, division TEXT, member TEXT, first INTEGER, version TEXT, scaled INTEGER, finished INTEGER, time INTEGER, more INTEGER)`)
	must(err)
	tx, err := db.Begin()
	must(err)
	insert, err := tx.Prepare(`INSERT INTO r VALUES (?,?,?,?,?,?,?,?,?)`)
	must(err)
	for _, rec := range rs {
		r := rec.Result
		time, more := int64(0), r.RepCount()+r.LoadG+r.DistanceMM
		if r.IsFinished() {
			time = r.TimeMS
		} else {
			more += r.TimeMS // a hold
		}
		for _, d := range rec.Divisions {
			_, err := insert.Exec(string(rec.Kind), d, rec.Member, rec.First, string(r.Version),
				r.Version == content.Scaled, r.IsFinished(), time, more)
			must(err)
		}
	}
	must(tx.Commit())
	out := map[boardKey][]sqlRow{}
	const order = `ORDER BY scaled, finished DESC, time, more DESC`
	for _, q := range []string{
		`SELECT kind, division, version, member, RANK() OVER (PARTITION BY kind, division, version ` + order + `) AS k FROM r ORDER BY k, first, member`,
		`SELECT kind, division, 'all', member, RANK() OVER (PARTITION BY kind, division ` + order + `) AS k FROM r ORDER BY k, first, member`,
	} {
		rows, err := db.Query(q)
		must(err)
		for rows.Next() {
			var key boardKey
			var row sqlRow
			must(rows.Scan(&key.kind, &key.division, &key.version, &row.member, &row.rank))
			out[key] = append(out[key], row)
		}
		must(rows.Err())
		must(rows.Close())
	}
	if len(out) != 5*7*3 || strings.Contains(fmt.Sprint(out), "{ ") {
		t.Fatalf("%d boards by SQL, want each kind, division and version", len(out))
	}
	return out
}
