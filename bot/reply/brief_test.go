package reply

import (
	"fmt"
	"strings"
)

// brief writes all of a reading but the suggestions on one line.
func brief(r Reading) string {
	var out []string
	for _, x := range r.Results {
		out = append(out, outcome(x))
	}
	for _, a := range r.Asks {
		out = append(out, "?"+a.Part+" "+a.About)
	}
	if r.Effort != nil {
		out = append(out, fmt.Sprintf("effort %v", *r.Effort))
	}
	if r.Command != "" {
		c := "command " + r.Command
		if r.Until != "" {
			c += " until " + r.Until
		}
		if r.Argument != "" {
			c += " (" + r.Argument + ")"
		}
		out = append(out, c)
	}
	if r.Question {
		out = append(out, "question")
	}
	if r.Care != CareNone {
		out = append(out, "care "+string(r.Care))
	}
	if r.Note != "" {
		out = append(out, fmt.Sprintf("note %q", r.Note))
	}
	return strings.Join(out, "; ")
}
