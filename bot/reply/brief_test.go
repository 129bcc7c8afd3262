package reply

import (
	"fmt"
	"strings"

	"tallybell/content"
)

// brief writes all of a reading but the suggestions on one line.
func brief(r Reading) string {
	var out []string
	for _, x := range r.Results {
		out = append(out, briefResult(x))
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

func briefResult(x PartResult) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s", x.Part, x.Kind)
	switch {
	case x.Kind == "" && x.Correction:
		b.WriteString("version")
	case x.Kind == "":
		b.WriteString("-")
	}
	if x.Finished != nil && !*x.Finished {
		b.WriteString(" unfinished")
	}
	if x.TimeMS != 0 {
		b.WriteString(" " + clockText(x.TimeMS))
	}
	if x.Reps != nil {
		fmt.Fprintf(&b, " %d", *x.Reps)
	}
	if x.Rounds != nil {
		fmt.Fprintf(&b, " = %d+%d", *x.Rounds, *x.Extra)
	}
	if x.Counts != nil {
		fmt.Fprintf(&b, " %v", x.Counts)
	}
	if x.SplitsMS != nil {
		b.WriteString(" laps")
		for _, ms := range x.SplitsMS {
			b.WriteString(" " + clockText(ms))
		}
	}
	if x.DistanceMM != 0 {
		fmt.Fprintf(&b, " %d mm", x.DistanceMM)
	}
	if x.SetReps != nil {
		fmt.Fprintf(&b, " sets %v", x.SetReps)
	}
	if x.LoadG != 0 {
		fmt.Fprintf(&b, " %d g", x.LoadG)
	}
	switch x.Version {
	case content.AsWritten:
		b.WriteString(" as written")
	case content.Scaled:
		b.WriteString(" scaled")
	}
	if x.Effort != nil {
		fmt.Fprintf(&b, " rpe %v", *x.Effort)
	}
	if x.Correction {
		b.WriteString(" correction")
	}
	if x.Day != "" {
		b.WriteString(" day " + x.Day)
	}
	return strings.TrimSpace(b.String())
}
