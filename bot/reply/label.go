package reply

import (
	"slices"

	"tallybell/content"
)

// letterAt returns the part letter that the atom at i is (after "part", too) and the atom after it; 0 when it is none.
func (r *reader) letterAt(i int) (letter byte, end int) {
	a := r.at(i)
	if a.word("part") {
		i++
		a = r.at(i)
	}
	if a.kind != aWord || len(a.s) != 1 || a.s[0] < 'a' || a.s[0] > 'z' || !r.letters[a.s[0]-'a'] {
		return 0, 0
	}
	return a.s[0] - 'a' + 'A', i + 1
}

// labelsAt reads the labels that start at atom i: "D", "part D", "A, B", "A and B", with the separator behind them. It
// returns the atom after them, 0 when there are none. start is where the clause begins.
func (r *reader) labelsAt(i, start int) (end int, labels []byte, did bool) {
	letter, next := r.letterAt(i)
	if letter == 0 || i > start && (r.at(i-1).word("part") || letter == 'A' && (r.at(i-1).sign('/') && r.at(i-2).word("n") || r.isCompound(i))) {
		return 0, nil, false // part B; n/a; one-and-a-half
	}
	list := [26]byte{letter}
	n := 1
	for tries := 0; n < len(list) && tries < 2*len(list); tries++ {
		after := next
		if s := r.at(after); s.sign(',') || s.sign('&') || s.sign('+') || s.sign('/') || s.word("and") {
			after++
			if r.at(after).word("and") || r.at(after).sign('&') {
				after++
			}
		}
		l, e := r.letterAt(after)
		if l == 0 || l == 'A' && after == next {
			break
		}
		if after > next && (r.at(e).value() || r.followsLoosely(e) > 0 && r.at(e).kind != aVersion && r.at(e).kind != aEffort) && r.saidDid(i, start) {
			break // "did A and B, D 14:32"
		}
		if next = e; !slices.Contains(list[:n], l) {
			list[n] = l
			n++
		}
	}
	if b := r.at(i - 1); n > 1 && i > start && (b.kind == aWord || b.kind == aStop) && !b.is(clJoin) && !r.isPrefix(i-1) && !r.saidDid(i, start) {
		return 0, nil, false // "skipped B, D 14:32": B is a word of the sentence before it
	}
	strict := n == 1 && (letter == 'A' || letter == 'I') && !r.at(i).word("part")
	end = r.follows(next, strict)
	if end == 0 && n == 1 {
		end = r.followsName(next, letter)
	}
	if end == 0 && n == 1 && !strict && r.at(next).sign(',') && r.at(next+1).value() && !r.at(next+1).spelled && r.beginsClause(i, start) {
		end = next + 1 // "D, 14:32"
	}
	if n == 1 && r.beginsClause(i, start) {
		if at := max(end, next); r.headsNextLine(at) {
			end = at + 1
		}
	}
	if r.saidDid(i, start) && (end == 0 || r.at(next).kind == aVersion) && r.closesList(next) {
		end, did = next, true
	}
	if end == 0 || !r.labelMayStand(i, start, strict, next) {
		return 0, nil, false
	}
	return end, append([]byte(nil), list[:n]...), did
}

// isCompound reports a letter between hyphens of one word: one-and-a-half.
func (r *reader) isCompound(i int) bool {
	b, n := r.at(i-1), r.at(i+1)
	return b.sign('-') && !b.gap && !r.at(i).gap && r.at(i-2).kind == aWord && n.sign('-') && !n.gap && r.at(i+2).kind == aWord && !r.at(i+2).gap
}

// headsNextLine reports a line break at atom i behind a label that stands alone on its line, and a value on the next line.
func (r *reader) headsNextLine(i int) bool {
	if a := r.at(i); i >= len(r.as) || a.kind != aEnd || a.c != '\n' {
		return false
	}
	n := r.at(i + 1)
	return n.value() && (n.kind != aInt || !n.spelled) || n.kind == aDone || n.kind == aTick || n.kind == aCap || n.kind == aNoScore ||
		n.kind == aVersion && r.at(i+2).value()
}

// beginsClause reports whether nothing but what may stand before a label stands between the start of the clause and atom i.
func (r *reader) beginsClause(i, start int) bool {
	for k := i - 1; k >= start; k-- {
		if !r.isPrefix(k) {
			return false
		}
	}
	return true
}

// followsName accepts counts that name their movements behind a label: "B rows 21, squats 18".
func (r *reader) followsName(i int, letter byte) int {
	at := i
	if r.at(i).sign(':') {
		at++
	}
	if r.at(at).kind != aWord || len(r.at(at).s) < 3 {
		return 0
	}
	for k := range r.in.Session.Session.Parts {
		p := &r.in.Session.Session.Parts[k]
		if p.Letter[0] != letter || p.Kind() != content.KindReps {
			continue
		}
		m, end := r.movementAt(&r.in.Session, p, at)
		if s := r.at(end); m >= 0 && (s.sign(':') || s.sign('-') || s.sign('=') || s.sign('x')) {
			end++
		}
		if m >= 0 && (r.at(end).kind == aInt || r.at(end).kind == aReps) {
			return i
		}
	}
	return 0
}

// saidDid reports whether "did" stands before atom i ("done A and B" as well).
func (r *reader) saidDid(i, start int) bool {
	return i > start && (r.at(i-1).word("did") || r.at(i-1).kind == aDone && i-1 == start)
}

// closesList reports whether a list of labels after "did" ends at i.
func (r *reader) closesList(i int) bool {
	a := r.at(i)
	return a.kind == aEnd || a.sign(',') || a.sign('!') || a.kind == aVersion || a.kind == aEffort || a.kind == aEmoji ||
		a.kind == aDay || a.word("and") || a.kind == aHedge || a.is(clThanks)
}

// follows reports what makes a letter a label: a value, done, a tick, a word of being unfinished, or a separator, which
// belongs to the label. It returns the atom after the label, 0 when it is none. strict is for A, which may be an
// article.
func (r *reader) follows(i int, strict bool) int {
	a := r.at(i)
	switch {
	case strict && (a.kind == aDistance || a.kind == aTime && r.hasUnit(i)) && r.isNoun(i+1):
		return 0 // "did a 5 km run", "a 20 min walk"
	case a.value() && r.standsAsValue(i, strict), a.kind == aOutOf:
		return i
	case a.kind == aDone, a.kind == aAllDone, a.kind == aTick, a.kind == aCap, a.kind == aStop, a.kind == aNoScore:
		return i
	case a.kind == aFix && a.s == "should":
		return i
	case a.sign(':'), a.sign(')'), a.sign('='), a.sign('-'), a.sign('.') && !a.gap:
		if n := r.at(i + 1); (a.c == '-' || a.c == '=') && n.sign('>') && !n.gap {
			i++ // an arrow: D -> 14:32
		}
		if n := r.at(i + 1); a.c == ':' && n.sign(':') && n.used {
			i++ // the end of a bold label
		}
		return r.pastFillers(i + 1)
	case a.kind == aEnd && a.c == '.' && !a.gap:
		if n := r.at(i + 1); n.value() || n.kind == aDone || n.kind == aTick || n.kind == aVersion || n.kind == aCap {
			return i + 1
		}
		return 0
	case (a.sign('(') || a.sign('*')) && (r.at(i+1).value() || r.at(i+1).kind == aVersion && !strict), a.sign('#'), a.sign('(') && r.at(i+1).kind == aVersion && r.at(i+2).sign(')'):
		return i
	case a.sign(',') && r.at(i-2).kind == aFix && r.at(i+1).value(): // fix D, 14:23
		return i + 1
	}
	if strict {
		return 0
	}
	return r.followsLoosely(i)
}

// isNoun reports a word at i that what stands before it may belong to: none of those that stand behind a value.
func (r *reader) isNoun(i int) bool {
	a := r.at(i)
	if a.kind != aWord || len(a.s) < 3 || isValueWord(a.s) || a.is(clThanks|clJoin|clFiller|clVague|clClock) {
		return false
	}
	return a.s != "each" && a.s != "per" && a.s != "all" && a.s != "today" && a.s != "flat" && a.s != "felt" && a.s != "but"
}

// followsLoosely accepts words between a label and its value: a version, a day, about, was, in.
func (r *reader) followsLoosely(i int) int {
	a, n := r.at(i), r.at(i+1)
	switch {
	case a.kind == aVersion, a.kind == aDay, (a.word("on") || a.word("for")) && n.kind == aDay:
		return i
	case a.kind == aEffort:
		return i
	case (a.is(clVague) || a.sign('~')) && n.value():
		return i
	case a.word("only") && (n.kind == aRounds || n.kind == aReps):
		return i
	case (a.word("total") || isSplitWord(a)) && r.leadsOn(i):
		return i
	case a.word("finished") || a.word("completed"):
		for k := i + 1; k < i+3; k++ {
			if n := r.at(k); n.value() {
				return i
			} else if !n.word("at") && !n.word("in") {
				return 0
			}
		}
	case a.is(clVague) || a.word("just"):
		if n.is(clVague) && r.at(i+2).value() {
			return i // just under 15:00
		}
	case a.is(clFiller):
		if k := r.pastFillers(i); k > i {
			return k
		}
	}
	return 0
}

// pastFillers returns the atom after the words at i that may stand between a label and its value ("time was"); i when a
// value does not follow them.
func (r *reader) pastFillers(i int) int {
	for k := i; k < i+4; k++ {
		switch n := r.at(k); {
		case k > i && (n.value() || n.kind == aVersion || n.kind == aCap):
			return k
		case !n.is(clFiller):
			return i
		}
	}
	return i
}

// standsAsValue keeps a lone number in words ("one of the best") from making a label of the letter before it.
func (r *reader) standsAsValue(i int, strict bool) bool {
	if strict && r.at(i).kind == aTime && r.isAdjective(i) {
		return false // a 20 minute run
	}
	a := r.at(i)
	if a.kind != aInt || !a.spelled {
		return true
	}
	n := r.at(i + 1)
	if strict && (n.kind == aEnd || n.kind == aVersion || n.kind == aEffort) {
		return true // "A fourteen"
	}
	if strict || n.kind == aWord && !n.is(clThanks) && r.leftWord(i+1) == 0 && !((n.word("to") || n.word("or")) && r.at(i+2).value()) && !r.namesAny(i+1) {
		return false
	}
	return true
}

// namesAny reports whether a movement of the session is named at atom i.
func (r *reader) namesAny(i int) bool {
	for k := range r.in.Session.Session.Parts {
		if m, _ := r.movementAt(&r.in.Session, &r.in.Session.Session.Parts[k], i); m >= 0 {
			return true
		}
	}
	return false
}

// isLettered reports words whose letter is their own: vitamin D, plan B.
func isLettered(a *atom) bool {
	return a.word("vitamin") || a.word("plan") || a.word("grade") || a.word("block") || a.word("group")
}

// labelMayStand reports whether a label may stand at atom i: at the start of the clause, after a comma, full stop, and,
// &, + or a complete value; a letter other than A right before an unmistakable value may stand anywhere.
func (r *reader) labelMayStand(i, start int, strict bool, next int) bool {
	k := i - 1
	if b := r.at(k); b.kind == aInt && !r.at(i).gap && !r.at(next).value() {
		return false // 28C
	}
	for k >= start && r.isPrefix(k) {
		k--
	}
	if k < start {
		return true
	}
	p := r.at(k)
	switch {
	case p.sign(','), p.sign('&'), p.sign('+'), p.sign('.'), p.sign(')'), p.sign('/'), p.sign('('), p.sign('!'), p.sign(':'), p.sign('|'), p.word("and"):
		return true
	case p.value(), p.kind == aVersion, p.kind == aEffort, p.kind == aOutOf, p.kind == aDone, p.kind == aAllDone, p.kind == aTick,
		p.kind == aNoScore, p.kind == aCap, p.head:
		return true
	case p.is(clJoin) && !strict:
		return true
	}
	if strict || isLettered(p) {
		return false
	}
	switch v := r.at(next); v.kind {
	case aTime, aLoad, aRounds, aReps, aDistance:
		return true
	case aInt:
		s := r.at(next + 1)
		return (s.sign('+') || s.sign('/')) && r.at(next+2).kind == aInt
	}
	return false
}

// isPrefix reports what may stand between the start of a clause and its label: emoji, a day, fix, did.
func (r *reader) isPrefix(i int) bool {
	a := r.at(i)
	return a.kind == aEmoji || a.kind == aTick || a.kind == aDay || a.kind == aFix && a.s != "should" || a.word("did") || (a.word("only") || a.word("just")) && r.at(i+1).word("did") || a.kind == aDone && r.at(i+1).kind == aWord || a.sign('*') || a.sign('-') || (a.sign(':') || a.sign(',')) && r.at(i-1).kind == aFix || a.word("my") ||
		a.word("for") || a.word("on") || a.word("to") || a.word("i") || (a.word("last") || a.word("from")) && r.at(i+1).kind == aDay || a.sign(':') && r.at(i-1).kind == aDay || a.kind == aHedge && a.s == "but"
}

// prefixStart returns where the clause of a label at atom i begins: before the words that belong to it.
func (r *reader) prefixStart(start, i int) int {
	k := i
	for k > start && r.isPrefix(k-1) && r.at(k-1).kind != aTick {
		k--
	}
	if k == start || k == i {
		return k
	}
	// After a complete value only words of correction are the label's: "D 14:32 yesterday B 5+12".
	if p := r.at(k - 1); p.sign(',') || p.word("and") || p.sign('&') {
		return k
	}
	for k < i && r.at(k).kind != aFix && !r.at(k).word("did") && !r.at(k).sign('*') {
		k++
	}
	return k
}

// postLabel reads "for B" behind a value: "14:32 for B and 9:10 for D".
func (r *reader) postLabel(i, start int) (end int, label byte) {
	p := r.at(i - 1)
	on := r.at(i).word("on") || r.at(i).word("in") || r.at(i).word("of")
	if !r.at(i).word("for") && !on || i == start {
		return 0, 0
	}
	if !p.value() && p.kind != aVersion && p.kind != aEffort && p.kind != aDone && p.kind != aOutOf && p.kind != aNoScore && p.kind != aCap {
		return 0, 0
	}
	letter, e := r.letterAt(i + 1)
	if letter == 0 {
		return 0, 0
	}
	n := r.at(e)
	if n.kind == aWord && !n.word("and") && !n.is(clThanks) && (letter == 'A' || on && p.kind != aNoScore) {
		return 0, 0
	}
	return e, letter
}
