package content

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// TestMuscleSets: 6 direct and 8 indirect sets are 14 in total, 10 fractional, 6 direct (Pelland et al. 2024, a
// preprint).
func TestMuscleSets(t *testing.T) {
	// Close-grip push-ups are triceps first; push-ups are helped by them.
	week := Weeks(Builtin(), []Session{
		day(t, "2027-02-01", "A. 6 sets\n10 close-grip push-up\n"),
		day(t, "2027-02-03", "A. 8 sets\n10 push-up\n"),
	})[0]
	m := week.Muscles["triceps"]
	if m.Total().Sets != 14 || m.Fractional().Sets != 10 || m.Direct.Sets != 6 {
		t.Errorf("total %v, fractional %v, direct %v; want 14, 10, 6", m.Total().Sets, m.Fractional().Sets, m.Direct.Sets)
	}
}

func TestSingleLegShare(t *testing.T) {
	week := Weeks(Builtin(), []Session{day(t, "2027-02-01",
		"A. 3 sets\n10 squat\nB. 2 sets\n10 split squat, 5 each side\nC. 1 set\n10 single-leg deadlift, 5 each side\nD. 5 sets\n10 push-up\n")})[0]
	if week.SingleLeg.Sets != 3 || week.Lower.Sets != 6 {
		t.Errorf("%v of %v lower-body sets are single-leg, want 3 of 6", week.SingleLeg.Sets, week.Lower.Sets)
	}
}

func TestDaysRunning(t *testing.T) {
	push, squat := "A. 3 sets\n10 push-up\n", "A. 3 sets\n10 squat\n"
	rest := mustParse(t, "session: Rest\ndate: 2027-02-09\nrest: yes\nabout: sleep\n")
	weeks := Weeks(Builtin(), []Session{
		day(t, "2027-02-10", squat), // out of order
		day(t, "2027-02-06", push), day(t, "2027-02-07", push), day(t, "2027-02-08", push), rest,
	})
	if len(weeks) != 2 || weeks[0].Running != 2 || weeks[0].Patterns[PatternPush].Running != 2 {
		t.Fatalf("the first week: %+v", weeks[0])
	}
	second := weeks[1]
	if second.Running != 3 || second.Patterns[PatternPush].Running != 3 || second.Patterns[PatternPush].Days != 1 || second.Patterns[PatternSquat].Running != 1 {
		t.Errorf("the second week: running %d, %+v; a run goes on from the week before", second.Running, second.Patterns)
	}
}

func TestSameDates(t *testing.T) {
	texts := [][]byte{[]byte("session: A\ndate: 2027-02-01\nWarm-up:\nwall slide\nA. 3 sets\n10 push-up\n"), []byte("session: B\nA. 9 sets\n10 squat\n"), []byte("x")}
	names := []string{"monday.txt", "2027-02-01.txt", "broken.txt"}
	var days []Session
	for i, text := range texts {
		s, _ := Read(Builtin(), names[i], text)
		days = append(days, s)
	}
	got := SameDates(names, texts, days)
	if len(got[0]) != 1 || got[0][0].In("a") != "a:2:7: warning: 2027-02-01 is the date of 2027-02-01.txt too; the week counts this sheet, the first, alone" {
		t.Errorf("the first says %v", got[0])
	}
	if len(got[1]) != 1 || got[1][0].In("b") != "b:1:1: warning: 2027-02-01 is the date of monday.txt too; the week counts that sheet, the first, alone" {
		t.Errorf("the second says %v", got[1])
	}
	if len(got[2]) != 0 {
		t.Errorf("a sheet without a date says %v", got[2])
	}
	if w := Weeks(Builtin(), days); len(w) != 1 || w[0].Sessions != 1 || w[0].Patterns[PatternSquat].Sets != 0 || w[0].Patterns[PatternPush].Sets != 3 {
		t.Errorf("the week counts %+v", w)
	}
}

// TestWeeksJSON holds the fields that programs may rely on.
func TestWeeksJSON(t *testing.T) {
	bounds, _ := ParseBounds([]byte("row sets: 99\nsessions: at least 1\n"))
	text, err := WeeksJSON(Weeks(Builtin(), chartDays(t)), bounds)
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "week.json", string(text))
}

// oneSet is one set of one movement, as the naive recount below writes it down.
type oneSet struct {
	date  Date
	entry *Entry
	reps  float64
	share float64
}

// recount writes down every single set of a session, without the code under test.
func recount(lib *Library, s Session) (sets []oneSet) {
	for _, p := range s.Parts {
		share := 1.0
		for _, c := range s.Choose {
			if c == p.Letter {
				share = 1 / float64(len(s.Choose))
			}
		}
		one := func(m Movement, reps float64) {
			e, _ := lib.Named(m.Name)
			if e.Hold() || m.Amount.Kind == AmountTime {
				reps = 0
			}
			if e.Sides == OneSide {
				reps /= 2
			}
			sets = append(sets, oneSet{s.Date, e, reps, share})
		}
		for n := 0; n < p.Sets+p.Rounds; n++ { // a part has only one of the two
			for _, m := range p.Movements {
				one(m, float64(m.Amount.Low+m.Amount.High)/2)
			}
		}
		for _, rung := range p.Rungs {
			for _, m := range p.Movements {
				one(m, float64(rung))
			}
		}
		for n := 0; n < p.Through; n++ {
			for _, m := range p.Movements {
				e, _ := lib.Named(m.Name)
				one(m, math.Round(p.Work.Seconds()*2/(e.SecondsLow+e.SecondsHigh)))
			}
		}
		if p.Scheme == Every {
			for n := 0; time.Duration(n+1)*p.Interval <= p.Duration; n++ {
				for k, m := range p.Movements {
					if p.Order == Together || k == n%len(p.Movements) {
						one(m, float64(m.Amount.Low))
					}
				}
			}
		}
	}
	return sets
}

// drawDay makes a session of a few parts.
func drawDay(t *rapid.T, lib *Library, date Date) Session {
	s := Session{Title: "T", Date: date}
	for i := range rapid.IntRange(1, 5).Draw(t, "parts") {
		p := Part{Letter: string(rune('A' + i)), Scheme: rapid.SampledFrom([]Scheme{Sets, Rounds, Ladder, Stations, Every}).Draw(t, "scheme")}
		for range rapid.IntRange(1, 4).Draw(t, "movements") {
			m := Movement{Name: rapid.SampledFrom(lib.Entries()).Draw(t, "entry").Name}
			switch {
			case p.Scheme == Ladder || p.Scheme == Stations:
			case rapid.Bool().Draw(t, "timed"):
				m.Amount = Amount{Kind: AmountTime, Low: 30_000, High: 30_000}
			default:
				low := rapid.Int64Range(1, 40).Draw(t, "low")
				m.Amount = Amount{Kind: AmountReps, Low: low, High: low}
				if p.Scheme == Sets {
					m.Amount.High += rapid.Int64Range(0, 5).Draw(t, "more")
				}
			}
			p.Movements = append(p.Movements, m)
		}
		n := rapid.IntRange(1, 9).Draw(t, "times")
		switch p.Scheme {
		case Sets:
			p.Sets = n
		case Rounds:
			p.Rounds = n
		case Ladder:
			p.Rungs = rapid.SliceOfN(rapid.IntRange(1, 30), 1, 6).Draw(t, "rungs")
		case Stations:
			p.Stations, p.Work, p.Through = len(p.Movements), time.Duration(15*n)*time.Second, rapid.IntRange(1, 3).Draw(t, "through")
		case Every:
			p.Interval = time.Duration(rapid.IntRange(2, 6).Draw(t, "quarters")) * 15 * time.Second
			p.Duration = time.Duration(n)*p.Interval + time.Duration(rapid.IntRange(0, 1).Draw(t, "rest"))*10*time.Second
			p.Order = rapid.SampledFrom([]Order{"", InTurn, Together}).Draw(t, "order")
		}
		s.Parts = append(s.Parts, p)
	}
	if len(s.Parts) > 2 && rapid.Bool().Draw(t, "choose") {
		s.Choose = []string{"B", "C"}
	}
	return s
}

func drawDays(t *rapid.T, lib *Library) []Session {
	var days []Session
	for range rapid.IntRange(1, 9).Draw(t, "days") {
		days = append(days, drawDay(t, lib, Date{2027, 2, 1}.AddDays(rapid.IntRange(0, 16).Draw(t, "day"))))
	}
	return days
}

// TestBalanceIsTheNaiveRecount compares the weeks' totals with a list of every single set.
func TestBalanceIsTheNaiveRecount(t *testing.T) {
	lib := Builtin()
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }
	rapid.Check(t, func(t *rapid.T) {
		days := drawDays(t, lib)
		var all []oneSet
		dates := map[Date]bool{}
		for _, s := range days {
			if !dates[s.Date] {
				dates[s.Date] = true
				all = append(all, recount(lib, s)...)
			}
		}
		sessions := 0
		for _, w := range Weeks(lib, days) {
			sessions += w.Sessions
			for _, p := range Patterns() {
				var want Tally
				on := map[Date]bool{}
				for _, o := range all {
					if o.entry.Pattern == p && o.date.DaysSince(w.Start) >= 0 && o.date.DaysSince(w.Start) < 7 {
						want.Sets += o.share
						want.Reps += o.share * o.reps
						on[o.date] = true
					}
				}
				if got := w.Patterns[p]; !near(got.Sets, want.Sets) || !near(got.Reps, want.Reps) || got.Days != len(on) {
					t.Fatalf("week of %s, %s: %+v, recounted %+v on %d days", w.Start, p, got, want, len(on))
				}
				longest := 0 // the run that ends on each day of the week, counted back a day at a time
				for i := range 7 {
					run := 0
					for d := w.Start.AddDays(i); trains(all, d, p); d = d.AddDays(-1) {
						run++
					}
					longest = max(longest, run)
				}
				if got := w.Patterns[p].Running; got != longest {
					t.Fatalf("week of %s, %s: %d days running, recounted %d", w.Start, p, got, longest)
				}
			}
			for _, m := range entryMuscles {
				var direct, helping float64
				for _, o := range all {
					if o.date.DaysSince(w.Start) < 0 || o.date.DaysSince(w.Start) >= 7 {
						continue
					}
					if o.entry.Main == m {
						direct += o.share
						continue
					}
					for _, h := range o.entry.Helping {
						if h == m {
							helping += o.share
							break
						}
					}
				}
				if got := w.Muscles[m]; !near(got.Direct.Sets, direct) || !near(got.Fractional().Sets, direct+helping/2) || !near(got.Total().Sets, direct+helping) {
					t.Fatalf("week of %s, %s: %+v, recounted %v direct, %v helping", w.Start, m, got, direct, helping)
				}
			}
		}
		if sessions != len(dates) {
			t.Fatalf("%d sessions, want %d", sessions, len(dates))
		}
	})
}

func trains(all []oneSet, d Date, p Pattern) bool {
	for _, o := range all {
		if o.date == d && o.entry.Pattern == p {
			return true
		}
	}
	return false
}
