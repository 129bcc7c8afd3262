package reply

import (
	"slices"

	"tallybell/content"
)

// values are the live figures of a clause, by what they are: indexes of atoms, in order.
type values struct {
	times, ints, decimals, rounds, reps, loads, distances, calories, sets []int
}

// survey collects the live figures of a clause.
func (r *reader) survey(c *clause) values {
	var v values
	figures := 0
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if !a.value() || a.used {
			continue
		}
		switch a.kind {
		case aTime:
			v.times = append(v.times, i)
		case aInt:
			v.ints = append(v.ints, i)
		case aDecimal:
			v.decimals = append(v.decimals, i)
		case aRounds:
			v.rounds = append(v.rounds, i)
		case aReps:
			v.reps = append(v.reps, i)
		case aLoad:
			v.loads = append(v.loads, i)
		case aDistance:
			v.distances = append(v.distances, i)
		case aCalories:
			v.calories = append(v.calories, i)
		case aSets:
			v.sets = append(v.sets, i)
		}
		figures++
	}
	if figures > 1 {
		if ints := len(v.ints); ints > 0 {
			if v.ints = slices.DeleteFunc(v.ints, r.isSaying); len(v.ints) < ints {
				r.because(ruleSaying, c.from, c.to, "not read")
			}
		}
	}
	return v
}

// isSaying reports a lone number in words amid other words ("liked that one", "one more than last time").
func (r *reader) isSaying(i int) bool {
	a, b, n := &r.as[i], r.at(i-1), r.at(i+1)
	if n.sign('+') || b.sign('+') || (n.word("to") || n.word("or") || b.word("between")) && r.at(i+2).value() {
		return false
	}
	return a.spelled && (isPlainWord(b) && !b.head || isPlainWord(n) && !n.is(clFiller) && !r.namesAny(i+1))
}

// counted reports whether there are figures that count reps or rounds.
func (v *values) counted() bool { return len(v.ints)+len(v.rounds)+len(v.reps)+len(v.calories) > 0 }

func (v *values) none() bool {
	return !v.counted() && len(v.times)+len(v.decimals)+len(v.loads)+len(v.distances)+len(v.sets) == 0
}

// verdict is what a clause comes to for one part.
type verdict struct {
	ok      bool // res holds a result
	about   string
	rule    Rule     // what it is owed to; "" when the part's scheme tells it
	suggest []string // values as they could be typed, without label and version
	res     content.Result
}

func ask(about string, suggest ...string) verdict {
	out := make([]string, 0, len(suggest))
	for _, s := range suggest {
		if s != "" {
			out = append(out, s)
		}
	}
	return verdict{about: about, suggest: out}
}

// by names the rule that a verdict is owed to, if none has been named.
func (v verdict) by(rule Rule) verdict {
	if v.rule == "" && v.about != AboutPlausible {
		v.rule = rule
	}
	return v
}

func found(res content.Result) verdict { return verdict{ok: true, res: res} }

// judged is a result that is asked about when it is implausible, and taken all the same when the member insists.
func judged(res content.Result, implausible bool) verdict {
	if implausible {
		return verdict{about: AboutPlausible, suggest: []string{}, res: res}
	}
	return found(res)
}

// empty reports that the clause holds nothing for the part.
func (v verdict) empty() bool { return !v.ok && v.about == "" }

// use marks atoms as read.
func (r *reader) use(lists ...[]int) {
	for _, l := range lists {
		for _, i := range l {
			r.as[i].used = true
		}
	}
}

// useBetween marks as read the signs and small words that join the atoms of a value.
func (r *reader) useBetween(from, to int) {
	for i := from; i < to; i++ {
		a := &r.as[i]
		switch {
		case a.sign('/') && r.at(i-1).word("n"): // n/a
		case a.kind == aSign && a.c != '!' && a.c != '?', a.kind == aWord && isValueWord(a.s):
			a.used = true
		}
	}
}

// useRange marks all atoms of [from, to) as read.
func (r *reader) useRange(from, to int) {
	for i := from; i < to; i++ {
		r.as[i].used = true
	}
}

// isValueWord reports words that stand inside a value and mean nothing beside it.
func isValueWord(s string) bool {
	switch s {
	case "and", "for", "total", "rounds", "round", "splits", "laps", "in", "of", "plus", "reps", "at", "set":
		return true
	}
	return false
}

// readPart reads the clause for one part.
func (r *reader) readPart(c *clause, p *content.Part, v *values) verdict {
	switch p.Scheme {
	case content.Stations, content.AMRAP, content.MostReps, content.Heaviest:
		r.setAside(c, p, v)
	}
	if i := r.vagueAt(c, p, v); i >= 0 {
		return r.vagueAsk(i, p).by(ruleAskVague)
	}
	var out verdict
	switch p.Scheme {
	case content.Rounds, content.Ladder:
		out = r.readForTime(c, p, v)
	case content.AMRAP:
		out = r.readAMRAP(c, p, v)
	case content.Stations:
		out = r.readStations(c, p, v)
	case content.MostReps:
		out = r.readMostReps(c, p, v)
	case content.Heaviest:
		out = r.readHeaviest(c, p, v)
	case content.LongestHold:
		out = r.readHold(p, v)
	case content.Farthest:
		out = r.readFarthest(p, v)
	}
	if out.ok && out.rule == "" {
		out.rule = schemeRule(p.Scheme)
	}
	if out.ok && p.Scheme != content.Heaviest {
		return r.loadUsed(out, v)
	}
	return out
}

// loadUsed adds the load that stands beside another value. Two loads are none: they stay in the note.
func (r *reader) loadUsed(out verdict, v *values) verdict {
	if len(v.loads) != 1 || r.as[v.loads[0]].bad {
		return out
	}
	a := &r.as[v.loads[0]]
	if b := r.at(v.loads[0] - 1); (b.sign('-') || b.sign('/')) && !a.gap && (b.gap || r.at(v.loads[0]-2).kind == aInt) || r.vagueMark(v.loads[0], false) >= 0 {
		return out // 12-14 kg, -5 lb, about 14 kg: for the coach to read
	}
	if a.n > heaviestLoad {
		out.ok, out.about, out.rule = false, AboutPlausible, ruleAskPlausible
	}
	out.res.LoadG = a.n
	a.used = true
	if p := r.at(v.loads[0] - 1); p.sign('@') || p.sign('x') || p.word("at") {
		p.used = true
	}
	return out
}

// heaviestLoad is the load, in grams, above which a figure is likely a slip.
const heaviestLoad = 500_000

// vagueAt returns the atom of a value that is told as unsure (about 14:30, 14:30-ish), -1 when none is.
func (r *reader) vagueAt(c *clause, p *content.Part, v *values) int {
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		if !a.value() || a.used || a.kind == aLoad && p.Scheme != content.Heaviest || a.kind == aInt && len(v.times) > 0 {
			continue
		}
		if r.vagueMark(i, true) >= 0 {
			return i
		}
	}
	return -1
}

// vagueMark returns the atom that makes the value at i unsure, -1 when there is none; marks it as read if told to.
func (r *reader) vagueMark(i int, mark bool) int {
	at := -1
	before, after := r.at(i-1), r.at(i+1)
	switch {
	case before.kind == aWord && before.is(clVague), before.sign('~'), before.sign('<'), before.sign('>') && !before.head,
		before.kind == aHedge && (before.s == "almost" || before.s == "nearly"):
		at = i - 1
	case after.word("ish"), r.unsureBehind(i + 1):
		at = i + 1
	case after.word("something"), after.word("give") && r.at(i+2).word("or") && r.at(i+3).word("take"):
		return i
	case after.sign('-') && (r.at(i+2).word("ish") || r.at(i+2).word("odd")):
		at = i + 2
		if mark {
			after.used = true
		}
	case after.word("or") && r.at(i+2).word("so"):
		at = i + 2
		if mark {
			after.used = true
		}
	case after.sign('+') && !after.gap && (r.at(i+2).gap || r.at(i+2).kind == aEnd) && !r.at(i+2).value():
		at = i + 1 // 80+
	case before.word("off"), before.word("of") && (r.at(i-2).word("short") || r.at(i-2).word("shy")), before.word("to") && r.at(i-2).word("close"):
		at = i - 1 // 1 short of 6 rounds
	case before.word("or") && r.at(i-2).value():
		at = i - 1 // 5 or 6 rounds
		if mark {
			r.as[i-2].used = true
		}
	case r.andMore(i + 1):
		return i // the words stay in the note
	}
	if at >= 0 && mark {
		r.as[at].used = true
	}
	return at
}

// unsureBehind reports a word at i that makes the value before it unsure: "14:30 roughly", "14:30 maybe". Before another
// figure it is that figure's, and words that begin other talk count only at the end ("14:30 maybe faster next time").
func (r *reader) unsureBehind(i int) bool {
	a, n := r.at(i), r.at(i+1)
	if a.kind != aWord || !a.is(clVague) || n.value() {
		return false
	}
	switch a.s {
	case "roughly", "approx", "approximately", "circa", "ca":
		return n.kind != aEffort && n.kind != aOutOf
	}
	return a.s != "over" && a.s != "under" && (n.kind == aVersion || n.is(clThanks) || r.isPieceEnd(i+1))
}

// andMore reports "and a bit", "and a half", "and change" at atom i.
func (r *reader) andMore(i int) bool {
	if !r.at(i).word("and") {
		return false
	}
	i++
	if r.at(i).word("a") || r.at(i).word("some") {
		i++
	}
	switch r.at(i).s {
	case "bit", "half", "quarter", "third", "few", "change", "something", "some":
		return true
	}
	return false
}

func (r *reader) vagueAsk(i int, p *content.Part) verdict {
	r.as[i].used = true
	if r.between(i) && r.at(i+2).value() {
		r.as[i+1].used, r.as[i+2].used = true, true
	}
	if end := r.pairEnd(i); p.Scheme == content.AMRAP && end > i+1 { // about 5+12
		for k := i; k < end; k++ {
			r.as[k].used = true
		}
		return ask(AboutValue, r.words(r.as[i].from, r.as[end-1].to))
	}
	if kind := p.Kind(); kind == content.KindTime || kind == content.KindHold {
		switch r.as[i].kind { // what would be asked about again if it were sent alone
		case aInt:
			return ask(AboutValue, mendInt(r.as[i].n)...)
		case aDecimal:
			return ask(AboutValue, r.mendDecimal(i)...)
		}
	}
	return ask(AboutValue, r.typed(i))
}

// typed returns a value as it could be typed again.
func (r *reader) typed(i int) string {
	a := &r.as[i]
	if a.kind == aTime && a.alt == 0 && !a.bad {
		return clockText(a.ms)
	}
	return r.words(a.from, a.to)
}

// words returns the plain text of tokens [from, to).
func (r *reader) words(from, to int) string {
	if from >= to {
		return ""
	}
	return r.text.plain[r.ts[from].from:r.ts[to-1].to]
}
