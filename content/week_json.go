package content

import (
	"encoding/json"
	"fmt"
	"time"
)

// weeksJSON is the balance of weeks for programs. Numbers are not rounded: sets and reps may hold halves and shares.
// Fields may be added; those that are here keep their names and meanings.
type weeksJSON struct {
	Weeks     []weekJSON `json:"weeks"`
	Counted   string     `json:"counted"`   // how sets and reps are counted, in words
	Published string     `json:"published"` // what has been published about such counts, with its sources; no verdict
}

type weekJSON struct {
	Start       string        `json:"start"` // its Monday, YYYY-MM-DD
	Sessions    int           `json:"sessions"`
	DaysRunning int           `json:"days_running"` // the most training days in a row up to one of this week
	Days        []dayJSON     `json:"days"`
	Patterns    []patternJSON `json:"patterns"` // those that the week holds, in the library's order
	Muscles     []muscleJSON  `json:"muscles"`  // those that it holds, most fractional sets first
	PushToPull  ratioJSON     `json:"push_to_pull"`
	SquatHinge  ratioJSON     `json:"squat_to_hinge"`
	SingleLeg   singleLegJSON `json:"single_leg"`
	Outside     []string      `json:"outside"` // what lies outside the club's bounds, in words
}

type dayJSON struct {
	Date        string        `json:"date"`
	Session     string        `json:"session"`
	Rest        bool          `json:"rest"`
	LowSeconds  int64         `json:"low_seconds"` // estimated length, from
	HighSeconds int64         `json:"high_seconds"`
	Length      []lengthJSON  `json:"length"` // what it is made of
	Patterns    []patternJSON `json:"patterns"`
}

type lengthJSON struct {
	Part        string `json:"part"` // a letter, warm-up, cool-down, changes or choice
	How         string `json:"how"`  // what it is reckoned from
	LowSeconds  int64  `json:"low_seconds"`
	HighSeconds int64  `json:"high_seconds"`
	Counts      bool   `json:"counts"` // adds to the day's length
}

type patternJSON struct {
	Pattern     Pattern `json:"pattern"`
	Sets        float64 `json:"sets"`
	Reps        float64 `json:"reps"`
	Days        int     `json:"days,omitempty"`         // of a week: on how many days
	DaysRunning int     `json:"days_running,omitempty"` // of a week: the most in a row up to one of its days
}

type muscleJSON struct {
	Muscle         string  `json:"muscle"`
	DirectSets     float64 `json:"direct_sets"`
	HelpingSets    float64 `json:"helping_sets"`
	FractionalSets float64 `json:"fractional_sets"` // direct and half of helping
	TotalSets      float64 `json:"total_sets"`
	DirectReps     float64 `json:"direct_reps"`
	HelpingReps    float64 `json:"helping_reps"`
	FractionalReps float64 `json:"fractional_reps"`
}

// ratioJSON holds both sides; a ratio is null where one side is nothing.
type ratioJSON struct {
	FirstSets  float64  `json:"first_sets"`
	SecondSets float64  `json:"second_sets"`
	SetsRatio  *float64 `json:"sets_ratio"`
	FirstReps  float64  `json:"first_reps"`
	SecondReps float64  `json:"second_reps"`
	RepsRatio  *float64 `json:"reps_ratio"`
}

type singleLegJSON struct {
	SingleLegSets float64  `json:"single_leg_sets"`
	LowerBodySets float64  `json:"lower_body_sets"`
	Share         *float64 `json:"share"` // 0 to 1; null without lower-body sets
}

// WeeksJSON writes the balance of weeks as indented JSON, with what of them lies outside a club's bounds. The fields
// are those of weeksJSON.
func WeeksJSON(weeks []Week, bounds []Bound) ([]byte, error) {
	out := weeksJSON{Weeks: []weekJSON{}, Counted: countedHow, Published: published}
	for i := range weeks {
		out.Weeks = append(out.Weeks, weekOf(&weeks[i], bounds))
	}
	text, err := json.MarshalIndent(out, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("write the weeks as JSON: %w", err)
	}
	return append(text, '\n'), nil
}

func weekOf(w *Week, bounds []Bound) weekJSON {
	j := weekJSON{Start: w.Start.String(), Sessions: w.Sessions, DaysRunning: w.Running, Days: []dayJSON{}, Patterns: []patternJSON{},
		Muscles: []muscleJSON{}, PushToPull: ratioOf(w.Push, w.Pull), SquatHinge: ratioOf(w.Squat, w.Hinge),
		SingleLeg: singleLegJSON{w.SingleLeg.Sets, w.Lower.Sets, ratio(w.SingleLeg.Sets, w.Lower.Sets, true)}, Outside: []string{}}
	for _, d := range w.Days {
		j.Days = append(j.Days, dayOf(d))
	}
	for _, p := range Patterns() {
		if t, ok := w.Patterns[p]; ok {
			j.Patterns = append(j.Patterns, patternJSON{p, t.Sets, t.Reps, t.Days, t.Running})
		}
	}
	for _, name := range w.musclesBySets() {
		m := w.Muscles[name]
		f := m.Fractional()
		j.Muscles = append(j.Muscles, muscleJSON{name, m.Direct.Sets, m.Helping.Sets, f.Sets, m.Total().Sets, m.Direct.Reps, m.Helping.Reps, f.Reps})
	}
	for _, p := range Outside(bounds, []Week{*w}) {
		j.Outside = append(j.Outside, p.Message)
	}
	return j
}

func dayOf(d DayBalance) dayJSON {
	secs := func(x time.Duration) int64 { return int64(x / time.Second) }
	j := dayJSON{Date: d.Date.String(), Session: d.Title, Rest: d.Rest, LowSeconds: secs(d.Low), HighSeconds: secs(d.High),
		Length: []lengthJSON{}, Patterns: []patternJSON{}}
	for _, l := range d.Length {
		j.Length = append(j.Length, lengthJSON{l.Part, l.How, secs(l.Low), secs(l.High), l.Counts})
	}
	for _, p := range Patterns() {
		if t := d.Patterns[p]; t.Sets > 0 {
			j.Patterns = append(j.Patterns, patternJSON{Pattern: p, Sets: t.Sets, Reps: t.Reps})
		}
	}
	return j
}

func ratioOf(x, y Tally) ratioJSON {
	return ratioJSON{x.Sets, y.Sets, ratio(x.Sets, y.Sets, false), x.Reps, y.Reps, ratio(x.Reps, y.Reps, false)}
}

// ratio divides where it can; nothing over something is no ratio, unless it is a share.
func ratio(x, y float64, share bool) *float64 {
	if y == 0 || x == 0 && !share {
		return nil
	}
	r := x / y
	return &r
}
