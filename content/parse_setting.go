package content

import (
	"slices"
	"strings"
	"time"
)

// settingNames are the settings of a part, as they are written.
var settingNames = [...]string{"own pace", "rest", "cap", "scored", "not scored", "optional", "times through", "in turn", "each", "together", "max reps"}

// settingTakers lists the schemes that take a setting; one that is not listed is taken by all.
var settingTakers = map[string][]Scheme{
	"own pace":      {Sets, Quality, Heaviest, MostReps, LongestHold},
	"rest":          {Sets, Quality, Stations, Rounds, Ladder, Heaviest},
	"rest between":  {Sets},
	"rest after":    {Sets},
	"cap":           {Rounds, Ladder},
	"times through": {Stations},
	"max reps":      {Stations},
	"in turn":       {Sets, Every},
	"each":          {Sets},
	"together":      {Every},
}

// settingReader reads the settings of one part.
type settingReader struct {
	*parser
	part     *Part
	had      map[string]bool
	restOpen bool // the last setting was a rest between or after: the other may follow without its word
}

func (p *parser) settings(part *Part, segs []piece) {
	r := settingReader{parser: p, part: part, had: map[string]bool{}}
	for _, seg := range segs {
		open := r.restOpen
		r.restOpen = false
		if seg.s == "" {
			p.tell(seg, "an empty setting; write settings with one comma between them")
			continue
		}
		r.setting(seg, open)
	}
	if part.Order == Each && (part.RestBetween > 0 || part.RestAfter > 0) {
		p.tell(p.at(spot{part: p.section, what: "rest"}), "rest between and after goes with sets in turn, not with each; write rest and one time")
	}
}

func (r *settingReader) setting(seg piece, open bool) {
	first, tail := seg.word()
	switch strings.ToLower(strings.Join(strings.Fields(seg.s), " ")) {
	case "own pace", "at own pace", "your own pace", "at your own pace":
		r.part.OwnPace = r.take("own pace", seg)
		return
	case "scored":
		r.scoring("scored", seg, Scored)
		return
	case "not scored", "unscored":
		r.scoring("not scored", seg, NotScored)
		return
	case "optional":
		r.part.Optional = r.take("optional", seg)
		return
	case "max reps":
		r.take("max reps", seg)
		return
	case "in turn":
		r.order(seg, InTurn)
		return
	case "each", "together":
		r.order(seg, Order(strings.ToLower(seg.s)))
		return
	}
	switch {
	case first.is("rest"):
		r.rests(seg, tail)
	case open && seg.startsWithDigit():
		r.rests(seg, seg)
	case first.is("cap"), first.is("time") && isCap(tail):
		r.cap(seg)
	case len(seg.s) > 200:
		r.unknown(seg)
	case r.through(seg), r.reversed(seg), r.runOn(seg):
	default:
		r.unknown(seg)
	}
}

func isCap(tail piece) bool {
	w, _ := tail.word()
	return w.is("cap", "cap:")
}

// take notes that a setting is given and reports whether the part takes it for the first time.
func (r *settingReader) take(name string, at piece) bool {
	if r.had[name] {
		r.tell(at, "%s is given twice in part %s", name, r.part.Letter)
		return false
	}
	r.had[name] = true
	if takers, limited := settingTakers[name]; limited && !slices.Contains(takers, r.part.Scheme) {
		r.tell(at, "%s does not go with %s; take it out of part %s", name, schemeTitle(*r.part), r.part.Letter)
		return false
	}
	return true
}

func (r *settingReader) scoring(name string, at piece, s Scoring) {
	if !r.take(name, at) {
		return
	}
	if r.part.Scoring != "" {
		r.tell(at, "part %s is both scored and not scored; keep one", r.part.Letter)
		return
	}
	r.part.Scoring = s
}

func (r *settingReader) order(at piece, o Order) {
	if r.part.Order != "" && r.part.Order != o {
		r.tell(at, "part %s is both %s and %s; keep one", r.part.Letter, r.part.Order, o)
		return
	}
	if r.take(string(o), at) {
		r.part.Order = o
	}
}

func (r *settingReader) cap(seg piece) {
	text := seg
	if q, is := text.after("time"); is {
		text = q
	}
	_, text = text.word()
	d, ok := r.settingTime(seg, text, "cap 18:00")
	if r.take("cap", seg) && ok {
		r.part.Cap = d
		r.note(seg, spot{part: r.section, what: "cap"})
	}
}

// settingTime reads a time and nothing else.
func (r *settingReader) settingTime(seg, text piece, example string) (time.Duration, bool) {
	d, rest := r.timeAfter(seg, text, example, "of", "at")
	if rest.s != "" {
		r.tell(rest, "unexpected %s after the time; write for example %s", shown(rest.s), example)
		return d, false
	}
	return d, d > 0
}

// rests reads rest 1:30, and rest 0:20 between, 1:30 after.
func (r *settingReader) rests(seg, text piece) {
	const example = "rest 1:30, or rest 0:20 between, 1:30 after"
	if q, is := text.after("of"); is {
		text = q
	}
	if text.s == "" {
		r.tell(seg, "rest lacks its time; write for example %s", example)
		return
	}
	for text.s != "" {
		if q, is := text.after("and"); is {
			text = q
		}
		d, rest := r.timeAfter(seg, text, example)
		if d > 0 && isPlainRest(rest) {
			r.tell(rest, "a rest %s is written without these words: rest %s", clipped(rest.s), clockText(d))
			r.had["rest"] = true
			return
		}
		if d == 0 {
			r.had["rest"] = true
			return
		}
		name := "rest"
		if q, is := rest.after("between"); is {
			name, rest = "rest between", q
		} else if q, is := rest.after("after"); is {
			name, rest = "rest after", q
		} else if rest.s != "" {
			r.tell(rest, "unexpected %s after a rest; write for example %s", shown(rest.s), example)
			return
		}
		r.rest(name, seg, d)
		r.restOpen = name != "rest"
		text = rest
	}
}

// isPlainRest reports whether the words after a rest say what a rest alone means.
func isPlainRest(words piece) bool {
	switch strings.ToLower(strings.Join(strings.Fields(words.s), " ")) {
	case "between sets", "between rounds", "between stations", "after each set", "after each round", "after each station":
		return true
	}
	return false
}

func (r *settingReader) rest(name string, at piece, d time.Duration) {
	if !r.take(name, at) {
		return
	}
	if name == "rest" && (r.had["rest between"] || r.had["rest after"]) || name != "rest" && r.had["rest"] {
		r.tell(at, "rest is given twice in part %s: either one rest, or between and after", r.part.Letter)
		return
	}
	r.note(at, spot{part: r.section, what: "rest"})
	switch name {
	case "rest":
		r.part.Rest = d
	case "rest between":
		r.part.RestBetween = d
	default:
		r.part.RestAfter = d
	}
}

// through reads 2 times through, twice through.
func (r *settingReader) through(seg piece) bool {
	first, tail := seg.word()
	n := first
	switch {
	case first.is("once") && tail.is("through"):
		n.s = "1"
	case first.is("twice") && tail.is("through"):
		n.s = "2"
	case mightCount(first.s) && tail.is("times through", "time through", "x through"):
	default:
		return false
	}
	v := r.count(n)
	if r.take("times through", seg) && v > 0 {
		r.part.Through = v
	}
	return true
}

// reversed reads the forms that put the time first: 18 min cap, 90 s rest.
func (r *settingReader) reversed(seg piece) bool {
	d, n, wrong := readTime(seg.s, false)
	if n == 0 {
		return false
	}
	what := seg.from(n).trim()
	switch {
	case what.is("cap", "time cap"):
		if wrong != "" {
			r.tell(seg, "%s", wrong)
		} else if r.take("cap", seg) {
			r.part.Cap = d
			r.note(seg, spot{part: r.section, what: "cap"})
		}
	case what.is("rest"):
		if wrong != "" {
			r.tell(seg, "%s", wrong)
		} else {
			r.rest("rest", seg, d)
		}
	default:
		return false
	}
	return true
}

// runOn reads two settings whose comma was forgotten: own pace rest 1:30.
func (r *settingReader) runOn(seg piece) bool {
	for _, name := range []string{"own pace", "not scored", "scored", "optional", "max reps", "in turn", "each", "together"} {
		if rest, is := seg.after(strings.Fields(name)...); is && rest.s != "" && r.isSetting(rest) {
			head := seg.to(len(seg.s) - len(rest.s)).trim()
			r.setting(head, false)
			r.setting(rest, false)
			return true
		}
	}
	return false
}

// isSetting reports whether text begins with a word that begins a setting.
func (r *settingReader) isSetting(text piece) bool {
	w, _ := text.word()
	return w.is("own", "rest", "cap", "scored", "not", "optional", "max", "in", "each", "together") || w.startsWithDigit()
}

func (r *settingReader) unknown(seg piece) {
	hint := didYouMean(seg.s, settingNames[:])
	if first, _ := seg.word(); hint == "" && len(first.s) > 2 {
		hint = didYouMean(first.s, settingNames[:])
	}
	if hint == "" {
		hint = lookalikeHint(seg.s) + "; known are own pace, rest 1:30, cap 18:00, scored, not scored, optional, 2 times through"
	}
	r.tell(seg, "unknown setting %s%s", shown(seg.s), hint)
}

// schemeTitle names a part's scheme for a message.
func schemeTitle(p Part) string {
	switch p.Scheme {
	case Rounds, Ladder:
		return "for time"
	case Quality:
		return "for quality"
	case AMRAP:
		return "AMRAP"
	}
	return string(p.Scheme)
}
