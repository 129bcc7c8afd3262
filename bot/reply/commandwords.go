package reply

import (
	"strings"

	"tallybell/content"
)

// argument is the original text of the tokens from one to another.
func (r *reader) argument(from, to int) string {
	return clean(r.text.original[r.text.source(r.ts[from].from):r.end(to)])
}

// signAfter reports whether one of signs stands right after token k.
func (r *reader) signAfter(k int, signs string) bool {
	return k+1 < len(r.ts) && r.ts[k+1].kind == punctToken && strings.IndexByte(signs, r.ts[k+1].c) >= 0
}

// isKitList reports whether the words after kit, without a colon, tell what there is: names of kit, or a word of adding
// or taking away before them.
func (r *reader) isKitList(words []string, list string) bool {
	if len(words) == 1 && (words[0] == "none" || words[0] == "nothing") {
		return true
	}
	if r.in.Library == nil {
		return false
	}
	if len(words) > 1 && hasWord(words[:1], "add", "plus", "no", "not", "without", "remove", "minus", "drop") {
		_, list, _ = strings.Cut(list, " ")
	}
	for _, item := range strings.Split(strings.ReplaceAll(strings.ToLower(list), " and ", ","), ",") {
		if item = withoutArticle(strings.TrimSpace(item)); item == "" {
			continue
		}
		if _, ok := r.in.Library.FindKit(item); !ok {
			return false
		}
	}
	return true
}

func withoutArticle(s string) string {
	for _, article := range [...]string{"a ", "an ", "the ", "my "} {
		if rest, ok := strings.CutPrefix(s, article); ok {
			return rest
		}
	}
	return s
}

// isSwap reports whether the words after swap name a movement, and, behind "for" or "with", another: so that "swap over
// was slow" stays talk. "back", "always" and "today" may stand at the end.
func (r *reader) isSwap(text string) bool {
	text = strings.ToLower(strings.TrimSpace(text))
	for cut := true; cut; {
		cut = false
		for _, tail := range [...]string{" please", " always", " back", " today"} {
			if rest, ok := strings.CutSuffix(text, tail); ok {
				text, cut = strings.TrimRight(rest, " ,"), true
			}
		}
	}
	if r.isMovement(text) || r.isNearMovement(text) {
		return true
	}
	for _, sep := range [...]string{" for ", " with ", " to "} {
		if was, way, ok := strings.Cut(text, sep); ok && (r.isMovement(was) || r.isNearMovement(was)) && (r.isMovement(way) || r.isNearMovement(way)) {
			return true
		}
	}
	return false
}

// isNearMovement reports whether a few words are nearly the name of a movement: a slip of the thumb.
func (r *reader) isNearMovement(text string) bool {
	if r.in.Library == nil || strings.Count(text, " ") > 3 {
		return false
	}
	near := r.in.Library.Suggest(text, 1)
	return len(near) > 0 && 3*content.EditDistance(strings.ToLower(text), near[0]) <= len(near[0])
}

// isMovement reports whether the words name a movement of the session or the library.
func (r *reader) isMovement(text string) bool {
	text = withoutArticle(strings.ToLower(strings.TrimSpace(text)))
	if r.in.Library != nil {
		if _, ok := r.in.Library.Find(text); ok {
			return true
		}
	}
	typed := wordsOfName(strings.ToLower(text))
	words := typed.words[:typed.n]
	if len(words) == 0 {
		return false
	}
	for _, s := range [...]*content.Session{&r.in.Session.Session, &r.in.Session.Sheet} {
		if tellsOf(s.WarmUp, words) || tellsOf(s.CoolDown, words) {
			return true
		}
		for i := range s.Parts {
			if tellsOf(s.Parts[i].Movements, words) {
				return true
			}
		}
	}
	return false
}

// tellsOf reports whether the words begin or end the name of one of the movements: "climbers" of "mountain climber".
func tellsOf(moves []content.Movement, words []string) bool {
	for i := range moves {
		own := wordsOfName(moves[i].Name)
		name := own.words[:own.n]
		if n := len(name) - len(words); n >= 0 && (equalStems(name[n:], words) || equalStems(name[:len(words)], words)) {
			return true
		}
	}
	return false
}

func equalStems(a, b []string) bool {
	for k := range a {
		if !sameStem(a[k], b[k]) {
			return false
		}
	}
	return true
}
