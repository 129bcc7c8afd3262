package reply

// warning finds a warning sign at word i: chest pain or pressure, fainting, dizziness, numbness, trouble breathing and the
// rest of the list. The signs are those that patient pages of hospitals agree on; none is a diagnosis.
func (k *carer) warning(i int) hit {
	switch k.s(i) {
	case "chest":
		if j := k.nearWord(i, 4, "pain", "pains", "hurt", "hurts", "hurting", "ache", "aches", "aching", "tight", "tightness", "tightening", "tightened", "pressure", "heavy", "heaviness",
			"discomfort", "squeezing", "crushing", "stabbing", "sharp", "twinge", "twinges", "painful"); j >= 0 && !k.inAGoodWay(j) {
			return hit{level: 2, from: min(i, j), at: max(i, j)}
		}
	case "jaw":
		if j := k.nearClass(i, 4, true, clPain); j >= 0 {
			return hit{level: 2, from: min(i, j), at: max(i, j)}
		}
	case "arm":
		if j := k.nearClass(i, 3, true, clPain); j >= 0 && !k.inAGoodWay(j) {
			return hit{level: 2, from: min(i, j), at: max(i, j)}
		}
	case "faint", "fainted", "fainting", "unconscious", "blackout", "dizzy", "dizziness", "lightheaded", "woozy", "vertigo", "numb", "numbness", "tingling", "tingly", "tingle", "tingles",
		"palpitations", "slurred", "slurring", "concussion", "concussed", "breathlessness", "wheezing", "wheezy", "lightheadedness":
		return hit{level: 2, from: i}
	}
	if from := k.warningPhrase(i); from >= 0 {
		return hit{level: 2, from: from}
	}
	if level := k.heart(i); level > 0 {
		return hit{level: level, from: i}
	}
	return k.rareWarning(i)
}

// warningPhrase returns where a sign of several words begins, -1 when there is none at i.
func (k *carer) warningPhrase(i int) int {
	next := k.s(i + 1)
	switch k.s(i) {
	case "passed", "pass", "passing", "blacked", "black", "blacking":
		if next == "out" {
			return i
		}
	case "lost", "losing":
		if next == "consciousness" {
			return i
		}
	case "light":
		if k.phrase(i, "light", "headed") {
			return i
		}
	case "pins":
		if k.phrase(i, "pins", "and", "needles") {
			return i
		}
	case "spinning":
		if k.nearWord(i, 3, "room", "head") >= 0 {
			return i
		}
	case "cold":
		if next == "sweat" || next == "sweats" {
			return i
		}
	case "breathe", "breathing", "breath":
		return k.cannotBreathe(i)
	case "vision":
		if k.nearWord(i, 3, "blurred", "blurry", "double", "tunnel", "lost", "gone", "went", "spots", "loss", "black") >= 0 {
			return i
		}
	case "seeing":
		if next == "stars" || next == "spots" || next == "double" {
			return i
		}
	case "trouble", "difficulty", "struggling", "struggled":
		if n := k.s(i + 1); n == "speaking" || n == "talking" || n == "seeing" || n == "to" && (k.s(i+2) == "speak" || k.s(i+2) == "see") {
			return i
		}
	case "weakness", "weak":
		if p := k.s(i - 1); p == "sudden" || p == "suddenly" {
			return i - 1
		}
	case "blurry":
		return i
	}
	return -1
}

// cannotBreathe returns where trouble breathing begins, -1 for none; out of breath after work is none.
func (k *carer) cannotBreathe(i int) int {
	bad := []string{"can't", "cant", "cannot", "couldn't", "couldnt", "trouble", "difficulty", "struggling", "struggled", "struggle", "hard", "unable", "short", "shortness", "difficult", "barely", "problems"}
	words := 0
	for j := i - 1; words < 4 && !k.ends(j, true); j-- {
		if k.ts[j].kind != wordToken {
			continue
		}
		words++
		if oneOf(k.s(j), bad) {
			return j
		}
	}
	return -1
}

// heart returns 2 for an uneven heartbeat, or a racing one that stays, 1 for a racing one.
func (k *carer) heart(i int) int {
	switch k.s(i) {
	case "heart", "heartbeat", "pulse":
	default:
		return 0
	}
	if k.nearWord(i, 4, "irregular", "uneven", "skipping", "skipped", "fluttering", "flutter", "flutters", "erratic") >= 0 {
		return 2
	}
	if j := k.nearWord(i, 4, "racing", "pounding", "races"); j >= 0 {
		if k.nearWord(i, 10, "still", "stays", "stayed", "won't", "wont", "wouldn't", "wouldnt", "keeps", "kept", "hours", "hour", "later", "resting", "stop", "settle") >= 0 {
			return 2
		}
		return 1
	}
	return 0
}

// rareWarning finds a severe headache, a knock to the head, a hot swollen calf, dark urine, a limb that will not
// straighten, bleeding in pregnancy.
func (k *carer) rareWarning(i int) hit {
	stop := hit{level: 2, from: i}
	switch k.s(i) {
	case "headache", "head":
		if k.s(i) == "head" && k.s(i+1) != "ache" {
			break
		}
		if k.nearWord(i, 3, "severe", "worst", "splitting", "thunderclap", "blinding", "terrible", "awful", "sudden", "massive", "crushing") >= 0 {
			return stop
		}
	case "calf":
		if k.nearWord(i, 4, "hot", "swollen", "swelling", "red") >= 0 {
			return stop
		}
	case "urine", "pee", "wee":
		if k.nearWord(i, 4, "brown", "dark", "cola", "tea", "black", "red", "coke", "coloured", "colored") >= 0 {
			return stop
		}
	case "straighten":
		if k.nearWord(i, 8, "swollen", "swelling", "swelled") >= 0 {
			return stop
		}
	case "bleeding", "bleed", "bled", "spotting", "contractions", "waters":
		if k.pregnantText() {
			return stop
		}
	case "fluid", "waters'":
		if k.pregnantText() {
			return stop
		}
	}
	if k.s(i) == "head" {
		if j := k.nearWord(i, 4, "hit", "banged", "knocked", "bumped", "smacked", "bashed", "cracked", "whacked", "knock", "blow", "bump", "bang", "injury", "landed"); j >= 0 {
			return hit{level: 2, from: min(i, j), at: max(i, j)}
		}
	}
	return hit{}
}

// pregnantText reports whether the text speaks of a pregnancy.
func (k *carer) pregnantText() bool {
	if k.pregnant == 0 {
		k.pregnant = 1
		for i := range k.ts {
			if s := k.ts[i].s; s == "pregnant" || s == "pregnancy" || s == "bump" || s == "trimester" || s == "baby" || s == "weeks" || s == "broke" && k.s(i-1) == "waters" {
				k.pregnant = 2
			}
		}
	}
	return k.pregnant == 2
}
