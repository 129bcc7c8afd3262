package reply

import (
	"fmt"
	"strings"

	"tallybell/content"
)

// Step is one thing that a rule made of a reply.
type Step struct {
	Words string // what it read, as typed, on one line; "" for the reply as a whole
	Rule  Rule
	Came  string // what came of it: "part D", "D time 14:32", "?D value"; "" when nothing but the rule itself
}

// String is the step on one line: label: "D" -> part D.
func (s Step) String() string {
	out := string(s.Rule)
	if s.Words != "" {
		out += fmt.Sprintf(": %q", s.Words)
	}
	if s.Came != "" {
		out += " -> " + s.Came
	}
	return out
}

// why gathers the steps of a reading.
type why struct {
	steps *[]Step
	told  map[int]bool // figures whose form has been told
	seen  map[place]bool
	rule  Rule // what the next result or ask is owed to; "" when its kind tells it
}

// place is a step and where it stands: what is looked at twice is told once.
type place struct {
	rule     Rule
	from, to int
	came     string
}

// tracing reports whether steps are gathered. Whatever costs more than this question stands behind it.
func (r *reader) tracing() bool { return r.why != nil }

// because notes what a rule made of the atoms [from, to).
func (r *reader) because(rule Rule, from, to int, came string) {
	if !r.tracing() {
		return
	}
	from, to = max(from, 0), min(to, len(r.as))
	if from >= to {
		r.becauseTokens(rule, 0, 0, came)
		return
	}
	r.becauseTokens(rule, r.as[from].from, r.as[to-1].to, came)
}

// whyPart notes what a rule made of a clause for a part; what came of it is put together only when it is asked for.
func (r *reader) whyPart(rule Rule, c *clause, before, part, behind string) {
	if r.tracing() {
		r.because(rule, c.from, c.to, before+part+behind)
	}
}

// becauseTokens notes what a rule made of the tokens [from, to).
func (r *reader) becauseTokens(rule Rule, from, to int, came string) {
	at := place{rule, from, to, came}
	if !r.tracing() || r.why.seen[at] {
		return
	}
	r.why.seen[at] = true
	words := ""
	if from < to {
		if words = r.piece(from, to); words == "" {
			words = strings.Join(strings.Fields(clean(r.text.original[r.text.source(r.ts[from].from):r.end(to-1)])), " ")
		}
	}
	*r.why.steps = append(*r.why.steps, Step{Words: words, Rule: rule, Came: came})
}

// owes names the rule that the next result or ask is owed to.
func (r *reader) owes(rule Rule) {
	if r.tracing() {
		r.why.rule = rule
	}
}

// owed returns the rule that was named last, or another when none was.
func (r *reader) owed(other Rule) Rule {
	if rule := r.why.rule; rule != "" {
		r.why.rule = ""
		return rule
	}
	return other
}

// whyPlain notes what was made plain before reading.
func (r *reader) whyPlain() {
	if original := clean(r.text.original); original != r.text.plain || original != r.text.original {
		r.becauseTokens(rulePlain, 0, len(r.ts), strings.Join(strings.Fields(r.text.plain), " "))
	}
}

// whyCare notes a mention that decides the care, at its level after a negation.
func (r *reader) whyCare(h hit, level int) {
	if !r.tracing() {
		return
	}
	rule := ruleWorry
	switch {
	case level < h.level:
		rule = ruleDenied
	case level == 2:
		rule = ruleWarning
	}
	r.becauseTokens(rule, min(h.from, h.at), max(h.from, h.at)+1, [...]string{"none", "check", "stop"}[level])
}

// whyCommand notes a command, and what it names.
func (r *reader) whyCommand() {
	if !r.tracing() {
		return
	}
	r.becauseTokens(ruleCommand, 0, len(r.ts), r.out.Command)
	for _, x := range r.out.Results {
		r.becauseTokens(ruleScrap, 0, len(r.ts), outcome(x))
	}
	for _, a := range r.out.Asks {
		r.becauseTokens(ruleScrap, 0, len(r.ts), "?"+a.Part+" "+a.About)
	}
}

// whyClause notes what heads a clause: its labels, its day, its version and effort.
func (r *reader) whyClause(c *clause) {
	if !r.tracing() {
		return
	}
	if c.talk {
		r.because(ruleQuestion, c.from, c.to, "not read")
		return
	}
	if len(c.labels) > 0 {
		rule, from, to := ruleLabel, c.labelAt, c.bodyAt
		if len(c.labels) > 1 {
			rule = ruleLabels
		}
		if c.post {
			rule, to = ruleLabelBehind, c.labelAt
			for to < c.to && r.as[to].head {
				to++
			}
		}
		r.because(rule, from, to, "part "+strings.Join(strings.Split(string(c.labels), ""), ", "))
	}
	if c.dayAt >= 0 {
		rule := ruleDay
		if r.ruled && c.keepDay {
			rule = ruleDayRules
		}
		r.because(rule, c.dayAt, c.dayAt+1, strings.TrimSpace("day "+c.day))
	}
	if c.correct {
		r.because(ruleFix, c.from, c.to, "correction")
	}
	if c.versionAt >= 0 {
		rule := ruleVersion
		if c.unsure {
			rule = ruleUnsettled
		}
		r.because(rule, c.versionAt, c.versionAt+1, versionText(c.version))
	}
	if c.effortAt >= 0 {
		r.whyEffort(ruleEffort, c)
	}
}

// whyVersion notes what came of a result's version.
func (r *reader) whyVersion(d *draft, c *clause, rule Rule, asked bool) {
	if !r.tracing() {
		return
	}
	came := d.res.Part + " " + versionText(d.res.Version)
	if asked {
		came = "?" + d.res.Part + " " + AboutVersion
	}
	r.because(rule, c.from, c.to, came)
}

// askVersionRule tells why a version that was told, or fitted, is asked about all the same.
func (r *reader) askVersionRule(c *clause, p *content.Part, fit content.Version, unsure bool) Rule {
	switch {
	case fit == content.Scaled && c.session.Eased(p.Letter):
		return ruleAskEased
	case fit == content.Scaled:
		return ruleAskNamed
	case unsure:
		return ruleAskUnsettled
	case r.tracing() && r.leavesOut(c, p):
		return ruleAskLeftOut
	}
	return ruleAskWay
}

// whyRuling notes a version that rules a part's result from another clause: the first, or the last.
func (r *reader) whyRuling(c *clause, first bool, part string) {
	if !r.tracing() {
		return
	}
	rule := ruleVersionEnd
	if first {
		rule = ruleVersionStart
	}
	r.because(rule, c.versionAt, c.versionAt+1, part+" "+versionText(c.version))
}

// whyEffort notes an effort that stands apart from what it is of.
func (r *reader) whyEffort(rule Rule, c *clause) {
	if r.tracing() {
		r.because(rule, c.effortAt, c.effortAt+1, r.effortCame(c))
	}
}

func (r *reader) effortCame(c *clause) string {
	if c.effort == nil {
		return "no effort"
	}
	return "rpe " + effortText(*c.effort)
}

func versionText(v content.Version) string {
	if v == content.AsWritten {
		return "as written"
	}
	return string(v)
}

// whyNote notes what is left for the coach, and that nothing else was read.
func (r *reader) whyNote() {
	if !r.tracing() {
		return
	}
	if len(r.drafts) == 0 && len(r.out.Asks) == 0 && r.out.Effort == nil {
		r.becauseTokens(ruleTalk, 0, len(r.ts), "")
	} else if r.out.Note != "" {
		*r.why.steps = append(*r.why.steps, Step{Words: strings.Join(strings.Fields(r.out.Note), " "), Rule: ruleNote})
	}
}

// whyResult notes the forms of the figures that a clause gave, and the result.
func (r *reader) whyResult(c *clause, x PartResult) {
	if !r.tracing() {
		return
	}
	r.whyForms(c)
	usual := Rule("")
	switch {
	case x.Kind == "":
		usual = ruleLoneVersion
	case x.Kind == content.KindDone && (len(x.SetReps) > 0 || x.LoadG > 0):
		usual = ruleSets
	default:
		usual = ruleDone
	}
	r.because(r.owed(usual), c.from, c.to, outcome(x))
}

// whyAsk notes the forms of the figures that a clause gave, and the ask.
func (r *reader) whyAsk(c *clause, part, about string) {
	if !r.tracing() {
		return
	}
	r.whyForms(c)
	r.because(r.owed(askRule(about)), c.from, c.to, "?"+part+" "+about)
}

// askRule is the rule of an ask of which nothing else is known.
func askRule(about string) Rule {
	switch about {
	case AboutVersion:
		return ruleAskVersion
	case AboutSplits:
		return ruleAskNoSplits
	case AboutCap:
		return ruleAskAtCap
	}
	return Rule("asks " + about)
}

// schemeRule is the rule that a result of a scheme is owed to, when nothing else is known.
func schemeRule(s content.Scheme) Rule {
	switch s {
	case content.AMRAP:
		return ruleRounds
	case content.Stations:
		return ruleCounts
	case content.MostReps:
		return ruleReps
	case content.Heaviest:
		return ruleLoad
	case content.LongestHold:
		return ruleHold
	case content.Farthest:
		return ruleDistance
	}
	return ruleTime
}

// whyForms notes how each figure of a clause that was read, and not told yet, was written.
func (r *reader) whyForms(c *clause) {
	for i := c.from; i < c.to; i++ {
		a := &r.as[i]
		isPair := a.kind == aOutOf && i == c.pair
		if !a.used || !isPair && !a.value() || r.why.told[i] {
			continue
		}
		r.why.told[i] = true
		r.because(r.form(a, isPair), i, i+1, r.figureText(a))
	}
}

// form is the rule by which a figure was made of its tokens.
func (r *reader) form(a *atom, isPair bool) Rule {
	switch {
	case isPair:
		return ruleOutOfTwo
	case a.bad:
		return ruleUnreadable
	}
	spelled, colon, marks := false, false, false
	for k := a.from; k < a.to; k++ {
		t := &r.ts[k]
		spelled = spelled || t.spelled
		colon = colon || t.c == ':'
		marks = marks || t.c == '\'' || t.c == '"'
	}
	switch {
	case colon:
		return ruleColon
	case marks:
		return ruleMarks
	case spelled:
		return ruleSpelled
	case a.kind == aTime && a.c == '.':
		return rulePoint
	case a.kind == aInt, a.kind == aDecimal:
		return ruleBare
	}
	return ruleWithUnit
}

// figureText is what a figure was taken for.
func (r *reader) figureText(a *atom) string {
	switch a.kind {
	case aTime:
		if a.bad {
			return "no time"
		}
		return clockText(a.ms)
	case aLoad:
		return itoa(a.n) + " g"
	case aDistance:
		return itoa(a.n) + " mm"
	case aReps:
		return itoa(a.n) + " reps"
	case aRounds:
		return itoa(a.n) + " rounds"
	case aDecimal:
		return itoa(a.n) + "." + a.frac
	case aOutOf:
		return itoa(a.n) + " and " + itoa(a.m)
	}
	return itoa(a.n)
}

// outcome writes a result on one line: "D time 14:32 scaled rpe 8".
func outcome(x PartResult) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s", x.Part, x.Kind)
	switch {
	case x.Kind == "" && x.Correction:
		b.WriteString("version")
	case x.Kind == "":
		b.WriteString("-")
	}
	if x.Finished != nil && !*x.Finished {
		b.WriteString(" unfinished")
	}
	if x.TimeMS != 0 {
		b.WriteString(" " + clockText(x.TimeMS))
	}
	if x.Reps != nil {
		fmt.Fprintf(&b, " %d", *x.Reps)
	}
	if x.Rounds != nil {
		fmt.Fprintf(&b, " = %d+%d", *x.Rounds, *x.Extra)
	}
	if x.Counts != nil {
		fmt.Fprintf(&b, " %v", x.Counts)
	}
	if x.SplitsMS != nil {
		b.WriteString(" laps")
		for _, ms := range x.SplitsMS {
			b.WriteString(" " + clockText(ms))
		}
	}
	if x.DistanceMM != 0 {
		fmt.Fprintf(&b, " %d mm", x.DistanceMM)
	}
	if x.SetReps != nil {
		fmt.Fprintf(&b, " sets %v", x.SetReps)
	}
	if x.LoadG != 0 {
		fmt.Fprintf(&b, " %d g", x.LoadG)
	}
	switch x.Version {
	case content.AsWritten:
		b.WriteString(" as written")
	case content.Scaled:
		b.WriteString(" scaled")
	}
	if x.Effort != nil {
		fmt.Fprintf(&b, " rpe %v", *x.Effort)
	}
	if x.Correction {
		b.WriteString(" correction")
	}
	if x.Day != "" {
		b.WriteString(" day " + x.Day)
	}
	return strings.TrimSpace(b.String())
}
