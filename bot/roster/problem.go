package roster

import (
	"fmt"
	"strings"
)

// FieldProblem is one thing wrong with one field of one person.
type FieldProblem struct {
	Index   int    `json:"index"` // place in the list, from 0
	Field   string `json:"field"` // as in the JSON; "" for the whole
	Message string `json:"message"`
}

// InvalidError tells everything that is wrong with a list of people, or with a change of one.
type InvalidError []FieldProblem

// Error names the index and the field of each problem and what to do.
func (e InvalidError) Error() string {
	parts := make([]string, len(e))
	for i, p := range e {
		parts[i] = fmt.Sprintf("[%d].%s: %s", p.Index, p.Field, p.Message)
		if p.Field == "" {
			parts[i] = fmt.Sprintf("[%d]: %s", p.Index, p.Message)
		}
	}
	return strings.Join(parts, "; ")
}
