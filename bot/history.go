package bot

import (
	"cmp"
	"context"
	"slices"

	"tallybell/content"
	"tallybell/leaderboard"
)

// PastResult is one result of a member's history.
type PastResult struct {
	Date    content.Date   `json:"date"`
	Session string         `json:"session,omitempty"` // its title; "" when the sheet is gone
	Part    string         `json:"part"`
	Piece   string         `json:"piece,omitempty"` // names the piece; see History.Pieces
	Show    string         `json:"show"`            // "14:32", as people read it
	Result  content.Result `json:"result"`
	Way     string         `json:"way,omitempty"` // another way done
	Late    bool           `json:"late,omitempty"`
	Best    bool           `json:"best,omitempty"`   // of its piece in its version, where there are several
	Change  string         `json:"change,omitempty"` // since the last time, same piece and version: "0:22 faster"
	Eased   bool           `json:"eased,omitempty"`  // for the coach alone
	Marked  bool           `json:"marked,omitempty"` // for the coach alone
}

// PastPiece is a piece that was done more than once.
type PastPiece struct {
	Piece   string       `json:"piece"` // see content.Part.Fingerprint
	Name    string       `json:"name"`  // in one line
	Kind    content.Kind `json:"kind"`
	Results []PastResult `json:"results"` // earliest first
}

// HeavySet is the heaviest set that a member told of for a movement, for the coach alone.
type HeavySet struct {
	Movement string       `json:"movement"`
	Date     content.Date `json:"date"`
	LoadG    int64        `json:"load_g"`
	Reps     int64        `json:"reps"`
	// EpleyG and BrzyckiG estimate, in grams, what could be lifted once; 0 where no estimate is given.
	EpleyG   int64 `json:"epley_g,omitempty"`
	BrzyckiG int64 `json:"brzycki_g,omitempty"`
}

// History is what a member has done.
type History struct {
	Person
	Results  []PastResult `json:"results"` // latest first
	Pieces   []PastPiece  `json:"pieces"`  // done more than once, the latest first
	Heaviest []HeavySet   `json:"heaviest,omitempty"`
}

// History returns a member's own results, with the pieces that came again. What is the coach's alone is told to the
// coach only. A *Problem with code not_found when there is no such member.
func (b *Bot) History(ctx context.Context, member string, coach bool) (History, error) {
	m, ok := b.roster.Get(member)
	if !ok {
		return History{}, &Problem{Code: "not_found", Text: "There is no such member."}
	}
	h := History{Person: b.person(member), Results: []PastResult{}, Pieces: []PastPiece{}}
	records, err := b.ownRecords(ctx, member)
	if err != nil {
		return History{}, err
	}
	days, err := b.sheetsOf(ctx, records)
	if err != nil {
		return History{}, err
	}
	best := bestOf(records)
	show := func(r leaderboard.Record) PastResult {
		s := days[r.Date].sheet
		p := partOf(s, r.Part)
		out := PastResult{Date: r.Date, Session: s.Title, Part: r.Part, Piece: r.Piece, Show: leaderboard.ShowIn(p, r.Result, m.Units),
			Result: r.Result, Way: r.Way, Late: r.Late, Best: best[leaderboard.Slot{Date: r.Date, Part: r.Part}]}
		if last, ok := leaderboard.LastBefore(records, r.Piece, r.Result.Version, r.Date); ok {
			out.Change = leaderboard.ShowStep(last.Counted(), r.Counted(), m.Units)
		}
		if coach {
			out.Eased, out.Marked = r.Eased, r.Marked
		}
		return out
	}
	for _, r := range slices.Backward(records) {
		h.Results = append(h.Results, show(r))
	}
	slices.SortStableFunc(h.Results, func(x, y PastResult) int {
		return cmp.Or(y.Date.Compare(x.Date), cmp.Compare(x.Part, y.Part))
	})
	for _, piece := range leaderboard.Repeated(records) {
		of := leaderboard.History(records, piece)
		last := of[len(of)-1]
		p := PastPiece{Piece: piece, Kind: last.Kind, Name: "Part " + last.Part}
		if sp, ok := days[last.Date].sheet.Part(last.Part); ok {
			p.Name = sp.PieceName()
		}
		for _, r := range of {
			p.Results = append(p.Results, show(r))
		}
		h.Pieces = append(h.Pieces, p)
	}
	if coach {
		h.Heaviest = heaviest(records, days)
	}
	return h, nil
}

// bestOf returns the best result of each piece in each version that was done more than once, the earliest of equals.
func bestOf(records []leaderboard.Record) map[leaderboard.Slot]bool {
	out := map[leaderboard.Slot]bool{}
	records = slices.DeleteFunc(slices.Clone(records), func(r leaderboard.Record) bool { return r.Marked })
	for _, piece := range leaderboard.Repeated(records) {
		for _, v := range []content.Version{content.AsWritten, content.Scaled} {
			r, ok := leaderboard.Best(records, piece, v)
			if of := leaderboard.Of(leaderboard.History(records, piece), v); ok && len(of) > 1 {
				out[leaderboard.Slot{Date: r.Date, Part: r.Part}] = true
			}
		}
	}
	return out
}

func partOf(s content.Session, letter string) content.Part {
	if p, ok := s.Part(letter); ok {
		return *p
	}
	return content.Part{Letter: letter}
}

// sheetsOf reads the sheets of the records' dates, one read a date.
func (b *Bot) sheetsOf(ctx context.Context, records []leaderboard.Record) (map[content.Date]*pastDay, error) {
	days := map[content.Date]*pastDay{}
	var list []*pastDay
	for _, r := range records {
		if days[r.Date] == nil {
			days[r.Date] = &pastDay{date: r.Date}
			list = append(list, days[r.Date])
		}
	}
	return days, atOnce(ctx, list, b.readSheet)
}

// heaviest returns the heaviest set of each movement, by name: of parts with that movement alone, where load and reps
// of a set were told. Of equal loads the one with more reps, then the earlier one.
func heaviest(records []leaderboard.Record, days map[content.Date]*pastDay) []HeavySet {
	best := map[string]HeavySet{}
	for _, r := range records {
		p := partOf(days[r.Date].sheet, r.Part)
		reps := setReps(p, r.Result)
		if len(p.Movements) != 1 || r.Result.LoadG <= 0 || reps < 1 || r.Marked {
			continue
		}
		s := HeavySet{Movement: p.Movements[0].Name, Date: r.Date, LoadG: r.Result.LoadG, Reps: reps}
		if r.Way != "" {
			s.Movement = r.Way
		}
		if had, ok := best[s.Movement]; ok && (had.LoadG > s.LoadG || had.LoadG == s.LoadG && had.Reps >= s.Reps) {
			continue
		}
		if e, ok := leaderboard.Epley(float64(s.LoadG), reps); ok {
			brzycki, _ := leaderboard.Brzycki(float64(s.LoadG), reps)
			s.EpleyG, s.BrzyckiG = int64(e+0.5), int64(brzycki+0.5)
		}
		best[s.Movement] = s
	}
	var out []HeavySet
	for _, s := range best {
		out = append(out, s)
	}
	slices.SortFunc(out, func(x, y HeavySet) int { return cmp.Compare(x.Movement, y.Movement) })
	return out
}

// setReps is how many reps the best set with the load had, 0 where nobody told.
func setReps(p content.Part, r content.Result) int64 {
	switch {
	case r.Kind == content.KindLoad:
		return int64(p.SetReps)
	case r.Kind == content.KindDone && len(r.SetReps) > 0:
		return slices.Max(r.SetReps)
	}
	return 0
}
