package roster

import (
	"fmt"
	"strconv"
	"strings"
)

// keyHealth is the key of a club file that tells how long members' words about their health are kept.
const keyHealth = "keep health notes"

// How long words about health are kept: unless the club says otherwise, half a year; at least as long as a coach may
// need to answer them, at most ten years.
const (
	defaultHealthDays = 180
	leastHealthDays   = 14
	mostHealthDays    = 3650
)

// readHealthDays reads "180 days", or the bare number.
func readHealthDays(value string) (int, error) {
	figures := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(strings.ToLower(value), "days"), "day"))
	n, err := strconv.Atoi(figures)
	if err != nil || n < leastHealthDays || n > mostHealthDays {
		return 0, fmt.Errorf("%q is not a number of days from %d to %d: write for example 180 days", value, leastHealthDays, mostHealthDays)
	}
	return n, nil
}
