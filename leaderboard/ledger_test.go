package leaderboard

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"tallybell/content"
)

// exampleRecords are invented results of every kind, with every field in use somewhere.
func exampleRecords() []Record {
	p := forTime()
	plain := recordOf("m1", p, finished(872000, content.Scaled), 1, "women", "50+")
	effort := 8.5
	plain.Result.Effort, plain.Result.SplitsMS = &effort, []int64{290000, 291000, 291000}
	open := recordOf("m2", p, unfinished(0, ""), 2, "women")
	marked := recordOf("m3", amrap(), counted(400, content.AsWritten), 3, "open")
	marked.Marked, marked.Late, marked.Way = true, true, "towel row"
	other := amrap()
	other.Movements = []content.Movement{reps(8, "towel row"), reps(8, "side lunge")}
	credited := NewRecord("m4", day, amrap(), other, counted(53, content.AsWritten), 0, at(4), nil)
	off := NewRecord("m5", day, p, p, counted(5, content.AsWritten), 0, at(5), []string{"open"})
	done := recordOf("m6", scheme(content.Sets), content.Result{Kind: content.KindDone, SetReps: []int64{12, 10}, LoadG: 14000}, 6)
	return []Record{plain, open, marked, credited, off, done}
}

func exampleEntries() []LedgerEntry {
	rs := exampleRecords()
	again := rs[0]
	again.Result.TimeMS = 860000
	return []LedgerEntry{
		{Kind: Logged, Who: "m1", At: 1, ID: "x", New: &rs[0]},
		{Kind: Replaced, Who: "m1", At: 2, Old: &rs[0], New: &again},
		{Kind: Corrected, Who: "coach", Why: "the clock was wrong", At: 3, Old: &again, New: &rs[0]},
		{Kind: Removed, Who: "coach", Why: "asked for", At: 4, Old: &rs[0]},
	}
}

func TestRecordReadsBack(t *testing.T) {
	for _, r := range exampleRecords() {
		b, err := r.Encode()
		if err != nil {
			t.Fatal(err)
		}
		back, err := ReadRecord(b)
		if err != nil {
			t.Fatalf("%s: %v", b, err)
		}
		again, _ := back.Encode()
		if !bytes.Equal(b, again) {
			t.Errorf("read back:\n%s\nwritten:\n%s", again, b)
		}
	}
}

func TestRecordAsStored(t *testing.T) {
	var b strings.Builder
	for _, r := range exampleRecords() {
		text, err := r.Encode()
		if err != nil {
			t.Fatal(err)
		}
		b.Write(text)
		b.WriteByte('\n')
	}
	golden(t, "records.jsonl", b.String())
}

func TestReadRecordRefuses(t *testing.T) {
	const good = `{"member":"m1","date":"2027-02-01","part":"D","kind":"reps","result":{"kind":"reps","reps":5,"version":""},"first":5,"at":5,"set_member":"0000000000005.m1"}`
	if _, err := ReadRecord([]byte(good)); err != nil {
		t.Fatalf("the good one: %v", err)
	}
	tests := []struct{ name, from, to, want string }{
		{"no JSON", good, "", "unexpected end"},
		{"no member", `"member":"m1"`, `"member":""`, "no member"},
		{"no date", `"2027-02-01"`, `""`, "no date"},
		{"a date that does not exist", "2027-02-01", "2027-02-30", "2027-02-30"},
		{"a part of two letters", `"part":"D"`, `"part":"DD"`, `"DD"`},
		{"kinds that disagree", `"kind":"reps","result"`, `"kind":"time","result"`, "kind"},
		{"negative instant", `"first":5`, `"first":-5`, "1970"},
		{"a set member of somebody else", `.m1"`, `.m2"`, "set member"},
		{"a division with a colon", `"first":5`, `"first":5,"divisions":["a:b"]`, "colon"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadRecord([]byte(strings.Replace(good, tt.from, tt.to, 1)))
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v, want one about %s", err, tt.want)
			}
		})
	}
}

func TestReadLedgerEntryRefuses(t *testing.T) {
	rs := exampleRecords()
	tests := []struct {
		name string
		e    LedgerEntry
	}{
		{"unknown kind", LedgerEntry{Kind: "moved", New: &rs[0]}},
		{"a result that had one before", LedgerEntry{Kind: Logged, Old: &rs[0], New: &rs[0]}},
		{"a removal of nothing", LedgerEntry{Kind: Removed}},
		{"a correction without the old", LedgerEntry{Kind: Corrected, New: &rs[0]}},
		{"a replacement of another part", LedgerEntry{Kind: Replaced, Old: &rs[0], New: &rs[2]}},
		{"a broken record", LedgerEntry{Kind: Logged, New: &Record{}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b, err := tt.e.Encode()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := ReadLedgerEntry(b); err == nil {
				t.Error("it is taken")
			}
		})
	}
}

func TestCurrent(t *testing.T) {
	es := exampleEntries()
	if got := Current(es); len(got) != 0 {
		t.Errorf("after the removal stand %v", got)
	}
	got := Current(es[:2])
	if len(got) != 1 || got[0].Result.TimeMS != 860000 {
		t.Errorf("after the replacement stand %v", got)
	}
	rs := exampleRecords()
	other := rs[0]
	other.Part = "A"
	got = Current([]LedgerEntry{{Kind: Logged, New: &rs[0]}, {Kind: Logged, New: &other}})
	if len(got) != 2 || got[0].Part != "A" {
		t.Errorf("two parts: %v", got)
	}
}

func TestRestood(t *testing.T) {
	r := exampleRecords()[0]
	if _, changed := Restood(r, []string{"women", "50+"}, ""); changed {
		t.Error("the same divisions are a change")
	}
	hidden, changed := Restood(r, nil, "")
	if !changed || len(hidden.Places()) != 0 || len(r.Places()) != 2 {
		t.Errorf("hidden: %t, %v", changed, hidden.Places())
	}
	off, _ := Restood(r, []string{"women"}, OffChangedKind)
	if len(off.Places()) != 0 {
		t.Errorf("off boards, but on %v", off.Places())
	}
}

func FuzzReadRecord(f *testing.F) {
	for _, r := range exampleRecords() {
		b, err := r.Encode()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		r, err := ReadRecord(b)
		if err != nil {
			return
		}
		again, err := r.Encode()
		if err != nil {
			t.Fatalf("read, but not written: %v", err)
		}
		if _, err := ReadRecord(again); err != nil {
			t.Fatalf("written, but not read: %v\n%s", err, again)
		}
		for _, p := range r.Places() {
			if p.Score < 0 || p.Score >= 1<<51 {
				t.Fatalf("score %d", p.Score)
			}
		}
		Show(forTime(), r.Counted())
	})
}

func FuzzReadLedgerEntry(f *testing.F) {
	for _, e := range exampleEntries() {
		b, err := e.Encode()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		e, err := ReadLedgerEntry(b)
		if err != nil {
			return
		}
		again, err := json.Marshal(e)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := ReadLedgerEntry(again); err != nil {
			t.Fatalf("written, but not read: %v\n%s", err, again)
		}
		if n := len(Current([]LedgerEntry{e})); n > 1 {
			t.Fatalf("%d records stand after one entry", n)
		}
	})
}
