package content

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"
)

// sourcePlace is where a value of a library file stands, so that what only the whole library shows can be told there.
type sourcePlace struct {
	file         string
	line, column int // from 1, columns in code points; 0 when not read from a file
	value        string
}

func (s sourcePlace) String() string {
	if s.line == 0 {
		return "made in code"
	}
	return fmt.Sprintf("%s:%d:%d", s.file, s.line, s.column)
}

// of is the place of one piece of the value, a list; the value's own when the piece is not in it.
func (s sourcePlace) of(piece string) sourcePlace {
	for from := 0; piece != ""; {
		i := strings.Index(s.value[from:], piece)
		if i < 0 {
			break
		}
		i += from
		if beginsPiece.MatchString(s.value[:i]) && endsPiece.MatchString(s.value[i+len(piece):]) {
			s.column += utf8.RuneCountInString(s.value[:i])
			break
		}
		from = i + len(piece)
	}
	return s
}

// What may stand before and after a piece of a list: commas, the words between kit, a stand-in's factor.
var (
	beginsPiece = regexp.MustCompile(`(^|,| and| or)\s*$`)
	endsPiece   = regexp.MustCompile(`^\s*($|,|and |or |x[0-9])`)
)

// at returns where a piece of one of e's fields stands, e's name when that is not known.
func (e *Entry) at(key, piece string) sourcePlace { return placeIn(e.fields, key, piece, e.source) }

// has reports whether a field of e was read.
func (e *Entry) has(key string) bool { _, ok := e.fields[key]; return ok }

func (k *KitEntry) at(key, piece string) sourcePlace { return placeIn(k.fields, key, piece, k.source) }

func placeIn(fields map[string]sourcePlace, key, piece string, name sourcePlace) sourcePlace {
	if s, ok := fields[key]; ok {
		return s.of(piece)
	}
	return name
}
