package content

import (
	"os"
	"strings"
	"testing"
)

// BenchmarkFolderOf28Sheets reads four weeks of sheets, checks each and all together, and writes the balance in its
// three forms: what check does with a folder, files aside.
func BenchmarkFolderOf28Sheets(b *testing.B) {
	text, err := os.ReadFile("testdata/sheets/sample.txt")
	if err != nil {
		b.Fatal(err)
	}
	var sheets [][]byte
	for i := range 28 {
		date := Date{2027, 2, 1}.AddDays(i).String()
		sheets = append(sheets, []byte(strings.Replace(string(text), "2027-02-01", date, 1)))
	}
	b.ReportAllocs()
	for b.Loop() {
		var days []Session
		for _, sheet := range sheets {
			s, ps := Read(Builtin(), "s.txt", sheet)
			if len(Errors(ps)) > 0 {
				b.Fatal(ps)
			}
			days = append(days, s)
		}
		CheckWeek(Builtin(), days)
		weeks := Weeks(Builtin(), days)
		if len(weeks) != 4 || weeks[0].Sessions != 7 {
			b.Fatal(len(weeks))
		}
		WeeksText(weeks)
		WeekChart(weeks)
		if _, err := WeeksJSON(weeks, nil); err != nil {
			b.Fatal(err)
		}
	}
}
