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

// didYouMean returns "; did you mean X?" for the nearest word of the list, or "".
func didYouMean(s string, list []string) string {
	if w, ok := nearestWord(s, list); ok {
		return "; did you mean " + w + "?"
	}
	return ""
}
