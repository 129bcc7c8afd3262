package gateway

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"
	"unicode/utf8"

	"tallybell/content"
)

// Content types that a body may say it has. Programs that set none, or the one their tool sets unasked, are understood.
var (
	jsonTypes  = []string{"", "application/json", "text/plain", "application/x-www-form-urlencoded"}
	sheetTypes = []string{"", "text/plain", "text/markdown", "application/octet-stream", "application/x-www-form-urlencoded"}
	tableTypes = []string{"", "text/csv", "text/plain", "application/octet-stream", "application/vnd.ms-excel", "application/x-www-form-urlencoded"}
	lineTypes  = []string{"", "text/plain", "application/octet-stream", "application/jsonl", "application/x-ndjson", "application/json", "application/x-www-form-urlencoded"}
)

func checkType(r *http.Request, allowed []string) error {
	if e := r.Header.Get("Content-Encoding"); e != "" && e != "identity" {
		return refuse(http.StatusUnsupportedMediaType, "Content-Encoding %s is not read: send the body as it is.", quote(e))
	}
	kind := r.Header.Get("Content-Type")
	if kind != "" {
		parsed, params, err := mime.ParseMediaType(kind)
		if cs := params["charset"]; err != nil || cs != "" && !strings.EqualFold(cs, "utf-8") {
			return refuse(http.StatusUnsupportedMediaType, "Content-Type %s is not read: send %s in UTF-8.", quote(kind), allowed[1])
		}
		kind = parsed
	}
	for _, a := range allowed {
		if kind == a || a == "application/json" && strings.HasSuffix(kind, "+json") {
			return nil
		}
	}
	return refuse(http.StatusUnsupportedMediaType, "Content-Type %s is not read here: send %s.", quote(kind), allowed[1])
}

// readBody returns the whole body, at most limit bytes of UTF-8.
func readBody(w http.ResponseWriter, r *http.Request, allowed []string, limit int64) ([]byte, error) {
	if err := checkType(r, allowed); err != nil {
		return nil, err
	}
	b, err := io.ReadAll(http.MaxBytesReader(w, r.Body, limit))
	var over *http.MaxBytesError
	switch {
	case errors.As(err, &over):
		return nil, refuse(http.StatusRequestEntityTooLarge, "The body is larger than the %d bytes that are read here.", limit)
	case err != nil:
		return nil, refuse(http.StatusBadRequest, "The body could not be read to its end.")
	case !utf8.Valid(b):
		return nil, refuse(http.StatusBadRequest, "The body is not valid UTF-8.")
	}
	return b, nil
}

// readJSON reads a JSON body into v, which takes no unknown fields.
func (s *Server) readJSON(w http.ResponseWriter, r *http.Request, v any) error {
	b, err := readBody(w, r, jsonTypes, s.o.Limits.Body)
	if err != nil {
		return err
	}
	if len(bytes.TrimSpace(b)) == 0 {
		return refuse(http.StatusBadRequest, "The body is empty: send JSON.")
	}
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return jsonProblem(b, d.InputOffset(), err)
	}
	if _, err := d.Token(); err != io.EOF {
		return refuse(http.StatusBadRequest, "Something follows the JSON value, at %s: send one value.", position(b, d.InputOffset()))
	}
	return nil
}

func jsonProblem(b []byte, at int64, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return refuse(http.StatusBadRequest, "The body is not JSON at %s: %s.", position(b, syntax.Offset), syntax.Error())
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return refuse(http.StatusBadRequest, "The body is not JSON: it ends too early.")
	case errors.As(err, &kind):
		return refuse(http.StatusUnprocessableEntity, "%s is a JSON %s at %s, and should be %s.", fieldName(kind.Field), kind.Value, position(b, kind.Offset), jsonName(kind))
	}
	return refuse(http.StatusUnprocessableEntity, "The JSON is not what this call takes, near %s: %s.", position(b, at), strings.TrimPrefix(err.Error(), "json: "))
}

func fieldName(f string) string {
	if f == "" {
		return "The value"
	}
	return quote(f)
}

func jsonName(e *json.UnmarshalTypeError) string {
	switch kind := e.Type.Kind().String(); kind {
	case "slice":
		return "a list"
	case "map", "struct":
		return "an object"
	case "bool":
		return "true or false"
	case "string":
		return "a string"
	default:
		return "a number"
	}
}

// position is line:column of a byte offset.
func position(b []byte, offset int64) string {
	before := b[:min(max(offset, 0), int64(len(b)))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
	return fmt.Sprintf("line %d, column %d", line, max(column, 1))
}

func writeJSON(w http.ResponseWriter, v any) error {
	b, err := marshal(v)
	if err != nil {
		return fault(err)
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(b)
	return nil
}

func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return b.Bytes(), err
}

func noContent(w http.ResponseWriter) error {
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// list makes a nil slice an empty one, so that JSON shows [].
func list[T any](xs []T) []T {
	if xs == nil {
		return []T{}
	}
	return xs
}

// dateOf reads the date in the path.
func dateOf(r *http.Request) (content.Date, error) {
	d, err := content.ParseDate(r.PathValue("date"))
	if err != nil {
		return content.Date{}, refuse(http.StatusBadRequest, "%s.", err)
	}
	return d, nil
}

// partOf reads the part in the path: one letter.
func partOf(r *http.Request) (string, error) {
	p := strings.ToUpper(r.PathValue("part"))
	if len(p) != 1 || p[0] < 'A' || p[0] > 'Z' {
		return "", refuse(http.StatusBadRequest, "%s is not a part: name it by its letter, for example B.", quote(r.PathValue("part")))
	}
	return p, nil
}

// flag reads a 0 or 1 of the query.
func flag(r *http.Request, name string) (bool, error) {
	switch v := r.URL.Query().Get(name); v {
	case "", "0", "false":
		return false, nil
	case "1", "true":
		return true, nil
	default:
		return false, refuse(http.StatusBadRequest, "%s=%s: write 1 or 0.", name, quote(v))
	}
}

// wants reports whether the client names a media type as what it accepts.
func wants(r *http.Request, kind string) bool {
	for _, part := range strings.Split(strings.Join(r.Header.Values("Accept"), ","), ",") {
		if got, _, err := mime.ParseMediaType(part); err == nil && got == kind {
			return true
		}
	}
	return false
}

// partOfDay returns the date and the part that a path names.
func partOfDay(r *http.Request) (content.Date, string, error) {
	d, err := dateOf(r)
	if err != nil {
		return d, "", err
	}
	part, err := partOf(r)
	return d, part, err
}
