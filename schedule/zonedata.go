package schedule

import (
	"fmt"
	"strings"
	"time"

	"tallybell/content"
)

// recentChange is a clock's offset that only zone data from some version on knows.
type recentChange struct {
	version string
	at      string // an instant at which older data reads another offset
	offset  time.Duration
	zones   string // all names, separated by blanks
}

// recentChanges are those of 2026 (IANA tzdb NEWS, 2026a to 2026f).
func recentChanges() []recentChange {
	return []recentChange{
		{"2026a", "2026-03-29T00:30:00Z", 2 * time.Hour, "Europe/Chisinau Europe/Tiraspol"},
		{"2026b", "2026-12-01T00:00:00Z", -7 * time.Hour, "America/Vancouver Canada/Pacific"},
		{"2026c", "2026-12-01T00:00:00Z", -6 * time.Hour, "America/Edmonton America/Yellowknife Canada/Mountain"},
		{"2026c", "2026-10-01T00:00:00Z", 0, "Africa/Casablanca Africa/El_Aaiun"},
		{"2026d", "2026-12-01T00:00:00Z", -6 * time.Hour, "America/Inuvik"},
		{"2026e", "2026-12-01T00:00:00Z", -5 * time.Hour, "America/Winnipeg America/Rainy_River Canada/Central"},
		{"2026f", "2026-12-01T00:00:00Z", -4 * time.Hour, "America/Havana Cuba"},
	}
}

// OutdatedZone tells whether the zone data in use misses a change of z that is known, as a sentence for the operator;
// "" when it does not. Sends in such a zone are an hour off until the data is renewed.
func OutdatedZone(z *time.Location) string {
	for _, c := range recentChanges() {
		if strings.Contains(" "+c.zones+" ", " "+z.String()+" ") && c.missing(z) {
			return fmt.Sprintf("the time zone data in use (%s) is older than %s and misses a change of %s: renew the system's tzdata, or point ZONEINFO to newer data",
				content.ZoneData(), c.version, z)
		}
	}
	return ""
}

// OutdatedZones returns the names of all zones of which the data in use misses a known change, for the log at start.
func OutdatedZones() []string {
	var out []string
	for _, c := range recentChanges() {
		for _, name := range strings.Fields(c.zones) {
			if z, err := LoadZone(name); err == nil && c.missing(z) {
				out = append(out, name)
			}
		}
	}
	return out
}

func (c recentChange) missing(z *time.Location) bool {
	at, err := time.Parse(time.RFC3339, c.at)
	if err != nil {
		return false
	}
	_, east := at.In(z).Zone()
	return time.Duration(east)*time.Second != c.offset
}
