package leaderboard

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
)

// WriteCSV writes a page as a table with a header, a line for each line of its blocks.
func WriteCSV(w io.Writer, p Page) error {
	c := csv.NewWriter(w)
	if err := c.Write([]string{"date", "part", "division", "version", "rank", "member", "name", "result", "way", "load", "late", "joint"}); err != nil {
		return err
	}
	for _, b := range p.Boards {
		for _, l := range b.Entries {
			late, joint := "", ""
			if l.Late {
				late = "late"
			}
			if l.Joint > 0 {
				joint = strconv.Itoa(l.Joint)
			}
			err := c.Write(Cells(p.Date.String(), p.Part, b.Division, string(b.Version), strconv.Itoa(l.Rank), l.Member, l.Name, l.Result, l.Way, l.Load, late, joint))
			if err != nil {
				return err
			}
		}
	}
	c.Flush()
	return c.Error()
}

// Cells returns the cells of a table so that no spreadsheet takes one for a formula: one that begins with = + - or @
// gets a ' before it.
func Cells(cells ...string) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		out[i] = c
		if c != "" && strings.ContainsRune("=+-@", rune(c[0])) {
			out[i] = "'" + c
		}
	}
	return out
}
