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

// ExportError says which line of an export cannot be read, and why.
type ExportError struct {
	Line int // from 1; 0 when the whole is meant
	Err  error
}

func (e ExportError) Error() string {
	if e.Line == 0 {
		return e.Err.Error()
	}
	return fmt.Sprintf("line %d: %v", e.Line, e.Err)
}

func (e ExportError) Unwrap() error { return e.Err }

func badLine(n int, format string, args ...any) error {
	return ExportError{n, fmt.Errorf(format, args...)}
}

// readExport reads an export line by line. What cannot be read is an ExportError; errors of begin and give are
// returned as they are, but for a badRecord of give, which is one too.
func readExport(r io.Reader, begin func(head) error, give func(part) error) error {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 64<<10), maxLine)
	var h head
	kinds := keyKinds{}
	ended := false
	n := 0
	for lines.Scan() {
		n++
		if ended {
			return badLine(n, "something follows the end")
		}
		if n == 1 {
			if err := h.read(lines.Bytes()); err != nil {
				return ExportError{1, err}
			}
			if err := begin(h); err != nil {
				return err
			}
			continue
		}
		p, err := readPart(lines.Bytes())
		if err == nil {
			err = kinds.take(p)
		}
		if err != nil {
			return ExportError{n, err}
		}
		if p.End != nil {
			if *p.End != n-2 {
				return badLine(n, "the end counts %d parts, %d came: some are missing", *p.End, n-2)
			}
			ended = true
			continue
		}
		if err := give(p); errors.As(err, new(badRecord)) {
			return ExportError{n, err}
		} else if err != nil {
			return err
		}
	}
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return badLine(n+1, "longer than %d MB", maxLine>>20)
	case err != nil:
		return fmt.Errorf("reading line %d: %w", n+1, err)
	case n == 0:
		return ExportError{0, errors.New("it is empty; want an export of a club")}
	case !ended:
		return badLine(n, "it ends without its last line; the export was cut short")
	}
	return nil
}

// keyKinds is what each key of an export has held so far: a key is of one kind, and a stream's ids ascend.
type keyKinds map[string]keyKind

type keyKind struct {
	kind string
	n    int64 // of a stream's last entry
	i    int
}

// wantKinds are the kinds of a club's keys; a key of several words is known by the first.
var wantKinds = map[string]string{
	"tops": "hash", "members": "hash", "changed": "zset", "tokens": "hash", "invites": "hash", "sheets": "hash", "sheetdates": "set",
	"posts": "stream", "posted": "hash", "buckets": "hash", "mail": "stream", "said": "hash", "ledger": "stream", "results": "hash",
	"resultdates": "set", "board": "zset", "boards": "set",
}

// take refuses a part that does not go with what its key is, or held before.
func (k keyKinds) take(p part) error {
	if p.End != nil {
		return nil
	}
	was, known := k[p.Key]
	first, _, _ := strings.Cut(p.Key, ":")
	switch kind := p.kind(); {
	case known && was.kind != kind:
		return fmt.Errorf("key %q: a %s here and a %s before", p.Key, kind, was.kind)
	case wantKinds[first] != "" && wantKinds[first] != kind:
		return fmt.Errorf("key %q: a %s, which of a club is a %s", p.Key, kind, wantKinds[first])
	default:
		was.kind = kind
	}
	for _, e := range p.Stream {
		n, i, err := streamID(e.ID)
		if err != nil {
			return err
		}
		if n < was.n || n == was.n && i <= was.i {
			return fmt.Errorf("key %q: entry %s does not follow %d-%d", p.Key, e.ID, was.n, was.i)
		}
		was.n, was.i = n, i
	}
	k[p.Key] = was
	return nil
}

func (p part) kind() string {
	switch {
	case len(p.Hash) > 0:
		return "hash"
	case len(p.SetOf) > 0:
		return "set"
	case len(p.Sorted) > 0:
		return "zset"
	}
	return "stream"
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
	if p.Key == "" || p.Key == "club" || isStaged(p.Key) || strings.ContainsAny(p.Key, "{}\r\n") {
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
