package reply

import "tallybell/content"

// deniedVersion reads "not scaled", "didn't scale", "no scaling", "not rx" as the other version, and "not quite as
// written", "couldn't do rx", "no rx" as words that unsettle one.
func (b *builder) deniedVersion(i int) int {
	first := b.ts[i].s
	j := i + 1
	if first == "did" || first == "was" || first == "is" {
		if b.tok(j).s != "not" {
			return 0
		}
		j++
	}
	if end := b.scaling(j); end > 0 && !(b.tok(j).s == "modify" && first == "no") && !isUnable(first) {
		return b.add(atom{kind: aVersion, version: content.AsWritten, s: "denied"}, i, end)
	}
	if e := b.written(j); e > 0 {
		if first == "no" || first == "without" {
			return b.hedge(i, j)
		}
		return b.add(atom{kind: aVersion, version: content.Scaled, s: "denied"}, i, e)
	}
	return b.deniedAround(i, j)
}

// scaling reads scaled, scale it, scaling, modified at i and returns where it ends; 0 when it does not stand there.
func (b *builder) scaling(i int) int {
	switch s := b.tok(i).s; s {
	case "scaled", "scaling", "modified", "modify":
		return i + 1
	case "scale":
		if w := b.tok(i + 1).s; w == "it" || w == "anything" {
			return i + 2
		}
		return i + 1
	}
	return 0
}

// deniedAround reads a denial with small words between it and the version: "didn't need to scale" is as written, "not
// fully rx" and "not really scaled" are unsettled.
func (b *builder) deniedAround(i, j int) int {
	need := false
	k := j
	for k < j+4 && b.tok(k).kind == wordToken && isBetweenDenied(b.tok(k).s) {
		need = need || b.tok(k).s == "need" || b.tok(k).s == "have"
		k++
	}
	if k == j {
		return 0
	}
	if end := b.scaling(k); end > 0 {
		if need && b.tok(k-1).s == "to" {
			return b.add(atom{kind: aVersion, version: content.AsWritten, s: "denied"}, i, end)
		}
		return b.hedge(i, k)
	}
	if b.written(k) > 0 {
		return b.hedge(i, k)
	}
	return 0
}

// isUnable reports words of what could not be done.
func isUnable(s string) bool {
	switch s {
	case "couldn't", "couldnt", "can't", "cant", "cannot":
		return true
	}
	return false
}

// isBetweenDenied reports words that a denial reaches a version over.
func isBetweenDenied(s string) bool {
	switch s {
	case "quite", "fully", "really", "even", "exactly", "completely", "totally", "entirely", "strictly", "properly", "all", "do", "go", "get",
		"manage", "make", "it", "able", "to", "have", "need", "be", "been", "doing", "going", "full":
		return true
	}
	return false
}
