package reply

// care reads the whole text for pain, incidents and warning signs, whatever else the text is, and notes what the
// mentions are about. Words are looked at with a fixed number of words around them, so the time is proportional to the
// text.
func (r *reader) care() Care {
	k := carer{ts: r.ts, spent: -1}
	level := 0
	for i := range k.ts {
		t := &k.ts[i]
		if t.kind != wordToken {
			continue
		}
		if t.is(clCare) {
			if hit, ok := k.mentioned(i); ok {
				now := k.lowered(hit)
				r.whyCare(hit, now)
				level = max(level, now)
				if now > 0 {
					r.about(hit)
				}
			}
		}
		if k.denied && k.saidAfterAll(i) {
			r.becauseTokens(ruleWarning, i, i+1, "stop")
			level = max(level, 2)
		}
	}
	if level == 2 {
		r.out.CareAbout = []Matter{MatterWarning}
	}
	return [...]Care{CareNone, CareCheck, CareStop}[level]
}

// about notes what a mention is about, once.
func (r *reader) about(h hit) {
	for _, m := range r.out.CareAbout {
		if m == h.matter {
			return
		}
	}
	if h.matter == MatterIncident {
		r.careAt = h.at
	}
	r.out.CareAbout = append(r.out.CareAbout, h.matter)
}

// hit is a mention that was found: its tokens from the first to the last.
type hit struct {
	mention
	from, at int
	denial   bool // a negation is a part of it
}

// mentioned returns the first line of the tables that is found at word i.
func (k *carer) mentioned(i int) (hit, bool) {
	for _, p := range carePhrases[k.ts[i].s] {
		if from, at, ok := k.find(p, i); ok {
			if p.matter == MatterPain { // "no knee or back pain" begins at the knee
				if j := k.near(i, 5, true, func(j int) bool { return k.ts[j].is(clBody) }); j >= 0 {
					from = min(from, j)
				}
			}
			return hit{p.mention, from, at, p.denial}, p.level > 0 && !k.inAGoodWay(i)
		}
	}
	return hit{}, false
}

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
		if h.denial {
			at = h.from
		}
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
	if k.ts[i].kind == numToken {
		return k.ts[i].spelled && k.ts[i].n == 0 // zero pain
	}
	if !k.ts[i].is(clNegation) {
		return false
	}
	switch k.s(i) {
	case "can't", "cant", "cannot", "couldn't", "couldnt", "won't", "wont", "wouldn't", "wouldnt":
		return false
	case "never":
		for j := i + 1; j <= i+3; j++ { // "never felt so dizzy"
			if s := k.s(j); s == "so" || s == "such" || s == "this" || s == "that" || s == "like" {
				return false
			}
		}
	}
	switch k.s(i + 1) {
	case "gonna", "going", "lie", "lies", "joke", "wonder", "clue", "just", "only", "coffee", "breakfast", "food", "lunch", "water":
		return false
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

// pregnantText reports whether the text speaks of a pregnancy.
func (k *carer) pregnantText() bool {
	if k.pregnant == 0 {
		k.pregnant = 1
		for i := range k.ts {
			switch k.ts[i].s {
			case "pregnant", "pregnancy", "preggers", "trimester", "midwife", "baby", "expecting":
				k.pregnant = 2
			case "bump":
				if p := k.s(i - 1); p == "baby" || p == "my" {
					k.pregnant = 2
				}
			}
		}
	}
	return k.pregnant == 2
}
