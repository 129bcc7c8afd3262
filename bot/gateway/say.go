package gateway

import (
	"bytes"
	"encoding/json"
	"strconv"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
)

// Frames of the server. The order of fields is that of the contract.
type (
	welcomeFrame struct {
		Type   string      `json:"type"`
		Member memberName  `json:"member"`
		Role   roster.Role `json:"role"`
		Cursor string      `json:"cursor"`
	}
	memberName struct {
		ID   string `json:"id"`
		Name string `json:"name"`
	}
	postFrame struct {
		Type   string          `json:"type"`
		Cursor string          `json:"cursor"`
		Kind   bot.PostKind    `json:"kind"`
		At     string          `json:"at"`
		Date   string          `json:"date,omitempty"`
		Re     string          `json:"re,omitempty"`
		Said   string          `json:"said,omitempty"`
		Text   string          `json:"text"`
		Card   json.RawMessage `json:"card,omitempty"`
	}
	problemFrame struct {
		Type string `json:"type"`
		Re   string `json:"re,omitempty"`
		Code string `json:"code"`
		Text string `json:"text"`
	}
)

// cursorText is a cursor as clients see it: a string, since JavaScript's numbers would round it.
func cursorText(n int64) string { return strconv.FormatInt(n, 10) }

// instant is RFC 3339 with milliseconds and zone.
func instant(t time.Time) string { return t.Format("2006-01-02T15:04:05.000Z07:00") }

func encodeWelcome(id, name string, role roster.Role, cursor int64) []byte {
	return encode(welcomeFrame{"welcome", memberName{id, name}, role, cursorText(cursor)})
}

// encodePost returns the post's frame. A card that is not JSON is left out: the text alone is enough to read.
func encodePost(p bot.Post) []byte {
	card := p.Card
	if len(card) > 0 && !json.Valid(card) {
		card = nil
	}
	return encode(postFrame{"post", cursorText(p.Cursor), p.Kind, instant(p.At), p.Date.String(), p.Re, p.Said, p.Text, card})
}

func encodeProblem(re, code, text string) []byte {
	return encode(problemFrame{"problem", re, code, text})
}

// encode returns v as one websocket text frame from the server.
func encode(v any) []byte {
	var b bytes.Buffer
	b.Grow(512)
	b.Write(make([]byte, maxHeader))
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil { // every value is one of the structs above
		panic("gateway: frame cannot be encoded: " + err.Error())
	}
	p := b.Bytes()
	return frameInPlace(p[:len(p)-1]) // without the encoder's newline
}

// maxHeader is the longest header of a server's frame: RFC 6455, section 5.2, without a mask.
const maxHeader = 10

// frameInPlace writes a text frame's header before the payload p[maxHeader:] and returns header and payload.
func frameInPlace(p []byte) []byte {
	h := appendHeader(make([]byte, 0, maxHeader), len(p)-maxHeader)
	from := maxHeader - len(h)
	copy(p[from:], h)
	return p[from:]
}

// appendHeader appends the header of a final, unmasked text frame with n bytes of payload.
func appendHeader(b []byte, n int) []byte {
	const finalText = 0x81
	switch {
	case n <= 125:
		return append(b, finalText, byte(n))
	case n <= 0xffff:
		return append(b, finalText, 126, byte(n>>8), byte(n))
	}
	b = append(b, finalText, 127)
	for shift := 56; shift >= 0; shift -= 8 {
		b = append(b, byte(uint64(n)>>shift))
	}
	return b
}
