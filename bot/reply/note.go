package reply

import "strings"

// note is what is left for the coach to read: the words that were not read, in order, joining words trimmed at the
// edges, pieces joined by "; ". A reply with nothing to log, ask or effort is its own note.
func (r *reader) note() string {
	if len(r.drafts) == 0 && len(r.out.Asks) == 0 && r.out.Effort == nil {
		return strings.TrimSpace(clean(r.text.original))
	}
	r.restoreUnread()
	var pieces []string
	from := -1
	flush := func(to int) {
		if from >= 0 {
			if p := r.piece(r.as[from].from, r.as[to-1].to); p != "" {
				pieces = append(pieces, p)
			}
		}
		from = -1
	}
	for i := range r.as {
		a := &r.as[i]
		if a.used || a.kind == aEnd {
			flush(i)
			continue
		}
		if from < 0 {
			from = i
		}
	}
	flush(len(r.as))
	return strings.Join(pieces, "; ")
}

// restoreUnread gives back to the note what was marked in clauses that came to nothing.
func (r *reader) restoreUnread() {
	for i := range r.cls {
		c := &r.cls[i]
		if c.read {
			if c.dayAt >= 0 && !c.keepDay {
				r.useDay(c)
			}
			continue
		}
		first := r.at(c.from)
		thatWas := first.kind == aFix || first.word("that") || first.word("it") || first.word("was") || first.word("that's") // that was scaled
		for k := c.from; k < c.to; k++ {
			a := &r.as[k]
			if c.keepEffort {
				a.used = true
				continue
			}
			keep := c.keepVersion && (a.kind == aVersion || thatWas && (a.kind == aFix || a.kind == aWord && isPointer(a.s))) || (a.kind == aEffort || a.kind == aOutOf) && c.keepEffort ||
				c.keepDay && (k == c.dayAt || a.kind == aSign || a.word("for") || a.word("on")) ||
				c.keepVersion && a.kind == aDay && a.s == "today"
			if a.used = keep; keep {
				continue
			}
		}
	}
}

// piece is the original text of tokens [from, to), trimmed of joining words and loose signs; "" when no word, number or
// picture is left.
func (r *reader) piece(from, to int) string {
	trim := func(k int) bool {
		t := &r.ts[k]
		if t.c == '<' && k+1 < len(r.ts) && r.ts[k+1].s == "3" && !r.ts[k+1].gap {
			return false // <3
		}
		return t.kind == punctToken && t.c != '#' && t.c != '$' || t.kind == lineToken || t.is(clJoin)
	}
	for from < to && trim(from) {
		from++
	}
	for to > from && trim(to-1) && !r.closes(from, to-1) {
		to--
	}
	if from >= to {
		return ""
	}
	return strings.Join(strings.Fields(clean(r.text.original[r.text.source(r.ts[from].from):r.end(to-1)])), " ")
}

// end returns the place in the original where token k ends.
func (r *reader) end(k int) int {
	to := r.ts[k].to
	if r.text.at == nil {
		return to
	}
	return r.text.source(to)
}

// closes keeps a sign at the end of a piece: ! and ?, and a bracket or quote that was opened inside.
func (r *reader) closes(from, k int) bool {
	t := &r.ts[k]
	if t.kind != punctToken {
		return false
	}
	var open byte
	switch t.c {
	case '!', '?', '%':
		return true
	case ')':
		open = '('
	case ']':
		open = '['
	case '"', '\'':
		open = t.c
	default:
		return false
	}
	for j := from; j < k; j++ {
		if r.ts[j].c == open && r.ts[j].kind == punctToken {
			return true
		}
	}
	return false
}

// clean drops direction marks and zero-width characters, except inside emoji.
func clean(s string) string {
	if isPlainASCII(s) {
		return s
	}
	var b strings.Builder
	emoji := false
	for _, c := range s {
		joiner := c == 0x200d || c == 0xfe0f || c == 0xfe0e
		if joiner && !emoji || !joiner && isInvisible(c) {
			continue
		}
		if !joiner {
			emoji = isEmoji(c) || c == '#' || c == '*' || c >= '0' && c <= '9'
		}
		b.WriteRune(c)
	}
	return b.String()
}
