package leaderboard

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"tallybell/content"
)

// outcomesText shows outcomes, latest first, in the order of time.
func outcomesText(os []Outcome) string {
	var told []string
	for _, o := range slices.Backward(os) {
		p := content.Part{Letter: o.Record.Part}
		if o.Part != nil {
			p = *o.Part
		}
		told = append(told, fmt.Sprintf("%s %s on %s", o.Record.Part, Show(p, o.Record.Result), dayText(o.Record.Date)))
	}
	return strings.Join(told, ", ")
}

// daysText lists dates, each once, in the order of time.
func daysText(dates []content.Date) string {
	dates = slices.Clone(dates)
	slices.SortFunc(dates, content.Date.Compare)
	var told []string
	for _, d := range slices.Compact(dates) {
		told = append(told, dayText(d))
	}
	return strings.Join(told, ", ")
}

func dayText(d content.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("Mon 2 Jan")
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return strconv.Itoa(n) + " times"
}

func shareWord(in int) string {
	switch in {
	case 2:
		return "half"
	case 3:
		return "third"
	case 4:
		return "quarter"
	case 5:
		return "fifth"
	case 10:
		return "tenth"
	}
	return "1 in " + strconv.Itoa(in)
}
