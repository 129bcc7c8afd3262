package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"
)

func TestExportImport(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		furnish(t, c)
		if _, err := c.Change(t.Context(), noon, nil, []Do{{"HSET", c.KeyMembers(), "raw", "\xff\x00"}}); err != nil {
			t.Fatal(err)
		}
		var first bytes.Buffer
		if err := c.Export(t.Context(), &first); err != nil {
			t.Fatal(err)
		}
		// into an embedded store, and a club of another name on the same one
		there := clubOf(t, openData(t, t.TempDir()))
		if err := there.Import(t.Context(), bytes.NewReader(first.Bytes()), nil); err != nil {
			t.Fatal(err)
		}
		if a, b := dumpOf(t, c), dumpOf(t, there); a != b {
			t.Errorf("exported\n%s\nimported\n%s", a, b)
		}
		var second bytes.Buffer
		if err := there.Export(t.Context(), &second); err != nil || second.String() != first.String() {
			t.Errorf("the import's export differs: %v", err)
		}
		if err := there.Import(t.Context(), bytes.NewReader(first.Bytes()), nil); !errors.Is(err, ErrExists) {
			t.Errorf("over a club: %v", err)
		}
		n, _, err := there.Number(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if said := say(t, there, noon, Utterance{Member: "new", ID: "x"}); said.N != n+1 {
			t.Errorf("number %d after %d", said.N, n)
		}
		other, err := c.s.Club("other")
		if err != nil {
			t.Fatal(err)
		}
		if err := other.Import(t.Context(), bytes.NewReader(first.Bytes()), nil); err != nil {
			t.Fatal(err)
		}
		if a, b := dumpOf(t, c), strings.ReplaceAll(dumpOf(t, other), "{other}", "{lantern-hall}"); a != b {
			t.Error("imported under another name differs")
		}
	})
}

func TestImportThatBreaksOff(t *testing.T) {
	from := clubOf(t, open(t, Options{AllowVolatile: true}))
	furnish(t, from)
	var b bytes.Buffer
	if err := from.Export(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(b.String(), "\n")
	to := clubOf(t, open(t, Options{AllowVolatile: true}))
	if err := to.Import(t.Context(), strings.NewReader(strings.Join(lines[:len(lines)/2], "")), nil); err == nil || !strings.Contains(err.Error(), "cut short") {
		t.Fatalf("half an export: %v", err)
	}
	if n, _, _ := to.Number(t.Context()); n != 0 {
		t.Errorf("half a club exists, number %d", n)
	}
	if err := to.Import(t.Context(), &b, nil); err != nil {
		t.Fatal(err)
	}
	if x, y := dumpOf(t, from), dumpOf(t, to); x != y {
		t.Errorf("from\n%s\nto\n%s", x, y)
	}
}

const headLine = `{"tallybell":"club","format":1,"id":"a","n":5,"lastpost":0}` + "\n"

func TestImportRefuses(t *testing.T) {
	c := clubOf(t, open(t, Options{AllowVolatile: true}))
	for name, tt := range map[string][2]string{
		"nothing":        {"", "it is empty"},
		"another file":   {`{"a":1}`, "line 1: not an export"},
		"no JSON":        {"name,zone\n", "line 1: not an export"},
		"newer":          {`{"tallybell":"club","format":2,"id":"a","n":5,"lastpost":0}`, "line 1: format 2"},
		"cut":            {headLine, "line 1: it ends without"},
		"missing parts":  {headLine + `{"end":2}`, "line 2: the end counts 2 parts, 0 came"},
		"the line":       {headLine + `{"key":"club","hash":["n","1"]}`, `line 2: "club" is no key`},
		"another club":   {headLine + `{"key":"}{b}:members","hash":["n","1"]}`, "is no key"},
		"two kinds":      {headLine + `{"key":"k","hash":["a","b"],"set":["a"]}`, "exactly one of"},
		"odd":            {headLine + `{"key":"k","hash":["a"]}`, "one left over"},
		"no score":       {headLine + `{"key":"k","zset":["a","b"]}`, "is no number"},
		"no id":          {headLine + `{"key":"k","stream":[{"id":"*","values":["a","b"]}]}`, `stream id "*"`},
		"unknown field":  {headLine + `{"key":"k","list":["a"]}`, "line 2:"},
		"after the end":  {headLine + "{\"end\":0}\n{\"end\":0}", "line 3: something follows"},
		"two in one row": {headLine + `{"end":0}{"end":0}`, "line 2: more than one"},
	} {
		err := c.Import(t.Context(), strings.NewReader(tt[0]), nil)
		if err == nil || !strings.Contains(err.Error(), tt[1]) {
			t.Errorf("%s: %v, want %q", name, err, tt[1])
		}
	}
	if n, _, _ := c.Number(t.Context()); n != 0 {
		t.Errorf("a club came of it, number %d", n)
	}
}

func FuzzReadExport(f *testing.F) {
	f.Add(headLine + `{"key":"k","hash":["a","b"]}` + "\n" + `{"key":"k","stream":[{"id":"1-0","values":["a",{"base64":"/w=="}]}]}` + "\n{\"end\":2}\n")
	f.Add(headLine + `{"end":0}`)
	f.Add(`{"tallybell":"club"}`)
	f.Fuzz(func(t *testing.T, s string) {
		_ = readExport(strings.NewReader(s), func(head) error { return nil }, func(p part) error {
			b, err := json.Marshal(p)
			if err != nil {
				t.Fatal(err)
			}
			back, err := readPart(b)
			if err != nil || !reflect.DeepEqual(p, back) {
				t.Fatalf("%s read as %+v, then as %+v, %v", b, p, back, err)
			}
			if len(p.commands("k")) == 0 {
				t.Fatalf("%s makes nothing", b)
			}
			return nil
		})
	})
}
