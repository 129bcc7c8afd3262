package roster

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// item is one thing of a list with commas, and where it begins: code points from the list's beginning.
type item struct {
	text string
	at   int
}

func items(list string) []item {
	var out []item
	at := 0
	for part := range strings.SplitSeq(list, ",") {
		blank := len(part) - len(strings.TrimLeft(part, " \t"))
		out = append(out, item{strings.TrimSpace(part), at + blank})
		at += utf8.RuneCountInString(part) + 1
	}
	return out
}

// readDivisions reads names with commas between.
func readDivisions(value string) (out []string, wrong []valueError) {
	for _, it := range items(value) {
		d, err := readDivision(it.text)
		if _, twice := oneOf(d, out); err == nil && twice {
			err = fmt.Errorf("%q is listed twice: keep one", d)
		}
		if err != nil {
			wrong = append(wrong, valueError{it.at, err})
			continue
		}
		out = append(out, d)
	}
	return out, wrong
}

func readDivision(text string) (string, error) {
	d, err := plainName(text)
	switch {
	case err != nil:
		return "", fmt.Errorf("a division's name %w", err)
	case strings.ContainsAny(d, ":{}"):
		return "", fmt.Errorf("%q: a division's name holds no ':' and no braces: take them out", d)
	case utf8.RuneCountInString(d) > 40:
		return "", fmt.Errorf("%q: a division's name has at most 40 characters: shorten it", d)
	}
	if b, err := readBand(d); err == nil {
		return "", fmt.Errorf("%q reads as an age band: write it under `age bands:`", b.String())
	}
	return d, nil
}

// The ages that a band may have, and the end of one that is open.
const (
	youngest = 10
	oldest   = 99
	openEnd  = 1000
)

// band is an age band, both ends included.
type band struct{ from, to int }

// String writes a band as boards name it: "50+" or "40-49".
func (b band) String() string {
	if b.to == openEnd {
		return strconv.Itoa(b.from) + "+"
	}
	return fmt.Sprintf("%d-%d", b.from, b.to)
}

// readBands reads age bands, from the youngest on. One may lie within another; two that overlap otherwise clash.
func readBands(value string) (out []string, wrong []valueError) {
	var bands []band
	for _, it := range items(value) {
		b, err := readBand(it.text)
		if err == nil {
			err = b.beside(bands)
		}
		if err != nil {
			wrong = append(wrong, valueError{it.at, err})
			continue
		}
		bands, out = append(bands, b), append(out, b.String())
	}
	return out, wrong
}

func readBand(text string) (band, error) {
	bad := fmt.Errorf("%q is not an age band: write ages from %d to %d as 50+ or 40-49", text, youngest, oldest)
	from, to, closed := strings.Cut(text, "-")
	b := band{to: openEnd}
	var err, err2 error
	if !closed {
		var plus bool
		if from, plus = strings.CutSuffix(from, "+"); !plus {
			return band{}, bad
		}
	} else {
		b.to, err2 = strconv.Atoi(strings.TrimSpace(to))
	}
	b.from, err = strconv.Atoi(strings.TrimSpace(from))
	switch {
	case err != nil || err2 != nil || b.from < youngest || b.from > oldest || closed && (b.to < youngest || b.to > oldest):
		return band{}, bad
	case b.to < b.from:
		return band{}, fmt.Errorf("%q ends before it begins: write %d-%d", text, b.to, b.from)
	}
	return b, nil
}

// beside says why a band cannot stand behind others, nil when it can.
func (b band) beside(before []band) error {
	if slices.Contains(before, b) {
		return fmt.Errorf("%s is listed twice: keep one", b)
	}
	for _, o := range before {
		inside := o.from <= b.from && b.to <= o.to || b.from <= o.from && o.to <= b.to
		if !inside && b.from <= o.to && o.from <= b.to {
			return fmt.Errorf("%s and %s clash: who is %d would stand in both; let them meet, or one lie within the other", o, b, max(o.from, b.from))
		}
	}
	if n := len(before); n > 0 && cmp.Or(cmp.Compare(before[n-1].from, b.from), cmp.Compare(before[n-1].to, b.to)) > 0 {
		return fmt.Errorf("%s comes after %s: write the bands from the youngest on", b, before[n-1])
	}
	return nil
}
