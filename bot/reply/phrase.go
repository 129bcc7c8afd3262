package reply

import "tallybell/content"

// phrase makes the atom of words that mean one thing together; it returns i when the word at i starts none.
func (b *builder) phrase(i int) int {
	t := &b.ts[i]
	if t.is(clDay) {
		return b.dayWord(i)
	}
	if end := b.versionPhrase(i); end > 0 {
		return end
	}
	if end := b.unfinishedPhrase(i); end > 0 {
		return end
	}
	switch t.s {
	case "rpe", "effort":
		if end := b.effortPhrase(i); end > 0 {
			return end
		}
	case "half":
		if e := b.words(i, "half", "an", "hour"); e > 0 {
			return b.add(atom{kind: aTime, ms: 30 * 60000}, i, e)
		}
		if e := b.words(i, "half", "a", "minute"); e > 0 {
			return b.add(atom{kind: aTime, ms: 30000}, i, e)
		}
	case "an":
		if e := b.words(i, "an", "hour", "and", "a", "half"); e > 0 {
			return b.add(atom{kind: aTime, ms: 90 * 60000}, i, e)
		}
	case "a":
		if e := b.words(i, "a", "minute", "and", "a", "half"); e > 0 {
			return b.add(atom{kind: aTime, ms: 90000}, i, e)
		}
	case "x":
		if b.tok(i+1).kind == numToken || i > 0 && b.ts[i-1].kind == numToken || i > 0 && !t.gap {
			return b.add(atom{kind: aSign, c: 'x'}, i, i+1)
		}
	case "plus":
		if b.tok(i+1).kind == numToken {
			return b.add(atom{kind: aSign, c: '+'}, i, i+1)
		}
	case "full":
		if f := b.figureAt(i + 1); f.end > 0 && b.tok(f.end).is(clRounds) && (b.tok(f.end).s != "r" || !b.tok(f.end).gap) {
			end := b.quantity(i+1, f)
			b.out[len(b.out)-1].from = i
			return end
		}
	case "done":
		return b.add(atom{kind: aDone, s: "done"}, i, i+1)
	case "all":
		if e := b.words(i, "all", "done"); e > 0 {
			return b.add(atom{kind: aAllDone, s: "done"}, i, e)
		}
	case "no", "lost", "didn't", "didnt":
		if end := b.noScorePhrase(i); end > 0 {
			return end
		}
	case "fix", "correct", "correction", "oops", "whoops", "sorry", "meant", "should", "should've":
		return b.fixPhrase(i)
	}
	return i
}

func (b *builder) noScorePhrase(i int) int {
	for _, second := range [...]string{"score", "watch"} {
		if e := b.words(i, "no", second); e > 0 {
			return b.add(atom{kind: aNoScore}, i, e)
		}
	}
	if e := b.words(i, "lost", "count"); e > 0 {
		return b.add(atom{kind: aNoScore}, i, e)
	}
	return 0
}

// fixPhrase reads the words that announce a correction. Whether they do depends on what follows.
func (b *builder) fixPhrase(i int) int {
	t := &b.ts[i]
	if t.s == "should" || t.s == "should've" {
		for _, form := range [...][]string{{"should", "be"}, {"should", "have", "been"}, {"should've", "been"}} {
			if e := b.words(i, form...); e > 0 {
				return b.add(atom{kind: aFix, s: "should"}, i, e)
			}
		}
		return i
	}
	return b.add(atom{kind: aFix, s: t.s}, i, i+1)
}

func (b *builder) dayWord(i int) int {
	t := &b.ts[i]
	s := t.s
	if s == "today's" || s == "todays" {
		return b.add(atom{kind: aWord, s: s}, i, i+1)
	}
	if n := len(s); n > 2 && (s[n-2:] == "'s" || s[n-2:] == "ys") {
		return b.add(atom{kind: aDay, s: "other", class: clDay}, i, i+1)
	}
	a := atom{kind: aDay, s: s, class: clDay}
	switch s {
	case "today":
		a.setDate(b.today)
	case "yesterday", "yday", "yest":
		a.s = "yesterday"
		a.setDate(b.today.AddDays(-1))
	case "tomorrow", "tonight":
		a.setDate(b.today.AddDays(1))
		if s == "tonight" {
			a.kind = aWord
		}
	default:
		back := (int(b.today.Weekday()) - weekday(s) + 7) % 7
		if back == 0 {
			back = 7
		}
		a.setDate(b.today.AddDays(-back))
	}
	return b.add(a, i, i+1)
}

// weekday returns 0 for Sunday to 6 for Saturday, by the first three letters.
func weekday(s string) int {
	switch s[:3] {
	case "mon":
		return 1
	case "tue":
		return 2
	case "wed":
		return 3
	case "thu":
		return 4
	case "fri":
		return 5
	case "sat":
		return 6
	}
	return 0
}

// versionPhrase reads the words of a version and the words that unsettle one.
func (b *builder) versionPhrase(i int) int {
	version := func(v content.Version, s string, end int) int {
		return b.add(atom{kind: aVersion, version: v, s: s}, i, end)
	}
	t := &b.ts[i]
	switch t.s {
	case "as", "aw", "rx", "rxd", "rx'd":
		if e := b.written(i); e > 0 {
			return version(content.AsWritten, t.s, e)
		}
	case "scaled", "sc", "scl", "scale":
		if e := b.words(i+1, "it"); e > 0 {
			return version(content.Scaled, t.s, e)
		}
		return version(content.Scaled, t.s, i+1)
	case "modified", "mod", "easier":
		return version(content.Scaled, t.s, i+1)
	case "unscaled":
		return version(content.AsWritten, t.s, i+1)
	case "not", "didn't", "didnt", "wasn't", "wasnt", "isn't", "isnt", "no", "without", "did", "was", "is", "never", "non", "nothing",
		"couldn't", "couldnt", "can't", "cant", "cannot":
		return b.deniedVersion(i)
	case "almost", "mostly", "except", "but", "nearly":
		return b.hedge(i, i+1)
	case "apart":
		if e := b.words(i, "apart", "from"); e > 0 {
			return b.hedge(i, e)
		}
	}
	return 0
}

// hedge makes an aHedge; "almost" and "but" are told apart from plain words by what stands beside them, later.
func (b *builder) hedge(i, end int) int {
	return b.add(atom{kind: aHedge, s: b.ts[i].s, class: b.ts[i].class}, i, end)
}

// written reads "as written", "as prescribed", "aw", "rx" at i and returns where it ends.
func (b *builder) written(i int) int {
	switch b.tok(i).s {
	case "aw", "rx", "rxd", "rx'd":
		return i + 1
	case "as":
		switch b.tok(i + 1).s {
		case "written", "prescribed", "rx", "rx'd", "rxd":
			return i + 2
		}
	}
	return 0
}

// unfinishedPhrase reads capped, dnf, ran out of time; stopped, gave up.
func (b *builder) unfinishedPhrase(i int) int {
	t := &b.ts[i]
	switch t.s {
	case "cap", "capped", "dnf", "tc":
		return b.capAtom(i, i+1)
	case "time", "timed", "hit", "ran", "out", "didn't", "didnt", "did", "couldn't", "couldnt", "not":
		for _, form := range [...][]string{{"time", "cap"}, {"time", "capped"}, {"timed", "out"}, {"hit", "the", "cap"}, {"hit", "the", "time", "cap"},
			{"hit", "cap"}, {"ran", "out", "of", "time"}, {"out", "of", "time"}, {"didn't", "finish"}, {"didnt", "finish"},
			{"did", "not", "finish"}, {"couldn't", "finish"}, {"couldnt", "finish"}, {"not", "finished"}} {
			if e := b.words(i, form...); e > 0 {
				return b.capAtom(i, e)
			}
		}
	case "gave":
		if e := b.words(i, "gave", "up"); e > 0 {
			return b.add(atom{kind: aStop, s: "gave"}, i, e)
		}
	case "had":
		if e := b.words(i, "had", "to", "stop"); e > 0 {
			return b.add(atom{kind: aStop, s: "had"}, i, e)
		}
	}
	if t.is(clStop) {
		return b.add(atom{kind: aStop, s: t.s}, i, i+1)
	}
	return 0
}

// capAtom makes an aCap, unless what stands before says that the cap was met: "no cap", "under the cap", "beat the cap".
func (b *builder) capAtom(i, end int) int {
	a := atom{kind: aCap, s: b.ts[i].s}
	k := i - 1
	if k >= 0 && (b.ts[k].s == "the" || b.ts[k].s == "my") {
		k--
	}
	if k >= 0 && b.ts[k].kind == wordToken {
		switch b.ts[k].s {
		case "no", "under", "beat", "before", "inside", "within", "below", "without", "to", "made", "almost", "nearly", "didn't", "didnt", "not", "never":
			a.kind = aWord
		}
	}
	if t := b.tok(end); end == i+1 && b.ts[i].s == "cap" && (t.s == "was" || t.s == "is") && b.tok(end+1).kind == wordToken {
		a.kind = aWord // "the cap was generous"
	}
	return b.add(a, i, end)
}
