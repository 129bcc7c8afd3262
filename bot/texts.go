package bot

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"tallybell/content"
)

// Every sentence that the bot says to members stands in this file, in texts_care.go and in texts_requests.go.
const (
	textPassed    = "That is one for your coach: it is passed on, and the answer comes here."
	textNoted     = "Kept for your coach to read."
	textNoSession = "No session has come to you yet, so there is nothing to log. The next one arrives here at your send time."
	textHeld      = "Your coach would like to speak with you before the next session."
)

// mend tells how to correct a result of that kind.
func mend(part string, k content.Kind) string {
	what := map[content.Kind]string{content.KindTime: "time", content.KindReps: "reps", content.KindLoad: "load",
		content.KindHold: "time", content.KindDistance: "distance"}[k]
	if what == "" {
		return fmt.Sprintf("Not right? Reply: scrap %s", part)
	}
	return fmt.Sprintf("Not right? Reply: fix %s and the right %s", part, what)
}

func versionWords(v content.Version) string {
	switch v {
	case content.AsWritten:
		return "as written"
	case content.Scaled:
		return "scaled"
	}
	return ""
}

// ordinal returns 1st, 2nd, 3rd, 4th, 11th, 21st …
func ordinal(n int64) string {
	suffix := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return strconv.FormatInt(n, 10) + suffix
}

// dayName returns "Monday 1 February".
func dayName(d content.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("Monday 2 January")
}

// askText is the question of one ask, without its options.
func askText(a ask) string {
	on := ""
	if a.Part != "" {
		on = a.Part + ": "
	}
	switch a.About {
	case "part":
		return "Which part is that?"
	case "version":
		return on + "as written, or scaled?"
	case "total":
		return on + "the numbers and the total do not agree. Which is right?"
	case "progress":
		return on + "how far did you get? For example: " + example(a.Part, "capped 2+14") + ", or " + example(a.Part, "cap, 74 reps")
	case "splits":
		return on + "are those times for each round, or the clock after each round? The total settles it."
	case "cap":
		return on + "did you finish, or run out of time?"
	case "effort":
		return "Effort goes from 1 (very easy) to 10 (all you had), halves allowed. Which was it?"
	case "plausible":
		return on + "that is more than I would expect. Is it right? Reply yes, or send it again."
	case "unit":
		return on + "in which unit?"
	case "day":
		return "Which day is that for?"
	}
	return on + "I could not read that for certain. What did you mean?"
}

func example(part, words string) string {
	if part == "" {
		return words
	}
	return part + " " + words
}

// options writes "1 as written, 2 scaled".
func options(opts []string) string {
	var b strings.Builder
	for i, o := range opts {
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "%d %s", i+1, o)
	}
	return b.String()
}
