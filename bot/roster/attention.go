package roster

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Attention is what the coach's attention list goes by. A rule whose number is 0 is left out.
type Attention struct {
	HurtDays     int     // a mention of pain or of a mishap is listed for so many days
	QuietDays    int     // scheduled days without a result
	NewcomerDays int     // days since the first session without a reply
	OutOfTime    int     // times running
	LightEffort  float64 // this effort or less,
	LightTimes   int     // so many times
	FastestIn    int     // 5 is the first fifth
	FastestOf    int     // of at least so many on the board,
	FastestTimes int     // so many times running
	MarkedDays   int     // a marked result is listed for so many days
	LoadPercent  int     // a week's load more than so many percent above the mean of three weeks before
}

// DefaultAttention is what holds where the club file says nothing else.
func DefaultAttention() Attention {
	return Attention{HurtDays: 3, QuietDays: 3, NewcomerDays: 2, OutOfTime: 2, LightEffort: 6, LightTimes: 2,
		FastestIn: 5, FastestOf: 10, FastestTimes: 3, MarkedDays: 3, LoadPercent: 50}
}

// attentionRule is how one rule is written under attention:, with # for each number, and how it is taken in.
type attentionRule struct {
	name string // after no; "" for what cannot be left out
	form string
	most []float64 // each number is at least 1 and at most this
	set  func(a *Attention, n []float64)
}

var attentionRules = []attentionRule{
	{"", "hurt for # days", []float64{14}, func(a *Attention, n []float64) { a.HurtDays = int(n[0]) }},
	{"quiet", "quiet after # days", []float64{10}, func(a *Attention, n []float64) { a.QuietDays = int(n[0]) }},
	{"newcomer", "newcomer after # days", []float64{14}, func(a *Attention, n []float64) { a.NewcomerDays = int(n[0]) }},
	{"out of time", "out of time # times", []float64{10}, func(a *Attention, n []float64) { a.OutOfTime = int(n[0]) }},
	{"effort", "effort # or less # times", []float64{10, 10},
		func(a *Attention, n []float64) { a.LightEffort, a.LightTimes = n[0], int(n[1]) }},
	{"fastest", "# times in the fastest fifth of #", []float64{10, 1000},
		func(a *Attention, n []float64) { a.FastestIn, a.FastestTimes, a.FastestOf = 5, int(n[0]), int(n[1]) }},
	{"marked", "marked for # days", []float64{14}, func(a *Attention, n []float64) { a.MarkedDays = int(n[0]) }},
	{"load", "load # % above", []float64{1000}, func(a *Attention, n []float64) { a.LoadPercent = int(n[0]) }},
}

// readAttention reads rules with commas between them, each in the words of attentionRules, or `no` and its name to
// leave it out. What is not named stays as it is.
//
//	attention: quiet after 4 days, effort 5 or less 3 times, no load
func readAttention(a *Attention, value string) []valueError {
	at := 0
	for item := range strings.SplitSeq(value, ",") {
		lead := len(item) - len(strings.TrimLeft(item, " \t"))
		if err := a.take(strings.Fields(strings.ToLower(strings.ReplaceAll(item, "%", " % ")))); err != nil {
			return []valueError{{at + lead, err}}
		}
		at += utf8.RuneCountInString(item) + 1
	}
	return nil
}

func (a *Attention) take(words []string) error {
	said := strings.Join(words, " ")
	if name, no := strings.CutPrefix(said, "no "); no {
		for _, r := range attentionRules {
			if r.name == name {
				r.set(a, make([]float64, len(r.most)))
				return nil
			}
		}
	}
	for _, r := range attentionRules {
		numbers, ok := r.match(words)
		if !ok {
			continue
		}
		n := make([]float64, len(numbers))
		for i, text := range numbers {
			x, err := strconv.ParseFloat(text, 64)
			// An effort may be a half; everything else is counted.
			half := r.name == "effort" && i == 0
			if err != nil || !(x >= 1 && x <= r.most[i]) || x != float64(int(x)) && !(half && 2*x == float64(int(2*x))) {
				return fmt.Errorf("%q in %q is not a number from 1 to %g", text, said, r.most[i])
			}
			n[i] = x
		}
		r.set(a, n)
		return nil
	}
	var known []string
	for _, r := range attentionRules {
		known = append(known, strings.ReplaceAll(r.form, "#", "N"))
	}
	return fmt.Errorf("%q is no rule of the attention list: write for example `quiet after 4 days` or `no load`; the rules are %s",
		said, strings.Join(known, ", "))
}

// match returns what stands in the places of the form's numbers; false when the words around them are others. A day,
// a time and a session may be one.
func (r attentionRule) match(words []string) ([]string, bool) {
	form := strings.Fields(r.form)
	if len(form) != len(words) {
		return nil, false
	}
	var numbers []string
	for i, w := range form {
		switch {
		case w == "#":
			numbers = append(numbers, words[i])
		case words[i] != w && words[i]+"s" != w:
			return nil, false
		}
	}
	return numbers, true
}
