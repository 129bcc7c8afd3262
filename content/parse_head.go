package content

import (
	"path"
	"slices"
	"strings"
	"time"
)

// headKeys are the keys of the head, in canonical order.
var headKeys = [...]string{"session", "date", "programme", "focus", "kit", "length", "about", "level", "note", "effort", "choose", "short", "rest"}

func isHeadKey(s string) bool {
	for _, k := range headKeys {
		if strings.EqualFold(k, s) {
			return true
		}
	}
	return false
}

// keyed cuts a line at its first colon, if only letters, blanks and hyphens stand before it.
func keyed(l piece) (key, value piece, ok bool) {
	i := strings.IndexByte(l.s, ':')
	if i < 0 {
		return l, l, false
	}
	for _, c := range l.s[:i] {
		if c < 0x80 && !(c == ' ' || c == '-' || c == '\t' || c == '\'' || 'a' <= c|0x20 && c|0x20 <= 'z') {
			return l, l, false
		}
	}
	return l.to(i).trim(), l.from(i + 1).trim(), true
}

// headLine reads a line of the head. Where movements may stand too, only known keys are taken.
func (p *parser) headLine(l piece, must bool) bool {
	key, value, ok := keyed(l)
	name := strings.ToLower(key.s)
	if !must && (!ok || !isHeadKey(name)) {
		return false
	}
	if !ok {
		p.tell(l, "expected a line such as session: Ledge and landing, or a part such as A. 3 sets; found %s", shown(l.s))
		return true
	}
	if plain, _, odd := latinised(name); !isHeadKey(name) && odd && isHeadKey(plain) {
		p.tell(key, "unknown key %s%s", shown(key.s), lookalikeHint(key.s))
		name = plain
	}
	if !isHeadKey(name) {
		if isLineWord(name) {
			p.tell(key, "%s: belongs below a movement or a part, and there is none yet", name)
			return true
		}
		hint := didYouMean(name, headKeys[:])
		if hint == "" {
			hint = "; the head knows " + strings.Join(headKeys[:], ", ")
		}
		p.tell(key, "unknown key %s%s", shown(key.s), hint)
		return true
	}
	p.headValue(key, name, value)
	return true
}

// headValue reads the value of a known key.
func (p *parser) headValue(key piece, name string, value piece) {
	at := spot{part: headSpot, what: name}
	if first, twice := p.where[at]; twice {
		p.tell(key, "%s: is given twice, first in line %d", name, first.line)
		return
	}
	if value.s == "" {
		p.mark(key, at)
		p.tell(key, "%s: says nothing; write something after the colon or leave the line out", name)
		return
	}
	p.mark(value, at)
	s := &p.s
	switch name {
	case "session":
		s.Title = value.s
	case "programme":
		s.Programme = value.s
	case "focus":
		s.Focus = value.s
	case "about":
		s.About = value.s
	case "level":
		s.Level = value.s
	case "note":
		s.Note = value.s
	case "date":
		d, err := ParseDate(value.s)
		if err != nil {
			p.tell(value, "%s", dateWrong(value.s))
			return
		}
		s.Date = d
	case "kit":
		p.kitLine(value)
	case "length":
		s.Length, _ = p.wholeTime(value, "length: 45 min")
	case "effort":
		p.effort(value)
	case "choose", "short":
		p.note(value, spot{part: headSpot, what: name + " value"})
		p.lettersLine(name, value)
	case "rest":
		p.restDay(value)
	}
}

// dateWrong tells why a date could not be read.
func dateWrong(s string) string {
	if len(s) == 10 && s[4] == '-' && s[7] == '-' && strings.Trim(s, "0123456789-") == "" {
		return shown(s) + " is no day of the calendar: write year-month-day, for example 2027-02-01"
	}
	return shown(s) + " is not a date: write year-month-day, for example 2027-02-01"
}

// kitLine reads the list of kit, or none.
func (p *parser) kitLine(value piece) {
	p.s.HasKit = true
	if value.is("none", "no kit", "nothing") {
		return
	}
	for i, item := range value.split() {
		if item.s == "" {
			p.tell(item, "an empty place in the list of kit; write names with a comma between them")
			continue
		}
		for _, one := range p.kitNames(item) {
			name, ok := p.kit(one)
			if !ok {
				continue
			}
			p.note(one, spot{part: headSpot, what: "kit item", n: i})
			if slices.Contains(p.s.Kit, name) {
				p.tell(one, "%s is listed twice", name)
				continue
			}
			p.s.Kit = append(p.s.Kit, name)
		}
	}
}

// kitNames cuts "backpack and chair" in two, unless the whole is a name.
func (p *parser) kitNames(item piece) []piece {
	if _, ok := p.lib.FindKit(item.s); !ok {
		if i := strings.Index(strings.ToLower(item.s), " and "); i > 0 && len(item.s) == len(strings.ToLower(item.s)) {
			return []piece{item.to(i).trim(), item.from(i + len(" and ")).trim()}
		}
		if rest, ok := item.after("and"); ok {
			return []piece{rest}
		}
	}
	return []piece{item}
}

// kit looks kit up and tells when it is unknown.
func (p *parser) kit(at piece) (string, bool) {
	if name, ok := p.lib.FindKit(at.s); ok {
		return name, true
	}
	var near []string
	if p.kitWordings++; p.kitWordings <= suggestionBudget && len(at.s) <= 60 {
		near = p.lib.SuggestKit(at.s, 1)
	}
	meant := suggestions(near, lookalikeHint(at.s))
	if strings.ContainsAny(at.s, ";/&+|") {
		meant = "; write names with a comma between them"
	}
	if meant == "" {
		meant = "; leave it out, or add it to the club's own kit"
	}
	p.tell(at, "unknown kit %s%s", shown(at.s), meant)
	return "", false
}

// suggestions makes the end of a message out of names that are near.
func suggestions(near []string, hint string) string {
	if len(near) == 0 {
		return hint
	}
	last := len(near) - 1
	text := near[last]
	if last > 0 {
		text = strings.Join(near[:last], ", ") + " or " + text
	}
	return hint + "; did you mean " + text + "?"
}

func (p *parser) effort(value piece) {
	for _, e := range []string{"light", "normal", "hard", "test"} {
		if value.is(e) {
			p.s.Effort = e
			return
		}
	}
	p.tell(value, "effort: is light, normal, hard or test; found %s%s", shown(value.s), lookalikeHint(value.s))
}

func (p *parser) restDay(value piece) {
	switch {
	case value.is("yes"):
		p.s.Rest = true
	case value.is("no"):
	default:
		p.tell(value, "rest: yes makes a rest day; found %s%s (rests between sets stand in the part's line: A. 3 sets, rest 1:30)",
			shown(value.s), lookalikeHint(value.s))
	}
}

// wholeTime reads a value that is a time and nothing else.
func (p *parser) wholeTime(value piece, example string) (time.Duration, bool) {
	d, n, wrong := readTime(value.s, false)
	switch {
	case wrong != "":
		p.tell(value, "%s", wrong)
		return 0, false
	case n == 0 || value.from(n).trim().s != "":
		p.tell(value, "%s is not a time%s; write for example %s", shown(value.s), lookalikeHint(value.s), example)
		return 0, false
	}
	return d, true
}

// lettersLine reads part letters, parted by commas, or, and, + or blanks. Whether the parts exist is told at the end.
func (p *parser) lettersLine(name string, value piece) {
	var letters []string
	told := len(p.problems)
	for left := value; left.s != ""; {
		n := strings.IndexAny(left.s, ", +/&\t")
		if n < 0 {
			n = len(left.s)
		}
		w := left.to(n)
		left = left.from(max(n, 1))
		if w.s == "" || w.is("or", "and", "part", "parts", "then") {
			continue
		}
		l := strings.ToUpper(w.s)
		if len(l) != 1 || l < "A" || l > "Z" {
			p.tell(w, "%s is not the letter of a part%s; write for example %s: C or D", shown(w.s), lookalikeHint(w.s), name)
			continue
		}
		if slices.Contains(letters, l) {
			p.tell(w, "part %s is named twice", l)
			continue
		}
		p.note(w, spot{part: headSpot, what: name + " letter", n: len(letters)})
		letters = append(letters, l)
	}
	if name == "short" {
		p.s.Short = letters
		return
	}
	if len(letters) == 1 && len(p.problems) == told {
		p.tell(value, "choose: needs two parts or more to choose from, for example choose: C or D")
	}
	p.s.Choose = letters
}

// dateOfName returns the date that a file's name gives, as YYYY-MM-DD.txt.
func dateOfName(name string) (Date, bool) {
	base := path.Base(strings.ReplaceAll(name, `\`, "/"))
	if len(base) == len("2006-01-02.txt") && strings.EqualFold(base[10:], ".txt") {
		base = base[:10]
	}
	d, err := ParseDate(base)
	return d, err == nil
}

// missingKeys tells, at the sheet's start, the keys that it lacks.
func (p *parser) missingKeys() {
	start := piece{"", 1, 1}
	if _, ok := p.where[spot{part: headSpot, what: "session"}]; !ok {
		p.tell(start, "no session: line; begin with a title, for example session: Ledge and landing")
	}
	named, isNamed := dateOfName(p.name)
	at, given := p.where[spot{part: headSpot, what: "date"}]
	switch {
	case !given && isNamed:
		p.s.Date = named
	case !given:
		p.tell(start, "no date: line; write for example date: 2027-02-01, or name the file 2027-02-01.txt")
	case isNamed && !p.s.Date.IsZero() && p.s.Date != named:
		p.tell(piece{"", at.line, at.col}, "the date %s is not the file's, %s; make them agree", p.s.Date, named)
	}
}
