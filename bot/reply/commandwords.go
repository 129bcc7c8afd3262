package reply

import "strings"

// argument is the original text from the second word on.
func (r *reader) argument(command, from, to int) string {
	return clean(r.text.original[r.text.source(r.ts[from].from):r.end(to)])
}

func (r *reader) colonAfter(k int) bool {
	return k+1 < len(r.ts) && (r.ts[k+1].c == ':' || r.ts[k+1].c == '=') && r.ts[k+1].kind == punctToken
}

func (r *reader) isKitList(list string) bool {
	if r.in.Library == nil {
		return false
	}
	for _, item := range strings.Split(strings.ReplaceAll(list, " and ", ","), ",") {
		if item = strings.TrimSpace(item); item == "" {
			continue
		}
		if _, ok := r.in.Library.FindKit(item); !ok {
			return false
		}
	}
	return true
}

// startsMovement reports whether the words, or those before "for", "to" or "with", name a movement.
func (r *reader) startsMovement(text string) bool {
	low := strings.ToLower(text)
	for _, sep := range [...]string{" for ", " to ", " with "} {
		if at := strings.Index(low, sep); at > 0 {
			text = text[:at]
			low = low[:at]
		}
	}
	return r.isMovement(text)
}

// isMovement reports whether the words name a movement of the session or the library.
func (r *reader) isMovement(text string) bool {
	text = strings.TrimSpace(text)
	for _, skip := range [...]string{"the ", "my "} {
		text = strings.TrimPrefix(text, skip)
	}
	if r.in.Library != nil {
		if _, ok := r.in.Library.Find(text); ok {
			return true
		}
	}
	typed := wordsOfName(strings.ToLower(text))
	words := typed.words[:typed.n]
	for _, p := range r.in.Session.Session.Parts {
		for _, m := range p.Movements {
			own := wordsOfName(m.Name)
			name := own.words[:own.n]
			if n := len(name) - len(words); len(words) > 0 && n >= 0 && equalStems(name[n:], words) {
				return true
			}
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
