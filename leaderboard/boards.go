package leaderboard

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// Reader is what boards need of the store.
type Reader interface {
	// Boards lists the boards of a date.
	Boards(ctx context.Context, date string) ([]store.Board, error)
	// Windows looks through every window in one round trip, and gives a view of each, in order.
	Windows(ctx context.Context, asked []store.Window) ([]store.View, error)
}

// Boards reads the boards of one club.
type Boards struct {
	Store     Reader
	Divisions []string                           // the club's, in its order; others follow by name
	Name      func(member string) (string, bool) // false for who is gone, whose lines are left out
	Namesake  func(member string) bool           // somebody else has the same name; nil is nobody
}

// Query says what of a part's boards is wanted.
type Query struct {
	Division string          // "" for every division
	Version  content.Version // as_written, scaled or All; "" for as written and scaled, a block each
	Limit    int             // lines a block: 0 for DefaultLimit, less for no limit
	Around   string          // a member: where they stand, the lines around theirs too
	Units    string          // kg or lb, for loads; "" is kg
	Joint    bool            // the rank among everyone of the division beside that of the version
	Coach    bool            // shows what is for the coach alone: marks of implausible results
}

// DefaultLimit is how many lines a block has when a Query does not say.
const DefaultLimit = 100

// neighbours is how many lines stand around a member's own.
const neighbours = 3

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
	Around   []Line          `json:"around,omitempty"` // the asked member's line among its neighbours
}

// Beyond returns the lines around the asked member, unless theirs is among the first lines: nil then.
func (b Block) Beyond(member string) []Line {
	if slices.ContainsFunc(b.Entries, func(l Line) bool { return l.Member == member }) {
		return nil
	}
	return b.Around
}

// Line is one member's line of a block.
type Line struct {
	Rank     int             `json:"rank"`
	Member   string          `json:"member"`
	Name     string          `json:"name"`
	Namesake bool            `json:"namesake,omitempty"` // somebody else in the club is called that too
	Result   string          `json:"result"`             // as Show gives it
	Version  content.Version `json:"version"`
	Joint    int             `json:"joint,omitempty"` // the rank among both versions, where it was asked for
	Way      string          `json:"way,omitempty"`   // another way done
	Load     string          `json:"load,omitempty"`  // the load used, where it is not the result
	Late     bool            `json:"late,omitempty"`
	Marked   bool            `json:"marked,omitempty"`
}

// Shown is the name as tables show it: with the member's id where another has the same name.
func (l Line) Shown() string {
	if l.Namesake {
		return l.Name + " #" + l.Member
	}
	return l.Name
}

// Beside is what stands beside the result: the way done, the load used, and whether it came late.
func (l Line) Beside() string {
	var parts []string
	for _, p := range []string{l.Way, l.Load} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	if l.Late {
		parts = append(parts, "late")
	}
	return strings.Join(parts, ", ")
}

// Page returns the boards of a part of a date's session. Blocks in which nobody stands are left out. It costs one read
// of all that is shown, and where no division is told one more before it, of the boards that there are.
func (b *Boards) Page(ctx context.Context, date content.Date, p content.Part, q Query) (Page, error) {
	page := Page{Date: date, Part: p.Letter, Kind: p.Kind(), Boards: []Block{}}
	if !p.IsScored() {
		return page, nil
	}
	boards, err := b.wanted(ctx, date, p, q)
	if err != nil || len(boards) == 0 {
		return page, err
	}
	versions := []content.Version{content.AsWritten, content.Scaled}
	if q.Version != "" {
		versions = []content.Version{q.Version}
	}
	var asked []store.Window
	for _, board := range boards {
		for _, v := range versions {
			low, high := Bounds(v)
			asked = append(asked, store.Window{Board: board, Low: low, High: high, Limit: limit(q.Limit), Around: q.Around,
				Others: neighbours, Records: true, Joint: q.Joint})
		}
	}
	views, err := b.Store.Windows(ctx, asked)
	if err != nil {
		return Page{}, fmt.Errorf("boards of %s, part %s: %w", date, p.Letter, err)
	}
	for i, v := range views {
		if len(v.First) > 0 {
			page.Boards = append(page.Boards, b.block(p, asked[i].Board.Division, versions[i%len(versions)], v, q))
		}
	}
	return page, nil
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

// block gives the lines of a view their names and texts.
func (b *Boards) block(p content.Part, division string, version content.Version, v store.View, q Query) Block {
	out := Block{Division: division, Version: version, Of: v.Of, Entries: b.lines(p, v, v.First, q)}
	if len(v.Around) > 0 {
		out.Around = b.lines(p, v, v.Around, q)
	}
	return out
}

func (b *Boards) lines(p content.Part, v store.View, seats []store.Seat, q Query) []Line {
	out := make([]Line, 0, len(seats))
	for _, s := range seats {
		_, member, err := store.ParseSetMember(s.SetMember)
		if err != nil {
			continue
		}
		name, ok := b.Name(member)
		if !ok {
			continue
		}
		line := Line{Rank: int(s.Rank), Member: member, Name: name, Namesake: b.Namesake != nil && b.Namesake(member), Version: versionOf(s.Score)}
		if q.Joint {
			line.Joint = int(v.Below + s.Rank)
		}
		line.dress(p, s, q)
		out = append(out, line)
	}
	return out
}

// dress fills in what a line shows of its result. The score alone says the result; the record adds how it was typed,
// unless it has moved on since the board was read.
func (l *Line) dress(p content.Part, s store.Seat, q Query) {
	r, _ := Decode(p.Kind(), s.Score)
	if s.Record != nil && saysMore(p.Kind(), s.Record) {
		// one that cannot be read is shown by its score alone
		if rec, err := ReadRecord(s.Record); err == nil {
			if now, stands := rec.Score(); stands && now == s.Score {
				r = rec.Counted()
				l.Way, l.Late, l.Marked = rec.Way, rec.Late, rec.Marked && q.Coach
				if r.LoadG > 0 && r.Kind != content.KindLoad {
					l.Load = showLoad(r.LoadG, q.Units)
				}
			}
		}
	}
	l.Result = ShowIn(p, r, q.Units)
}

// saysMore reports whether a record shows anything beside what its score says. Most do not, and reading them would be
// most of the work of a page.
func saysMore(k content.Kind, record []byte) bool {
	return bytes.Contains(record, []byte(`"way":`)) || bytes.Contains(record, []byte(`"late":`)) ||
		bytes.Contains(record, []byte(`"marked":`)) ||
		k != content.KindLoad && bytes.Contains(record, []byte(`"load_g":`))
}
