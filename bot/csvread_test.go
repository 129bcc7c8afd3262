package bot

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestTablesAreReadOrTold(t *testing.T) {
	const head = "date,part,name,result,version\n"
	tests := []struct {
		name, table string
		rows        string // date part name id result version of each
		problems    []string
	}{
		{"plain", head + "2027-02-01,D,Ada,14:32,scaled\n", "2027-02-01 D Ada  14:32 scaled", nil},
		{"columns in another order, others passed over", "rank,Result,PART, Date ,member\n1,14:32,D,2027-02-01,x7\n", "2027-02-01 D  x7 14:32 ", nil},
		{"a mark, CRLF, empty lines, no end of line", "\ufeffdate,part,name,result\r\n\r\n,,,\r\n2027-02-01,D,Ada,14:32", "2027-02-01 D Ada  14:32 ", nil},
		{"quotes", head + `2027-02-01,B,"Ada ""A."" Brook","21, 18, 15, 24",` + "\n", `2027-02-01 B Ada "A." Brook  21, 18, 15, 24 `, nil},
		{"a guarded cell", head + "2027-02-01,D,'=Ada,14:32,\n", "2027-02-01 D =Ada  14:32 ", nil},
		{"semicolons", "date;part;name;result\n2027-02-01;D;Ada;14:32\n", "", []string{"1:5: semicolons stand between the columns"}},
		{"tabs", "date\tpart\tname\tresult\n", "", []string{"1:5: tabs stand"}},
		{"no header", "2027-02-01,D,Ada,14:32,scaled\n", "", []string{"1:1: the first line names the columns, and lacks date, part, result, name (or id)"}},
		{"a column twice", "date,part,name,result,date\n", "", []string{"1:23: the column date is there twice"}},
		{"nothing", "", "", []string{"1:1: there is no table"}},
		{"empty lines alone", "\n\n", "", []string{"1:1: there is no table"}},
		{"UTF-16", "\xff\xfed\x00", "", []string{"1:1: this is UTF-16"}},
		{"not UTF-8", head + "2027-02-01,D,Zo\xeb,14:32,\n", "", []string{"2:16: a byte that is not text"}},
		{"too many cells", head + "2027-02-01,B,Ada,21,18,15\n2027-02-01,D,Bo,14:32,\n", "2027-02-01 D Bo  14:32 ", []string{"2:24: more cells"}},
		{"a quote inside a cell, after an é", head + "2027-02-01,D,é 5\" o,14:32,\n2027-02-01,D,Bo,14:32,\n", "2027-02-01 D Bo  14:32 ", []string{"2:17: a \" inside a cell"}},
		{"a quote never closed", head + "2027-02-01,D,\"Ada,14:32,\n", "", []string{": a quote that is not closed"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rows, problems := readResults([]byte(tt.table))
			var got []string
			for _, r := range rows {
				c := r.cells
				got = append(got, strings.Join([]string{c[colDate].text, c[colPart].text, c[colName].text, c[colID].text, c[colResult].text, c[colVersion].text}, " "))
			}
			if strings.Join(got, "\n") != tt.rows {
				t.Errorf("rows %q, want %q", got, tt.rows)
			}
			if len(problems) != len(tt.problems) {
				t.Fatalf("problems %v, want %q", problems, tt.problems)
			}
			for i, p := range problems {
				if said := fmt.Sprintf("%d:%d: %s", p.Line, p.Column, p.Message); !strings.Contains(said, tt.problems[i]) {
					t.Errorf("told %q, want %q", said, tt.problems[i])
				}
			}
		})
	}
}

func FuzzReadResults(f *testing.F) {
	f.Add([]byte("date,part,name,result,version\n2027-02-01,D,Ada,14:32,scaled\n"))
	f.Add([]byte("\ufeffdate;part\r\n\"a\"\"b\nc\",\"\r\n"))
	f.Add([]byte("id,date,part,result\n'=1,é,\"\",x,y\n"))
	f.Fuzz(func(t *testing.T, table []byte) {
		rows, problems := readResults(table)
		lines := strings.Split(string(table), "\n")
		for _, p := range problems {
			if p.Line < 1 || p.Line > len(lines)+1 || p.Column < 1 || p.Message == "" {
				t.Fatalf("a problem at %d:%d of %d lines: %q", p.Line, p.Column, len(lines), p.Message)
			}
			if p.Line <= len(lines) && p.Column > utf8.RuneCountInString(lines[p.Line-1])+2 {
				t.Fatalf("column %d of line %q", p.Column, lines[p.Line-1])
			}
		}
		for _, r := range rows {
			if r.line < 2 || len(r.cells) == 0 {
				t.Fatalf("a row at line %d with %d cells", r.line, len(r.cells))
			}
		}
		if len(rows) == 0 && len(problems) == 0 && strings.TrimSpace(string(table)) == "" {
			t.Fatal("an empty table is no problem")
		}
	})
}
