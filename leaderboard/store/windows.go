package store

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/redis/go-redis/v9"
)

//go:embed window.lua
var windowText string

// windowScript only reads, so it is called beside the scripts that write.
var windowScript = newScript("window", windowText)

// Window asks for lines of a board, among the scores from Low to High (math.MinInt64 and math.MaxInt64 leave an end
// open): the first ones, and those around a member.
type Window struct {
	Board     Board
	Low, High int64
	Limit     int    // how many of the first lines: 0 for all, less for none
	Around    string // a member's id; "" for nobody
	Others    int    // how many lines around theirs
	Records   bool   // with the record beside each line
	Joint     bool   // counts those below Low as well
}

// View is what a window shows.
type View struct {
	Below  int64 // how many stand there with lower scores than Low, where Joint or Around asks for it
	Of     int64 // how many in all from Low to High
	First  []Seat
	Around []Seat // the member's line among those around it; nil when they do not stand there
}

// Seat is one line of a board. Equal scores list by set member: by who logged first.
type Seat struct {
	Place
	Rank   int64  // 1 + how many are strictly better among Low to High
	Record []byte // nil where it was not asked for, or is not there
}

// Windows looks through every window in one round trip.
func (c *Club) Windows(ctx context.Context, asked []Window) ([]View, error) {
	out := make([]View, 0, len(asked))
	for len(asked) > 0 {
		part := asked[:min(len(asked), maxPipeline)]
		asked = asked[len(part):]
		cmds, err := c.look(ctx, part, "EVALSHA", windowScript.sha)
		if redis.HasErrorPrefix(errors.Unwrap(err), "NOSCRIPT") { // a server that has not seen it, or has started anew
			cmds, err = c.look(ctx, part, "EVAL", windowScript.text)
		}
		if err != nil {
			return nil, err
		}
		for i, w := range part {
			v, err := w.view(cmds[i])
			if err != nil {
				return nil, fmt.Errorf("store: board %s: %w", c.KeyBoard(w.Board), err)
			}
			out = append(out, v)
		}
	}
	return out, nil
}

// look calls the script for each window in one pipeline.
func (c *Club) look(ctx context.Context, asked []Window, call, script string) ([]*redis.Cmd, error) {
	cmds := make([]*redis.Cmd, len(asked))
	err := c.s.read(ctx, "boards", func(p redis.Pipeliner) {
		for i, w := range asked {
			cmds[i] = p.Do(ctx, call, script, 2, c.KeyBoard(w.Board), c.KeyResults(w.Board.Date), bound(w.Low), bound(w.High),
				max(w.Limit, -1), w.Around, w.Others, w.Board.Part+":"+w.Board.Kind+":", flag(w.Records), flag(w.Joint))
		}
	})
	return cmds, err
}

func flag(on bool) string {
	if on {
		return "1"
	}
	return ""
}

// view reads what window.lua returned.
func (w Window) view(cmd *redis.Cmd) (View, error) {
	got, err := cmd.Slice()
	if err != nil {
		return View{}, err
	}
	if len(got) != 6 {
		return View{}, fmt.Errorf("%d words about a window, want 6", len(got))
	}
	v := View{Below: whole(got[0]), Of: whole(got[1])}
	if v.First, err = w.seats(got[2], 0, 1); err != nil {
		return View{}, err
	}
	v.Around, err = w.seats(got[5], whole(got[3]), whole(got[4]))
	return v, err
}

func whole(x any) int64 {
	n, _ := x.(int64)
	return n
}

// seats reads lines, of which the first stands at a place (from 0) and has a rank.
func (w Window) seats(x any, at, rank int64) ([]Seat, error) {
	flat, _ := x.([]any)
	var out []Seat
	for i := 0; i+2 < len(flat); i += 3 {
		name, _ := flat[i].(string)
		text, _ := flat[i+1].(string)
		record, _ := flat[i+2].(string)
		score, err := strconv.ParseFloat(text, 64)
		if err != nil || score != math.Trunc(score) || math.Abs(score) > float64(maxScore) {
			return nil, fmt.Errorf("the score %q of %q is no exact integer", text, name)
		}
		s := Seat{Place: Place{Board: w.Board, SetMember: name, Score: int64(score)}, Rank: rank}
		if n := len(out); n > 0 {
			if s.Rank = out[n-1].Rank; s.Score != out[n-1].Score {
				s.Rank = at + int64(n) + 1
			}
		}
		if record != "" {
			s.Record = []byte(record)
		}
		out = append(out, s)
	}
	return out, nil
}
