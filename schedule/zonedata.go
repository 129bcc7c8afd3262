package schedule

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// ZoneData names the time zone data that is in use and its version where it can be read, for the log:
// "2026f (system)", "ZONEINFO, version unknown", or "embedded by go1.26.8".
func ZoneData() string {
	if place := os.Getenv("ZONEINFO"); place != "" {
		if v := zoneVersion(place); v != "" {
			return v + " (ZONEINFO)"
		}
		return "ZONEINFO, version unknown"
	}
	// The places that Go looks at, in its order; what it finds there goes before the embedded copy.
	for _, dir := range []string{"/usr/share/zoneinfo", "/usr/share/lib/zoneinfo", "/usr/lib/locale/TZ", "/etc/zoneinfo"} {
		if _, err := os.Stat(filepath.Join(dir, "Europe")); err != nil {
			continue
		}
		if v := zoneVersion(dir); v != "" {
			return v + " (system)"
		}
		return "system, version unknown"
	}
	return "embedded by " + runtime.Version()
}

// zoneVersion reads the version of the data in a folder, "" when it does not say.
func zoneVersion(dir string) string {
	for _, name := range []string{"+VERSION", "tzdata.zi"} {
		f, err := os.Open(filepath.Join(dir, name))
		if err != nil {
			continue
		}
		lines := bufio.NewScanner(f)
		lines.Scan()
		f.Close()
		if v := strings.TrimSpace(strings.TrimPrefix(lines.Text(), "# version ")); v != "" && len(v) < 20 {
			return v
		}
	}
	return ""
}

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
				ZoneData(), c.version, z)
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
