package reply

import (
	"time"

	"tallybell/content"
)

// atomKind is what an atom is.
type atomKind uint8

const (
	aWord      atomKind = iota // a word that is nothing else
	aSign                      // a sign; c tells which
	aEnd                       // the end of a clause
	aEmoji                     // a picture
	aTick                      // one or more ticks
	aInt                       // a bare whole number: n
	aDecimal                   // a bare number with a point: n and frac
	aTime                      // a time: ms; alt is the same in millimetres for "14 m"
	aLoad                      // a load: n grams
	aDistance                  // a distance: n millimetres
	aReps                      // "12 reps": n
	aRounds                    // "5 rounds": n
	aSets                      // "3 sets": n
	aCalories                  // "15 cal": n
	aTimeOfDay                 // "6 pm"
	aVersion                   // words of a version: version
	aHedge                     // not quite, almost, except: words that unsettle a version
	aEffort                    // "rpe 8": effort; bad when it is no effort
	aOutOf                     // "8/10": effort, or two counts n and m
	aCap                       // capped, dnf: out of time
	aStop                      // stopped, gave up
	aDone                      // done
	aAllDone                   // all done
	aNoScore                   // no watch, lost count
	aDay                       // a day word or date: n, when it can be one
	aFix                       // fix, oops, should be: a correction
	aLabel                     // a part letter
)

// atom is a token or several that mean one thing.
type atom struct {
	kind     atomKind
	c        byte
	gap      bool // blank before it
	used     bool // read: not for the note
	talk     bool // in a question, or a value that is no result
	spelled  bool // in words
	head     bool // a label that heads its clause; a clause starts here
	bad      bool // a value that cannot be taken as typed
	from, to int  // tokens
	class    class
	s        string
	n, m     int64
	ms, alt  int64
	frac     string
	effort   float64
	version  content.Version
	mend     *[2]string // what a bad value may have meant, as it could be typed; nil: no idea
}

func (a *atom) is(c class) bool { return a.class&c != 0 }

func (a *atom) sign(c byte) bool { return a.kind == aSign && a.c == c }

func (a *atom) word(s string) bool { return a.kind == aWord && a.s == s }

// value reports whether the atom carries a figure that may be part of a result.
func (a *atom) value() bool { return a.kind >= aInt && a.kind <= aCalories && !a.talk }

// setDate keeps a date in n; date returns it, the zero Date when there is none.
func (a *atom) setDate(d content.Date) {
	if !d.IsZero() {
		a.n = int64(d.Year)*10000 + int64(d.Month)*100 + int64(d.Day)
	}
}

func (a *atom) date() content.Date {
	return content.Date{Year: int(a.n / 10000), Month: time.Month(a.n / 100 % 100), Day: int(a.n % 100)}
}

// mends returns what a bad value may have meant.
func (a *atom) mends() []string {
	if a.mend == nil {
		return nil
	}
	return a.mend[:]
}

// mendAs notes what a bad value may have meant, best first.
func (a *atom) mendAs(first, second string) { a.mend = &[2]string{first, second} }
