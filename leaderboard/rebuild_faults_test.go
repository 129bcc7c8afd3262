package leaderboard

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// Each kind of fault, planted behind the ledger's back on each kind of store, is told by a rebuild in words, alone, and
// mended: a second rebuild finds nothing, and the boards are what they were.
func TestPlantedFaultsAreToldAndMended(t *testing.T) {
	stores(t, func(t *testing.T, s *store.Store) {
		ctx := context.Background()
		recs := []Record{
			recordOf("ada", forTime(), finished(872000, content.AsWritten), 1, "women", "50+"),
			recordOf("bo", forTime(), finished(905000, content.AsWritten), 2, "women"),
			recordOf("mo", forTime(), unfinished(40, content.Scaled), 3, "men"),
		}
		ada, women := recs[0], recs[0].Places()[0]
		for i, tt := range []struct {
			name  string
			plant func(c *store.Club) []store.Do
			want  []string
		}{
			{"nothing", func(*store.Club) []store.Do { return nil }, nil},
			{"a stray place of a member", func(c *store.Club) []store.Do {
				b := women.Board
				b.Division = "men"
				return []store.Do{{"ZADD", c.KeyBoard(b), "1", women.SetMember}}
			}, []string{"men: " + women.SetMember + " stands there and should not"}},
			{"a place on a board that nobody has", func(c *store.Club) []store.Do {
				b := women.Board
				b.Division = "giants"
				return []store.Do{{"ZADD", c.KeyBoard(b), "1", women.SetMember}, {"SADD", c.KeyBoards(b.Date), b.Part + ":" + b.Kind + ":" + b.Division}}
			}, []string{"giants: " + women.SetMember + " stands there and should not"}},
			{"a missing place", func(c *store.Club) []store.Do {
				return []store.Do{{"ZREM", c.KeyBoard(women.Board), women.SetMember}}
			}, []string{"women: " + women.SetMember + " is missing"}},
			{"a wrong score", func(c *store.Club) []store.Do {
				return []store.Do{{"ZADD", c.KeyBoard(women.Board), "871999", women.SetMember}}
			}, []string{"has score 871999, want 872000"}},
			{"a missing record", func(c *store.Club) []store.Do {
				return []store.Do{{"HDEL", c.KeyResults(day.String()), "D:time:ada"}}
			}, []string{"of ada: the ledger's result is not stored"}},
			{"a changed record", func(c *store.Club) []store.Do {
				faster := ada
				faster.Result.TimeMS--
				b, err := faster.Encode()
				if err != nil {
					t.Fatal(err)
				}
				return []store.Do{{"HSET", c.KeyResults(day.String()), "D:time:ada", string(b)}}
			}, []string{"of ada: the stored result is not the ledger's"}},
			{"a record of nobody's ledger", func(c *store.Club) []store.Do {
				return []store.Do{{"HSET", c.KeyResults(day.String()), "A:time:ada", "{}"}}
			}, []string{"A (time) of ada: a result is stored that the ledger does not have"}},
			{"all of it", func(c *store.Club) []store.Do {
				return []store.Do{{"DEL", c.KeyBoard(women.Board), c.KeyResults(day.String())}}
			}, nil},
		} {
			t.Run(tt.name, func(t *testing.T) {
				a, err := newStored(s, fmt.Sprintf("faults-%d", i))
				if err != nil {
					t.Fatal(err)
				}
				for _, rec := range recs {
					w, err := Writes(nil, &rec)
					if err != nil {
						t.Fatal(err)
					}
					e, err := LedgerEntry{Kind: Logged, Who: rec.Member, At: rec.At, New: &rec}.Encode()
					if err != nil {
						t.Fatal(err)
					}
					if _, err := a.say(rec.Member, Change(nil, &rec, false), w, [][]byte{e}); err != nil {
						t.Fatal(err)
					}
				}
				before := standing(t, a)
				if _, err := a.Change(ctx, a.now(), nil, tt.plant(a.Club)); err != nil {
					t.Fatal(err)
				}
				found, err := Rebuild(ctx, a.Club, a.now)
				if err != nil {
					t.Fatal(err)
				}
				all := strings.Join(found, "\n")
				if tt.name == "all of it" {
					if len(found) < 5 {
						t.Errorf("found %q", found)
					}
				} else if len(found) != len(tt.want) || len(tt.want) == 1 && !strings.Contains(all, tt.want[0]) {
					t.Errorf("found %q, want %q", found, tt.want)
				}
				if again, err := Rebuild(ctx, a.Club, a.now); err != nil || len(again) > 0 {
					t.Errorf("found again: %q %v", again, err)
				}
				if after := standing(t, a); after != before {
					t.Errorf("boards and results were\n%s\nand are\n%s", before, after)
				}
			})
		}
	})
}

// standing is every board of the day with its scores, and every result.
func standing(t *testing.T, a *stored) string {
	t.Helper()
	ctx := context.Background()
	boards, err := a.Boards(ctx, day.String())
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, board := range boards {
		low, high := Bounds(All)
		places, _, err := a.BoardRange(ctx, board, low, high, 0)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%v %v\n", board, places)
	}
	results, err := a.Results(ctx, day.String())
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(&b, "%s\n", results) // maps print in order of key where it is an array or a struct of strings
	return b.String()
}
