package gateway

import (
	"encoding/json"
	"fmt"
	"strings"
)

// field is one member of the frame's object: its name and its value as raw JSON.
type field struct {
	name string
	raw  []byte
}

// splitObject returns the members of a flat JSON object in order. The fault says what is wrong with the whole; the
// members read so far are returned with it, so that the id can still be told.
func splitObject(p []byte) ([]field, string) {
	if !json.Valid(p) {
		return nil, "The frame is not one JSON object: " + syntaxFault(p) + "; send one object a frame, " + sayExample + "."
	}
	s := scanner{p: p}
	s.space()
	if s.p[s.i] != '{' {
		return nil, "The frame is JSON but not an object: " + sayExample + "."
	}
	return s.members()
}

func syntaxFault(p []byte) string {
	var v json.RawMessage
	err := json.Unmarshal(p, &v)
	if err == nil {
		return "it cannot be read"
	}
	return err.Error()
}

// scanner walks JSON that is already known to be valid.
type scanner struct {
	p []byte
	i int
}

func (s *scanner) space() {
	for s.i < len(s.p) && strings.IndexByte(" \t\r\n", s.p[s.i]) >= 0 {
		s.i++
	}
}

// members reads the members of the object that begins at the scanner's place.
func (s *scanner) members() ([]field, string) {
	var fields []field
	fault := ""
	s.i++ // the opening brace
	for {
		s.space()
		switch s.p[s.i] {
		case '}':
			return fields, fault
		case ',':
			s.i++
			s.space()
		}
		name := unquote(s.value())
		s.space()
		s.i++ // the colon
		s.space()
		f := field{name, s.value()}
		if _, ok := find(fields, name); ok && fault == "" {
			fault = fmt.Sprintf("%s stands in the frame twice: send it once.", quote(name))
		}
		fields = append(fields, f)
	}
}

// value returns the value at the scanner's place and moves behind it.
func (s *scanner) value() []byte {
	from, depth := s.i, 0
	for s.i < len(s.p) {
		switch s.p[s.i] {
		case '"':
			s.str()
		case '{', '[':
			depth++
			s.i++
		case '}', ']':
			if depth == 0 {
				return s.p[from:s.i]
			}
			depth--
			s.i++
		case ',', ':', ' ', '\t', '\r', '\n':
			if depth == 0 {
				return s.p[from:s.i]
			}
			s.i++
			continue
		default:
			s.i++
			continue
		}
		if depth == 0 {
			return s.p[from:s.i]
		}
	}
	return s.p[from:s.i]
}

func (s *scanner) str() {
	for s.i++; s.p[s.i] != '"'; s.i++ {
		if s.p[s.i] == '\\' {
			s.i++
		}
	}
	s.i++
}

func unquote(raw []byte) string {
	inner := raw[1 : len(raw)-1]
	for _, b := range inner {
		if b == '\\' {
			var out string
			_ = json.Unmarshal(raw, &out) // valid by json.Valid
			return out
		}
	}
	return string(inner)
}

func find(fields []field, name string) ([]byte, bool) {
	for _, f := range fields {
		if f.name == name {
			return f.raw, true
		}
	}
	return nil, false
}
