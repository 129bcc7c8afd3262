package main

import (
	"errors"
	"fmt"
	"os"
	"path"
	"slices"
	"strings"

	"tallybell/content"
)

// folder checks all *.txt of a folder, in order of name, and prints the balance of its weeks.
func (k *checker) folder(folder string) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		k.complain("folder", err)
		return
	}
	folder = strings.TrimSuffix(folder, "/") + "/"
	lib := k.club(folder)
	set, bounds, wrong, err := folderBounds(folder)
	if err != nil {
		k.complain("club's bounds", err)
	}
	var sheets []readSheet
	var names []string
	var texts [][]byte
	var dated, days []content.Session // as they are, and only those that the week counts
	seen := map[content.Date]bool{}
	for _, e := range entries {
		if e.IsDir() || !strings.HasSuffix(e.Name(), ".txt") || strings.HasSuffix("/"+folder+e.Name(), "/"+boundsFile) {
			continue
		}
		if s, ok := k.read(folder + e.Name()); ok {
			sheets, names, texts = append(sheets, s), append(names, e.Name()), append(texts, s.text)
			counts := sound(s)
			if seen[s.session.Date] {
				counts = content.Session{}
			}
			seen[s.session.Date] = true
			dated, days = append(dated, s.session), append(days, counts)
		}
	}
	running, same := content.CheckWeek(lib, days), content.SameDates(names, texts, dated)
	for i := range sheets {
		sheets[i].problems = content.Sorted(slices.Concat(sheets[i].problems, running[i], same[i]))
		k.print(sheets[i])
	}
	weeks := content.Weeks(lib, days)
	k.problems(set, content.Sorted(append(wrong, content.Outside(bounds, weeks)...)))
	switch {
	case len(sheets) == 0:
		fmt.Fprintf(k.complaints, "tallybell: no sheets in %s: a sheet is a file such as 2027-02-01.txt\n", folder)
	case !k.json && len(weeks) > 0:
		k.write("\n" + content.WeeksText(weeks))
	}
	if k.balance != "" {
		k.writeBalance(weeks, bounds)
	}
}

// sound returns the session of a sheet without errors; of any other, one without a date, which no week counts.
func sound(s readSheet) content.Session {
	if len(content.Errors(s.problems)) > 0 {
		return content.Session{}
	}
	return s.session
}

// writeBalance writes the weeks to the file that --balance names, in the form that its name asks for.
func (k *checker) writeBalance(weeks []content.Week, bounds []content.Bound) {
	var text []byte
	var err error
	switch path.Ext(k.balance) {
	case ".json":
		text, err = content.WeeksJSON(weeks, bounds)
	case ".svg":
		text = content.WeekChart(weeks)
	default:
		text = []byte(content.WeeksText(weeks))
	}
	if err == nil {
		err = os.WriteFile(k.balance, text, 0o644)
	}
	k.lost = errors.Join(k.lost, err)
}
