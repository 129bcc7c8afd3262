package roster

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"tallybell/content"
)

// clubKeys are the keys of a club file, in the order in which a new one is best written.
var clubKeys = [...]string{"club", "name", "coach", "zone", "send at", "evening limit", "report at", "remind at", "summary on",
	"divisions", "age bands", "late days", "attention", keyHealth, "joint ranks", "discards", "missed", "standings boards"}

// mostClubFile is the largest club file, in bytes.
const mostClubFile = 64 << 10

// ParseClub reads a club file: `key: value` lines, with blank lines and lines that begin with # for whoever keeps it.
// zone is required; club may be left out when the file's name is the club's id. All problems are returned in one
// pass; the Club is worth nothing when there are any.
//
//	club: lantern-hall
//	name: Lantern Hall Strength Club
//	coach: Maren Oduya
//	zone: Europe/London
//	send at: 06:30
//	evening limit: 20:00
//	report at: 07:00
//	remind at: 18:00
//	summary on: Sunday
//	divisions: women, men, open
//	age bands: 40-49, 50+
//	late days: 7
//	attention: quiet after 3 days, no load
//	keep health notes: 180 days
//	joint ranks: no
//	discards: one in 4
//	missed: entries + 1
//	standings boards: own version
func ParseClub(file string, text []byte) (Club, []content.Problem) {
	f := clubFile{club: DefaultClub(""), told: map[string]int{}}
	f.club.Name = ""
	if len(text) > mostClubFile {
		f.wrong(1, 1, "the club file has %d bytes: at most %d are read", len(text), mostClubFile)
		return f.club, f.problems
	}
	s := strings.TrimPrefix(string(text), "\ufeff")
	for i, line := range strings.Split(s, "\n") {
		f.line(i+1, strings.TrimSuffix(line, "\r"))
	}
	f.finish(file)
	slices.SortStableFunc(f.problems, func(a, b content.Problem) int { return a.Line - b.Line })
	return f.club, f.problems
}

// clubFile is a club file half read.
type clubFile struct {
	club     Club
	told     map[string]int // key -> the line that tells it
	problems []content.Problem
}

func (f *clubFile) wrong(line, column int, format string, args ...any) {
	f.problems = append(f.problems, content.Problem{Line: line, Column: column, Message: fmt.Sprintf(format, args...)})
}

// line reads one line; columns count code points.
func (f *clubFile) line(number int, text string) {
	if at := badByte(text); at >= 0 {
		f.wrong(number, 1+utf8.RuneCountInString(text[:at]), "a control character, or a byte that is not UTF-8: type the line again")
		return
	}
	indent := len(text) - len(strings.TrimLeft(text, " \t"))
	body := strings.TrimSpace(text)
	if body == "" || strings.HasPrefix(body, "#") {
		return
	}
	column := indent + 1
	key, value, ok := strings.Cut(body, ":")
	if !ok {
		f.wrong(number, column, "%q is no `key: value` line: write for example `zone: Europe/London`", body)
		return
	}
	valueColumn := column + utf8.RuneCountInString(key) + 1 + utf8.RuneCountInString(value) - utf8.RuneCountInString(strings.TrimLeft(value, " \t"))
	key = strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(key, "_", " ")), " "))
	value = strings.TrimSpace(value)
	if !slices.Contains(clubKeys[:], key) {
		f.wrong(number, column, "%q is not a key of a club file: %s", key, keyAdvice(key))
		return
	}
	if first, twice := f.told[key]; twice {
		f.wrong(number, column, "%s: is told twice, first in line %d: keep one", key, first)
		return
	}
	f.told[key] = number
	if value == "" {
		f.wrong(number, valueColumn, "%s: says nothing: write a value, or take the line out", key)
		return
	}
	for _, e := range f.value(key, value) {
		f.wrong(number, valueColumn+e.at, "%s: %v", key, e.err)
	}
}

// badByte returns where the first control character other than tab, or byte that is not UTF-8, stands; -1 for none.
func badByte(s string) int {
	for i, r := range s {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(s[i:]); size == 1 {
				return i
			}
		}
		if unicode.IsControl(r) && r != '\t' {
			return i
		}
	}
	return -1
}

func keyAdvice(key string) string {
	best, off := "", 1+len(key)/3
	for _, k := range clubKeys {
		if d := content.EditDistance(key, k); len(key) < 40 && d <= off && (best == "" || d < content.EditDistance(key, best)) {
			best = k
		}
	}
	if best != "" {
		return fmt.Sprintf("did you mean %q?", best)
	}
	return "known are " + strings.Join(clubKeys[:], ", ")
}

// valueError is what is wrong in a value, and where: code points from its beginning.
type valueError struct {
	at  int
	err error
}

// value takes one value in.
func (f *clubFile) value(key, value string) []valueError {
	switch key {
	case "divisions":
		var wrong []valueError
		f.club.Divisions, wrong = readDivisions(value)
		return wrong
	case "attention":
		return readAttention(&f.club.Attention, value)
	case "age bands":
		var wrong []valueError
		f.club.AgeBands, wrong = readBands(value)
		return wrong
	}
	if err := f.single(key, value); err != nil {
		return []valueError{{err: err}}
	}
	return nil
}

// single takes a value in that is one thing.
func (f *clubFile) single(key, value string) (err error) {
	c := &f.club
	switch key {
	case "club":
		if !validClubID(value) {
			return fmt.Errorf("%q is not an id: write 1 to 32 of a to z, 0 to 9 and -, for example lantern-hall", value)
		}
		c.ID = value
	case "name":
		c.Name, err = plainName(value)
	case "coach":
		c.Coach, err = plainName(value)
	case "zone":
		c.Zone = value
		_, err = content.LoadZone(value)
	case "send at":
		c.SendAt, err = content.ParseClock(value)
	case "evening limit":
		c.EveningLimit, err = content.ParseClock(value)
	case "report at":
		c.ReportAt, err = content.ParseClock(value)
	case "remind at":
		c.RemindAt, err = content.ParseClock(value)
	case "summary on":
		c.SummaryOn, c.NoSummary, err = readWeekday(value)
	case keyHealth:
		c.HealthDays, err = readHealthDays(value)
	case "joint ranks":
		c.JointRanks, err = yesOrNo(value)
	case "discards":
		c.Discards, err = readDiscards(value)
	case "missed":
		c.MissedCame, err = readMissed(value)
	case "standings boards":
		c.JointBoards, err = oneOfTwo(value, "own version", "all")
	case "late days":
		c.LateDays, err = strconv.Atoi(value)
		if err != nil || c.LateDays < 0 || c.LateDays > 60 {
			err = fmt.Errorf("%q is not a number of days from 0 to 60", value)
		}
	}
	return err
}

// readWeekday reads the name of a weekday, or "never".
func readWeekday(value string) (day time.Weekday, never bool, err error) {
	word := strings.ToLower(value)
	if word == "never" || word == "none" {
		return time.Sunday, true, nil
	}
	for d := time.Sunday; d <= time.Saturday; d++ {
		if name := strings.ToLower(d.String()); word == name || word == name[:3] {
			return d, false, nil
		}
	}
	return time.Sunday, false, fmt.Errorf("%q is not a day of the week: write for example Sunday, or never", value)
}

// plainName takes direction marks out; a name has 1 to 80 characters.
func plainName(value string) (string, error) {
	c := checker{}
	name := c.name(value)
	if len(c.found) > 0 {
		return "", fmt.Errorf("%s", c.found[0].Message)
	}
	return name, nil
}

// finish fills in what the file leaves out and tells what it must not leave out.
func (f *clubFile) finish(file string) {
	if _, told := f.told["zone"]; !told {
		f.wrong(1, 1, "zone: is missing: write the club's time zone, for example `zone: Europe/London`")
	}
	if _, told := f.told["club"]; !told {
		base := filepath.Base(file)
		f.club.ID = strings.TrimSuffix(base, filepath.Ext(base))
		if !validClubID(f.club.ID) {
			f.wrong(1, 1, "club: is missing: write the club's id, 1 to 32 of a to z, 0 to 9 and -, for example `club: lantern-hall`")
		}
	}
	if f.club.Name == "" {
		f.club.Name = f.club.ID
	}
}
