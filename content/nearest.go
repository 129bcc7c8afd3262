package content

import "strings"

// nearestWord returns the word of the list that is most like s, if one is near enough to be a slip of the keyboard.
func nearestWord(s string, list []string) (string, bool) {
	s = strings.ToLower(s)
	if len(s) > 40 {
		return "", false
	}
	best, at := "", 1+max(1, len(s)/3)
	for _, w := range list {
		if d := EditDistance(s, w); d < at && d < len(w) {
			best, at = w, d
		}
	}
	return best, best != ""
}

// didYouMean returns "; did you mean X?" for the nearest word of the list, or "". A letter that only looks right is
// named before it, as the two words look the same.
func didYouMean(s string, list []string) string {
	plain, _, _ := latinised(s)
	if w, ok := nearestWord(plain, list); ok {
		return lookalikeHint(s) + "; did you mean " + w + "?"
	}
	return ""
}
