package store

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// An export is JSON Lines: a head, the club's keys in parts, and an end that counts them, so that a file
// that was cut short is noticed.
//
//	{"tallybell":"club","format":1,"id":"lantern-hall","n":1764072000000000,"lastpost":0}
//	{"key":"members","hash":["mo","{…}","kim","{…}"]}
//	{"key":"board:2026-11-25:A:time:open","zset":["1764072000000.mo","872000"]}
//	{"key":"mail:mo","stream":[{"id":"1764072000000000-0","values":["id","x","fact","{…}"]}]}
//	{"end":3}

// head is an export's first line.
type head struct {
	Tallybell string `json:"tallybell"`
	Format    int    `json:"format"`
	ID        string `json:"id"`
	N         int64  `json:"n"`
	LastPost  int64  `json:"lastpost"`
}

// part is some of what a key holds; exactly one of the lists is there.
type part struct {
	Key    string  `json:"key,omitempty"`
	Hash   []text  `json:"hash,omitempty"`   // field, value, …
	SetOf  []text  `json:"set,omitempty"`    // member, …
	Sorted []text  `json:"zset,omitempty"`   // member, score, …
	Stream []event `json:"stream,omitempty"` // in order
	End    *int    `json:"end,omitempty"`    // parts before this line, which is the last
}

// event is one entry of a stream.
type event struct {
	ID     string `json:"id"`
	Values []text `json:"values"`
}

// text is a string; one that is not UTF-8 is written as {"base64":"…"}.
type text string

func (t text) MarshalJSON() ([]byte, error) {
	if utf8.ValidString(string(t)) {
		return json.Marshal(string(t))
	}
	return json.Marshal(map[string]string{"base64": base64.StdEncoding.EncodeToString([]byte(t))})
}

func (t *text) UnmarshalJSON(b []byte) error {
	if len(b) > 0 && b[0] == '{' {
		var raw struct{ Base64 []byte }
		if err := json.Unmarshal(b, &raw); err != nil {
			return err
		}
		*t = text(raw.Base64)
		return nil
	}
	var s string
	err := json.Unmarshal(b, &s)
	*t = text(s)
	return err
}

// maxLine bounds one line of an export.
const maxLine = 64 << 20

// readExport reads an export line by line. Errors say which line.
func readExport(r io.Reader, begin func(head) error, give func(part) error) error {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 64<<10), maxLine)
	var h head
	ended := false
	n := 0
	for lines.Scan() {
		n++
		if ended {
			return fmt.Errorf("line %d: something follows the end", n)
		}
		if n == 1 {
			if err := h.read(lines.Bytes()); err != nil {
				return fmt.Errorf("line 1: %w", err)
			}
			if err := begin(h); err != nil {
				return err
			}
			continue
		}
		p, err := readPart(lines.Bytes())
		if err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		if p.End != nil {
			if *p.End != n-2 {
				return fmt.Errorf("line %d: the end counts %d parts, %d came: some are missing", n, *p.End, n-2)
			}
			ended = true
			continue
		}
		if err := give(p); err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
	}
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return fmt.Errorf("line %d: longer than %d MB", n+1, maxLine>>20)
	case err != nil:
		return fmt.Errorf("line %d: %w", n+1, err)
	case n == 0:
		return errors.New("it is empty; want an export of a club")
	case !ended:
		return fmt.Errorf("line %d: it ends without its last line; the export was cut short", n)
	}
	return nil
}

func (h *head) read(b []byte) error {
	err := strict(b, h)
	switch {
	case err != nil || h.Tallybell != "club":
		return errors.New(`not an export of a club: want {"tallybell":"club",…}`)
	case h.Format > format:
		return fmt.Errorf("format %d, this version reads up to %d: %w", h.Format, format, ErrNewerFormat)
	case h.Format < 1 || h.N < 0 || h.LastPost < 0 || h.LastPost > h.N || h.N > maxScore:
		return errors.New("a head whose numbers make no sense")
	}
	return nil
}

func readPart(b []byte) (part, error) {
	var p part
	if err := strict(b, &p); err != nil {
		return part{}, err
	}
	if p.End != nil {
		if p.Key != "" {
			return part{}, errors.New("an end with a key")
		}
		return p, nil
	}
	if p.Key == "" || p.Key == "club" || strings.ContainsAny(p.Key, "{}\r\n") {
		return part{}, fmt.Errorf("%q is no key of a club", p.Key)
	}
	lists := 0
	for _, n := range []int{len(p.Hash), len(p.SetOf), len(p.Sorted), len(p.Stream)} {
		if n > 0 {
			lists++
		}
	}
	if lists != 1 {
		return part{}, fmt.Errorf("key %q: want exactly one of hash, set, zset and stream", p.Key)
	}
	if len(p.Hash)%2 != 0 || len(p.Sorted)%2 != 0 {
		return part{}, fmt.Errorf("key %q: a list of pairs with one left over", p.Key)
	}
	for i := 1; i < len(p.Sorted); i += 2 {
		if _, err := number(string(p.Sorted[i])); err != nil {
			return part{}, fmt.Errorf("key %q: score %w", p.Key, err)
		}
	}
	for _, e := range p.Stream {
		if n, i, err := streamID(e.ID); err != nil || n < 0 || i < 0 || n == 0 && i == 0 {
			return part{}, fmt.Errorf("key %q: stream id %q", p.Key, e.ID)
		}
		if len(e.Values) == 0 || len(e.Values)%2 != 0 || len(e.Values) > maxDo/2 {
			return part{}, fmt.Errorf("key %q: entry %s needs pairs of field and value", p.Key, e.ID)
		}
	}
	return p, nil
}

// strict reads one JSON value without unknown fields.
func strict(b []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("more than one JSON value")
	}
	return nil
}

// commands makes what the part holds.
func (p part) commands(key string) []Do {
	switch {
	case len(p.Hash) > 0:
		return inParts(Do{"HSET", key}, p.Hash)
	case len(p.SetOf) > 0:
		return inParts(Do{"SADD", key}, p.SetOf)
	case len(p.Sorted) > 0:
		turned := make([]text, len(p.Sorted))
		for i := 0; i < len(turned); i += 2 {
			turned[i], turned[i+1] = p.Sorted[i+1], p.Sorted[i]
		}
		return inParts(Do{"ZADD", key}, turned)
	}
	out := make([]Do, 0, len(p.Stream))
	for _, e := range p.Stream {
		out = append(out, e.values(Do{"XADD", key, e.ID}))
	}
	return out
}

func (e event) values(d Do) Do {
	for _, v := range e.Values {
		d = append(d, string(v))
	}
	return d
}

// partWords is how many words a line of an export, or a command of an import, holds beside its key.
const partWords = 400

func inParts(lead Do, words []text) []Do {
	var out []Do
	for len(words) > 0 {
		n := min(partWords, len(words))
		d := append(Do(nil), lead...)
		for _, w := range words[:n] {
			d = append(d, string(w))
		}
		out = append(out, d)
		words = words[n:]
	}
	return out
}
