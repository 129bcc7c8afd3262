package content

import (
	"net/url"
	"strings"
)

// lineWords are the words that begin a line below a movement or a part.
var lineWords = [...]string{"easier", "harder", "if", "or", "cue", "care", "watch", "aim", "note"}

func isLineWord(s string) bool {
	for _, w := range lineWords {
		if strings.EqualFold(w, s) {
			return true
		}
	}
	return false
}

// below reads a line that begins with a known word and a colon.
func (p *parser) below(l piece) bool {
	if p.section == headSpot {
		return false
	}
	i := strings.IndexByte(l.s, ':')
	if i < 0 {
		return false
	}
	key, value := l.to(i).trim(), l.from(i+1).trim()
	word, kit := key.word()
	word.s = strings.ToLower(word.s)
	if !isLineWord(word.s) || (word.s == "if") != (kit.s != "") {
		if word.s == "if" && key.is("if") {
			p.tell(word, "if needs the kit it speaks of, for example if pull-up bar: 8 pull-up")
			return true
		}
		return false
	}
	part := p.part()
	if part == nil && (word.s == "aim" || word.s == "note") {
		if word.s == "note" && p.section == warmUpSpot && len(p.s.Parts) == 0 {
			return false // a line of the head
		}
		p.tell(word, "%s: belongs to a part with a letter; there is none here", word.s)
		return true
	}
	if value.s == "" {
		p.tell(word, "%s: says nothing; write something after the colon or leave the line out", word.s)
		return true
	}
	switch word.s {
	case "aim", "note":
		p.partWord(part, word, value)
	default:
		p.movementWord(word, kit, value)
	}
	return true
}

// partWord reads aim: and note: of a part.
func (p *parser) partWord(part *Part, word, value piece) {
	at := spot{part: p.section, what: word.s}
	if first, twice := p.where[at]; twice {
		p.tell(word, "%s: is given twice in part %s, first in line %d", word.s, part.Letter, first.line)
		return
	}
	p.mark(value, at)
	if word.s == "note" {
		part.Note = value.s
		return
	}
	text, wrong := aimText(value.s)
	if wrong != "" {
		p.tell(value, "%s", wrong)
		return
	}
	part.Aim = text
}

// movementWord reads a line that belongs to the movement above.
func (p *parser) movementWord(word, kit, value piece) {
	moves := *p.moves()
	if len(moves) == 0 {
		if !p.where[spot{part: p.section, what: "tried"}].isSet() {
			p.tell(word, "%s: belongs below a movement, and there is none above it here", word.s)
		}
		return
	}
	m := &moves[len(moves)-1]
	at := spot{part: p.section, move: len(moves) - 1, what: word.s}
	switch word.s {
	case "cue":
		at.n = len(m.Cues)
		m.Cues = append(m.Cues, value.s)
		p.mark(value, at)
	case "care":
		at.n = len(m.Cares)
		m.Cares = append(m.Cares, value.s)
		p.mark(value, at)
	case "watch":
		if wrong := linkWrong(value.s); wrong != "" {
			p.tell(value, "%s", wrong)
			return
		}
		at.n = len(m.Watches)
		m.Watches = append(m.Watches, value.s)
		p.mark(value, at)
	default:
		p.way(m, WayKind(word.s), kit, value)
	}
}

// way reads easier, harder, if and or lines.
func (p *parser) way(m *Movement, kind WayKind, kit, value piece) {
	at := spot{part: p.section, move: len(*p.moves()) - 1, what: "way", n: len(m.Ways)}
	p.mark(value, at)
	w := Way{Kind: kind}
	if kind == If {
		name, ok := p.kit(kit)
		if !ok {
			name = ""
		}
		w.Kit = name
	}
	w.Movement, _ = p.movement(value, true, at)
	m.Ways = append(m.Ways, w)
}

// linkWrong tells why a link may not be given, or returns "".
func linkWrong(s string) string {
	const example = "; write for example https://example.org/step-up"
	if strings.ContainsAny(s, " \t<>\"") {
		return "a link holds no blanks, quotes or angle brackets" + example
	}
	u, err := url.Parse(s)
	switch {
	case err != nil:
		return shown(s) + " is not a link" + example
	case u.Scheme == "":
		return shown(s) + " is not a whole link: it begins with http:// or https://" + example
	case !strings.EqualFold(u.Scheme, "http") && !strings.EqualFold(u.Scheme, "https"):
		return "a link begins with http:// or https://, not with " + shown(u.Scheme+":")
	case u.Hostname() == "" || u.Opaque != "":
		return shown(s) + " names no site" + example
	case u.User != nil:
		return "a link holds no user name or password" + example
	}
	return ""
}

// strangeWord tells a line that begins with a word and a colon that mean nothing here.
func (p *parser) strangeWord(l piece) bool {
	key, _, ok := keyed(l)
	if !ok || key.s == "" {
		return false
	}
	p.note(l, spot{part: p.section, what: "tried"})
	name := strings.ToLower(key.s)
	if plain, _, _ := latinised(name); isHeadKey(plain) && !isLineWord(plain) {
		p.tell(key, "%s: belongs to the head, before the first part; move it up%s", name, lookalikeHint(name))
		return true
	}
	hint := didYouMean(name, lineWords[:])
	if word, kit := key.word(); hint == "" && kit.s != "" {
		hint = didYouMean(word.s, []string{"if"})
	}
	if hint == "" {
		hint = lookalikeHint(key.s) + "; known below a movement are easier, harder, if KIT, or, cue, care, watch, and below a part aim, note"
	}
	p.tell(key, "unknown word %s before a colon%s", shown(key.s), hint)
	return true
}
