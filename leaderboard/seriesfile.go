package leaderboard

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"tallybell/content"
)

// seriesFile is the JSON that the standings command reads.
type seriesFile struct {
	Discards *int       `json:"discards"` // one for every four races when not told
	Entries  []string   `json:"entries"`
	Races    []raceFile `json:"races"`
	UseCame  bool       `json:"use_a5_3"`
}

type raceFile struct {
	Date   string   `json:"date"`
	Ranks  rankFile `json:"ranks"`
	Came   []string `json:"came"`
	Paused []string `json:"paused"`
	Fixed  []string `json:"fixed"`
}

// rankFile is a JSON object of name and rank in which no name may come twice.
type rankFile map[string]int

// UnmarshalJSON reads an object of whole numbers.
func (r *rankFile) UnmarshalJSON(b []byte) error {
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return errors.New(`ranks: want an object of names and ranks, like {"Ann": 1, "Ben": 2}`)
	}
	out := rankFile{}
	for d.More() {
		t, err := d.Token()
		if err != nil {
			return err
		}
		name, _ := t.(string)
		if _, twice := out[name]; twice {
			return fmt.Errorf("ranks: %q has two ranks in one race", name)
		}
		v, err := d.Token()
		if err != nil {
			return err
		}
		n, ok := v.(json.Number)
		rank, err := n.Int64()
		if !ok || err != nil || rank < 1 || rank > 1<<31 {
			return fmt.Errorf("ranks: the rank of %q is %v: want a whole number from 1", name, v)
		}
		out[name] = int(rank)
	}
	*r = out
	return nil
}

// StandingsFile is a series as read from JSON, with the way back to the order of the file.
type StandingsFile struct {
	Series Series
	order  []int // of the scored races: Series index -> place among the file's scored races
}

// ReadStandings reads a series from JSON, {"discards","entries":[…],"races":[{"date","ranks":{NAME:RANK}}]}, where a
// race may also have "came", "paused" and "fixed" lists of names, and the series "use_a5_3". name stands before every
// problem, with line and column where the text itself is not JSON; all other problems are told together. Races that all
// have a date are taken in the order of their dates.
func ReadStandings(name string, data []byte) (StandingsFile, error) {
	var f seriesFile
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return StandingsFile{}, jsonError(name, data, d.InputOffset(), err)
	}
	if _, err := d.Token(); err != io.EOF {
		return StandingsFile{}, fmt.Errorf("%s: more text after the JSON object: want one object", position(name, data, d.InputOffset()))
	}
	ps := f.problems()
	if len(ps) > 0 {
		for i, p := range ps {
			ps[i] = name + ": " + p
		}
		return StandingsFile{}, errors.New(strings.Join(ps, "\n"))
	}
	return f.series(), nil
}

// jsonError says where the text is not the JSON that is wanted.
func jsonError(name string, data []byte, offset int64, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return fmt.Errorf(`%s:1:1: nothing there: want {"discards","entries":[…],"races":[…]}`, name)
	case errors.As(err, &syntax):
		return fmt.Errorf("%s: not JSON: %w", position(name, data, syntax.Offset-1), err)
	case errors.As(err, &kind):
		return fmt.Errorf("%s: %s: want %s, got %s", position(name, data, kind.Offset-1), cmp.Or(kind.Field, "the series"), wanted(kind.Type.String()), kind.Value)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return fmt.Errorf("%s: the JSON ends too early", position(name, data, int64(len(data))))
	}
	return fmt.Errorf("%s: %s", position(name, data, offset), strings.TrimPrefix(err.Error(), "json: "))
}

// wanted names a Go type in the words of JSON.
func wanted(goType string) string {
	switch {
	case goType == "int":
		return "a whole number"
	case goType == "bool":
		return "true or false"
	case goType == "string":
		return "text"
	case strings.HasPrefix(goType, "[]"):
		return "a list"
	}
	return "an object"
}

// position returns name:line:column of a byte offset, columns in code points.
func position(name string, data []byte, offset int64) string {
	before := data[:max(0, min(offset, int64(len(data))))]
	start := bytes.LastIndexByte(before, '\n') + 1
	return fmt.Sprintf("%s:%d:%d", name, bytes.Count(before, []byte("\n"))+1, len([]rune(string(before[start:])))+1)
}

// problems returns everything that is wrong with the series, in the order of the file.
func (f seriesFile) problems() []string {
	var out []string
	entered := map[string]bool{}
	for i, n := range f.Entries {
		switch {
		case strings.TrimSpace(n) == "":
			out = append(out, fmt.Sprintf("entries[%d]: an empty name", i))
		case entered[n]:
			out = append(out, fmt.Sprintf("entries[%d]: %q is entered twice", i, n))
		}
		entered[n] = true
	}
	if len(f.Entries) == 0 {
		out = append(out, "entries: nobody is entered: list every name once")
	}
	if f.Races == nil {
		out = append(out, `races: missing: list them as {"date","ranks":{NAME:RANK}}`)
	}
	scored := 0
	for i, r := range f.Races {
		out = append(out, r.problems(i, entered)...)
		if len(r.Ranks) > 0 {
			scored++
		}
	}
	return append(out, discardProblems(f.Discards, scored)...)
}

func discardProblems(discards *int, scored int) []string {
	switch {
	case discards == nil || *discards == 0:
	case *discards < 0:
		return []string{fmt.Sprintf("discards: %d: want 0 or more", *discards)}
	case *discards >= scored:
		return []string{fmt.Sprintf("discards: %d of %d scored races would leave none: want at most %d", *discards, scored, max(0, scored-1))}
	}
	return nil
}

// problems checks one race: its date, that everyone named is entered, and that its ranks are competition ranks.
func (r raceFile) problems(i int, entered map[string]bool) []string {
	at := fmt.Sprintf("races[%d]", i)
	if r.Date != "" {
		at += " (" + r.Date + ")"
	}
	var out []string
	if _, err := content.ParseDate(r.Date); r.Date != "" && err != nil {
		out = append(out, fmt.Sprintf("races[%d].date: %v", i, err))
	}
	named := slices.Sorted(maps.Keys(r.Ranks))
	for _, list := range [][]string{named, r.Came, r.Paused, r.Fixed} {
		for _, n := range list {
			if !entered[n] {
				out = append(out, fmt.Sprintf("%s: %q is not among the entries", at, n))
			}
		}
	}
	for _, n := range slices.Concat(r.Came, r.Paused) {
		if _, ranked := r.Ranks[n]; ranked {
			out = append(out, fmt.Sprintf("%s: %q has a rank and is listed as came or paused", at, n))
		}
	}
	return append(out, rankProblems(at, r.Ranks, named)...)
}

// rankProblems checks that every rank is one more than the count of better ones.
func rankProblems(at string, ranks map[string]int, named []string) []string {
	slices.SortStableFunc(named, func(a, b string) int { return ranks[a] - ranks[b] })
	better := 0
	for i, n := range named {
		if i > 0 && ranks[n] != ranks[named[i-1]] {
			better = i
		}
		if ranks[n] != better+1 {
			return []string{fmt.Sprintf("%s: %q has rank %d, but %d rank before it: want %d (equal results share a rank, as in 1 2 2 4)",
				at, n, ranks[n], better, better+1)}
		}
	}
	return nil
}

// series returns the checked file as a Series in the order of its dates.
func (f seriesFile) series() StandingsFile {
	order := make([]int, len(f.Races))
	dated := true
	for i, r := range f.Races {
		order[i] = i
		dated = dated && r.Date != ""
	}
	if dated {
		slices.SortStableFunc(order, func(a, b int) int { return strings.Compare(f.Races[a].Date, f.Races[b].Date) })
	}
	out := StandingsFile{Series: Series{Entries: f.Entries, UseCame: f.UseCame}}
	scored := make([]int, 0, len(order)) // indexes into the file
	for _, i := range order {
		r := f.Races[i]
		out.Series.Races = append(out.Series.Races, Race{Ranks: r.Ranks, Came: r.Came, Paused: r.Paused, Fixed: r.Fixed})
		if len(r.Ranks) > 0 {
			scored = append(scored, i)
		}
	}
	inFile := slices.Sorted(slices.Values(scored))
	for _, i := range scored {
		at, _ := slices.BinarySearch(inFile, i)
		out.order = append(out.order, at)
	}
	out.Series.Discards = DefaultDiscards(len(scored))
	if f.Discards != nil {
		out.Series.Discards = *f.Discards
	}
	return out
}

// Standings scores the series; each member's scores are in the order of the file's races, without those that are not
// scored.
func (f StandingsFile) Standings() []StandingsRow {
	rows := Standings(f.Series)
	for i, row := range rows {
		scores := make([]SeriesScore, len(row.Scores))
		for k, s := range row.Scores {
			scores[f.order[k]] = s
		}
		rows[i].Scores = scores
	}
	return rows
}
