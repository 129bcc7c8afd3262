package reply

import (
	"slices"
	"testing"
	"unicode/utf8"

	"tallybell/content"
)

// FuzzRead reads any bytes: no panic, the same reading when it is asked why, each result and ask owed to a rule, and one
// that keeps to the shape.
func FuzzRead(f *testing.F) {
	for _, c := range loadCases(f) {
		f.Add(c.reply)
	}
	f.Add("\xff\xfe D 14:32")
	f.Add("4x4x4x4x4x4x4 1:1:1:1:1 '''' \"\"\"\" ////// ++++ == ((((( ~~~ @@@@ rpe rpe rpe")
	all := allInputs(f)
	f.Fuzz(func(t *testing.T, text string) {
		for _, in := range all {
			a := Read(text, in)
			b, why := steps(text, in)
			if encodeIn(a) != encodeIn(b) {
				t.Fatalf("%q is read in two ways", text)
			}
			if lacks := notTold(b, why); lacks != "" {
				t.Fatalf("%q: no step for %s in\n%s", text, lacks, lines(why))
			}
			checkShape(t, text, in, a)
		}
	})
}

func checkShape(t *testing.T, text string, in Input, r Reading) {
	t.Helper()
	if r.Results == nil || r.Asks == nil || r.Reply != text {
		t.Fatalf("%q: %+v", text, r)
	}
	for _, x := range r.Results {
		if x.Part != "" && !slices.ContainsFunc(in.Session.Session.Parts, func(p content.Part) bool { return p.Letter == x.Part }) {
			t.Fatalf("%q: no part %s: %s", text, x.Part, brief(r))
		}
		if x.TimeMS < 0 || x.LoadG < 0 || x.DistanceMM < 0 || x.RepCount() < 0 || x.Rounds != nil && *x.Rounds < 0 || x.Extra != nil && *x.Extra < 0 {
			t.Fatalf("%q: below zero: %s", text, brief(r))
		}
		if x.Effort != nil && (*x.Effort < 1 || *x.Effort > 10) {
			t.Fatalf("%q: effort: %s", text, brief(r))
		}
		if x.Kind == "time" && (x.Finished == nil || *x.Finished == (x.Reps != nil) || *x.Finished == (x.TimeMS == 0)) {
			t.Fatalf("%q: time: %s", text, brief(r))
		}
	}
	for _, a := range r.Asks {
		if a.Suggest == nil || a.About == "" {
			t.Fatalf("%q: ask: %+v", text, a)
		}
	}
	if utf8.ValidString(text) && !utf8.ValidString(r.Note) {
		t.Fatalf("%q: the note is no text: %q", text, r.Note)
	}
}
