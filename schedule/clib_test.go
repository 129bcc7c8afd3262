package schedule

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tallybell/content"
)

var update = flag.Bool("update", false, "write testdata/next.tsv anew, from the C library")

// nextRow is a line of testdata/next.tsv: what was asked, and the answer of the C library.
type nextRow struct{ zone, at, after, next, date string }

// asked are the questions of the table: each zone shortly before days on which its clock changes, with send times in,
// at and beside the change. The zones are those whose rules have not changed since tzdb 2025b.
func asked() []nextRow {
	var rows []nextRow
	for _, q := range []struct{ zone, ats, days string }{
		{"Europe/Berlin", "01:59 02:00 02:30 03:00 06:30", "2026-03-28 2026-10-24"},
		{"Europe/London", "00:59 01:30", "2026-03-28 2026-10-24"},
		{"Europe/Dublin", "01:15 07:00", "2026-03-28 2026-10-24"},
		{"America/New_York", "01:30 02:30 23:45", "2026-03-07 2026-10-31"},
		{"America/Chicago", "01:00 02:00", "2027-03-13 2027-11-06"},
		{"America/St_Johns", "00:00 00:30 23:30", "2006-04-01 2006-10-28"},
		{"America/Santiago", "00:00 00:30 23:30", "2026-04-04 2026-09-05"},
		{"America/Sao_Paulo", "00:00 01:00", "2017-10-14 2018-11-03 2019-02-16"},
		{"America/Nuuk", "22:59 23:00 23:30 00:00", "2026-03-27 2026-10-24"},
		{"America/Caracas", "02:29 02:45", "2016-04-30"},
		{"Africa/Cairo", "00:00 00:30 23:30", "2026-04-23 2026-10-28"},
		{"Asia/Beirut", "00:00 23:15", "2026-03-28 2026-10-24"},
		{"Asia/Kathmandu", "00:00 00:10 06:00", "1985-12-30"},
		{"Asia/Pyongyang", "23:30 23:59 00:00", "2018-05-03"},
		{"Asia/Amman", "00:30 01:00", "2022-10-27"},
		{"Australia/Sydney", "02:30 03:00", "2026-04-04 2026-10-03"},
		{"Australia/Lord_Howe", "01:45 02:15 09:00", "2026-04-04 2026-10-03"},
		{"Pacific/Chatham", "02:45 03:15", "2026-04-04 2026-09-26"},
		{"Pacific/Apia", "00:00 06:00 23:59", "2011-12-29 2011-12-30"},
		{"Pacific/Kwajalein", "06:00", "1993-08-20 1993-08-21"},
		{"Pacific/Kiritimati", "05:00", "1994-12-30 1994-12-31"},
		{"Antarctica/Troll", "01:30 02:30", "2026-03-28 2026-10-24"},
		{"Atlantic/Azores", "00:00 00:45", "2026-03-28 2026-10-24"},
		{"Asia/Kolkata", "06:30", "2026-11-25"},
		{"Australia/Eucla", "06:30", "2026-11-25"},
		{"America/New_York", "21:00", "2028-12-30 2032-12-30 2040-12-30"},
	} {
		for at := range strings.FieldsSeq(q.ats) {
			for day := range strings.FieldsSeq(q.days) {
				rows = append(rows, nextRow{zone: q.zone, at: at, after: day + "T12:00:00Z"})
			}
		}
	}
	return rows
}

func readTable(t *testing.T) []nextRow {
	t.Helper()
	text, err := os.ReadFile("testdata/next.tsv")
	if err != nil {
		t.Fatal(err)
	}
	var rows []nextRow
	for line := range strings.Lines(string(text)) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		if strings.HasPrefix(line, "#") {
			continue
		}
		if len(f) != 5 {
			t.Fatalf("testdata/next.tsv: %q has not five columns", line)
		}
		rows = append(rows, nextRow{f[0], f[1], f[2], f[3], f[4]})
	}
	return rows
}

func TestNextTable(t *testing.T) {
	rows := readTable(t)
	if len(rows) < 100 {
		t.Fatalf("only %d rows", len(rows))
	}
	for _, r := range rows {
		got, d := Next(zone(t, r.zone), clock(t, r.at), instant(t, r.after))
		if got.UTC().Format(time.RFC3339) != r.next || d.String() != r.date {
			t.Errorf("%s %s after %s: got %s of %s, want %s of %s", r.zone, r.at, r.after, got.UTC().Format(time.RFC3339), d, r.next, r.date)
		}
	}
}

// TestTableAgainstCLibrary has the C library tell what each minute reads on the local clock and takes the answer from
// that alone. With -update it writes the table.
func TestTableAgainstCLibrary(t *testing.T) {
	if testing.Short() {
		t.Skip("takes the C library through half a million minutes")
	}
	var table bytes.Buffer
	fmt.Fprintf(&table, "# zone, send time, after, next instant, its date: as the C library's local time (glibc, its own zone data) has them\n")
	rows := asked()
	if !*update {
		rows = readTable(t)
	}
	for _, r := range rows {
		next, d := cLibraryNext(t, r)
		if !*update && (next != r.next || d != r.date) {
			t.Errorf("%s %s after %s: the C library has %s of %s, the table %s of %s", r.zone, r.at, r.after, next, d, r.next, r.date)
		}
		fmt.Fprintf(&table, "%s\t%s\t%s\t%s\t%s\n", r.zone, r.at, r.after, next, d)
	}
	if *update {
		if err := os.WriteFile("testdata/next.tsv", table.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// missing skips a test that cannot run here; where everything is to be tested it fails.
func missing(t *testing.T, what string, err error) {
	t.Helper()
	if os.Getenv("TALLYBELL_TEST_ALL") != "" {
		t.Fatalf("%s (%v)", what, err)
	}
	t.Skipf("%s (%v)", what, err)
}

func cLibraryNext(t *testing.T, r nextRow) (next, date string) {
	t.Helper()
	if _, err := os.Stat(filepath.Join("/usr/share/zoneinfo", r.zone)); err != nil {
		missing(t, "no zone data for the C library: install tzdata", err)
	}
	after := instant(t, r.after)
	start := after.Add(-60 * time.Hour).Truncate(time.Minute)
	var ask bytes.Buffer
	for m := range 120 * 60 {
		fmt.Fprintf(&ask, "@%d\n", start.Unix()+int64(m)*60)
	}
	cmd := exec.Command("date", "-f", "-", "+%s %Y-%m-%d %H:%M")
	cmd.Env = []string{"TZ=" + r.zone, "LC_ALL=C"}
	cmd.Stdin = &ask
	out, err := cmd.Output()
	if err != nil {
		missing(t, "no GNU date to ask the C library: install coreutils", err)
	}
	type reading struct {
		unix       int64
		date, time string
	}
	var all []reading
	for line := range strings.Lines(string(out)) {
		var x reading
		if _, err := fmt.Sscan(line, &x.unix, &x.date, &x.time); err != nil {
			t.Fatalf("date says %q", line)
		}
		all = append(all, x)
	}
	best := int64(0)
	for day := range 5 {
		d := content.DateOf(after.UTC()).AddDays(day - 2).String()
		shown, first, passed := false, int64(0), int64(0)
		for _, x := range all {
			shown = shown || x.date == d
			if x.date == d && x.time >= r.at && first == 0 {
				first = x.unix
			}
			if x.date > d && passed == 0 {
				passed = x.unix
			}
		}
		if first == 0 {
			first = passed
		}
		if shown && first > after.Unix() && (best == 0 || first < best) {
			best, date = first, d
		}
	}
	return time.Unix(best, 0).UTC().Format(time.RFC3339), date
}
