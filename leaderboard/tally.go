package leaderboard

import (
	"time"

	"tallybell/content"
)

// Tally ranks one part with no store: results come in line by line, each of a name in a division, and Boards gives
// the boards that they make. A later result of the same name and division replaces the earlier.
type Tally struct {
	date          content.Date
	sheet, fitted content.Part
	units         string
	records       map[who]Record
	divisions     []string // in the order of their first line
	lines         int64
}

// who is one competitor of a tally.
type who struct{ name, division string }

// NewTally returns an empty tally of a part as the coach wrote it (sheet) and as it was received (fitted). Loads are
// shown in units, kg or lb.
func NewTally(date content.Date, sheet, fitted content.Part, units string) *Tally {
	return &Tally{date: date, sheet: sheet, fitted: fitted, units: units, records: map[who]Record{}}
}

// Line begins the next line, which is of a division. Who first logged is told by the order of lines.
func (t *Tally) Line(division string) {
	t.lines++
	for _, d := range t.divisions {
		if d == division {
			return
		}
	}
	t.divisions = append(t.divisions, division)
}

// Set logs a result, in place of any before it.
func (t *Tally) Set(name, division string, r content.Result) {
	w := who{name, division}
	t.records[w] = NewRecord(name, t.date, t.sheet, t.fitted, r, t.records[w].First, time.UnixMilli(t.lines), []string{division})
}

// Correct is Set for a correction: without a version it keeps the one of the result it corrects. It returns the
// version that stands now.
func (t *Tally) Correct(name, division string, r content.Result) content.Version {
	if r.Version == "" {
		r.Version = t.records[who{name, division}].Result.Version
	}
	t.Set(name, division, r)
	return r.Version
}

// Version tells the version of the result that stands; false when there is none.
func (t *Tally) Version(name, division string, v content.Version) bool {
	rec, ok := t.records[who{name, division}]
	if !ok {
		return false
	}
	r := rec.Result
	r.Version = v
	t.Set(name, division, r)
	return true
}

// Remove takes the result away; a later one is a first result again.
func (t *Tally) Remove(name, division string) { delete(t.records, who{name, division}) }

// TallyBoard is one division's board in one version.
type TallyBoard struct {
	Division string          `json:"division"`
	Version  content.Version `json:"version"`
	Entries  []TallyLine     `json:"entries"`
}

// TallyLine is one line of it.
type TallyLine struct {
	Rank    int             `json:"rank"`
	Name    string          `json:"name"`
	Result  string          `json:"result"`
	Version content.Version `json:"version"`
}

// Boards returns the boards on which somebody stands: by division in the order of their first lines, as written before
// scaled.
func (t *Tally) Boards() []TallyBoard {
	in := map[string][]Record{}
	for w, rec := range t.records {
		in[w.division] = append(in[w.division], rec)
	}
	out := []TallyBoard{}
	for _, d := range t.divisions {
		for _, v := range []content.Version{content.AsWritten, content.Scaled} {
			b := TallyBoard{Division: d, Version: v}
			for _, e := range Rank(Of(in[d], v)) {
				b.Entries = append(b.Entries, TallyLine{e.Rank, e.Record.Member, ShowIn(t.sheet, e.Record.Counted(), t.units), v})
			}
			if len(b.Entries) > 0 {
				out = append(out, b)
			}
		}
	}
	return out
}
