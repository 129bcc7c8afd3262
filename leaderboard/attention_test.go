package leaderboard

import (
	"math/rand"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tallybell/content"
)

var reportDay = content.Date{Year: 2027, Month: time.February, Day: 1}

// The numbers that the club file starts with.
var usualThresholds = Thresholds{HurtDays: 3, QuietDays: 3, NewcomerDays: 2, OutOfTime: 2, LightEffort: 6, LightTimes: 2,
	FastestIn: 5, FastestOf: 10, FastestTimes: 3, MarkedDays: 3, LoadPercent: 50}

// followed is a member who has been here for long; each day, latest first, is described by words: "." nothing was sent,
// "s" a session without an answer, "x" excused, "h" heard with words alone, "d" done, "t" a finished time as written,
// "c" out of time as written, "C" the same scaled, "S" a finished time scaled. A figure behind it is the effort; "r"
// and "R" behind it are the second and the third of 12 on a board, "q" the first of nine, "m" marked.
func followed(name string, days ...string) Followed {
	f := Followed{Member: "id-" + name, Name: name, Joined: reportDay.AddDays(-300)}
	part := &content.Part{Letter: "D", Scheme: content.Rounds, Rounds: 5, Cap: 16 * time.Minute}
	for i := range FollowedDays {
		d := Day{Date: reportDay.AddDays(-i), Over: true}
		if i < len(days) && days[i] != "." {
			d.Sent = true
			describe(&d, days[i], part)
		}
		f.Days = append(f.Days, d)
	}
	return f
}

func describe(d *Day, words string, part *content.Part) {
	d.Heard = words[0] != 's' && words[0] != 'x'
	d.Excused = words[0] == 'x'
	yes, no, reps := true, false, int64(74)
	rec := &Record{Date: d.Date, Part: "D", Kind: content.KindTime}
	rec.Result = content.Result{Kind: content.KindTime, Finished: &yes, TimeMS: 872_000, Version: content.AsWritten}
	switch words[0] {
	case 's', 'x', 'h':
		return
	case 'd':
		rec.Kind, rec.Off, rec.Result = content.KindDone, OffUnscored, content.Result{Kind: content.KindDone}
	case 'c':
		rec.Result.Finished, rec.Result.TimeMS, rec.Result.Reps = &no, 0, &reps
	case 'C':
		rec.Result.Finished, rec.Result.TimeMS, rec.Result.Reps, rec.Result.Version = &no, 0, &reps, content.Scaled
	case 'S':
		rec.Result.Version = content.Scaled
	}
	o := Outcome{Record: rec, Part: part}
	for _, w := range words[1:] {
		switch {
		case '0' <= w && w <= '9':
			effort := float64(w - '0')
			d.Effort = &effort
			load := effort * 100
			d.Load = &load
		case w == 'r':
			o.Places = append(o.Places, Standing{"women", 2, 12})
		case w == 'R':
			o.Places = append(o.Places, Standing{"women", 3, 12})
		case w == 'q':
			o.Places = append(o.Places, Standing{"50+", 1, 9})
		case w == 'm':
			rec.Marked = true
		}
	}
	d.Results = append(d.Results, o)
}

// rulesOf are the rules that fire for one member.
func rulesOf(f Followed, t Thresholds) string {
	var out []string
	for _, n := range Attention([]Followed{f}, t, reportDay) {
		out = append(out, string(n.Rule))
	}
	return strings.Join(out, " ")
}

// TestEachRuleFiresAndJustDoesNot has, for each rule, a member for whom it fires and one for whom it just does not.
func TestEachRuleFiresAndJustDoesNot(t *testing.T) {
	with := func(f Followed, change func(*Followed)) Followed { change(&f); return f }
	loads := func(week ...float64) Followed {
		f := followed("Ada")
		for i, x := range week {
			d := &f.Days[7*i+3]
			d.Heard, d.Load, d.Results = true, &x, []Outcome{{Record: &Record{Date: d.Date, Kind: content.KindDone, Off: OffUnscored}}}
		}
		return f
	}
	mention := func(ago int, stop bool) func(*Followed) {
		return func(f *Followed) { f.Hurt = append(f.Hurt, Mention{Date: reportDay.AddDays(-ago), Stop: stop}) }
	}
	for _, tt := range []struct {
		what string
		f    Followed
		want string
	}{
		{"pain two days ago", with(followed("Ada", "t"), mention(2, false)), "hurt"},
		{"pain three days ago", with(followed("Ada", "t"), mention(3, false)), ""},
		{"pain of tomorrow is not of this morning", with(followed("Ada", "t"), mention(-1, false)), ""},
		{"a mishap", with(followed("Ada", "t"), func(f *Followed) { f.Hurt = []Mention{{Date: reportDay, Mishap: true}} }), "incident"},
		{"a mishap three days ago", with(followed("Ada", "t"), func(f *Followed) { f.Hurt = []Mention{{Date: reportDay.AddDays(-3), Mishap: true}} }), ""},
		{"a warning sign after a fall", with(followed("Ada", "t"), func(f *Followed) { f.Hurt = []Mention{{reportDay, true, true}} }), "hurt"},
		{"held since long ago", with(followed("Ada", "t"), func(f *Followed) { f.Held = true }), "hurt"},
		{"a question waits", with(followed("Ada", "t"), func(f *Followed) { f.Asked = []content.Date{reportDay.AddDays(-9)} }), "question"},
		{"it was asked after this morning", with(followed("Ada", "t"), func(f *Followed) { f.Asked = []content.Date{reportDay.AddDays(1)} }), ""},
		{"three scheduled days without a word", followed("Ada", "s", ".", "s", "s", "t"), "quiet"},
		{"two of them", followed("Ada", "s", ".", "s", "t", "s"), ""},
		{"excused days do not count", followed("Ada", "s", "x", "s", "t"), ""},
		{"nor do they end it", followed("Ada", "s", "x", "s", "s", "t"), "quiet"},
		{"words are heard too", followed("Ada", "s", "s", "h", "s"), ""},
		{"today is not over", with(followed("Ada", "s", "s", "s", "t"), func(f *Followed) { f.Days[0].Over = false }), ""},
		{"who pauses is not quiet", with(followed("Ada", "s", "s", "s"), func(f *Followed) { f.Away = true }), ""},
		{"new, and two days", with(followed("Ada", "s", "s", "s"), func(f *Followed) { f.Joined = reportDay.AddDays(-3) }), "newcomer"},
		{"new, and one day", with(followed("Ada", "s", "s"), func(f *Followed) { f.Joined = reportDay.AddDays(-9) }), ""},
		{"new, and nothing was sent", with(followed("Ada"), func(f *Followed) { f.Joined = reportDay.AddDays(-9) }), ""},
		{"new, and has replied", with(followed("Ada", "s", "s", "h"), func(f *Followed) { f.Joined = reportDay.AddDays(-9) }), ""},
		{"out of time twice running", followed("Ada", "c", "s", "c", "t"), "out_of_time"},
		{"the last one was finished", followed("Ada", "t", "c", "c"), ""},
		{"not running", followed("Ada", "c", "t", "c"), ""},
		{"not at the same level", followed("Ada", "c", "C"), ""},
		{"scaled both times", followed("Ada", "C", "C"), "out_of_time"},
		{"unscored parts between do not matter", followed("Ada", "c", "d", "c"), "out_of_time"},
		{"too long ago to tell", followed("Ada", "h", "h", "h", "h", "h", "h", "h", "c", "c"), ""},
		{"as written with effort 6 and 5", followed("Ada", "t6", "t5"), "light"},
		{"with effort 7", followed("Ada", "t7", "t5"), ""},
		{"once", followed("Ada", "t6"), ""},
		{"scaled between", followed("Ada", "t6", "S5", "t5"), ""},
		{"a day without effort is skipped", followed("Ada", "t6", "t", "t5"), "light"},
		{"out of time is not light", followed("Ada", "t6", "c5"), ""},
		{"not for who hurts", with(followed("Ada", "t6", "t5"), mention(1, false)), "hurt"},
		{"nor for who hurt before the first of them", with(followed("Ada", "t6", "t5"), mention(5, false)), "light"},
		{"second of twelve three times", followed("Ada", "tr", "tr", "s", "tr", "t"), "fastest"},
		{"twice", followed("Ada", "tr", "tr"), ""},
		{"third of twelve once", followed("Ada", "tr", "tR", "tr"), ""},
		{"a board of nine does not count", followed("Ada", "tq", "tr", "tr"), ""},
		{"and does not end it", followed("Ada", "tr", "tq", "tr", "tr"), "fastest"},
		{"marked two days ago", followed("Ada", "t", "t", "tm"), "marked"},
		{"marked three days ago", followed("Ada", "t", "t", "t", "tm"), ""},
		{"a week's load of 901 after 600", loads(901, 500, 600, 700), "load"},
		{"of 900", loads(900, 500, 600, 700), ""},
		{"a week before was without any", loads(900, 500, 0, 700), ""},
		{"a week before is not known", with(loads(2000, 500, 600, 700), func(f *Followed) { f.Days[9] = f.Days[10]; f.Days[9].Load = nil }), ""},
		{"a day of this week is not known", with(loads(901, 500, 600, 700), func(f *Followed) { f.Days[2] = f.Days[3]; f.Days[2].Load = nil }), "load"},
		{"here for less than four weeks", with(loads(901, 500, 600, 700), func(f *Followed) { f.Joined = reportDay.AddDays(-26) }), ""},
	} {
		t.Run(tt.what, func(t *testing.T) {
			if got := rulesOf(tt.f, usualThresholds); got != tt.want {
				t.Errorf("the list names %q, want %q", got, tt.want)
			}
			if got := rulesOf(tt.f, Thresholds{}); got != "" && got != "question" {
				t.Errorf("with every number 0 the list names %q", got)
			}
		})
	}
}

func TestReasonsHaveTheirNumbers(t *testing.T) {
	people := []Followed{followed("Ada", "tr6", "tr", "tr5"), followed("Bo", "s", "s", "s", "t"), followed("Cy", "c", "c")}
	var told []string
	for _, n := range Attention(people, usualThresholds, reportDay) {
		told = append(told, n.Name+": "+n.Reason+" ("+n.Because+") "+n.Offer)
	}
	want := []string{
		"Bo: no result for 3 scheduled days (Sat 30 Jan, Sun 31 Jan, Mon 1 Feb) ",
		"Cy: out of time twice running, as written (D cap at 74 reps on Sun 31 Jan, D cap at 74 reps on Mon 1 Feb) you may offer an easier line",
		"Ada: as written with effort 6 or less twice (effort 5 on Sat 30 Jan, effort 6 on Mon 1 Feb) " + offerHarder,
		"Ada: in the fastest fifth of at least 10 3 times running (2 of 12 women, D on Sat 30 Jan; 2 of 12 women, D on Sun 31 Jan; " +
			"2 of 12 women, D on Mon 1 Feb) " + offerHarder,
	}
	if !slices.Equal(told, want) {
		t.Errorf("told\n%s\nwant\n%s", strings.Join(told, "\n"), strings.Join(want, "\n"))
	}
}

// TestListIsInOrder: hurt and unanswered first, then quiet, then the rest, whatever order the people come in; nobody
// who is away or held is called quiet.
func TestListIsInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var people []Followed
		words := []string{".", "s", "x", "h", "t", "t5", "tr6", "c", "C", "S", "tm", "d"}
		for i := range rapid.IntRange(1, 8).Draw(t, "people") {
			f := followed(string(rune('A'+i%3)), rapid.SliceOfN(rapid.SampledFrom(words), 0, 12).Draw(t, "days")...)
			f.Member += string(rune('a' + i))
			f.Away, f.Held = rapid.Bool().Draw(t, "away"), rapid.IntRange(0, 3).Draw(t, "held") == 0
			if ago := rapid.IntRange(-1, 6).Draw(t, "hurt"); ago >= 0 {
				f.Hurt = []Mention{{reportDay.AddDays(-ago), rapid.Bool().Draw(t, "stop"), rapid.Bool().Draw(t, "mishap")}}
			}
			if rapid.Bool().Draw(t, "new") {
				f.Joined = reportDay.AddDays(-5)
			}
			people = append(people, f)
		}
		list := Attention(people, usualThresholds, reportDay)
		shuffled := slices.Clone(people)
		rand.New(rand.NewSource(int64(len(list)))).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if !slices.Equal(list, Attention(shuffled, usualThresholds, reportDay)) {
			t.Fatal("the order of the people shows")
		}
		order := []Rule{RuleHurt, RuleIncident, RuleQuestion, RuleQuiet, RuleNewcomer, RuleOutOfTime, RuleLight, RuleFastest, RuleMarked, RuleLoad}
		if !slices.IsSortedFunc(list, func(a, b Notice) int { return slices.Index(order, a.Rule) - slices.Index(order, b.Rule) }) {
			t.Fatalf("out of order: %+v", list)
		}
		of := map[string]Followed{}
		for _, f := range people {
			of[f.Member] = f
		}
		for _, n := range list {
			f := of[n.Member]
			if (n.Rule == RuleQuiet || n.Rule == RuleNewcomer) && (f.Away || f.Held) {
				t.Fatalf("%s is %s", n.Member, n.Rule)
			}
			if (n.Rule == RuleLight || n.Rule == RuleFastest) && f.Held {
				t.Fatalf("%s, held, is ready for more", n.Member)
			}
			if n.Reason == "" || n.Because == "" {
				t.Fatalf("no reason: %+v", n)
			}
		}
	})
}
