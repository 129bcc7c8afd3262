package content

import (
	"fmt"
	"strings"
)

// percentOf reads of A after a percentage and looks whether there is such a part before, and whether its result can
// be a number of that kind: a load, or an amount.
func (p *parser) percentOf(amount, text piece, load bool) (letter string, rest piece, ok bool) {
	of, rest := text.word()
	which, rest := rest.word()
	if q, is := which, which.is("part"); is {
		q, rest = rest.word()
		which = q
	}
	letter = strings.ToUpper(which.s)
	if !of.is("of") || len(letter) != 1 || letter < "A" || letter > "Z" {
		p.tell(amount, "a percentage says of which part's result, for example 60%% of A%s", lookalikeHint(which.s))
		if !of.is("of") {
			rest = text
		}
		return "", rest, false
	}
	for i, part := range p.s.Parts {
		if part.Letter != letter || i == p.section {
			continue
		}
		if wrong := noPercentOf(part, load); wrong != "" {
			p.tell(which, "%s", wrong)
			return letter, rest, false
		}
		return letter, rest, true
	}
	if cur := p.part(); cur != nil && cur.Letter == letter {
		p.tell(which, "a percentage of part %s cannot stand in part %s itself; name an earlier part", letter, letter)
		return letter, rest, false
	}
	p.tell(which, "there is no part %s before this line; a percentage needs the result of an earlier part", letter)
	return letter, rest, false
}

// noPercentOf tells why no percentage of a part's result can be taken as a load or as an amount, or returns "". Sets
// may be told with their reps and loads, so they can give both; a part whose scheme was not understood is let be.
func noPercentOf(p Part, load bool) string {
	switch {
	case p.Scheme == "" || p.Scheme == Sets:
		return ""
	case p.Kind() == KindDone:
		return fmt.Sprintf("part %s (%s) is only done and gives no number to take a percentage of; name a part with a result, such as heaviest 5 or most reps",
			p.Letter, schemeTitle(p))
	case load && p.Kind() != KindLoad:
		return fmt.Sprintf("part %s (%s) gives no load; a percentage as a load is of a part such as heaviest 5", p.Letter, schemeTitle(p))
	case !load && p.Kind() == KindLoad:
		return fmt.Sprintf("part %s (%s) gives a load, not an amount; write the amount first and the load after it, for example 8 backpack squat, 60%% of %s",
			p.Letter, schemeTitle(p), p.Letter)
	}
	return ""
}
