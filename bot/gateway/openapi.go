package gateway

import (
	"net/http"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tallybell/content"
)

// object is a JSON object of a description.
type object = map[string]any

// openAPI serves the description of every call, made from the table that the calls are served by.
func (s *Server) openAPI(w http.ResponseWriter, r *http.Request, _ caller) error {
	return writeJSON(w, describe(s.table(), s.o.PublicURL))
}

var pathParam = regexp.MustCompile(`\{(\w+)\}`)

// describe returns an OpenAPI 3.1 document of the routes.
func describe(table []route, address string) object {
	sch := schemas{}
	paths := object{}
	for _, rt := range table {
		item, ok := paths[rt.path].(object)
		if !ok {
			item = object{}
			paths[rt.path] = item
		}
		item[strings.ToLower(rt.method)] = rt.operation(sch)
	}
	sch.of(reflect.TypeFor[problem]())
	if address == "" {
		address = "/"
	}
	return object{
		"openapi": "3.1.0",
		"info": object{"title": "tallybell", "version": "1",
			"description": "Sessions out, replies in, boards and the morning report. Errors are problem documents (RFC 9457). A token is CLUB.SECRET and belongs to one member of one club."},
		"servers":    []object{{"url": address}},
		"security":   []object{{"bearer": []string{}}, {"cookie": []string{}}},
		"paths":      paths,
		"components": object{"schemas": sch, "securitySchemes": securitySchemes()},
	}
}

func securitySchemes() object {
	return object{
		"bearer": object{"type": "http", "scheme": "bearer", "bearerFormat": "CLUB.SECRET"},
		"cookie": object{"type": "apiKey", "in": "cookie", "name": cookiePrefix + "CLUB",
			"description": "The page's cookie (a coach's ends in _coach). Writes must come from the page's own origin."},
	}
}

func (rt route) operation(sch schemas) object {
	op := object{"summary": rt.summary, "operationId": rt.id(), "responses": rt.responses(sch)}
	switch rt.access {
	case open:
		op["security"] = []object{}
	case forMembers:
		op["description"] = "For members and coaches."
	case forCoaches:
		op["description"] = "For coaches."
	}
	if ps := rt.parameters(); len(ps) > 0 {
		op["parameters"] = ps
	}
	if rt.body != nil {
		op["requestBody"] = object{"required": true, "content": media(rt.body, sch)}
	}
	return op
}

// id names the operation after its method and path: getBoardsDatePart.
func (rt route) id() string {
	id := strings.ToLower(rt.method)
	for word := range strings.FieldsFuncSeq(strings.TrimPrefix(rt.path, "/api"), func(r rune) bool { return strings.ContainsRune("/{}.", r) }) {
		id += strings.ToUpper(word[:1]) + word[1:]
	}
	return id
}

func (rt route) parameters() []object {
	var out []object
	for _, m := range pathParam.FindAllStringSubmatch(rt.path, -1) {
		schema := object{"type": "string"}
		if m[1] == "date" {
			schema["format"] = "date"
		}
		out = append(out, object{"in": "path", "name": m[1], "required": true, "schema": schema})
	}
	for _, p := range rt.params {
		schema := object{"type": "string"}
		if len(p.values) > 0 {
			schema["enum"] = p.values
		}
		out = append(out, object{"in": p.in, "name": p.name, "description": p.about, "schema": schema})
	}
	return out
}

func (rt route) responses(sch schemas) object {
	out := object{}
	switch {
	case rt.path == "/chat":
		out["101"] = object{"description": "The conversation begins."}
	case rt.answer == nil:
		out["204"] = object{"description": "Done."}
	default:
		out["200"] = object{"description": "Done.", "content": media(rt.answer, sch)}
	}
	for _, status := range rt.refusals() {
		out[strconv.Itoa(status)] = object{"description": http.StatusText(status),
			"content": object{"application/problem+json": object{"schema": object{"$ref": "#/components/schemas/problem"}}}}
	}
	return out
}

// refusals are the call's own and those that follow from its access and body.
func (rt route) refusals() []int {
	out := slices.Clone(rt.also)
	if rt.access != open {
		out = append(out, http.StatusUnauthorized, http.StatusForbidden)
	}
	if rt.body != nil {
		out = append(out, http.StatusBadRequest, http.StatusRequestEntityTooLarge, http.StatusUnsupportedMediaType)
	}
	if strings.Contains(rt.path, "{date}") {
		out = append(out, http.StatusBadRequest)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func media(v any, sch schemas) object {
	if _, text := v.(plainText); text {
		return object{"text/plain": object{"schema": object{"type": "string"}}}
	}
	return object{"application/json": object{"schema": sch.of(reflect.TypeOf(v))}}
}

// schemas are the named types of a description, by name.
type schemas object

// of returns the schema of a type, and keeps that of a named struct for others to refer to.
func (s schemas) of(t reflect.Type) object {
	switch t {
	case reflect.TypeFor[content.Date]():
		return object{"type": "string", "format": "date"}
	case reflect.TypeFor[content.Clock]():
		return object{"type": "string", "pattern": "^[0-2][0-9]:[0-5][0-9]$"}
	}
	switch {
	case t.String() == "time.Time":
		return object{"type": "string", "format": "date-time"}
	case t.String() == "json.RawMessage":
		return object{}
	case implementsText(t):
		return object{"type": "string"}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.of(t.Elem())
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Int, reflect.Int64, reflect.Int32:
		return object{"type": "integer"}
	case reflect.Float64:
		return object{"type": "number"}
	case reflect.Slice:
		return object{"type": "array", "items": s.of(t.Elem())}
	case reflect.Map:
		if t.Elem().Kind() == reflect.Interface {
			return object{"type": "object"}
		}
		return object{"type": "object", "additionalProperties": s.of(t.Elem())}
	case reflect.Struct:
		return s.ref(t)
	}
	return object{"type": "string"}
}

func (s schemas) ref(t reflect.Type) object {
	ref := object{"$ref": "#/components/schemas/" + t.Name()}
	if _, known := s[t.Name()]; known {
		return ref
	}
	s[t.Name()] = object{} // stops a type that holds itself
	props, required := object{}, []string{}
	s.fields(t, props, &required)
	schema := object{"type": "object", "properties": props}
	if len(required) > 0 {
		schema["required"] = required
	}
	s[t.Name()] = schema
	return ref
}

func (s schemas) fields(t reflect.Type, props object, required *[]string) {
	for f := range t.Fields() {
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "":
			s.fields(f.Type, props, required)
			continue
		case !f.IsExported() || name == "-":
			continue
		case name == "":
			name = f.Name
		}
		props[name] = s.of(f.Type)
		if !strings.Contains(options, "omit") {
			*required = append(*required, name)
		}
	}
}

func implementsText(t reflect.Type) bool {
	_, ok := t.MethodByName("MarshalText")
	return ok
}
