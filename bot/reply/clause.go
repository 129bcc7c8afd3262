package reply

import "tallybell/content"

// clause is a stretch of atoms that is read by itself.
type clause struct {
	from, to int // atoms
	labels   []byte
	labelAt  int  // atoms of the labels and what belongs to them: [labelAt, bodyAt)
	bodyAt   int  // equal to from when there is no label
	post     bool // the label stands behind, with "for"
	did      bool // "did A and B": done without saying so
	line     int
	talk     bool // a question: nothing in it is read

	session                 *content.FittedSession // what it is read against
	day                     string                 // ISO date when not today
	badDay                  string                 // about: an ask about the day
	dayAt                   int                    // the atom of the day; -1
	keepDay                 bool                   // the day is read whatever else is
	keepVersion, keepEffort bool                   // its version or effort went to other clauses
	correct                 bool                   // a correction

	version   content.Version // its own, "" when not told
	unsure    bool            // its version has to be asked
	versionAt int             // the last atom of its version; -1
	effort    *float64
	badEffort bool
	effortAt  int // the last atom of its effort; -1

	pair       int  // the atom of 8/10 that may be two counts; -1
	finishedAt int  // the atom of the time of "finished at 14:32"; -1
	read       bool // it gave a result or an ask
	skip       bool // dealt with by another clause
}

func newClause(from int) clause {
	return clause{from: from, bodyAt: -1, versionAt: -1, effortAt: -1, pair: -1, finishedAt: -1, dayAt: -1}
}

// split cuts the atoms into clauses: at line breaks, semicolons, full stops before a blank, around questions, and where
// a part label starts.
func (r *reader) split() {
	cl := newClause(0)
	line := 0
	closeAt := func(end, next int) {
		cl.to = end
		if cl.bodyAt < cl.from {
			cl.labelAt, cl.bodyAt = cl.from, cl.from
		}
		cl.line = line
		if cl.to > cl.from {
			cl.talk = r.as[cl.from].talk && r.inQuestion(cl.from)
			r.cls = append(r.cls, cl)
		}
		cl = newClause(next)
	}
	for i := 0; i < len(r.as); {
		a := &r.as[i]
		switch {
		case a.kind == aEnd:
			closeAt(i, i+1)
			if a.c == '\n' {
				line++
			}
			i++
		case r.inQuestion(i):
			if i > cl.from && !r.inQuestion(i-1) {
				closeAt(i, i)
			}
			i++
			if !r.inQuestion(i) {
				closeAt(i, i)
			}
		default:
			next := r.labelStep(i, &cl, closeAt)
			for ; i < next; i++ {
				if b := r.at(i); b.kind == aEnd && b.c == '\n' {
					line++ // a label on a line of its own
				}
			}
		}
	}
	closeAt(len(r.as), len(r.as))
}

// labelStep looks for labels at atom i and returns the atom to go on with.
func (r *reader) labelStep(i int, cl *clause, closeAt func(end, next int)) int {
	if end, labels, did := r.labelsAt(i, cl.from); end > 0 {
		begin := r.prefixStart(cl.from, i)
		if begin > cl.from {
			closeAt(begin, begin)
		}
		cl.labels, cl.labelAt, cl.bodyAt, cl.did = labels, i, end, did
		for k := i; k < end; k++ {
			r.as[k].head = true
		}
		return end
	}
	if end, label := r.postLabel(i, cl.from); end > 0 {
		if len(cl.labels) == 0 {
			cl.labels, cl.labelAt, cl.bodyAt, cl.post = []byte{label}, i, cl.from, true
			for k := i; k < end; k++ {
				r.as[k].head = true
			}
			for end < len(r.as) && (r.as[end].kind == aVersion || r.as[end].kind == aEffort || r.as[end].kind == aOutOf) {
				end++
			}
			closeAt(end, end)
			return end
		}
	}
	return i + 1
}

// at returns the atom at i, or an end beyond either side.
func (r *reader) at(i int) *atom {
	if i >= 0 && i < len(r.as) {
		return &r.as[i]
	}
	return &noAtom
}

var noAtom = atom{kind: aEnd, gap: true}

// inQuestion reports whether atom i stands in a question.
func (r *reader) inQuestion(i int) bool {
	if len(r.questions) == 0 || i < 0 || i >= len(r.as) {
		return false
	}
	for r.qAt < len(r.questions) && r.questions[r.qAt][1] <= i {
		r.qAt++
	}
	for r.qAt > 0 && r.questions[r.qAt-1][1] > i {
		r.qAt--
	}
	return r.qAt < len(r.questions) && r.questions[r.qAt][0] <= i && i < r.questions[r.qAt][1]
}
