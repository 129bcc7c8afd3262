package gateway

import (
	"encoding/json"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"tallybell/bot"
	"tallybell/content"
)

// goodFrames and badFrames are also the seeds of the fuzz target.
var goodFrames = map[string]struct {
	in   string
	want clientFrame
}{
	"say":                      {`{"type":"say","id":"a1","text":"14:32 scaled"}`, clientFrame{Type: "say", ID: "a1", Text: "14:32 scaled"}},
	"any order and space":      {" {\n\"text\" : \"x\" ,\t\"id\":\"a\",\"type\":\"say\"}\r\n", clientFrame{Type: "say", ID: "a", Text: "x"}},
	"escapes":                  {`{"type":"say","id":"a","text":"a\"b\\\n\u00e9 {,:}"}`, clientFrame{Type: "say", ID: "a", Text: "a\"b\\\né {,:}"}},
	"escaped names":            {`{"\u0074ype":"say","id":"a","text":"x"}`, clientFrame{Type: "say", ID: "a", Text: "x"}},
	"id of 64 characters":      {`{"type":"say","id":"` + strings.Repeat("é", 64) + `","text":"x"}`, clientFrame{Type: "say", ID: strings.Repeat("é", 64), Text: "x"}},
	"longest text":             {`{"type":"say","id":"a","text":"` + strings.Repeat("x", bot.MaxText) + `"}`, clientFrame{Type: "say", ID: "a", Text: strings.Repeat("x", bot.MaxText)}},
	"limit counts bytes":       {`{"type":"say","id":"a","text":"` + strings.Repeat(`\u0041`, bot.MaxText) + `"}`, clientFrame{Type: "say", ID: "a", Text: strings.Repeat("A", bot.MaxText)}},
	"seen":                     {`{"type":"seen","cursor":"1764071999000001"}`, clientFrame{Type: "seen", Cursor: 1764071999000001}},
	"seen nothing":             {`{"type":"seen","cursor":"0"}`, clientFrame{Type: "seen"}},
	"the last cursor there is": {`{"type":"seen","cursor":"9223372036854775807"}`, clientFrame{Type: "seen", Cursor: 1<<63 - 1}},
}

var badFrames = map[string]struct {
	in   string
	code string
	re   string
	text string // part of what it says
}{
	"nothing":              {``, "bad_frame", "", "not one JSON object"},
	"no JSON":              {`14:32`, "bad_frame", "", "not one JSON object"},
	"a number":             {`5`, "bad_frame", "", "not an object"},
	"null":                 {`null`, "bad_frame", "", "not an object"},
	"a list":               {`[{"type":"say","id":"a","text":"x"}]`, "bad_frame", "", "not an object"},
	"an empty object":      {`{}`, "bad_frame", "", `"type" is missing`},
	"cut off":              {`{"type":"say","id":"a","text":"x"`, "bad_frame", "", "not one JSON object"},
	"something follows":    {`{"type":"say","id":"a","text":"x"} x`, "bad_frame", "", "not one JSON object"},
	"two objects":          {`{"type":"say","id":"a","text":"x"}{"type":"say","id":"b","text":"x"}`, "bad_frame", "", "not one JSON object"},
	"comment":              {`{"type":"say","id":"a","text":"x"/**/}`, "bad_frame", "", "not one JSON object"},
	"comma at the end":     {`{"type":"say","id":"a","text":"x",}`, "bad_frame", "", "not one JSON object"},
	"unknown field":        {`{"type":"say","id":"a","text":"x","to":"bo"}`, "bad_frame", "a", `"to" is not a field`},
	"unknown field first":  {`{"x":{"id":"wrong","y":["}"]},"type":"say","id":"a","text":"x"}`, "bad_frame", "a", `"x" is not a field`},
	"field in capitals":    {`{"type":"say","id":"a","Text":"x"}`, "bad_frame", "a", `"Text" is not a field`},
	"a field of another":   {`{"type":"say","id":"a","text":"x","cursor":"1"}`, "bad_frame", "a", `"cursor" is not a field`},
	"a field twice":        {`{"type":"say","id":"a","text":"x","text":"y"}`, "bad_frame", "a", `"text" stands in the frame twice`},
	"twice, one escaped":   {`{"type":"say","id":"a","text":"x","te\u0078t":"y"}`, "bad_frame", "a", "twice"},
	"id twice":             {`{"type":"say","id":"a","id":"b","text":"x"}`, "bad_frame", "a", "twice"},
	"no type":              {`{"id":"a","text":"x"}`, "bad_frame", "a", `"type" is missing`},
	"unknown type":         {`{"type":"shout","id":"a","text":"x"}`, "bad_frame", "a", `"type" is "shout"`},
	"the server's type":    {`{"type":"post","id":"a","text":"x"}`, "bad_frame", "a", `"type" is "post"`},
	"type is a number":     {`{"type":1,"id":"a","text":"x"}`, "bad_frame", "a", `"type" must be a string`},
	"no id":                {`{"type":"say","text":"x"}`, "bad_frame", "", `"id" is missing`},
	"empty id":             {`{"type":"say","id":"","text":"x"}`, "bad_frame", "", `"id" is empty`},
	"id of 65 characters":  {`{"type":"say","id":"` + strings.Repeat("é", 65) + `","text":"x"}`, "bad_frame", "", `"id" has 65 characters`},
	"id is a number":       {`{"type":"say","id":7,"text":"x"}`, "bad_frame", "", `"id" must be a string`},
	"id with a newline":    {`{"type":"say","id":"a\nb","text":"x"}`, "bad_frame", "", "control character"},
	"no text":              {`{"type":"say","id":"a"}`, "bad_frame", "a", `"text" is missing`},
	"empty text":           {`{"type":"say","id":"a","text":" \n"}`, "bad_frame", "a", `"text" is empty`},
	"text is null":         {`{"type":"say","id":"a","text":null}`, "bad_frame", "a", `"text" must be a string`},
	"text is an object":    {`{"type":"say","id":"a","text":{"a":"}"}}`, "bad_frame", "a", `"text" must be a string`},
	"text too long":        {`{"type":"say","id":"a","text":"` + strings.Repeat("x", bot.MaxText+1) + `"}`, "too_long", "a", "4097 bytes"},
	"text too long, in é":  {`{"type":"say","id":"a","text":"` + strings.Repeat("é", bot.MaxText/2+1) + `"}`, "too_long", "a", "4098 bytes"},
	"not UTF-8":            {"{\"type\":\"say\",\"id\":\"a\",\"text\":\"\xff\"}", "bad_frame", "", "not valid UTF-8"},
	"seen without cursor":  {`{"type":"seen"}`, "bad_frame", "", `"cursor" is missing`},
	"cursor is a number":   {`{"type":"seen","cursor":1001}`, "bad_frame", "", `"cursor" must be a string`},
	"cursor is a word":     {`{"type":"seen","cursor":"last"}`, "bad_frame", "", `"last" is not a cursor`},
	"cursor is empty":      {`{"type":"seen","cursor":""}`, "bad_frame", "", "is not a cursor"},
	"cursor is negative":   {`{"type":"seen","cursor":"-1"}`, "bad_frame", "", "is not a cursor"},
	"cursor with a plus":   {`{"type":"seen","cursor":"+1"}`, "bad_frame", "", "is not a cursor"},
	"cursor with zeros":    {`{"type":"seen","cursor":"007"}`, "bad_frame", "", "is not a cursor"},
	"cursor beyond 64 bit": {`{"type":"seen","cursor":"9223372036854775808"}`, "bad_frame", "", "is not a cursor"},
	"seen with an id":      {`{"type":"seen","cursor":"1","id":"a"}`, "bad_frame", "", `"id" is not a field`},
	"very deep":            {strings.Repeat("[", 20000), "bad_frame", "", "not one JSON object"},
}

func TestDecodeFrame(t *testing.T) {
	for name, tc := range goodFrames {
		t.Run(name, func(t *testing.T) {
			got, err := decodeFrame([]byte(tc.in), bot.MaxText)
			if err != nil || got != tc.want {
				t.Errorf("%+v %v, want %+v", got, err, tc.want)
			}
		})
	}
	for name, tc := range badFrames {
		t.Run(name, func(t *testing.T) {
			got, err := decodeFrame([]byte(tc.in), bot.MaxText)
			if err == nil {
				t.Fatalf("read as %+v", got)
			}
			if err.Code != tc.code || err.Re != tc.re || !strings.Contains(err.Text, tc.text) {
				t.Errorf("%s re %q: %s", err.Code, err.Re, err.Text)
			}
		})
	}
}

// Whatever comes is either a frame that obeys the contract or an error that says what is wrong, and what json.Unmarshal
// makes of a good frame is the same.
func FuzzFrame(f *testing.F) {
	for _, tc := range goodFrames {
		f.Add([]byte(tc.in))
	}
	for _, tc := range badFrames {
		f.Add([]byte(tc.in))
	}
	f.Fuzz(func(t *testing.T, p []byte) {
		got, err := decodeFrame(p, bot.MaxText)
		if err != nil {
			if got != (clientFrame{}) || err.Text == "" || !utf8.ValidString(err.Text) || utf8.RuneCountInString(err.Re) > maxID {
				t.Fatalf("%+v %+v", got, err)
			}
			return
		}
		var same map[string]string
		if json.Unmarshal(p, &same) != nil {
			t.Fatalf("%q is no flat object of strings", p)
		}
		if same["type"] != got.Type || same["id"] != got.ID || same["text"] != got.Text || len(got.Text) > bot.MaxText {
			t.Fatalf("%+v of %v", got, same)
		}
		if got.Type == seenFrame && same["cursor"] != cursorText(got.Cursor) {
			t.Fatalf("cursor %d of %q", got.Cursor, same["cursor"])
		}
	})
}

func body(t *testing.T, f []byte) string {
	t.Helper()
	n := len(appendHeader(nil, 0))
	if f[1] == 126 {
		n = 4
	}
	return string(f[n:])
}

func TestEncode(t *testing.T) {
	at := time.Date(2026, 11, 25, 6, 30, 0, 123456789, time.FixedZone("", 3600))
	for name, tc := range map[string]struct {
		frame []byte
		want  string
	}{
		"welcome":            {encodeWelcome("k3", "Iris <3", "coach", 7), `{"type":"welcome","member":{"id":"k3","name":"Iris <3"},"role":"coach","cursor":"7"}`},
		"problem":            {encodeProblem("a", "too_fast", "wait"), `{"type":"problem","re":"a","code":"too_fast","text":"wait"}`},
		"problem of nothing": {encodeProblem("", "bad_frame", "what"), `{"type":"problem","code":"bad_frame","text":"what"}`},
		"session": {encodePost(bot.Post{Cursor: 1764071999000001, Kind: bot.SessionPost, At: at, Date: content.Date{Year: 2026, Month: 11, Day: 25}, Text: "Carry"}),
			`{"type":"post","cursor":"1764071999000001","kind":"session","at":"2026-11-25T06:30:00.123+01:00","date":"2026-11-25","text":"Carry"}`},
		"answer": {encodePost(bot.Post{Cursor: 8, Kind: bot.AnswerPost, At: at.UTC(), Re: "a", Said: "14:32 & <more>", Text: "Logged.", Card: json.RawMessage(`{"logged":[],"asks":[]}`)}),
			`{"type":"post","cursor":"8","kind":"answer","at":"2026-11-25T05:30:00.123Z","re":"a","said":"14:32 & <more>","text":"Logged.","card":{"logged":[],"asks":[]}}`},
		"a card that is no JSON is left out": {encodePost(bot.Post{Cursor: 8, Kind: bot.NoticePost, At: at.UTC(), Text: "x", Card: json.RawMessage(`{`)}),
			`{"type":"post","cursor":"8","kind":"notice","at":"2026-11-25T05:30:00.123Z","text":"x"}`},
	} {
		t.Run(name, func(t *testing.T) {
			if got := body(t, tc.frame); got != tc.want {
				t.Errorf("got  %s\nwant %s", got, tc.want)
			}
		})
	}
}
