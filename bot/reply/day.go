package reply

import (
	"strings"

	"tallybell/content"
)

// dayOf is a day that a clause is for.
type dayOf struct {
	session *content.FittedSession
	day     string // ISO date, "" when today
	bad     string // about: the day has to be asked
}

// day finds the day that clause i is for.
func (r *reader) day(i int) {
	c := &r.cls[i]
	d := r.posted()
	if r.ruled {
		d = r.ruling
	}
	c.session, c.day, c.badDay = d.session, d.day, d.bad
	if c.talk {
		return
	}
	counted, other := -1, -1
	for k := c.from; k < c.to; k++ {
		a := &r.as[k]
		if a.kind != aDay {
			continue
		}
		switch {
		case r.dayCounts(c, k):
			if counted >= 0 && r.as[counted].date() != a.date() {
				other = k
			}
			counted = k
		case r.dayDisturbs(c, k):
			other = k
		}
	}
	if i > 0 && r.cls[i-1].to == c.from && r.cls[i-1].badDay == AboutDay && !r.cls[i-1].read && counted < 0 {
		other = c.from // "did tuesday's one today, D 9:40"
	}
	if other >= 0 {
		c.badDay = AboutDay
	}
	if counted < 0 {
		return
	}
	d = r.told(&r.as[counted])
	if c.badDay == "" || d.bad != "" {
		c.badDay = d.bad
	}
	if other >= 0 && d.bad == "" {
		c.badDay = AboutDay
	}
	c.session, c.day = d.session, d.day
	c.dayAt = counted
	if r.dayRules(c, counted) {
		r.ruled, r.ruling = true, d
		r.useDay(c)
	}
}

// posted is the day of the session last posted: it is named when that is not today.
func (r *reader) posted() dayOf {
	s := &r.in.Session
	d := dayOf{session: s}
	if !s.Session.Date.IsZero() && !r.in.Today.IsZero() && s.Session.Date != r.in.Today {
		d.day = s.Session.Date.String()
	}
	return d
}

// told is the day that a day word or date names.
func (r *reader) told(a *atom) dayOf {
	d := r.posted()
	posted := r.in.Session.Session.Date
	switch {
	case a.bad || a.date().IsZero() || r.in.Today.Before(a.date()):
		d.bad = AboutValue
		return d
	case (a.s == "today" || a.s == "yesterday") && !posted.IsZero() && posted != r.in.Today:
		d.bad = AboutDay
		return d
	}
	d.day = ""
	if a.date() != r.in.Today {
		d.day = a.date().String()
	}
	switch {
	case a.date() == posted || r.in.Sheet == nil:
	default:
		s, ok := r.in.Sheet(a.date())
		if !ok {
			d.bad = AboutDay
			return d
		}
		d.session = &s
	}
	return d
}

// dayCounts reports whether a day word names the clause's day: at its start, after its label, or as its last word beside
// what is logged.
func (r *reader) dayCounts(c *clause, k int) bool {
	if r.as[k].s == "other" {
		return false
	}
	if r.headsWhatFollows(c, k) {
		return true
	}
	if r.afterReference(c, k) {
		return false
	}
	b := k - 1
	for b >= c.from && (r.as[b].kind == aEmoji || r.as[b].kind == aFix || r.as[b].head || r.as[b].word("for") || r.as[b].word("on") || r.as[b].word("did") || r.as[b].kind == aHedge || r.as[b].sign(',') && r.as[b].head ||
		r.as[b].word("and") || r.as[b].word("last") || r.as[b].word("from") && b == c.from) {
		b--
	}
	if b < c.from {
		return true
	}
	for n := k + 1; n < c.to; n++ {
		if a := &r.as[n]; a.kind != aEmoji && a.kind != aSign && !a.is(clThanks) && !a.head {
			return false
		}
	}
	p := r.at(k - 1)
	if r.as[k].s == "today" && (p.kind == aWord || p.kind == aVersion && isLoose(p.s)) {
		return false // it tells nothing: a word of the note
	}
	if p.is(clSource) && !p.word("for") {
		return false
	}
	j := k - 1
	for ; j >= c.from && !r.isPieceEnd(j); j-- {
		a := &r.as[j]
		if a.kind == aWord && !a.is(clThanks|clReps|clRounds) && !leadsToDay(a.s) {
			return false // "14:32 scaled, ran 5 km with Tom yesterday", "back on friday"
		}
		if a.value() && !r.at(j-1).is(clClock) && !r.isOther(j) || a.kind == aVersion && !isLoose(a.s) || a.kind == aEffort || a.kind == aOutOf || a.kind == aDone || a.kind == aAllDone || a.kind == aTick || a.kind == aCap || a.head {
			return true
		}
	}
	return j >= c.from && r.as[j].sign(',') // "14:32, did it on sunday"
}

// leadsToDay reports the words that may stand between what is logged and the day it is for: did it on monday.
func leadsToDay(s string) bool {
	switch s {
	case "did", "it", "this", "that", "was", "on", "for", "from", "last", "all", "of", "the", "both", "and", "these", "session", "done", "were":
		return true
	}
	return false
}

// headsWhatFollows reports a day before a colon behind words that say nothing of a result: "this is for yesterday: …".
func (r *reader) headsWhatFollows(c *clause, k int) bool {
	if n := r.at(k + 1); !n.sign(':') || n.head {
		return false
	}
	if p := r.at(k - 1); k > c.from+8 || k > c.from && p.is(clSource) && !p.word("for") {
		return false
	}
	for i := c.from; i < k; i++ {
		if a := &r.as[i]; a.kind != aWord && a.kind != aSign && a.kind != aEmoji || a.head {
			return false
		}
	}
	return true
}

// opens reports whether nothing but other day words and small ones stands before the day at k in its clause.
func (r *reader) opens(c *clause, k int) bool {
	if k > c.from+6 {
		return false
	}
	for i := c.from; i < k; i++ {
		if a := &r.as[i]; a.kind != aDay && a.kind != aEmoji && a.kind != aSign && !a.word("for") && !a.word("on") && !a.word("the") && !a.word("from") {
			return false
		}
	}
	return true
}

// afterReference reports a day of another day's time: "vs 15:10 on monday", "beat my 15:10 from friday".
func (r *reader) afterReference(c *clause, k int) bool {
	value := false
	for i := k - 1; i >= max(c.from, k-8) && !r.isPieceEnd(i) && !r.as[i].head; i-- {
		a := &r.as[i]
		switch {
		case a.value() && value:
			return false
		case a.value():
			value = true
		case a.kind == aWord && a.s != "by" && a.is(clRef), a.word("beat"):
			return value
		}
	}
	return false
}

// isLoose reports the version words that are talk in most places.
func isLoose(s string) bool { return s == "easier" || s == "mod" || s == "scale" }

// dayDisturbs reports a day word that makes it unsure which day a value is for: not "sore from monday", not a plain
// "today".
func (r *reader) dayDisturbs(c *clause, k int) bool {
	a, b := &r.as[k], r.at(k-1)
	if a.s == "today" || r.afterReference(c, k) {
		return false
	}
	if a.s == "other" && a.bad { // 12 jan, where a day of the clause would stand
		return b.head || r.at(k+1).sign(':') || r.opens(c, k)
	}
	if p := r.at(k - 2); b.word("from") && (p.value() || p.sign(',') || p.head || p.kind == aVersion || r.at(k+1).value()) {
		return true // 14:32 from yesterday
	}
	if b.kind == aWord && b.is(clSource) || b.word("in") || b.word("the") && (a.s == "sun" || a.s == "sat") || a.s == "sat" || a.s == "sun" {
		return false
	}
	for j := k - 1; j >= max(c.from, k-8) && !r.isPieceEnd(j); j-- {
		if r.as[j].value() && r.isOther(j) {
			return false // ran 5 km yesterday
		}
	}
	if b.word("on") || b.word("this") || b.word("next") {
		if p := r.at(k - 2); p.kind == aWord && p.is(clSource) {
			return false // see you on friday
		}
	}
	if n := r.at(k + 1); a.s == "tomorrow" || n.word("is") || n.word("will") || n.word("was") && !r.at(k+2).value() || b.word("happy") {
		return false
	}
	return true
}

// dayRules reports whether a counted day rules what follows: before a colon, or with nothing else in its clause.
func (r *reader) dayRules(c *clause, k int) bool {
	if r.at(k+1).sign(':') && !r.at(k+1).head {
		return true
	}
	for i := c.from; i < c.to; i++ {
		if a := &r.as[i]; i != k && a.kind != aSign && a.kind != aEmoji && !a.word("for") && !a.word("on") && !a.word("from") && !a.word("last") {
			return false
		}
	}
	return true
}

// useDay marks the clause's day, and the words that lead to it, as read.
func (r *reader) useDay(c *clause) {
	if c.dayAt < 0 {
		return
	}
	c.keepDay = true
	r.as[c.dayAt].used = true
	for k := c.dayAt - 1; k >= c.from; k-- {
		if a := &r.as[k]; !a.word("for") && !a.word("on") && !a.word("last") && !a.word("from") {
			break
		}
		r.as[k].used = true
	}
	if n := r.at(c.dayAt + 1); n.sign(':') || n.sign(',') {
		n.used = true
	}
}

// holdsValue reports whether the clause has something to log.
func (r *reader) holdsValue(c *clause) bool {
	for i := c.from; i < c.to; i++ {
		if a := &r.as[i]; a.kind == aDone || a.kind == aAllDone || a.kind == aTick || a.kind == aCap || a.kind == aNoScore {
			return true
		}
	}
	v := r.survey(c)
	if len(c.labels) == 0 {
		v.ints = r.plainInts(c, &v)
	}
	return !v.none()
}

// askDay asks for the day of a clause.
func (r *reader) askDay(i int) {
	c := &r.cls[i]
	part := ""
	v := r.survey(c)
	if len(c.labels) == 0 {
		v.ints = r.plainInts(c, &v)
	}
	switch {
	case len(c.labels) == 1:
		part = string(rune(c.labels[0]))
	case len(c.labels) == 0:
		if g := r.groups(c, &v); len(g) == 1 && len(g[0].parts) == 1 {
			part = g[0].parts[0].Letter
		}
	}
	var texts []string
	if value := r.valueText(&v); value != "" && c.badDay == AboutDay {
		for _, d := range [...]content.Date{r.in.Session.Session.Date, r.in.Today, r.in.Today.AddDays(-1)} {
			if t := strings.TrimSpace(d.String()+" "+part) + " " + value + r.tail(c); !d.IsZero() && (len(texts) == 0 || texts[0] != t) && len(texts) < 2 {
				texts = append(texts, t)
			}
		}
	}
	r.useAll(&v)
	r.useDay(c)
	if c.badDay == AboutValue {
		r.owes(ruleAskFuture)
	}
	r.addAsk(i, part, c.badDay, texts)
}
