package content

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// The words that closed fields of an entry may hold.
var (
	entryLoads     = []string{"wrist", "shoulder", "neck", "low back", "deep knee", "ankle", "impact", "inverted", "max effort", "overhead"}
	entryPlaces    = []string{"stairs", "wall", "doorway", "outdoors"}
	entryPositions = []string{"standing", "kneeling", "on the back", "face down", "on the side", "seated", "hanging"}
	entryNoises    = []string{"quiet", "some", "loud"}
	entryFloors    = []string{"spot", "mat", "wide", "lane"}
	entryMuscles   = []string{"front thighs", "glutes", "hamstrings", "inner thighs", "outer hips", "hip flexors", "calves", "shins",
		"chest", "shoulders", "triceps", "upper back", "lats", "biceps", "forearms", "abs", "side trunk", "lower back", "neck",
		"heart and lungs", "breathing", "whole body"}
	entrySides = []string{string(BothSides), string(OneSide), string(Alternating)}
)

// textLine is one `key: value` line of a library file.
type textLine struct {
	number     int // of the line, from 1
	column     int // of the value, in code points, from 1
	key, value string
}

// place is where the value stands.
func (ln textLine) place(file string) sourcePlace {
	return sourcePlace{file, ln.number, ln.column, ln.value}
}

// ParseMovements reads the movements of a library file. A first line `pattern: NAME` rules the whole file; each
// movement is a block of `key: value` lines that begins with `name:`; blank lines and lines that start with # mean
// nothing. All problems are returned in one pass; entries are whole only when there are none.
func ParseMovements(file string, text []byte) ([]*Entry, []Problem) {
	lines, problems := keyedLines(text)
	var entries []*Entry
	var pattern Pattern
	var e *Entry
	for _, ln := range lines {
		complain := func(format string, args ...any) {
			problems = append(problems, Problem{Line: ln.number, Column: ln.column, Message: fmt.Sprintf(format, args...)})
		}
		switch {
		case ln.key == "pattern" && e == nil:
			pattern = Pattern(ln.value)
			if !slices.Contains(Patterns(), pattern) {
				complain("unknown pattern %q", ln.value)
			}
		case ln.key == "name":
			if pattern == "" {
				complain("a movement before the file's pattern: line")
			}
			problems = append(problems, incomplete(e)...)
			e = &Entry{Name: ln.value, Pattern: pattern, Sides: BothSides, Risk: 1, StandIn: true,
				Position: "standing", Noise: "quiet", Floor: "spot",
				source: ln.place(file), fields: map[string]sourcePlace{}}
			entries = append(entries, e)
			if ln.value == "" || nameKey(ln.value) == "" {
				complain("a movement without a name")
			}
		case e == nil:
			complain("%s: before the first name:", ln.key)
		case e.has(ln.key) && ln.key != "cue" && ln.key != "care":
			complain("%s: is given twice for %q", ln.key, e.Name)
		default:
			e.fields[ln.key] = ln.place(file)
			if err := setField(e, ln.key, ln.value); err != nil {
				complain("%v", err)
			}
		}
	}
	return entries, append(problems, incomplete(e)...)
}

// incomplete tells what an entry lacks that every entry must have.
func incomplete(e *Entry) []Problem {
	if e == nil {
		return nil
	}
	var missing []string
	for _, f := range []struct {
		key string
		has bool
	}{
		{"main", e.Main != ""}, {"rep", e.Rep != ""}, {"seconds", e.SecondsHigh > 0}, {"cue", len(e.Cues) > 0},
		{"care (there is a test:)", e.Test == "" || len(e.Cautions) > 0},
	} {
		if !f.has {
			missing = append(missing, f.key)
		}
	}
	if len(e.Cues) > 3 {
		missing = append(missing, "brevity (at most three cues)")
	}
	if len(missing) == 0 {
		return nil
	}
	return []Problem{{Line: e.source.line, Column: 1, Message: fmt.Sprintf("%q lacks %s", e.Name, strings.Join(missing, ", "))}}
}

// keyedLines splits text into `key: value` lines, leaving out blank ones and comments.
func keyedLines(text []byte) (lines []textLine, problems []Problem) {
	for i, raw := range strings.Split(string(text), "\n") {
		s := strings.TrimSpace(raw)
		if s == "" || strings.HasPrefix(s, "#") {
			continue
		}
		if !utf8.ValidString(s) {
			problems = append(problems, Problem{Line: i + 1, Column: 1, Message: "the line is not UTF-8"})
			continue
		}
		key, value, ok := strings.Cut(s, ":")
		if !ok {
			problems = append(problems, Problem{Line: i + 1, Column: 1, Message: fmt.Sprintf("want key: value, got %q", s)})
			continue
		}
		value = strings.TrimSpace(value)
		column := utf8.RuneCountInString(raw[:strings.LastIndex(raw, value)]) + 1
		lines = append(lines, textLine{i + 1, column, strings.ToLower(strings.TrimSpace(key)), value})
	}
	return lines, problems
}

// setField puts one field of an entry, by its key.
func setField(e *Entry, key, value string) error {
	if value == "" {
		return fmt.Errorf("%s: says nothing", key)
	}
	var err error
	switch key {
	case "also":
		e.Aliases = splitList(value, ",")
		err = namesSaySomething(key, e.Aliases)
	case "rep":
		e.Rep = value
	case "kit":
		for _, alternative := range splitList(value, " or ") {
			e.Kit = append(e.Kit, splitList(alternative, " and "))
		}
	case "easier":
		e.Easier = splitList(value, ",")
	case "like", "instead":
		err = setStandIns(e, key, value)
	case "kit only":
		e.KitOnly = value
	case "cue":
		e.Cues = append(e.Cues, value)
	case "care":
		e.Cautions = append(e.Cautions, value)
	case "test":
		e.Test = value
	case "seconds":
		e.SecondsLow, e.SecondsHigh, err = readSpan(value)
	case "metre":
		e.MetreLow, e.MetreHigh, err = readSpan(value)
	case "risk":
		e.Risk, err = strconv.Atoi(value)
		if err != nil || e.Risk < 1 || e.Risk > 3 {
			err = fmt.Errorf("risk: want 1, 2 or 3, got %q", value)
		}
	default:
		err = setClosedField(e, key, value)
	}
	return err
}

// setClosedField puts one of the fields whose words are fixed.
func setClosedField(e *Entry, key, value string) error {
	one := func(allowed []string, put func(string)) error {
		if !slices.Contains(allowed, value) {
			return fmt.Errorf("%s: want one of %s, got %q", key, strings.Join(allowed, ", "), value)
		}
		put(value)
		return nil
	}
	some := func(allowed []string, put *[]string) error {
		for _, v := range splitList(value, ",") {
			if !slices.Contains(allowed, v) {
				return fmt.Errorf("%s: want any of %s, got %q", key, strings.Join(allowed, ", "), v)
			}
			*put = append(*put, v)
		}
		return nil
	}
	switch key {
	case "main":
		return one(entryMuscles, func(v string) { e.Main = v })
	case "helping":
		return some(entryMuscles, &e.Helping)
	case "loads":
		return some(entryLoads, &e.Loads)
	case "place":
		return some(entryPlaces, &e.Place)
	case "sides":
		return one(entrySides, func(v string) { e.Sides = Sides(v) })
	case "position":
		var all []string
		if err := some(entryPositions, &all); err != nil || len(all) == 0 {
			return err
		}
		e.Position, e.Passing = all[0], all[1:]
		return nil
	case "noise":
		return one(entryNoises, func(v string) { e.Noise = v })
	case "floor":
		return one(entryFloors, func(v string) { e.Floor = v })
	case "ceiling":
		return one([]string{"high", "any"}, func(v string) { e.Ceiling = v == "high" })
	case "stand-in":
		return one([]string{"yes", "no"}, func(v string) { e.StandIn = v == "yes" })
	}
	return fmt.Errorf("unknown field %q", key)
}

// setStandIns reads `like: NAME, NAME` (same rung, factor 1) and `instead: NAME x1.5, NAME`.
func setStandIns(e *Entry, key, value string) error {
	for _, s := range splitList(value, ",") {
		in := StandIn{Name: s, Factor: 1, SameRung: key == "like"}
		if i := strings.LastIndex(s, " x"); i > 0 && key == "instead" {
			if f, err := strconv.ParseFloat(s[i+2:], 64); err == nil {
				if !(f > 0 && f <= 10) {
					return fmt.Errorf("instead: factor of %q is not between 0 and 10", s)
				}
				in.Name, in.Factor = strings.TrimSpace(s[:i]), f
			}
		}
		e.StandIns = append(e.StandIns, in)
	}
	return nil
}

// readSpan reads "1.5-3" or "2" as seconds from, to.
func readSpan(value string) (low, high float64, err error) {
	from, to, ranged := strings.Cut(value, "-")
	if !ranged {
		to = from
	}
	low, err = strconv.ParseFloat(strings.TrimSpace(from), 64)
	if err == nil {
		high, err = strconv.ParseFloat(strings.TrimSpace(to), 64)
	}
	if err != nil || !(low > 0 && low <= high) || math.IsInf(high, 0) {
		return 0, 0, fmt.Errorf("want seconds from-to, for example 1.5-3, got %q", value)
	}
	return low, high, nil
}

// splitList splits s at sep, trims the pieces and drops empty ones.
func splitList(s, sep string) []string {
	var out []string
	for _, piece := range strings.Split(s, sep) {
		if piece = strings.TrimSpace(piece); piece != "" {
			out = append(out, piece)
		}
	}
	return out
}
