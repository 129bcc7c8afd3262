package leaderboard

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"slices"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// Reader is what boards need of the store.
type Reader interface {
	// Boards lists the boards of a date.
	Boards(ctx context.Context, date string) ([]store.Board, error)
	// BoardRange returns the places with low <= score <= high, best first, at most limit of them (all when limit is 0
	// or less), and how many there are in all.
	BoardRange(ctx context.Context, b store.Board, low, high int64, limit int) ([]store.Place, int64, error)
	// ResultsOf returns the records under some names, without those that are not there.
	ResultsOf(ctx context.Context, fields []store.Field) (map[store.Field][]byte, error)
}

// Boards reads the boards of one club.
type Boards struct {
	Store     Reader
	Divisions []string                           // the club's, in its order; others follow by name
	Name      func(member string) (string, bool) // false for who is gone, whose lines are left out
}

// Query says what of a part's boards is wanted.
type Query struct {
	Division string          // "" for every division
	Version  content.Version // as_written, scaled or All; "" for as written and scaled, a block each
	Limit    int             // lines a block: 0 for DefaultLimit, less for no limit
	Units    string          // kg or lb, for loads; "" is kg
	Coach    bool            // shows what is for the coach alone: marks of implausible results
}

// DefaultLimit is how many lines a block has when a Query does not say.
const DefaultLimit = 100

// Page is the boards of one part of a date.
type Page struct {
	Date   content.Date `json:"date"`
	Part   string       `json:"part"`
	Kind   content.Kind `json:"kind"`
	Boards []Block      `json:"boards"`
}

// Block is one division's board in one version, with its own ranks.
type Block struct {
	Division string          `json:"division"`
	Version  content.Version `json:"version"`
	Of       int64           `json:"of"` // how many stand there in all
	Entries  []Line          `json:"entries"`
}

// Line is one member's line of a block.
type Line struct {
	Rank    int             `json:"rank"`
	Member  string          `json:"member"`
	Name    string          `json:"name"`
	Result  string          `json:"result"` // as Show gives it
	Version content.Version `json:"version"`
	Way     string          `json:"way,omitempty"`  // another way done
	Load    string          `json:"load,omitempty"` // the load used, where it is not the result
	Late    bool            `json:"late,omitempty"`
	Marked  bool            `json:"marked,omitempty"`
}

// Page returns the boards of a part of a date's session. Blocks in which nobody stands are left out. Where only one
// division and version are wanted it costs one read of the board and one of its records.
func (b *Boards) Page(ctx context.Context, date content.Date, p content.Part, q Query) (Page, error) {
	page := Page{Date: date, Part: p.Letter, Kind: p.Kind(), Boards: []Block{}}
	if !p.IsScored() {
		return page, nil
	}
	boards, err := b.wanted(ctx, date, p, q)
	if err != nil {
		return Page{}, err
	}
	versions := []content.Version{content.AsWritten, content.Scaled}
	if q.Version != "" {
		versions = []content.Version{q.Version}
	}
	var blocks []rawBlock
	for _, board := range boards {
		for _, v := range versions {
			low, high := Bounds(v)
			places, of, err := b.Store.BoardRange(ctx, board, low, high, limit(q.Limit))
			if err != nil {
				return Page{}, fmt.Errorf("board of %s, part %s, %s: %w", date, p.Letter, board.Division, err)
			}
			if len(places) > 0 {
				blocks = append(blocks, rawBlock{board.Division, v, of, places})
			}
		}
	}
	records, err := b.records(ctx, date, blocks)
	if err != nil {
		return Page{}, err
	}
	for _, raw := range blocks {
		page.Boards = append(page.Boards, b.block(p, raw, records, q))
	}
	return page, nil
}

// rawBlock is a block before it is dressed with names and records.
type rawBlock struct {
	division string
	version  content.Version
	of       int64
	places   []store.Place
}

func limit(n int) int {
	if n == 0 {
		return DefaultLimit
	}
	return max(n, 0)
}

// wanted returns the boards that a query asks for, in the club's order of divisions.
func (b *Boards) wanted(ctx context.Context, date content.Date, p content.Part, q Query) ([]store.Board, error) {
	if q.Division != "" {
		return []store.Board{{Date: date.String(), Part: p.Letter, Kind: string(p.Kind()), Division: q.Division}}, nil
	}
	all, err := b.Store.Boards(ctx, date.String())
	if err != nil {
		return nil, fmt.Errorf("boards of %s: %w", date, err)
	}
	var out []store.Board
	for _, board := range all {
		if board.Part == p.Letter && board.Kind == string(p.Kind()) {
			out = append(out, board)
		}
	}
	slices.SortFunc(out, func(x, y store.Board) int {
		return cmp.Or(cmp.Compare(b.order(x.Division), b.order(y.Division)), cmp.Compare(x.Division, y.Division))
	})
	return out, nil
}

// order returns where a division comes in the club's list, after all of it when it is not there.
func (b *Boards) order(division string) int {
	if i := slices.Index(b.Divisions, division); i >= 0 {
		return i
	}
	return len(b.Divisions)
}

// block gives places their ranks, names and texts. Equal scores share a rank; a block begins with its best, so its
// ranks follow from the places alone.
func (b *Boards) block(p content.Part, raw rawBlock, records map[store.Field]Record, q Query) Block {
	out := Block{Division: raw.division, Version: raw.version, Of: raw.of, Entries: make([]Line, 0, len(raw.places))}
	rank := 0
	for i, place := range raw.places {
		if i == 0 || place.Score != raw.places[i-1].Score {
			rank = i + 1
		}
		_, member, err := store.ParseSetMember(place.SetMember)
		if err != nil {
			continue
		}
		name, ok := b.Name(member)
		if !ok {
			continue
		}
		line := Line{Rank: rank, Member: member, Name: name, Version: versionOf(place.Score)}
		rec, ok := records[fieldOf(place, member)]
		line.dress(p, place.Score, rec, ok, q)
		out.Entries = append(out.Entries, line)
	}
	return out
}

// dress fills in what a line shows of its result. The score alone says the result; the record adds how it was typed,
// unless it has moved on since the board was read.
func (l *Line) dress(p content.Part, score int64, rec Record, ok bool, q Query) {
	r, _ := Decode(p.Kind(), score)
	if s, stands := rec.Score(); ok && stands && s == score {
		r = rec.Counted()
		l.Way, l.Late, l.Marked = rec.Way, rec.Late, rec.Marked && q.Coach
		if r.LoadG > 0 && r.Kind != content.KindLoad {
			l.Load = showLoad(r.LoadG, q.Units)
		}
	}
	l.Result = ShowIn(p, r, q.Units)
}

func fieldOf(p store.Place, member string) store.Field {
	return store.Field{Date: p.Board.Date, Part: p.Board.Part, Kind: p.Board.Kind, Member: member}
}

// records returns the records of the lines of some blocks.
func (b *Boards) records(ctx context.Context, date content.Date, blocks []rawBlock) (map[store.Field]Record, error) {
	var fields []store.Field
	for _, raw := range blocks {
		for _, place := range raw.places {
			if _, member, err := store.ParseSetMember(place.SetMember); err == nil {
				fields = append(fields, fieldOf(place, member))
			}
		}
	}
	if len(fields) == 0 {
		return nil, nil
	}
	stored, err := b.Store.ResultsOf(ctx, fields)
	if err != nil {
		return nil, fmt.Errorf("results of %s: %w", date, err)
	}
	out := make(map[store.Field]Record, len(stored))
	for f, text := range stored {
		if !saysMore(f, text) {
			continue
		}
		if rec, err := ReadRecord(text); err == nil {
			out[f] = rec // one that cannot be read is shown by its score alone
		}
	}
	return out, nil
}

// saysMore reports whether a record shows anything beside what its score says. Most do not, and reading them would be
// most of the work of a page.
func saysMore(f store.Field, record []byte) bool {
	return bytes.Contains(record, []byte(`"way":`)) || bytes.Contains(record, []byte(`"late":`)) ||
		bytes.Contains(record, []byte(`"marked":`)) ||
		f.Kind != string(content.KindLoad) && bytes.Contains(record, []byte(`"load_g":`))
}
