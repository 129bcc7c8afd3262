package gateway

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"tallybell/bot"
)

// The client's frames: one JSON object each, flat, of strings.
const (
	sayFrame  = "say"
	seenFrame = "seen"
)

// maxID is the longest message id in characters.
const maxID = 64

// clientFrame is one frame from a client, checked.
type clientFrame struct {
	Type   string // sayFrame or seenFrame
	ID     string // of a say
	Text   string // of a say
	Cursor int64  // of a seen
}

// frameError is a frame that cannot be used. Re is the message id when it could be read.
type frameError struct {
	Code string // bot.BadFrame or bot.TooLong
	Re   string
	Text string

	fatal bool // the connection must end
}

func (e *frameError) Error() string { return e.Text }

const sayExample = `for example {"type":"say","id":"4f1c09ab","text":"14:32 scaled"}`

// decodeFrame reads one client frame whose text may have at most maxText bytes. It returns a frame or an error,
// never both.
func decodeFrame(p []byte, maxText int) (clientFrame, *frameError) {
	if !utf8.Valid(p) {
		fe := badFrame("", "The frame is not valid UTF-8: send JSON encoded as UTF-8.")
		fe.fatal = true
		return clientFrame{}, fe
	}
	fields, fault := splitObject(p)
	re := readableID(fields)
	if fault != "" {
		return clientFrame{}, badFrame(re, fault)
	}
	kind, fe := stringField(fields, "type", re)
	if fe != nil {
		return clientFrame{}, fe
	}
	switch kind {
	case sayFrame:
		return decodeSay(fields, re, maxText)
	case seenFrame:
		return decodeSeen(fields)
	}
	return clientFrame{}, badFrame(re, fmt.Sprintf(`"type" is %s, and a client sends "say" or "seen": %s.`, quote(kind), sayExample))
}

func decodeSay(fields []field, re string, maxText int) (clientFrame, *frameError) {
	if fe := onlyFields(fields, re, "type", "id", "text"); fe != nil {
		return clientFrame{}, fe
	}
	id, fe := stringField(fields, "id", re)
	if fe != nil {
		return clientFrame{}, fe
	}
	if fault := checkID(id); fault != "" {
		return clientFrame{}, badFrame("", fault)
	}
	text, fe := stringField(fields, "text", id)
	if fe != nil {
		return clientFrame{}, fe
	}
	if len(text) > maxText {
		return clientFrame{}, &frameError{Code: bot.TooLong, Re: id, Text: fmt.Sprintf(
			"The text has %d bytes and at most %d are read: send it in shorter messages, each with an id of its own.", len(text), maxText)}
	}
	if strings.TrimSpace(text) == "" {
		return clientFrame{}, badFrame(id, `"text" is empty: say what you did, `+sayExample+".")
	}
	return clientFrame{Type: sayFrame, ID: id, Text: text}, nil
}

func decodeSeen(fields []field) (clientFrame, *frameError) {
	if fe := onlyFields(fields, "", "type", "cursor"); fe != nil {
		return clientFrame{}, fe
	}
	s, fe := stringField(fields, "cursor", "")
	if fe != nil {
		return clientFrame{}, fe
	}
	n, err := parseCursor(s)
	if err != nil {
		return clientFrame{}, badFrame("", `"cursor": `+err.Error()+".")
	}
	return clientFrame{Type: seenFrame, Cursor: n}, nil
}

// parseCursor reads a cursor as the server wrote it: a whole number of at most 19 digits.
func parseCursor(s string) (int64, error) {
	n, err := strconv.ParseInt(s, 10, 64)
	if err != nil || n < 0 || s[0] == '+' || strconv.FormatInt(n, 10) != s {
		return 0, fmt.Errorf("%s is not a cursor: send back the cursor of a post or of the welcome as it came, for example \"1764071999000000\"", quote(s))
	}
	return n, nil
}

func stringField(fields []field, name, re string) (string, *frameError) {
	raw, ok := find(fields, name)
	if !ok {
		return "", badFrame(re, fmt.Sprintf("%s is missing: %s.", quote(name), sayExample))
	}
	if raw[0] != '"' {
		return "", badFrame(re, fmt.Sprintf("%s must be a string in quotation marks.", quote(name)))
	}
	return unquote(raw), nil
}

func onlyFields(fields []field, re string, allowed ...string) *frameError {
	for _, f := range fields {
		known := false
		for _, a := range allowed {
			known = known || a == f.name
		}
		if !known {
			return badFrame(re, fmt.Sprintf("%s is not a field of this frame: it has %s only.", quote(f.name), strings.Join(allowed, ", ")))
		}
	}
	return nil
}

// readableID returns the id when it can be read as one, else "".
func readableID(fields []field) string {
	raw, ok := find(fields, "id")
	if !ok || raw[0] != '"' {
		return ""
	}
	if id := unquote(raw); checkID(id) == "" {
		return id
	}
	return ""
}

func checkID(id string) string {
	if id == "" {
		return `"id" is empty: make a random one for each message, for example 16 letters and digits.`
	}
	if n := utf8.RuneCountInString(id); n > maxID {
		return fmt.Sprintf(`"id" has %d characters and may have %d: make a random one for each message, for example 16 letters and digits.`, n, maxID)
	}
	for _, r := range id {
		if r < ' ' || r == 0x7f {
			return `"id" holds a control character: use letters and digits.`
		}
	}
	return ""
}

func badFrame(re, text string) *frameError {
	return &frameError{Code: bot.BadFrame, Re: re, Text: text}
}

// quote shows what came, shortened, as people read it.
func quote(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) > most {
		s = string([]rune(s)[:most]) + "…"
	}
	return strconv.Quote(s)
}
