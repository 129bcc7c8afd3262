package web

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"
)

// Member writes the member's page. It holds nothing of the member, so that the phone may keep it.
func (p *Pages) Member(w http.ResponseWriter, v MemberPage) error {
	w.Header().Set("Cache-Control", "no-cache")
	return p.write(w, http.StatusOK, "member", v)
}

// Door writes the coach's sign-in page, with status 401.
func (p *Pages) Door(w http.ResponseWriter, v Door) error {
	return p.write(w, http.StatusUnauthorized, "door", v)
}

// Morning writes the report of a date.
func (p *Pages) Morning(w http.ResponseWriter, v Morning) error {
	return p.write(w, status(v.Shell), "morning", v)
}

// Editor writes the sheet of a date; the status is 422 when what was sent in has errors, 409 when it was refused.
func (p *Pages) Editor(w http.ResponseWriter, code int, v Editor) error {
	return p.write(w, code, "editor", v)
}

// Members writes the list of members.
func (p *Pages) Members(w http.ResponseWriter, v Members) error {
	return p.write(w, status(v.Shell), "members", v)
}

// PersonFit writes the kit, level and limits of one member, to be changed.
func (p *Pages) PersonFit(w http.ResponseWriter, v PersonFit) error {
	return p.write(w, status(v.Shell), "person", v)
}

// Boards writes what members see of boards and standings.
func (p *Pages) Boards(w http.ResponseWriter, v BoardsPage) error {
	code := http.StatusOK
	if v.Problem != "" {
		code = v.Status
	}
	return p.write(w, code, "boards", v)
}

// Standings writes the coach's page of standings.
func (p *Pages) Standings(w http.ResponseWriter, v StandingsPage) error {
	return p.write(w, status(v.Shell), "standings", v)
}

// Oops writes a page that says what went wrong.
func (p *Pages) Oops(w http.ResponseWriter, code int, v Oops) error {
	return p.write(w, code, "oops", v)
}

func status(s Shell) int {
	if s.Problem != "" {
		return http.StatusUnprocessableEntity
	}
	return http.StatusOK
}

// Verdict sums a check up in words.
func (c Checked) Verdict() string {
	switch {
	case c.Errors > 0 && c.Warnings > 0:
		return count(c.Errors, "error") + " to mend before it can be sent, " + count(c.Warnings, "warning")
	case c.Errors > 0:
		return count(c.Errors, "error") + " to mend before it can be sent"
	case c.Warnings > 0:
		return "No errors, " + count(c.Warnings, "warning") + " to look at"
	}
	return "No errors, no warnings"
}

// Tally counts errors and warnings from the problems.
func Tally(ps []Problem) (errors, warnings int) {
	for _, p := range ps {
		if p.Warning {
			warnings++
		} else {
			errors++
		}
	}
	return errors, warnings
}

// number splits a sheet into lines, each with the problems told about it.
func number(text string, ps []Problem) []SheetLine {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	out := make([]SheetLine, len(lines))
	for i, l := range lines {
		out[i] = SheetLine{Number: i + 1, Text: l}
	}
	for _, p := range ps {
		i := min(max(p.Line, 1), len(out)) - 1
		out[i].Problems = append(out[i].Problems, p)
	}
	return out
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func helpers() template.FuncMap {
	return template.FuncMap{"join": strings.Join, "list": list,
		"levels": func() []string { return []string{"easier", "as written", "harder"} }}
}

// people is a titled list; with nobody in it, Empty is said, and nothing at all when that is "".
type people struct {
	Title  string
	People []Person
	Empty  string
}

func list(title string, ps []Person, empty string) people { return people{title, ps, empty} }
