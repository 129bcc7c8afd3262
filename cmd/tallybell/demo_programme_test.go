package main

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"tallybell/content"
)

// The programme's shape: five days of training and two of rest in each of its four weeks.
const (
	demoWeeks       = 4
	demoTrainingDay = "TTT-T-T" // T a day of training
)

// demoWeek returns the seven sessions of a week, from 1.
func demoWeek(sessions map[int]content.Session, week int) []content.Session {
	var out []content.Session
	for day := range 7 {
		out = append(out, sessions[(week-1)*7+day-demoToday])
	}
	return out
}

// TestDemoProgramme holds the shape, and that a coach would send it: no message on a day, none across days (that is
// within demoSessions and CheckWeek), a warm-up and a cool-down each day, an effort, and a message on each day of rest.
func TestDemoProgramme(t *testing.T) {
	d := demo(t)
	if len(d.Sheets) != 7*demoWeeks {
		t.Fatalf("%d sheets, want %d", len(d.Sheets), 7*demoWeeks)
	}
	sessions := demoSessions(t, d)
	var days []content.Session
	titles, efforts := map[string]bool{}, map[string]int{}
	for week := 1; week <= demoWeeks; week++ {
		shape := ""
		for _, s := range demoWeek(sessions, week) {
			days = append(days, s)
			if titles[s.Title] {
				t.Errorf("%s: the title %q is used twice", s.Date, s.Title)
			}
			titles[s.Title] = true
			if want := "Roof weeks, week " + string(rune('0'+week)) + " day " + string(rune('1'+len(shape))); s.Programme != want {
				t.Errorf("%s: programme %q, want %q", s.Date, s.Programme, want)
			}
			if s.About == "" {
				t.Errorf("%s says nothing about the day", s.Date)
			}
			if s.Rest {
				shape += "-"
				continue
			}
			shape += "T"
			efforts[s.Effort]++
			if len(s.WarmUp) == 0 || len(s.CoolDown) == 0 || len(s.Parts) < 2 || s.Focus == "" || s.Length == 0 {
				t.Errorf("%s lacks a warm-up, a cool-down, a focus, a length or a second part", s.Date)
			}
			for _, p := range s.Parts {
				if p.IsScored() && p.Aim == "" {
					t.Errorf("%s: part %s is scored and has no aim", s.Date, p.Letter)
				}
			}
		}
		if shape != demoTrainingDay {
			t.Errorf("week %d is %s, want %s", week, shape, demoTrainingDay)
		}
	}
	for i, problems := range content.CheckWeek(content.Builtin(), days) {
		for _, p := range problems {
			t.Errorf("%s: %s", days[i].Date, p.In("sheet"))
		}
	}
	for _, e := range []string{"light", "normal", "hard", "test"} {
		if efforts[e] == 0 {
			t.Errorf("no day is %s: %v", e, efforts)
		}
	}
}

// Texts name no weekday, as the programme is moved to the days around any today.
func TestDemoSheetsNameNoWeekday(t *testing.T) {
	for i, text := range demo(t).Sheets {
		for _, name := range []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "weekend", "\ndate:"} {
			if strings.Contains(strings.ToLower(string(text)), name) {
				t.Errorf("%s speaks of %q", demoSheetName(i), name)
			}
		}
	}
}

// The programme shows what the language can say: every scheme, every setting and every kind of line.
func TestDemoProgrammeUsesTheLanguage(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range demoSessions(t, demo(t)) {
		seen["choose"] = seen["choose"] || len(s.Choose) > 1
		seen["short"] = seen["short"] || len(s.Short) > 0
		for _, p := range s.Parts {
			seen[string(p.Scheme)] = true
			seen[string(p.Scheme)+" "+string(p.Order)] = true
			seen["optional"] = seen["optional"] || p.Optional
			seen["note"] = seen["note"] || p.Note != ""
			seen["times through"] = seen["times through"] || p.Through > 1
			seen["rest between"] = seen["rest between"] || p.RestBetween > 0 && p.RestAfter > 0
			for _, m := range p.Movements {
				seen["backpack lifted"] = seen["backpack lifted"] || p.Scheme == content.Heaviest && m.Load.Kit == "backpack"
				seen["percent of reps"] = seen["percent of reps"] || m.Amount.Kind == content.AmountPercent
				seen["percent of load"] = seen["percent of load"] || m.Load.Percent > 0
				seen["range"] = seen["range"] || m.Amount.High > m.Amount.Low
				seen["tempo"] = seen["tempo"] || m.Tempo != ""
				seen["reserve"] = seen["reserve"] || m.HasReserve
				seen["cue"] = seen["cue"] || len(m.Cues) > 0
				seen["care"] = seen["care"] || len(m.Cares) > 0
				for _, w := range m.Ways {
					seen["way "+string(w.Kind)] = true
					seen[string(p.Scheme)+" "+string(w.Kind)] = true
				}
			}
		}
	}
	for _, want := range []string{"sets in turn", "sets each", "quality", "stations", "rounds", "ladder", "amrap",
		"every in turn", "every together", "heaviest", "backpack lifted", "most reps", "longest hold", "farthest or",
		"choose", "short", "optional", "note", "times through", "rest between", "percent of reps", "percent of load", "range",
		"tempo", "reserve", "cue", "care", "way easier", "way harder", "way if", "way or"} {
		if !seen[want] {
			t.Errorf("nothing is a sample of: %s", want)
		}
	}
}

// Pieces that come back so that progress can be found: each scheme's scored part of week 1 stands in week 4 word for
// word, whatever its letter.
func TestDemoMarkersComeBack(t *testing.T) {
	sessions := demoSessions(t, demo(t))
	plain := func(week int, scheme content.Scheme) map[string]bool {
		out := map[string]bool{}
		for _, s := range demoWeek(sessions, week) {
			for _, p := range s.Parts {
				if p.Scheme == scheme && p.IsScored() {
					p.Letter = "A"
					out[string(content.Format(content.Session{Title: "x", Parts: []content.Part{p}}))] = true
				}
			}
		}
		return out
	}
	for _, scheme := range []content.Scheme{content.Stations, content.Rounds, content.MostReps, content.LongestHold} {
		first, last := plain(1, scheme), plain(4, scheme)
		if len(first) == 0 {
			t.Errorf("week 1 has no %s", scheme)
		}
		for part := range first {
			if !last[part] {
				t.Errorf("week 4 does not repeat this piece of week 1, it has %v:\n%s", slices.Collect(maps.Keys(last)), part)
			}
		}
	}
	if second, last := plain(2, content.Heaviest), plain(4, content.Heaviest); len(second) != 1 || !maps.Equal(second, last) {
		t.Errorf("the heaviest set of week 2, %v, is not that of week 4, %v", second, last)
	}
}

// The bounds of a week's balance are our own, no source.
const (
	demoRatioLow, demoRatioHigh = 0.6, 1.6 // pushing to pulling reps, squatting to hinging reps
	demoDaysRunning             = 3        // days of training in a row within a week
	demoPatternRunning          = 3        // days in a row with the same pattern, weeks joined
)

// TestDemoBalance holds each week to the bounds, with every pattern at least once and none on too many days in a row, and
// the weeks to a course: more sets each week for three weeks, and in the fourth fewer than in the first.
func TestDemoBalance(t *testing.T) {
	lib := content.Builtin()
	sessions := demoSessions(t, demo(t))
	var sets []float64
	for week := 1; week <= demoWeeks; week++ {
		patterns := map[content.Pattern]content.Tally{}
		total, running := 0.0, 0
		for _, s := range demoWeek(sessions, week) {
			if running++; s.Rest {
				running = 0
			}
			if running > demoDaysRunning {
				t.Errorf("%s is day %d of training in a row", s.Date, running)
			}
			for p, tally := range content.Balance(lib, s).Patterns {
				old := patterns[p]
				patterns[p] = content.Tally{Sets: old.Sets + tally.Sets, Reps: old.Reps + tally.Reps}
				if !p.Service() {
					total += tally.Sets
				}
			}
		}
		sets = append(sets, total)
		for _, p := range content.Patterns() {
			if !p.Service() && patterns[p].Sets < 1 {
				t.Errorf("week %d has no %s", week, p)
			}
		}
		ratio := func(name string, one, other [2]content.Pattern) {
			r := (patterns[one[0]].Reps + patterns[one[1]].Reps) / (patterns[other[0]].Reps + patterns[other[1]].Reps)
			if !(r >= demoRatioLow && r <= demoRatioHigh) {
				t.Errorf("week %d: %s is %.2f to 1, want %.1f to %.1f", week, name, r, demoRatioLow, demoRatioHigh)
			}
		}
		ratio("push to pull", [2]content.Pattern{content.PatternPush, content.PatternOverhead}, [2]content.Pattern{content.PatternRow, content.PatternPull})
		ratio("squat to hinge", [2]content.Pattern{content.PatternSquat, content.PatternSplit}, [2]content.Pattern{content.PatternHinge, content.PatternBridge})
	}
	for _, p := range content.Patterns() {
		if p.Service() {
			continue
		}
		running := 0
		for i := range 7 * demoWeeks {
			s := sessions[i-demoToday]
			if running++; content.Balance(lib, s).Patterns[p].Sets == 0 {
				running = 0
			}
			if running > demoPatternRunning {
				t.Errorf("%s is day %d in a row with %s", s.Date, running, p)
			}
		}
	}
	if !(sets[0] < sets[1] && sets[1] < sets[2] && sets[3] < sets[0]) {
		t.Errorf("sets by week are %.0f", sets)
	}
}

// Whoever owns nothing at all has something to do in every line, at every level.
func TestDemoSuitsWhoHasNothing(t *testing.T) {
	for _, level := range []string{content.LevelEasier, content.LevelAsWritten, content.LevelHarder} {
		fit := content.Fit{KitKnown: true, Level: level}
		for day, s := range demoSessions(t, demo(t)) {
			for _, c := range content.Fitted(s, fit, content.Builtin()).Changes {
				if c.NoFit || c.LeaveOut {
					t.Errorf("day %d, %s: %s of part %s: %s", day, level, c.Was, c.Part, c.Why)
				}
			}
		}
	}
}

// Every member of the demo, with their kit, level and limits, has something to do in every line, but for what is meant
// to be left out: a test of one's most for who shall not do that, and one of the parts to choose from.
func TestDemoSuitsItsMembers(t *testing.T) {
	d := demo(t)
	sessions := demoSessions(t, d)
	fits := demoFits(t, d)
	for _, m := range d.Members {
		fit := fits[m.Nick]
		for _, s := range sessions {
			shut := map[string]bool{} // parts to choose from that this member cannot do in full
			for _, c := range content.Fitted(s, fit, content.Builtin()).Changes {
				if !c.NoFit && !c.LeaveOut {
					continue
				}
				p, _ := s.Part(c.Part)
				test := p != nil && (p.Scheme == content.Heaviest || p.Scheme == content.MostReps || p.Scheme == content.LongestHold)
				switch {
				case slices.Contains(s.Choose, c.Part):
					shut[c.Part] = true
				case test && c.LeaveOut && slices.Contains(m.Limits, "no max effort"):
				default:
					t.Errorf("%s, %s: %s of part %s: %s", s.Date, m.Name, c.Was, c.Part, c.Why)
				}
			}
			if len(shut) > 0 && len(shut) == len(s.Choose) {
				t.Errorf("%s, %s: nothing remains to choose from", s.Date, m.Name)
			}
		}
	}
}
