package reply

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"tallybell/content"
)

// encode writes a reading as the read command does.
func encode(t testing.TB, r Reading) string {
	t.Helper()
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(r); err != nil {
		t.Fatal(err)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func TestJSON(t *testing.T) {
	tests := map[string]string{
		"D 14:32 scaled rpe 8, left knee a bit sore": `{"reply":"D 14:32 scaled rpe 8, left knee a bit sore","results":[{"part":"D","kind":"time","finished":true,"time_ms":872000,"version":"scaled","effort":8}],"asks":[],"care":"check","note":"left knee a bit sore","command":"","question":false}`,
		"D capped, 0 reps rx":                        `{"reply":"D capped, 0 reps rx","results":[{"part":"D","kind":"time","finished":false,"reps":0,"version":"as_written"}],"asks":[],"care":"none","note":"","command":"","question":false}`,
		"C 5 rounds":                                 `{"reply":"C 5 rounds","results":[{"part":"C","kind":"reps","reps":120,"rounds":5,"extra":0,"version":""}],"asks":[{"part":"C","about":"version","suggest":["C as written","C scaled"]}],"care":"none","note":"","command":"","question":false}`,
		"B 21/18/15/24 rx":                           `{"reply":"B 21/18/15/24 rx","results":[{"part":"B","kind":"reps","reps":78,"counts":[21,18,15,24],"version":"as_written"}],"asks":[],"care":"none","note":"","command":"","question":false}`,
		"A 3x12 14 kg":                               `{"reply":"A 3x12 14 kg","results":[{"part":"A","kind":"done","load_g":14000,"set_reps":[12,12,12],"version":""}],"asks":[],"care":"none","note":"","command":"","question":false}`,
		"fix D 14:23":                                `{"reply":"fix D 14:23","results":[{"part":"D","kind":"time","finished":true,"time_ms":863000,"version":"","correction":true}],"asks":[],"care":"none","note":"","command":"","question":false}`,
		"yesterday D 14:32 rx":                       `{"reply":"yesterday D 14:32 rx","results":[{"part":"D","kind":"time","finished":true,"time_ms":872000,"version":"as_written","day":"2027-01-31"}],"asks":[],"care":"none","note":"","command":"","question":false}`,
		"D 4:10 4:45 5:02 rx @9-10":                  `{"reply":"D 4:10 4:45 5:02 rx @9-10","results":[{"part":"D","kind":"time","finished":true,"time_ms":837000,"splits_ms":[250000,285000,302000],"version":"as_written","effort":9.5}],"asks":[],"care":"none","note":"","command":"","question":false}`,
		"scrap D":                                    `{"reply":"scrap D","results":[{"part":"D","kind":"","version":""}],"asks":[],"care":"none","note":"","command":"scrap","question":false}`,
		"that was scaled":                            `{"reply":"that was scaled","results":[{"part":"","kind":"","version":"scaled","correction":true}],"asks":[],"care":"none","note":"","command":"","question":false}`,
		"away till monday":                           `{"reply":"away till monday","results":[],"asks":[],"care":"none","note":"","command":"away","question":false,"until":"2027-02-08"}`,
		"legs <3 & happy":                            `{"reply":"legs <3 & happy","results":[],"asks":[],"care":"none","note":"legs <3 & happy","command":"","question":false}`,
		"rpe 8":                                      `{"reply":"rpe 8","results":[],"asks":[],"care":"none","note":"","command":"","question":false,"effort":8}`,
	}
	in := inputFor(t, "hall")
	for text, want := range tests {
		if got := encode(t, Read(text, in)); got != want {
			t.Errorf("%q\n got %s\nwant %s", text, got, want)
		}
	}
}

func TestNoSessionAtAll(t *testing.T) {
	got := Read("D 14:32 scaled, knee hurts", Input{})
	if len(got.Results) != 0 || got.Care != CareCheck {
		t.Errorf("got %s", brief(got))
	}
}

func TestAnotherDaysSheetIsTheOneReadAgainst(t *testing.T) {
	in := inputFor(t, "hall")
	other := inputFor(t, "short")
	yesterday := in.Today.AddDays(-1)
	asked := yesterday
	in.Sheet = func(d content.Date) (content.FittedSession, bool) {
		asked = d
		return other.Session, d == yesterday
	}
	// A is five rounds for time yesterday, strength sets today.
	got := Read("yesterday A 14:32 rx, today A done", in)
	if want := "A time 14:32 as written day 2027-01-31; A done"; brief(got) != want {
		t.Errorf("got %s\nwant %s", brief(got), want)
	}
	if asked != yesterday {
		t.Errorf("asked for %s", asked)
	}
}
