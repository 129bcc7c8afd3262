package bot

import (
	"fmt"
	"slices"
	"strings"

	"tallybell/content"
)

// easedWords asks which movements of an eased part were done, naming those that were sent and those as written: the
// first label is what was sent (scaled), the second the sheet's own. Empty when the part was sent as written.
func easedWords(fs content.FittedSession, letter string) (text string, labels []string) {
	var swaps, sent, written []string
	for _, c := range fs.Changes {
		if c.Part != letter || !c.Eased {
			continue
		}
		was, now := content.Plural(c.Was), content.Plural(c.Now)
		switch {
		case c.LeaveOut:
			now = "no " + was
			swaps = append(swaps, now)
		case c.Was == c.Now:
			now += " without a load"
			swaps = append(swaps, now)
		default:
			swaps = append(swaps, now+" for "+was)
		}
		if !slices.Contains(sent, now) {
			sent, written = append(sent, now), append(written, was)
		}
	}
	if len(swaps) == 0 {
		return "", nil
	}
	text = fmt.Sprintf(textEased, letter, listed(slices.Compact(swaps)))
	return text, []string{listed(sent) + " (scaled)", listed(written) + " (as written)"}
}

// listed writes "a", "a and b", "a, b and c".
func listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
