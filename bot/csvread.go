package bot

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"tallybell/content"
)

// The columns of results from elsewhere. Others are passed over; a table of ours names the id "member".
const (
	colDate    = "date"
	colPart    = "part"
	colName    = "name"
	colID      = "id"
	colResult  = "result"
	colVersion = "version"
)

// csvRow is one line of such a table.
type csvRow struct {
	line  int
	cells map[string]csvCell
}

type csvCell struct {
	text   string
	line   int // where it begins; a quoted cell before it may hold line breaks
	column int // in code points
}

// wrong is a problem at a cell, or at the line's beginning when it has no such cell.
func (r csvRow) wrong(col, format string, args ...any) content.Problem {
	p := content.Problem{Line: r.line, Column: 1, Message: fmt.Sprintf(format, args...)}
	if c, ok := r.cells[col]; ok {
		p.Line, p.Column = c.line, c.column
	}
	return p
}

// readResults reads a table of results: a header, then a line each. It reads what it can and tells everything else.
// A byte order mark, CRLF and empty lines are passed over. Without a usable header there are no rows.
func readResults(text []byte) ([]csvRow, []content.Problem) {
	if p := notText(text); p != nil {
		return nil, []content.Problem{*p}
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	t := &csvTable{lines: bytes.Split(text, []byte("\n"))}
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.unread(err)
			continue
		}
		if slices.IndexFunc(record, func(s string) bool { return strings.TrimSpace(s) != "" }) < 0 {
			continue
		}
		if t.header == nil {
			if !t.readHeader(r, record) {
				return nil, t.problems
			}
			continue
		}
		t.readRow(r, record)
	}
	if t.header == nil && len(t.problems) == 0 {
		t.wrong(1, 1, "there is no table: the first line names the columns: date,part,name,result,version")
	}
	return t.rows, t.problems
}

// notText says where a file stops being UTF-8.
func notText(text []byte) *content.Problem {
	const save = "save the table as CSV in UTF-8"
	if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) {
		return &content.Problem{Line: 1, Column: 1, Message: "this is UTF-16: " + save}
	}
	for n, line := range bytes.Split(text, []byte("\n")) {
		for i := 0; i < len(line); {
			c, size := utf8.DecodeRune(line[i:])
			if c == utf8.RuneError && size == 1 || c == 0 {
				return &content.Problem{Line: n + 1, Column: 1 + utf8.RuneCount(line[:i]), Message: "a byte that is not text: " + save}
			}
			i += size
		}
	}
	return nil
}

// csvTable is a table half read.
type csvTable struct {
	lines    [][]byte
	header   []string
	rows     []csvRow
	problems []content.Problem
}

func (t *csvTable) wrong(line, column int, format string, args ...any) {
	t.problems = append(t.problems, content.Problem{Line: line, Column: column, Message: fmt.Sprintf(format, args...)})
}

// at turns a column in bytes into one in code points, both from 1.
func (t *csvTable) at(line, column int) int {
	if line < 1 || line > len(t.lines) {
		return 1
	}
	text := t.lines[line-1]
	return 1 + utf8.RuneCount(text[:max(0, min(column-1, len(text)))])
}

// unread tells of a line that is no CSV; the reader goes on with the next.
func (t *csvTable) unread(err error) {
	var bad *csv.ParseError
	if !errors.As(err, &bad) {
		t.wrong(1, 1, "the table cannot be read: %v", err)
		return
	}
	why := bad.Err.Error()
	switch {
	case errors.Is(bad.Err, csv.ErrBareQuote):
		why = `a " inside a cell: put the whole cell into quotes and double the quotes in it`
	case errors.Is(bad.Err, csv.ErrQuote):
		why = `a quote that is not closed, or something after a closing one: a cell in quotes ends with " and a comma`
	}
	t.wrong(bad.Line, t.at(bad.Line, bad.Column), "%s", why)
}

// readHeader takes the names of the columns; false when there is nothing to go by.
func (t *csvTable) readHeader(r *csv.Reader, record []string) bool {
	line, _ := r.FieldPos(0)
	if len(record) == 1 {
		for _, c := range []struct{ mark, name string }{{";", "semicolons"}, {"\t", "tabs"}} {
			if strings.Contains(record[0], c.mark) {
				t.wrong(line, t.at(line, 1+strings.Index(record[0], c.mark)), "%s stand between the columns: save the table with commas", c.name)
				return false
			}
		}
	}
	for i, name := range record {
		name = strings.ToLower(strings.TrimSpace(name))
		if name == "member" {
			name = colID
		}
		if slices.Contains([]string{colDate, colPart, colName, colID, colResult, colVersion}, name) && slices.Contains(t.header, name) {
			l, c := r.FieldPos(i)
			t.wrong(l, t.at(l, c), "the column %s is there twice: keep one", name)
		}
		t.header = append(t.header, name)
	}
	var missing []string
	for _, want := range []string{colDate, colPart, colResult} {
		if !slices.Contains(t.header, want) {
			missing = append(missing, want)
		}
	}
	if !slices.Contains(t.header, colName) && !slices.Contains(t.header, colID) {
		missing = append(missing, "name (or id)")
	}
	if len(missing) > 0 {
		t.wrong(line, 1, "the first line names the columns, and lacks %s: write date,part,name,result,version", strings.Join(missing, ", "))
	}
	return len(t.problems) == 0
}

func (t *csvTable) readRow(r *csv.Reader, record []string) {
	line, _ := r.FieldPos(0)
	row := csvRow{line: line, cells: map[string]csvCell{}}
	for i, cell := range record {
		l, c := r.FieldPos(i)
		if i >= len(t.header) {
			if strings.TrimSpace(cell) != "" {
				t.wrong(l, t.at(l, c), "more cells than the first line has columns: put a cell that holds a comma into quotes")
				return
			}
			continue
		}
		row.cells[t.header[i]] = csvCell{unguarded(strings.TrimSpace(cell)), l, t.at(l, c)}
	}
	t.rows = append(t.rows, row)
}

// unguarded takes the ' away that keeps a spreadsheet from taking a cell for a formula; see leaderboard.Cells.
func unguarded(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune("=+-@", rune(cell[1])) {
		return cell[1:]
	}
	return cell
}
