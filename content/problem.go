package content

import "fmt"

// Problem is one thing wrong with a sheet: an error stops delivery, a warning does not.
// Line and Column count from 1, columns in code points.
type Problem struct {
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Message string `json:"message"`
	Warning bool   `json:"-"`
}

// In returns the problem as file:line:column: message, with "warning:" before a warning's message.
func (p Problem) In(file string) string {
	w := ""
	if p.Warning {
		w = "warning: "
	}
	return fmt.Sprintf("%s:%d:%d: %s%s", file, p.Line, p.Column, w, p.Message)
}

// Errors returns the problems that stop delivery, Warnings the others.
func Errors(ps []Problem) []Problem { return pick(ps, false) }

// Warnings returns the problems that do not stop delivery.
func Warnings(ps []Problem) []Problem { return pick(ps, true) }

func pick(ps []Problem, warning bool) []Problem {
	out := []Problem{}
	for _, p := range ps {
		if p.Warning == warning {
			out = append(out, p)
		}
	}
	return out
}
