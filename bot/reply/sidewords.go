package reply

// keepSides makes words of the numbers that belong to a movement's name: one-arm row, 1-leg bridge, two-handed swing,
// figure-four stretch. A number of several words ("twenty-one arm circles") stays one.
func keepSides(ts []token) {
	for i := range ts {
		t := &ts[i]
		word := ""
		switch {
		case t.kind == wordToken && (t.s == "one" || t.s == "two"):
			word = t.s
		case t.kind == wordToken && t.s == "four" && i >= 1 && figureBefore(ts, i):
			t.class = 0
			continue
		case t.kind == numToken && t.s == "1":
			word = "one"
		case t.kind == numToken && t.s == "2":
			word = "two"
		default:
			continue
		}
		if i > 0 && ts[i-1].is(clNumber) || i > 1 && ts[i-1].c == '-' && ts[i-2].is(clNumber) || !sideAfter(ts, i, t.kind == numToken) {
			continue
		}
		t.kind, t.s, t.class = wordToken, word, 0
	}
}

func figureBefore(ts []token, i int) bool {
	return ts[i-1].s == "figure" || i >= 2 && ts[i-1].c == '-' && ts[i-2].s == "figure"
}

// sideAfter reports whether arm, leg, hand or the like follows the number at i; behind a figure without a hyphen only
// words that no count of them stands before.
func sideAfter(ts []token, i int, figure bool) bool {
	j := i + 1
	tight := j+1 < len(ts) && ts[j].c == '-' && !ts[j].gap && !ts[j+1].gap
	if tight {
		j++
	}
	if j >= len(ts) || ts[j].kind != wordToken {
		return false
	}
	switch ts[j].s {
	case "arm", "leg", "hand", "armed", "legged", "handed":
		return true
	case "arms", "legs", "hands", "side", "sides", "sided":
		return tight || !figure
	}
	return false
}
