package bot

import (
	"slices"
	"strings"

	"tallybell/content"
)

// place is one line of a session: what the coach wrote there, and what the member was sent.
type place struct {
	part     string // letter, or content.WarmUpPart, content.CoolDownPart
	index    int    // among the part's movements
	movement string // of the sheet
	sent     string
	eased    bool
}

// lettered reports whether the place is in a part that can be logged.
func (p place) lettered() bool { return p.part != content.WarmUpPart && p.part != content.CoolDownPart }

// placesOf returns every line of a session, in order.
func placesOf(fs content.FittedSession) []place {
	var out []place
	section := func(part string, written, sent []content.Movement) {
		for i, m := range written {
			p := place{part: part, index: i, movement: m.Name, sent: m.Name}
			if i < len(sent) {
				p.sent = sent[i].Name
			}
			for _, c := range fs.Changes {
				if c.Part == part && c.Movement == i {
					p.eased = p.eased || c.Eased
				}
			}
			out = append(out, p)
		}
	}
	section(content.WarmUpPart, fs.Sheet.WarmUp, fs.Session.WarmUp)
	for i, p := range fs.Sheet.Parts {
		section(p.Letter, p.Movements, fs.Session.Parts[i].Movements)
	}
	section(content.CoolDownPart, fs.Sheet.CoolDown, fs.Session.CoolDown)
	return out
}

// cardAt returns the card's movement of a place.
func cardAt(c content.Card, p place) (content.CardMovement, bool) {
	moves := c.WarmUp
	switch p.part {
	case content.WarmUpPart:
	case content.CoolDownPart:
		moves = c.CoolDown
	default:
		moves = nil
		for _, part := range c.Parts {
			if part.Letter == p.part {
				moves = part.Movements
			}
		}
	}
	if p.index >= len(moves) {
		return content.CardMovement{}, false
	}
	return moves[p.index], true
}

// typedSwap is what follows the word swap.
type typedSwap struct {
	movement string   // as typed
	found    []string // movements of the sheet that it may be
	way      string   // as typed; "" when none is named
	back     bool
	always   bool
	tail     string // what stood behind the movement, to be typed again
}

// readSwap reads "push-up", "push-up for incline push-up", "push-up for incline push-up always", "push-up back".
func readSwap(text string, fs content.FittedSession, lib *content.Library) typedSwap {
	var w typedSwap
	s := tidyName(text)
	for {
		cut := false
		for _, end := range []struct {
			word string
			note func()
		}{{"please", func() {}}, {"today", func() {}}, {"always", func() { w.always = true }}, {"for good", func() { w.always = true }}, {"back", func() { w.back = true }}} {
			rest, ok := strings.CutSuffix(s, " "+end.word)
			if !ok && s == end.word && end.word != "please" {
				rest, ok = "", true
			}
			if ok {
				end.note()
				s, cut = strings.TrimRight(rest, " ,"), true
			}
		}
		if !cut {
			break
		}
	}
	w.movement, w.found = s, movementsCalled(s, fs, lib)
	if len(w.found) == 0 {
		for _, joint := range []string{" for ", " with ", " to ", ", "} {
			was, way, ok := strings.Cut(s, joint)
			if !ok {
				continue
			}
			if found := movementsCalled(was, fs, lib); len(found) > 0 || w.way == "" {
				w.movement, w.found, w.way = was, found, tidyName(way)
				if len(found) > 0 {
					break
				}
			}
		}
	}
	if w.way != "" {
		w.tail = " for " + w.way
	}
	if w.back {
		w.tail = " back"
	}
	if w.always {
		w.tail += " always"
	}
	return w
}

// tidyName lowers a typed name and drops articles and marks around it.
func tidyName(s string) string {
	s = strings.Trim(strings.ToLower(strings.Join(strings.Fields(s), " ")), " .,:!?=")
	for _, article := range []string{"the ", "my ", "a ", "an "} {
		s = strings.TrimPrefix(s, article)
	}
	return s
}

// movementsCalled returns the movements of the sheet that a typed name may mean, in the session's order: those whose name
// or alias it is, as written or as sent; else those whose names it tells by some of their words.
func movementsCalled(typed string, fs content.FittedSession, lib *content.Library) []string {
	typed = tidyName(typed)
	if typed == "" {
		return nil
	}
	places := placesOf(fs)
	var out []string
	if e, ok := lib.Find(typed); ok {
		for _, p := range places {
			if p.movement == e.Name {
				return []string{e.Name}
			}
		}
		for _, p := range places {
			if p.sent == e.Name {
				put(&out, p.movement)
			}
		}
	}
	if len(out) > 0 {
		return out
	}
	for _, p := range places {
		if tells(typed, p.movement) || tells(typed, p.sent) {
			put(&out, p.movement)
		}
	}
	return out
}

// nearestOf returns the movement of the sheet whose name is a slip of the thumb away from a typed one.
func nearestOf(typed string, fs content.FittedSession) (string, bool) {
	best, near := "", len(typed)/3+1
	for _, p := range placesOf(fs) {
		for _, name := range []string{p.movement, p.sent} {
			if d := content.EditDistance(typed, name); d < near {
				best, near = p.movement, d
			}
		}
	}
	return best, best != ""
}

// tells reports whether all typed words are words of a name, singular or plural.
func tells(typed, name string) bool {
	words, of := stems(typed), stems(name)
	return len(words) > 0 && !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(of, w) })
}

// stems returns the words of a name in the singular.
func stems(name string) []string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == ' ' || r == '-' || r == ',' })
	for i, w := range words {
		switch {
		case len(w) > 4 && (strings.HasSuffix(w, "ches") || strings.HasSuffix(w, "shes") || strings.HasSuffix(w, "sses") || strings.HasSuffix(w, "xes")):
			words[i] = w[:len(w)-2]
		case len(w) > 4 && strings.HasSuffix(w, "ies"):
			words[i] = w[:len(w)-3] + "y"
		case len(w) > 2 && strings.HasSuffix(w, "s") && !strings.HasSuffix(w, "ss"):
			words[i] = w[:len(w)-1]
		}
	}
	return words
}
