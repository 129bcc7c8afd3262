package leaderboard

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// memory is a Reader over records, as a store would hold them.
type memory struct {
	boards  sets
	results map[store.Field][]byte
	reads   int
	fail    error
}

func memoryOf(t testing.TB, rs []Record) *memory {
	t.Helper()
	m := &memory{boards: sets{}, results: map[store.Field][]byte{}}
	for i := range rs {
		m.boards.apply(Change(nil, &rs[i], false))
		b, err := rs[i].Encode()
		if err != nil {
			t.Fatal(err)
		}
		m.results[rs[i].Field()] = b
	}
	return m
}

func (m *memory) Boards(_ context.Context, date string) ([]store.Board, error) {
	m.reads++
	var out []store.Board
	for b := range m.boards {
		if b.Date == date {
			out = append(out, b)
		}
	}
	return out, m.fail
}

func (m *memory) BoardRange(_ context.Context, b store.Board, low, high int64, limit int) ([]store.Place, int64, error) {
	m.reads++
	var out []store.Place
	for name, s := range m.boards[b] {
		if low <= s && s <= high {
			out = append(out, store.Place{Board: b, SetMember: name, Score: s})
		}
	}
	slices.SortFunc(out, func(x, y store.Place) int {
		return cmp.Or(cmp.Compare(x.Score, y.Score), strings.Compare(x.SetMember, y.SetMember))
	})
	of := int64(len(out))
	if limit > 0 && len(out) > limit {
		out = out[:limit]
	}
	return out, of, m.fail
}

// Windows is the rule of store.Window over plain slices: the other way of doing it.
func (m *memory) Windows(ctx context.Context, asked []store.Window) ([]store.View, error) {
	var out []store.View
	for _, w := range asked {
		all, of, _ := m.BoardRange(ctx, w.Board, w.Low, w.High, 0)
		below, _, _ := m.BoardRange(ctx, w.Board, math.MinInt64, w.Low-1, 0)
		if w.Low == math.MinInt64 {
			below = nil
		}
		seats, own := make([]store.Seat, 0, len(all)), -1
		for i, p := range all {
			_, member, _ := store.ParseSetMember(p.SetMember)
			s := store.Seat{Place: p, Rank: 1}
			for _, o := range all {
				if o.Score < p.Score {
					s.Rank++
				}
			}
			if w.Records {
				s.Record = m.results[store.Field{Date: w.Board.Date, Part: w.Board.Part, Kind: w.Board.Kind, Member: member}]
			}
			if member == w.Around {
				own = i
			}
			seats = append(seats, s)
		}
		v := store.View{Below: int64(len(below)), Of: of}
		if w.Limit >= 0 {
			v.First = seats
			if w.Limit > 0 {
				v.First = seats[:min(w.Limit, len(seats))]
			}
		}
		if own >= 0 {
			from := max(0, own-(w.Others+1)/2)
			to := min(len(seats), from+w.Others+1)
			v.Around = seats[max(0, to-w.Others-1):to]
		}
		out = append(out, v)
	}
	m.reads = m.reads - 2*len(asked) + 1 // one, however many are asked
	return out, m.fail
}

func invented() []Record {
	p := forTime()
	ann := recordOf("m1", p, finished(872000, content.AsWritten), 3, "women")
	ann.Way = "towel row"
	ann.Result.LoadG = 12000
	bea := recordOf("m2", p, finished(872000, content.AsWritten), 1, "women", "50+")
	bea.Late, bea.Marked = true, true
	return []Record{ann, bea,
		recordOf("m3", p, unfinished(74, content.AsWritten), 2, "women"),
		recordOf("m4", p, finished(700000, content.Scaled), 4, "women"),
		recordOf("m5", p, finished(900000, content.AsWritten), 5, "men"),
		recordOf("m6", p, finished(100000, ""), 6, "men"),
		recordOf("m7", p, finished(100000, content.AsWritten), 7),
		recordOf("gone", p, finished(10000, content.Scaled), 8, "women"),
		recordOf("m5", amrap(), counted(71, content.AsWritten), 9, "men"),
	}
}

func inventedBoards(t testing.TB) (*Boards, *memory) {
	m := memoryOf(t, invented())
	byID := map[string]string{"m1": "Ann", "m2": "=Bea()", "m3": "Cleo", "m4": "Dot, née E", "m5": "Finn", "m6": "Gus", "m7": "Hal"}
	return &Boards{Store: m, Divisions: []string{"women", "men"}, Name: func(id string) (string, bool) { n, ok := byID[id]; return n, ok }}, m
}

func TestPage(t *testing.T) {
	b, _ := inventedBoards(t)
	var out strings.Builder
	for _, q := range []Query{{}, {Division: "women", Version: content.AsWritten, Limit: 2, Coach: true}, {Division: "women", Version: All, Units: "lb"}, {Division: "nobody"}} {
		page, err := b.Page(context.Background(), day, forTime(), q)
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.MarshalIndent(page, "", " ")
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&out, "%+v\n%s\n", q, text)
	}
	golden(t, "page.txt", out.String())
}

func TestPageReadsLittle(t *testing.T) {
	b, m := inventedBoards(t)
	if _, err := b.Page(context.Background(), day, forTime(), Query{Division: "women", Version: content.AsWritten, Limit: 20}); err != nil {
		t.Fatal(err)
	}
	if m.reads != 1 {
		t.Errorf("%d reads, want one of the board with its records", m.reads)
	}
	m.reads = 0
	if _, err := b.Page(context.Background(), day, forTime(), Query{}); err != nil || m.reads != 2 {
		t.Errorf("%d reads of everything, %v: want one beside the listing", m.reads, err)
	}
	m.reads = 0
	unscored := forTime()
	unscored.Scoring = content.NotScored
	if page, err := b.Page(context.Background(), day, unscored, Query{}); err != nil || len(page.Boards) != 0 || m.reads != 0 {
		t.Errorf("a part that ranks nobody: %v, %v, %d reads", page, err, m.reads)
	}
}

func TestPageTellsWhereReadingFailed(t *testing.T) {
	b, m := inventedBoards(t)
	m.fail = errors.New("no answer")
	for _, q := range []Query{{}, {Division: "women"}} {
		if _, err := b.Page(context.Background(), day, forTime(), q); !errors.Is(err, m.fail) || !strings.Contains(err.Error(), "2027-02-01") {
			t.Errorf("error %v", err)
		}
	}
}

// A record that has moved on since its board was read is not shown beside a rank that is not its own.
func TestPageShowsTheScoreThatRanks(t *testing.T) {
	b, m := inventedBoards(t)
	later := recordOf("m5", forTime(), finished(500000, content.AsWritten), 5, "men")
	m.results[later.Field()], _ = later.Encode()
	page, err := b.Page(context.Background(), day, forTime(), Query{Division: "men"})
	if err != nil {
		t.Fatal(err)
	}
	if got := page.Boards[0].Entries[0].Result; got != "15:00" {
		t.Errorf("shows %s beside the rank of 15:00", got)
	}
}

func TestWriteCSV(t *testing.T) {
	b, _ := inventedBoards(t)
	page, err := b.Page(context.Background(), day, forTime(), Query{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := WriteCSV(&out, page); err != nil {
		t.Fatal(err)
	}
	golden(t, "page.csv", out.String())
}

func TestCells(t *testing.T) {
	got := Cells("=1+1", "+1", "-1", "@a", "a=1", "", "é")
	want := []string{"'=1+1", "'+1", "'-1", "'@a", "a=1", "", "é"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
}

// What a page shows is the same whether a record was read or its score alone.
func TestPageShowsARecordAsItsScoreDoes(t *testing.T) {
	parts := scoredParts()
	rapid.Check(t, func(t *rapid.T) {
		k := kinds().Draw(t, "kind")
		r := results(k).Draw(t, "result")
		sheet, fitted := parts[k], parts[k]
		if k == content.KindReps {
			sheet.Movements = []content.Movement{amount(rapid.Int64Range(1, 9).Draw(t, "own")), amount(8)}
		}
		rec := NewRecord("m1", day, sheet, fitted, r, 0, at(0), []string{"open"})
		s, ok := rec.Score()
		if !ok {
			t.Skip("stands nowhere")
		}
		byScore, _ := Decode(k, s)
		if a, b := Show(sheet, rec.Counted()), Show(sheet, byScore); a != b {
			t.Fatalf("by the record %q, by the score %q", a, b)
		}
	})
}

// Results at the edges of what can be told, on a page and in its table.
func TestEdgesOfResultsOnBoards(t *testing.T) {
	for _, tt := range []struct {
		part content.Part
		r    content.Result
		want string
	}{
		{scheme(content.MostReps), counted(0, content.AsWritten), "0 reps"},
		{forTime(), finished(86_399_999, content.AsWritten), "23:59:59.999"},
		{forTime(), finished(1, content.AsWritten), "0:00.001"},
		{forTime(), unfinished(0, content.AsWritten), "cap at 0 reps"},
		{scheme(content.Heaviest), load(500_000, content.AsWritten), "500 kg"},
		{scheme(content.MostReps), counted(most, content.AsWritten), "562949953421311 reps"},
	} {
		rec := recordOf("m1", tt.part, tt.r, 1, "women")
		b := &Boards{Store: memoryOf(t, []Record{rec}), Name: func(string) (string, bool) { return "-Ann 🦊", true }}
		page, err := b.Page(context.Background(), day, tt.part, Query{})
		if err != nil || len(page.Boards) != 1 || page.Boards[0].Entries[0].Result != tt.want {
			t.Errorf("%+v: %v, %v", tt.r, page, err)
			continue
		}
		var out bytes.Buffer
		if err := WriteCSV(&out, page); err != nil || !strings.Contains(out.String(), ",1,m1,'-Ann 🦊,"+tt.want+",") {
			t.Errorf("%v: %s", err, out.String())
		}
	}
}
