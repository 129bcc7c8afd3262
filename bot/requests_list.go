package bot

import (
	"fmt"
	"slices"
	"strings"
)

// typedList is what a member has or wants left out, typed as a list. Names alone take the place of the old list.
// After add (also +, plus, also) names are added, after no (not, without, remove, minus, drop) they are taken away; such
// a word rules the names behind it until another one. none empties the list.
type typedList struct {
	names   []string // the new list
	add     []string
	drop    []string
	none    bool
	unknown []string // as typed
}

// readList reads a list; known gives the canonical name of one thing.
func readList(text string, known func(string) (string, bool)) typedList {
	var l typedList
	if isWord(text, "none", "nothing", "no kit", "no limits", "nothing at all", "no") {
		l.none = true
		return l
	}
	mode := &l.names
	for _, piece := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		mode = l.piece(strings.TrimSpace(piece), mode, known)
	}
	return l
}

// adding and dropping are the words before a name.
var (
	adding   = []string{"add ", "plus ", "also "}
	dropping = []string{"no longer ", "no ", "not ", "without ", "remove ", "minus ", "drop ", "take away "}
)

// piece reads one piece of a list and returns where the next one belongs.
func (l *typedList) piece(s string, mode *[]string, known func(string) (string, bool)) *[]string {
	s = strings.Trim(s, " .!?")
	if s == "" {
		return mode
	}
	if rest, ok := strings.CutPrefix(s, "+"); ok {
		return l.piece(rest, &l.add, known)
	}
	if name, ok := known(s); ok {
		put(mode, name)
		return mode
	}
	low := strings.ToLower(s)
	for _, w := range []struct {
		words []string
		mode  *[]string
	}{{adding, &l.add}, {dropping, &l.drop}} {
		for _, word := range w.words {
			if strings.HasPrefix(low, word) {
				return l.piece(s[len(word):], w.mode, known)
			}
		}
	}
	for _, article := range []string{"a ", "an ", "the ", "my ", "some ", "and "} {
		if strings.HasPrefix(low, article) {
			return l.piece(s[len(article):], mode, known)
		}
	}
	for _, joint := range []string{" and ", " & ", "+", "/"} {
		if i := strings.Index(low, joint); i > 0 {
			mode = l.piece(s[:i], mode, known)
			if joint == "+" {
				mode = &l.add
			}
			return l.piece(s[i+len(joint):], mode, known)
		}
	}
	l.unknown = append(l.unknown, s)
	return mode
}

func put(list *[]string, name string) {
	if !slices.Contains(*list, name) {
		*list = append(*list, name)
	}
}

// on returns what the list makes of the one before it, in the order of the alphabet.
func (l typedList) on(old []string) []string {
	now := slices.Clone(old)
	if l.none || len(l.names) > 0 {
		now = slices.Clone(l.names)
	}
	for _, name := range l.add {
		put(&now, name)
	}
	now = slices.DeleteFunc(now, func(name string) bool { return slices.Contains(l.drop, name) })
	slices.Sort(now)
	return slices.Compact(now)
}

// differences tells in one line what a list has more and less than before, "" when nothing.
func differences(before, now []string) string {
	var parts []string
	for _, d := range []struct {
		word      string
		from, not []string
	}{{textNew, now, before}, {textTaken, before, now}} {
		var names []string
		for _, name := range d.from {
			if !slices.Contains(d.not, name) {
				names = append(names, name)
			}
		}
		if len(names) > 0 {
			parts = append(parts, d.word+strings.Join(names, ", ")+".")
		}
	}
	return strings.Join(parts, " ")
}

// sayUnknown tells each name that is not known, with what may have been meant; nothing is changed. Where every one has a
// likely meaning it is offered as the whole request, put right.
func sayUnknown(q requested, a *answer, command string, unknown []string, suggest func(string) []string) error {
	meant, all := q.r.Argument, true
	for _, u := range unknown {
		near := suggest(u)
		if len(near) == 0 {
			all = false
			_ = say(a, fmt.Sprintf(textUnknown, u))
			continue
		}
		_ = say(a, fmt.Sprintf(textUnknownNear, u, strings.Join(near, ", ")))
		meant = strings.Replace(meant, u, near[0], 1)
	}
	if !all {
		return say(a, textNothingChanged)
	}
	a.ask(question{About: aboutMeant, At: q.now.UnixMilli(), Said: q.m.Text, Text: textNothingChanged + " " + textDidYouMean,
		Options: []string{command + ": " + meant}})
	return nil
}
