package reply

import "strings"

// carePhrase is one line of the tables of care: words that make a mention together. It is written as words parted by
// blanks, each a choice parted by "|" of words, classes ("@joint", see careClasses) and "@number". Up to three small words
// (my, the, a bit) may stand between two of them. "~4" before a word lets it stand anywhere within four words of the
// anchor in the same sentence, "~4," in the same clause too. The anchor is the word that the line is found by: the one
// that begins with "!", else the first.
type carePhrase struct {
	mention
	elems  []careElem
	anchor int
	denial bool // the line has a negation of its own: "can't breathe"

	pregnant bool // it counts where the text speaks of a pregnancy
}

type careElem struct {
	words  []string
	class  class
	number bool // any number
	reach  int  // within so many words of the anchor, 0 when in order
	clause bool // not beyond a comma
}

// careClasses are the classes that a line can name.
var careClasses = map[string]class{"@body": clBody, "@joint": clJoint, "@pain": clPain, "@gear": clGear}

// ownNegations are the words by which a line has a negation of its own.
var ownNegations = wordSet("can't cant cannot couldn't couldnt not no won't wont wouldn't wouldnt didn't didnt isn't isnt doesn't doesnt aren't")

// parsePhrase reads one line; the tables are constant, so a wrong one is a mistake of ours and stops the program's tests.
func parsePhrase(m mention, line string) carePhrase {
	p := carePhrase{mention: m}
	reach, clause := 0, false
	for _, word := range strings.Fields(line) {
		if rest, ok := strings.CutPrefix(word, "~"); ok {
			rest, clause = strings.CutSuffix(rest, ",")
			reach = int(digitsValue(rest))
			continue
		}
		if word == "@pregnant" {
			p.pregnant = true
			continue
		}
		e := careElem{reach: reach, clause: clause}
		if rest, ok := strings.CutPrefix(word, "!"); ok {
			p.anchor, word = len(p.elems), rest
		}
		for _, w := range strings.Split(word, "|") {
			if c, ok := careClasses[w]; ok {
				e.class |= c
				continue
			}
			p.denial = p.denial || ownNegations[w]
			e.number = e.number || w == "@number"
			e.words = append(e.words, w)
		}
		p.elems = append(p.elems, e)
		reach = 0
	}
	return p
}

// fits reports whether token j is what the element wants.
func (k *carer) fits(e *careElem, j int) bool {
	t := &k.ts[j]
	if t.kind != wordToken {
		return t.kind == numToken && e.number
	}
	return e.class != 0 && t.is(e.class) && (t.s != "back" && t.s != "side" || k.isBody(j)) || t.is(clCareWord) && oneOf(t.s, e.words)
}

// find looks for the line at its anchor and returns the first and the last of its tokens; ok is false when it is not there.
func (k *carer) find(p *carePhrase, i int) (from, to int, ok bool) {
	from, to = i, i
	if p.pregnant && !k.pregnantText() {
		return 0, 0, false
	}
	j := i
	for n := p.anchor + 1; n < len(p.elems); n++ {
		e := &p.elems[n]
		if e.reach > 0 {
			at := k.near(i, e.reach, e.clause, func(j int) bool { return k.fits(e, j) })
			if at < 0 {
				return 0, 0, false
			}
			from, to = min(from, at), max(to, at)
			continue
		}
		if j = k.step(e, j, 1); j < 0 {
			return 0, 0, false
		}
		to = max(to, j)
	}
	j = i
	for n := p.anchor - 1; n >= 0; n-- {
		if j = k.step(&p.elems[n], j, -1); j < 0 {
			return 0, 0, false
		}
		from = min(from, j)
	}
	return from, to, true
}

// maxSmall is how many small words may stand between two words of a line.
const maxSmall = 3

// step returns the token beside j, in the direction, that the element wants, small words and hyphens skipped; -1 when
// another word stands there.
func (k *carer) step(e *careElem, j, dir int) int {
	for small := 0; ; {
		j += dir
		if j < 0 || j >= len(k.ts) || k.ends(j, true) {
			return -1
		}
		t := &k.ts[j]
		switch {
		case t.kind == punctToken && (t.c == '-' || t.c == '&' || t.c == '"' || t.c == '\''):
			continue
		case t.kind != wordToken && t.kind != numToken:
			return -1
		case k.fits(e, j):
			return j
		case small == maxSmall || t.kind == wordToken && !smallWords[t.s]:
			return -1
		}
		small++
	}
}

// smallWords stand between the words of a mention and change nothing.
var smallWords = wordSet(`my the a an this that these those your his her our its it it's some of on in at to into for from and n
	is was are were be been has have had having got get gets getting feel feels felt feeling really so very quite bit little slight slightly
	just again now still both left right lower upper mid middle one two three few couple i i'm im he she bad badly pretty super kinda kind sort
	properly totally completely all big small nasty proper whole entire more much even too started starting went going gone other inner
	outer old last first new dodgy slightly rather fairly myself me as with by me up over down out off`)

func wordSet(list string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(list) {
		out[w] = true
	}
	return out
}

// isBody tells the part of the body from the adverb: "my back", "back hurts", not "back at it"; "my side", not "each side".
func (k *carer) isBody(j int) bool {
	if k.s(j) == "side" {
		return k.s(j-1) == "my" || (k.s(j-1) == "left" || k.s(j-1) == "right") && k.s(j-2) != "each"
	}
	switch k.s(j - 1) {
	case "my", "the", "lower", "upper", "mid", "middle", "low", "bad", "sore", "stiff", "tender", "dodgy", "painful", "aching", "achy", "your", "left", "right", "or", "injured", "hurt", "hurts",
		"a", "strained", "pulled", "tweaked", "swollen", "of", "in", "no", "bruised", "tight":
		return true
	}
	switch k.s(j + 1) {
	case "is", "was", "feels", "felt", "hurts", "hurt", "hurting", "pain", "pains", "ache", "aches", "sore", "stiff", "tight", "went", "seized", "locked", "spasm", "spasms", "spasmed", "twinge", "twinged",
		"tweaked", "niggle", "niggly", "niggling", "tender", "injury", "strain", "problem", "problems", "issue", "issues", "trouble", "playing", "aching", "killing", "cramped", "giving", "gave", "still", "bit", "a", "doesn't", "didn't":
		return true
	}
	return false
}

// careTable indexes the lines by the words of their anchors.
type careTable map[string][]*carePhrase

// buildCareTable reads the tables. Of the lines of one anchor the first that is there counts.
func buildCareTable() careTable {
	t := careTable{}
	for _, list := range [...][]careLines{settled, warnings, worries} {
		for _, l := range list {
			for line := range strings.Lines(l.lines) {
				if line = strings.TrimSpace(line); line != "" {
					t.add(parsePhrase(l.mention, line))
				}
			}
		}
	}
	return t
}

func (t careTable) add(p carePhrase) {
	for _, w := range p.elems[p.anchor].words {
		t[w] = append(t[w], &p)
	}
}

// careLines are lines of one mention.
type careLines struct {
	mention
	lines string
}

// carePhrases is read only.
var carePhrases = buildCareTable()
