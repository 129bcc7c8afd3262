package store

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// setMemberDigits is the width of the instant in a set member, enough until the year 2286.
const setMemberDigits = 13

// SetMember is a board's entry for a member: the store-clock instant of the message that first gave
// the result, in milliseconds and fixed width, then the id. Equal scores therefore list by who logged first.
func SetMember(at time.Time, member string) string { return SetMemberMS(at.UnixMilli(), member) }

// SetMemberMS is SetMember for an instant in milliseconds since 1970 (those before count as 0).
func SetMemberMS(ms int64, member string) string {
	return fmt.Sprintf("%0*d.%s", setMemberDigits, max(ms, 0), member)
}

// ParseSetMember reads back what SetMember wrote: the instant in milliseconds and the member's id.
func ParseSetMember(s string) (ms int64, member string, err error) {
	digits, member, ok := strings.Cut(s, ".")
	if !ok || len(digits) < setMemberDigits || member == "" {
		return 0, "", fmt.Errorf("store: set member %q: want %d digits, a dot and a member id", s, setMemberDigits)
	}
	u, err := strconv.ParseUint(digits, 10, 63)
	if err != nil || SetMemberMS(int64(u), member) != s {
		return 0, "", fmt.Errorf("store: set member %q: its first part is not an instant in milliseconds", s)
	}
	return int64(u), member, nil
}

func itoa(n int64) string { return strconv.FormatInt(n, 10) }
