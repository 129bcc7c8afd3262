package leaderboard

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// openEmbedded opens a store inside this process, in memory.
func openEmbedded(t testing.TB) *store.Store {
	t.Helper()
	s, err := store.Open(context.Background(), store.Options{AllowVolatile: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// openRedis starts a Redis of its own on a socket in the test's folder and opens it.
func openRedis(t testing.TB) *store.Store {
	t.Helper()
	path, err := exec.LookPath("redis-server")
	if err != nil {
		if os.Getenv("TALLYBELL_TEST_ALL") != "" {
			t.Fatal("no redis-server here; on Debian: apt-get install redis-server")
		}
		t.Skip("no redis-server here; on Debian: apt-get install redis-server")
	}
	socket := t.TempDir() + "/redis.sock"
	cmd := exec.Command(path, "--port", "0", "--unixsocket", socket, "--save", "", "--appendonly", "no", "--daemonize", "no")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	ready := false
	for lines := bufio.NewScanner(out); !ready && lines.Scan(); {
		ready = strings.Contains(lines.Text(), "eady to accept connections")
	}
	if !ready {
		t.Fatal("redis-server ended before it was ready")
	}
	if c, err := net.Dial("unix", socket); err != nil {
		t.Fatal(err)
	} else {
		c.Close()
	}
	s, err := store.Open(context.Background(), store.Options{Redis: []string{"unix://" + socket}, AllowVolatile: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// stores runs a test on each kind of store.
func stores(t *testing.T, run func(t *testing.T, s *store.Store)) {
	t.Run("embedded", func(t *testing.T) { run(t, openEmbedded(t)) })
	t.Run("redis", func(t *testing.T) { run(t, openRedis(t)) })
}

// stored is an arena on one club of a store.
type stored struct {
	*store.Club
	n    int // messages so far
	tops map[string]int64
}

func newStored(s *store.Store, club string) (*stored, error) {
	c, err := s.Club(club)
	return &stored{Club: c, tops: map[string]int64{}}, err
}

func (s *stored) now() time.Time { return at(s.n) }

func (s *stored) say(member string, m store.Moves, ws []store.ResultWrite, ledger [][]byte) ([]store.Rank, error) {
	s.n++
	ctx := context.Background()
	if _, known := s.tops[member]; !known { // a profile, so that the club knows the member
		n, err := s.Change(ctx, s.now(), nil, []store.Do{{"HSET", s.KeyMembers(), member, "{}"}, s.DoTop(member)})
		if err != nil {
			return nil, err
		}
		s.tops[member] = n
	}
	said, err := s.Say(ctx, s.now(), store.Utterance{Member: member, Top: s.tops[member], ID: strconv.Itoa(s.n), Digest: "d",
		Fact: []byte("{}"), Results: ws, Moves: m, Ledger: ledger})
	if err == nil && said.Outcome != store.Done {
		err = fmt.Errorf("outcome %d", said.Outcome)
	}
	s.tops[member] = said.N
	return said.Ranks, err
}

func (s *stored) damage(member string, m store.Moves) error {
	s.n++
	said, err := s.Restand(context.Background(), s.now(), member, s.tops[member], nil, m)
	s.tops[member] = said.N
	return err
}

func (s *stored) rebuild() error {
	ctx := context.Background()
	if _, err := Rebuild(ctx, s.Club, s.now); err != nil {
		return err
	}
	for m := range s.tops {
		tops, err := s.Tops(ctx, []string{m})
		if err != nil {
			return err
		}
		s.tops[m] = tops[0]
	}
	return nil
}

func TestModelOnStores(t *testing.T) {
	stores(t, func(t *testing.T, s *store.Store) {
		var clubs atomic.Int64
		runModel(t, func(t *rapid.T) arena {
			a, err := newStored(s, fmt.Sprintf("c%d", clubs.Add(1)))
			if err != nil {
				t.Fatal(err)
			}
			return a
		})
	})
}

// RD4 (PostgreSQL's develop department, RK3, on a sorted set): a rank is one more than the count of strictly better
// ones, and not the position, which differs among equals.
func TestRanksOfRK3OnStores(t *testing.T) {
	stores(t, func(t *testing.T, s *store.Store) {
		a, err := newStored(s, "rk3")
		if err != nil {
			t.Fatal(err)
		}
		var spans []store.Span
		for i, salary := range []int64{6000, 5200, 5200, 4500, 4200} {
			rec := recordOf(memberID(i), scheme(content.MostReps), counted(salary, content.AsWritten), 9-i, "develop")
			m := Change(nil, &rec, false)
			spans = append(spans, m.Ranks...)
			if _, err := a.say(rec.Member, m, nil, nil); err != nil {
				t.Fatal(err)
			}
		}
		ranks, err := a.Rank(context.Background(), spans)
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []int64{1, 2, 2, 4, 5} {
			if ranks[i] != (store.Rank{Rank: want, Of: 5}) {
				t.Errorf("entry %d: %+v, want rank %d of 5", i, ranks[i], want)
			}
		}
		places, _, err := a.BoardRange(context.Background(), spans[0].Board, 0, scaledBit-1, 0)
		if err != nil || len(places) != 5 || !strings.HasSuffix(places[1].SetMember, memberID(2)) {
			t.Errorf("equals do not list by who first logged: %v, %v", places, err)
		}
	})
}

func TestPageOnStores(t *testing.T) {
	stores(t, func(t *testing.T, s *store.Store) {
		a, err := newStored(s, "page")
		if err != nil {
			t.Fatal(err)
		}
		for _, rec := range invented() {
			writes, err := Writes(nil, &rec)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := a.say(rec.Member, Change(nil, &rec, false), writes, nil); err != nil {
				t.Fatal(err)
			}
		}
		want, _ := inventedBoards(t)
		got := &Boards{Store: a.Club, Divisions: want.Divisions, Name: want.Name}
		for _, q := range []Query{{}, {Division: "women", Version: All}, {Limit: 1, Coach: true}, {Limit: 1, Around: "m3", Joint: true},
			{Version: All, Around: "m4", Joint: true}, {Around: "m7"}, {Limit: -1, Around: "nobody"}} {
			w, err := want.Page(context.Background(), day, forTime(), q)
			if err != nil {
				t.Fatal(err)
			}
			g, err := got.Page(context.Background(), day, forTime(), q)
			if err != nil {
				t.Fatal(err)
			}
			if fmt.Sprint(g) != fmt.Sprint(w) {
				t.Errorf("%+v:\n%v\nwant\n%v", q, g, w)
			}
		}
	})
}

// restless is a store in which a member says something new between a rebuild's look and its write.
type restless struct {
	*store.Club
	interrupt func() error
}

func (r *restless) Restand(ctx context.Context, now time.Time, member string, top int64, results []store.ResultWrite, moves store.Moves) (store.Said, error) {
	if r.interrupt != nil {
		if err := r.interrupt(); err != nil {
			return store.Said{}, err
		}
	}
	return r.Club.Restand(ctx, now, member, top, results, moves)
}

// A rebuild while members log: what is logged meanwhile stays, and the damage is mended all the same.
func TestRebuildWhileTheClubGoesOn(t *testing.T) {
	stores(t, func(t *testing.T, s *store.Store) {
		a, err := newStored(s, "busy")
		if err != nil {
			t.Fatal(err)
		}
		p := forTime()
		log := func(old *Record, r content.Result, first int64) (*Record, error) {
			kind := Logged
			if old != nil {
				kind = Replaced
			}
			rec := NewRecord("m1", day, p, p, r, first, at(a.n), []string{"open"})
			entry, err := LedgerEntry{Kind: kind, Who: "m1", Old: old, New: &rec}.Encode()
			if err != nil {
				return nil, err
			}
			writes, err := Writes(old, &rec)
			if err != nil {
				return nil, err
			}
			_, err = a.say("m1", Change(old, &rec, false), writes, [][]byte{entry})
			return &rec, err
		}
		was, err := log(nil, finished(872000, content.AsWritten), 0)
		if err != nil {
			t.Fatal(err)
		}
		stranger := was.Places()[0]
		stranger.Board.Division = "strangers"
		if err := a.damage("m1", store.Moves{In: []store.Place{stranger}}); err != nil {
			t.Fatal(err)
		}
		busy := &restless{Club: a.Club}
		busy.interrupt = func() error {
			busy.interrupt = nil
			_, err := log(was, finished(860000, content.AsWritten), was.First)
			return err
		}
		found, err := Rebuild(context.Background(), busy, a.now)
		if err != nil || len(found) != 1 || !strings.Contains(found[0], "strangers") {
			t.Errorf("found %q, %v", found, err)
		}
		boards, err := a.Boards(context.Background(), day.String())
		if err != nil || len(boards) != 1 {
			t.Fatalf("boards %v, %v", boards, err)
		}
		places, _, err := a.BoardRange(context.Background(), boards[0], 0, scaledBit, 0)
		if err != nil || len(places) != 1 || places[0].Score != 860000 {
			t.Errorf("places %v, %v", places, err)
		}
		busy.interrupt = func() error { return errors.New("no answer") }
		if err := a.damageAgain(stranger); err != nil {
			t.Fatal(err)
		}
		if _, err := Rebuild(context.Background(), busy, a.now); err == nil {
			t.Error("a store that fails is no error")
		}
	})
}

func (s *stored) damageAgain(p store.Place) error {
	tops, err := s.Tops(context.Background(), []string{"m1"})
	if err != nil {
		return err
	}
	s.tops["m1"] = tops[0]
	return s.damage("m1", store.Moves{In: []store.Place{p}})
}

// A place whose owner has neither profile nor ledger is found and taken away.
func TestRebuildTakesAwayWhoIsUnknown(t *testing.T) {
	stores(t, func(t *testing.T, s *store.Store) {
		a, err := newStored(s, "ghost")
		if err != nil {
			t.Fatal(err)
		}
		ctx := context.Background()
		rec := recordOf("ghost", forTime(), finished(1000, content.AsWritten), 1, "open")
		writes, err := Writes(nil, &rec)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := a.Restand(ctx, a.now(), "ghost", 0, writes, Change(nil, &rec, false)); err != nil {
			t.Fatal(err)
		}
		found, err := Rebuild(ctx, a.Club, a.now)
		if err != nil || len(found) != 2 {
			t.Errorf("found %q, %v", found, err)
		}
		if boards, err := a.Boards(ctx, day.String()); err != nil || len(boards) != 0 {
			t.Errorf("boards %v, %v", boards, err)
		}
		if found, err := Rebuild(ctx, a.Club, a.now); err != nil || len(found) != 0 {
			t.Errorf("a second time it finds %q, %v", found, err)
		}
	})
}
