package content

// finish tells what can be told only when all lines are read.
func (p *parser) finish() {
	p.endPart()
	p.missingKeys()
	rest := p.at(spot{part: headSpot, what: "rest"})
	switch {
	case p.s.Rest && len(p.s.Parts) > 0:
		p.tell(rest, "a rest day has no parts; take out rest: yes or the parts")
	case !p.s.Rest && len(p.s.Parts) == 0:
		p.tell(piece{"", 1, 1}, "the sheet has no part; write for example A. 3 sets, or rest: yes for a rest day")
	}
	p.lettersExist("choose", p.s.Choose)
	p.lettersExist("short", p.s.Short)
}

// lettersExist tells letters of choose: and short: that no part has.
func (p *parser) lettersExist(name string, letters []string) {
	for i, l := range letters {
		if _, ok := p.s.Part(l); !ok {
			p.tell(p.at(spot{part: headSpot, what: name + " letter", n: i}), "%s: names part %s, which the sheet does not have", name, l)
		}
	}
}
