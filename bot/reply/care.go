package reply

// care reads the whole text for pain, incidents and warning signs, whatever else the text is. Words are looked at with a
// fixed number of words around them, so the time is proportional to the text.
func (r *reader) care() Care {
	k := carer{ts: r.ts, spent: -1}
	level := 0
	for i := range k.ts {
		if k.ts[i].kind != wordToken {
			continue
		}
		hit := k.warning(i)
		if hit.level == 0 {
			hit = k.worry(i)
		}
		if hit.level > 0 {
			hit.at = max(hit.at, i)
			lowered := k.lowered(hit)
			r.whyCare(hit, lowered)
			level = max(level, lowered)
		}
		if k.denied && k.saidAfterAll(i) {
			r.becauseTokens(ruleWarning, i, i+1, "stop")
			level = max(level, 2)
		}
	}
	return [...]Care{CareNone, CareCheck, CareStop}[level]
}

// hit is a mention: level 1 is check, 2 is stop; from is its first token, at the word that makes it one.
type hit struct{ level, from, at int }

// carer looks for mentions.
type carer struct {
	ts     []token
	spent  int  // negations up to here have reached their word
	denied bool // a warning sign was denied: "no chest pain now but had it in D"
	butted bool

	pregnant int // 0 not looked, 1 no, 2 the text speaks of a pregnancy
}

func (k *carer) s(i int) string {
	if i < 0 || i >= len(k.ts) {
		return ""
	}
	return k.ts[i].s
}

// ends reports what parts sentences; comma: what parts clauses as well.
func (k *carer) ends(i int, comma bool) bool {
	if i < 0 || i >= len(k.ts) {
		return true
	}
	t := &k.ts[i]
	switch t.kind {
	case lineToken:
		return true
	case punctToken:
		return t.c == '!' || t.c == '?' || t.c == ';' || t.c == '.' && (i+1 >= len(k.ts) || k.ts[i+1].gap) || comma && (t.c == ',' || t.c == ':' || t.c == '(')
	case wordToken:
		return comma && t.s == "but"
	}
	return false
}

// lowered applies the negation within three words before a mention, if one has not been spent.
func (k *carer) lowered(h hit) int {
	for _, at := range [...]int{h.at, h.from} {
		if i := k.negationBefore(at); i >= 0 {
			k.spent = i
			k.denied = k.denied || h.level == 2
			return h.level - 1
		}
	}
	return h.level
}

// negationBefore returns the unspent negation within three words before token at, -1 when there is none.
func (k *carer) negationBefore(at int) int {
	words := 0
	for i := at - 1; i > k.spent && words < 3; i-- {
		if k.ends(i, true) {
			break
		}
		if k.ts[i].kind != wordToken && k.ts[i].kind != numToken {
			continue
		}
		words++
		if k.denies(i) {
			return i
		}
	}
	return -1
}

// denies reports a negation at i that reaches the words behind it: not "can't" (of "can't train, knee hurts"), and not one
// that belongs to another word ("didn't finish", "not great", "no watch").
func (k *carer) denies(i int) bool {
	if !k.ts[i].is(clNegation) {
		return false
	}
	switch k.s(i) {
	case "can't", "cant", "cannot", "couldn't", "couldnt", "won't", "wont", "wouldn't", "wouldnt":
		return false
	}
	switch k.s(i + 1) {
	case "finish", "finished", "scale", "scaled", "scaling", "sleep", "slept", "do", "train", "manage", "quite", "sure", "rx", "as", "enough", "great", "good", "well", "ideal", "fun", "easy", "idea", "time",
		"watch", "score", "rest", "cap", "worries", "problem", "problems", "excuses", "kit", "pack", "way", "doubt", "breaks", "pb", "warm":
		return false
	}
	return true
}

// saidAfterAll reports the second mention of a denied sign: "but had it in D", "but I did in the last round".
func (k *carer) saidAfterAll(i int) bool {
	switch k.s(i) {
	case "but", "though", "although", "just", "only", "earlier":
		k.butted = true
	case "had", "got", "felt", "did", "have":
		n := k.s(i + 1)
		return n == "it" || n == "some" || n == "one" || n == "a" && k.butted || k.butted && (n == "in" || n == "during" || n == "earlier" || n == "before" || n == "yesterday" || n == "that" || n == "them" || k.s(i) == "did")
	case "it", "there":
		switch k.s(i + 1) {
		case "came", "started", "hit", "happened", "was":
			return k.butted
		}
	}
	return false
}

// near returns the first token within n words of i, in the same sentence, that passes; -1 when none does.
func (k *carer) near(i, n int, comma bool, pass func(j int) bool) int {
	for _, step := range [...]int{-1, 1} {
		words := 0
		for j := i + step; words < n && !k.ends(j, comma); j += step {
			if k.ts[j].kind == wordToken {
				words++
				if pass(j) {
					return j
				}
			}
		}
	}
	return -1
}

func (k *carer) nearWord(i, n int, list ...string) int {
	return k.near(i, n, false, func(j int) bool { return oneOf(k.ts[j].s, list) })
}

func (k *carer) nearClass(i, n int, comma bool, c class) int {
	return k.near(i, n, comma, func(j int) bool { return k.ts[j].is(c) })
}

func oneOf(s string, list []string) bool {
	for _, x := range list {
		if s == x {
			return true
		}
	}
	return false
}

// phrase reports whether the words stand at i, hyphens between them or not.
func (k *carer) phrase(i int, words ...string) bool {
	for _, w := range words {
		if k.s(i) == "-" {
			i++
		}
		if k.s(i) != w {
			return false
		}
		i++
	}
	return true
}

// inAGoodWay reports words behind a mention that take it back: in a good way, so good, -free.
func (k *carer) inAGoodWay(i int) bool {
	return k.phrase(i+1, "in", "a", "good", "way") || k.phrase(i+1, "so", "good") || k.phrase(i+1, "free") || k.phrase(i+1, "cave")
}

// worry finds what asks for a check at word i: pain, an incident, sickness, a change of health.
func (k *carer) worry(i int) hit {
	none, check := hit{}, hit{level: 1, from: i}
	t := &k.ts[i]
	if k.inAGoodWay(i) {
		return none
	}
	switch {
	case t.is(clPain):
		if j := k.nearClass(i, 5, true, clBody); j >= 0 && j < i {
			check.from = j
		}
		return check
	case t.is(clStrain):
		if j := k.nearClass(i, 5, false, clBody); j >= 0 {
			return hit{level: 1, from: min(i, j)}
		}
		return none
	}
	switch t.s {
	case "sore", "soreness", "stiff", "stiffness", "tender":
		if j := k.nearClass(i, 5, true, clJoint); j >= 0 {
			return hit{level: 1, from: min(i, j)}
		}
	case "swollen", "swelling", "niggle", "niggly", "niggling", "niggles", "bruised", "sharp", "clicking", "dodgy", "cramp", "cramps", "cramped", "cramping":
		if j := k.nearClass(i, 5, true, clBody); j >= 0 {
			return hit{level: 1, from: min(i, j)}
		}
		if t.s[:4] == "cram" || t.s[:4] == "nigg" || t.s[:4] == "swol" || t.s[:4] == "swel" {
			return check
		}
	case "killing":
		if k.s(i+1) == "me" && k.nearClass(i, 4, true, clJoint) >= 0 {
			return check
		}
	case "headache", "migraine", "headaches", "breathless", "painkiller", "painkillers", "ibuprofen", "paracetamol":
		return check
	}
	if k.incident(i) || k.sick(i) || k.health(i) {
		return check
	}
	return none
}

func (k *carer) incident(i int) bool {
	next := k.s(i + 1)
	switch k.s(i) {
	case "fell", "fallen":
		return !oneOf(next, []string{"asleep", "behind", "short", "apart", "in", "out", "below", "ill"})
	case "slipped":
		return !(next == "my" && k.s(i+2) == "mind") && !(k.s(i-1) == "time")
	case "tipped":
		return true
	case "snapped":
		return !(next == "a" && oneOf(k.s(i+2), []string{"photo", "pic", "picture", "selfie"}))
	case "landed":
		return next == "on" && (i+2 >= len(k.ts) || k.ts[i+2].kind != numToken)
	case "tripped":
		return true
	case "door":
		return next == "opened" || next == "flew" || next == "swung"
	case "gave":
		return next == "way"
	case "collapsed":
		return true
	case "dropped":
		return k.nearWord(i, 6, "foot", "toe", "toes", "head", "hand", "fingers") >= 0 && k.nearWord(i, 6, "on", "onto") >= 0
	}
	return false
}

func (k *carer) sick(i int) bool {
	switch k.s(i) {
	case "vomit", "vomited", "vomiting", "puke", "puked", "puking", "nausea", "nauseous", "nauseated", "queasy":
		return true
	case "threw", "throw", "throwing":
		return k.s(i+1) == "up"
	case "sick":
		return oneOf(k.s(i-1), []string{"felt", "feel", "feeling", "been", "was", "be", "violently"}) && k.s(i+1) != "of"
	}
	return false
}

func (k *carer) health(i int) bool {
	switch k.s(i) {
	case "pregnant", "pregnancy", "postpartum", "operation", "surgery", "fever", "feverish", "infection", "infected", "antibiotics", "covid", "flu":
		return true
	case "gave", "given", "giving":
		return k.s(i+1) == "birth"
	case "medicine", "medication", "meds", "tablets", "pills", "medicines", "medications", "inhaler":
		return true
	case "stitches":
		return true
	}
	return false
}
