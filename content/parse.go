package content

import (
	"fmt"
	"slices"
	"strings"
)

// Parse reads a sheet with the built-in library. name is the file's name: YYYY-MM-DD.txt supplies the date. It
// returns every error of the sheet in one pass, by line and column, and as much of the session as could be read.
func Parse(name string, text []byte) (Session, []Problem) { return ParseWith(Builtin(), name, text) }

// ParseWith is Parse with a library of the club's own.
func ParseWith(lib *Library, name string, text []byte) (Session, []Problem) {
	p := parse(lib, name, text)
	return p.s, p.problems
}

// Read reads a sheet and checks it: the errors of ParseWith and the warnings of Check, by line and column. The
// warnings point at the words they speak of.
func Read(lib *Library, name string, text []byte) (Session, []Problem) {
	p := parse(lib, name, text)
	warnings := check(lib, p.s, p.where)
	all := Sorted(append(p.problems, warnings...))
	return p.s, all
}

// spot names one line or word of a sheet, whatever its place: the part (headSpot, warmUpSpot, coolDownSpot or an
// index of Parts), the movement in it, and what of it.
type spot struct {
	part, move int
	what       string
	n          int // which, where there may be several
}

// The sections of a sheet that are no parts.
const (
	headSpot     = -2
	warmUpSpot   = -1
	coolDownSpot = 1 << 20
)

// place is a position in a sheet.
type place struct{ line, col int }

// parser reads one sheet.
type parser struct {
	lib         *Library
	name        string
	s           Session
	problems    []Problem
	quiet       bool // the line was told to be broken: what follows from that is not told again
	where       map[spot]place
	wordings    map[string][]string // suggestions for unknown movements, made once a name
	kitWordings int                 // unknown kit told so far
	section     int                 // where movements go now: headSpot before the first section
	seen        map[string]bool     // sections that have begun
	last        byte                // the letter of the last part
	comments    []pendingComment
}

// pendingComment is a comment that waits for the line it stands before.
type pendingComment struct {
	text   string
	before spot
	end    bool // nothing follows
}

func parse(lib *Library, name string, text []byte) *parser {
	p := &parser{lib: lib, name: name, where: map[spot]place{}, section: headSpot, seen: map[string]bool{}}
	if len(text) > MaxSheet {
		p.tell(piece{"", 1, 1}, "the sheet is larger than 256 KiB: a session is a page or two of text")
		return p
	}
	lines := scan(string(text), func(at piece, m string) { p.tell(at, "%s", m) })
	for _, l := range lines {
		if l.comment {
			p.comments = append(p.comments, pendingComment{text: strings.TrimSpace(l.s[1:]), end: true})
			continue
		}
		p.quiet = l.broken
		p.line(l.piece)
		p.quiet = false
	}
	p.finish()
	p.placeComments()
	p.problems = Sorted(p.problems)
	return p
}

// line reads one line that is neither blank nor a comment.
func (p *parser) line(l piece) {
	if p.header(l) || p.sectionLine(l) || p.below(l) {
		return
	}
	if p.section >= 0 || p.section == warmUpSpot {
		if p.section == warmUpSpot && p.headLine(l, false) {
			return
		}
		if p.strangeWord(l) {
			return
		}
		p.movementLine(l)
		return
	}
	p.headLine(l, true)
}

// tell adds an error.
func (p *parser) tell(at piece, format string, args ...any) {
	if !p.quiet {
		p.problems = append(p.problems, Problem{Line: at.line, Column: at.col, Message: fmt.Sprintf(format, args...)})
	}
}

// mark keeps where something stands, and lets the comments above it belong to it.
func (p *parser) mark(at piece, s spot) {
	p.where[s] = place{at.line, at.col}
	for i := len(p.comments) - 1; i >= 0 && p.comments[i].end; i-- {
		p.comments[i].before, p.comments[i].end = s, false
	}
}

// note keeps where something stands on a line that is marked already.
func (p *parser) note(at piece, s spot) { p.where[s] = place{at.line, at.col} }

// moves returns the movements of the section now read.
func (p *parser) moves() *[]Movement {
	switch p.section {
	case warmUpSpot:
		return &p.s.WarmUp
	case coolDownSpot:
		return &p.s.CoolDown
	}
	return &p.s.Parts[p.section].Movements
}

// part returns the part now read, or nil in the head and in sections without a letter.
func (p *parser) part() *Part {
	if p.section < 0 || p.section == coolDownSpot {
		return nil
	}
	return &p.s.Parts[p.section]
}

// Sorted orders problems by line, column and text, and drops repeats.
func Sorted(ps []Problem) []Problem {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		if a.Column != b.Column {
			return a.Column - b.Column
		}
		return strings.Compare(a.Message, b.Message)
	})
	return slices.Compact(ps)
}

// placeComments gives each comment its place in the canonical form.
func (p *parser) placeComments() {
	if len(p.comments) == 0 {
		return
	}
	at := map[spot]int{}
	lines := canonical(p.s)
	for i, l := range lines {
		at[l.spot] = i
	}
	for _, c := range p.comments {
		before := len(lines)
		if i, ok := at[c.before]; ok && !c.end {
			before = i
		}
		p.s.Comments = append(p.s.Comments, Comment{Before: before, Text: c.text})
	}
	slices.SortStableFunc(p.s.Comments, func(a, b Comment) int { return a.Before - b.Before })
}
