package leaderboard

import (
	"database/sql"
	"math/rand/v2"
	"testing"

	_ "modernc.org/sqlite"

	"tallybell/content"
)

// An independent oracle: SQL's RANK() over the rule's own columns, on an invented club of several thousand results
// with many ties, against Rank and against the order of scores alone.
func TestRankEqualsSQLRank(t *testing.T) {
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for kind, part := range scoredParts() {
		t.Run(string(kind), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(7, uint64(len(kind))))
			var rs []Record
			for i := range 3000 {
				rs = append(rs, recordOf(memberID(i), part, randomResult(rng, kind), rng.IntN(500), "open"))
			}
			want := sqlRanks(t, db, rs)
			entries := Rank(rs)
			if len(entries) != len(want) {
				t.Fatalf("%d entries, %d rows", len(entries), len(want))
			}
			for i, e := range entries {
				if w := want[i]; w.member != e.Record.Member || w.rank != e.Rank {
					t.Fatalf("line %d: %s with rank %d, SQL says %s with rank %d", i, e.Record.Member, e.Rank, w.member, w.rank)
				}
				if i > 0 && (entries[i-1].Score > e.Score || (entries[i-1].Score == e.Score) != (entries[i-1].Rank == e.Rank)) {
					t.Fatalf("line %d: scores %d and %d, ranks %d and %d", i, entries[i-1].Score, e.Score, entries[i-1].Rank, e.Rank)
				}
			}
		})
	}
}

// randomResult draws from few values, so that ties are common.
func randomResult(rng *rand.Rand, kind content.Kind) content.Result {
	v := content.AsWritten
	if rng.IntN(2) == 0 {
		v = content.Scaled
	}
	x := int64(1 + rng.IntN(400))
	switch kind {
	case content.KindTime:
		if rng.IntN(3) == 0 {
			return unfinished(x%84, v)
		}
		return finished(600_000+x*100, v)
	case content.KindReps:
		return counted(x, v)
	case content.KindLoad:
		return load(x*500, v)
	case content.KindHold:
		return content.Result{Kind: kind, TimeMS: x * 1000, Version: v}
	}
	return content.Result{Kind: kind, DistanceMM: x * 10_000, Version: v}
}

type sqlRow struct {
	member string
	rank   int
}

// sqlRanks ranks records by plain columns: version, finished or not, then time upward or the value downward.
func sqlRanks(t *testing.T, db *sql.DB, rs []Record) []sqlRow {
	t.Helper()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	_, err := db.Exec(`DROP TABLE IF EXISTS r; CREATE TABLE r (member TEXT, first INTEGER, scaled INTEGER, finished INTEGER, time INTEGER, more INTEGER)`)
	must(err)
	tx, err := db.Begin()
	must(err)
	for _, rec := range rs {
		r := rec.Result
		time, more := int64(0), r.RepCount()+r.LoadG+r.DistanceMM
		if r.IsFinished() {
			time = r.TimeMS
		} else {
			more += r.TimeMS // a hold
		}
		_, err := tx.Exec(`INSERT INTO r VALUES (?,?,?,?,?,?)`, rec.Member, rec.First, r.Version == content.Scaled, r.IsFinished(), time, more)
		must(err)
	}
	must(tx.Commit())
	rows, err := db.Query(`SELECT member, RANK() OVER (ORDER BY scaled, finished DESC, time, more DESC) AS k FROM r ORDER BY k, first, member`)
	must(err)
	defer rows.Close()
	var out []sqlRow
	for rows.Next() {
		var row sqlRow
		must(rows.Scan(&row.member, &row.rank))
		out = append(out, row)
	}
	must(rows.Err())
	return out
}
