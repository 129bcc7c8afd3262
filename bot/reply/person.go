package reply

// isPerson reports what a person weighs or has lost: I'm 82 kg, bw 82, 82 kg bodyweight, down 2 kg.
func (r *reader) isPerson(c *clause, i int) bool {
	a := &r.as[i]
	if a.kind != aLoad && a.kind != aInt && a.kind != aDecimal || r.at(i+1).sign('+') {
		return false
	}
	k := i - 1
	for k >= c.from && isStill(&r.as[k]) {
		k--
	}
	switch b := r.at(k); b.s {
	case "i'm", "im", "weigh", "weighing", "weighs", "weighed", "weight", "bodyweight", "bw", "scales":
		return b.kind == aWord
	case "scale":
		return k < i-1 // the scale says 82 kg
	case "am":
		if r.at(k - 1).word("i") {
			return true
		}
	case "at", "in":
		if r.at(k-1).word("weighed") || r.at(k-1).word("weigh") || r.at(k-1).word("im") || r.at(k-1).word("i'm") || r.at(k-1).word("in") && r.at(k-2).word("weighed") {
			return true
		}
	case "down", "up", "gained", "lost", "dropped", "shed":
		return b.kind == aWord && a.kind == aLoad
	}
	n := r.at(i + 1)
	if a.kind == aLoad && (n.word("down") || n.word("up")) && !r.at(i+2).word("from") ||
		n.word("on") && r.at(i+2).word("the") && (r.at(i+3).word("scale") || r.at(i+3).word("scales")) ||
		a.kind == aLoad && r.at(k).word("to") && r.at(k-1).word("down") && len(c.labels) == 0 {
		return true
	}
	return n.word("bodyweight") || n.word("bw") || n.word("body") && r.at(i+2).word("weight")
}

// isPulse reports a heart rate that "hr" and "bpm" do not stand right beside: 165 avg hr, heart rate 165, pulse was 165,
// avg hr 165 max 182.
func (r *reader) isPulse(i, live int) bool {
	if r.as[i].kind != aInt {
		return false
	}
	b, n := r.at(i-1), r.at(i+1)
	if n.word("avg") || n.word("average") || n.word("max") || n.word("peak") {
		n = r.at(i + 2)
	}
	if n.word("hr") || n.word("pulse") || n.word("heart") || n.word("heartrate") {
		return true
	}
	if live >= 0 && (b.word("max") || b.word("peak") || b.word("avg")) && (r.at(i-2).talk || r.at(i-3).talk) {
		return true
	}
	for k := i - 1; k >= i-4; k-- {
		switch a := r.at(k); {
		case a.word("pulse"), a.word("heartrate"), a.word("hr"), a.word("rate") && r.at(k-1).word("heart"):
			return true
		case a.kind != aWord && !a.sign(':') && !a.sign('='):
			return false
		}
	}
	return false
}

// isStill reports words that stand between "I'm" and what the member weighs.
func isStill(a *atom) bool {
	if a.kind == aSign {
		return a.c == ':' || a.c == '='
	}
	switch a.s {
	case "now", "about", "around", "roughly", "currently", "still", "only", "is", "was", "says", "said":
		return a.kind == aWord
	}
	return false
}
