package leaderboard

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestReadStandings(t *testing.T) {
	const in = `{"discards":1,"entries":["Ann","Ben","Cleo"],"races":[
 {"date":"2027-02-03","ranks":{"Ann":3,"Ben":1,"Cleo":1}},
 {"date":"2027-02-01","ranks":{"Ann":1,"Ben":2}},
 {"date":"2027-02-02","ranks":{}},
 {"date":"2027-02-04","ranks":{"Ann":2,"Ben":1,"Cleo":3}}]}`
	f, err := ReadStandings("s.json", []byte(in))
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.MarshalIndent(map[string]any{"standings": f.Standings()}, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "standings.json", string(b)+"\n")
}

// The file's order of races means nothing where all have a date: the earliest of two equal worst scores is excluded,
// and the last race breaks ties.
func TestReadStandingsFollowsDates(t *testing.T) {
	const in = `{"discards":1,"entries":["a","b"],"races":[
 {"date":"2027-02-02","ranks":{"a":2,"b":1}},{"date":"2027-02-01","ranks":{"a":1,"b":2}}]}`
	f, err := ReadStandings("s.json", []byte(in))
	if err != nil {
		t.Fatal(err)
	}
	rows := f.Standings()
	if rows[0].Name != "b" || rows[0].Tie != RuleLast {
		t.Errorf("b was better on the last day, but first is %s (%s)", rows[0].Name, rows[0].Tie)
	}
	if rows[0].Scores[0].Points != WholePoints(1) || !rows[0].Scores[1].Excluded {
		t.Errorf("scores are not in the file's order: %+v", rows[0].Scores)
	}
}

func TestReadStandingsDefaultDiscards(t *testing.T) {
	for races, want := range map[int]int{0: 0, 3: 0, 4: 1, 7: 1, 8: 2} {
		list := strings.TrimSuffix(strings.Repeat(`{"ranks":{"a":1}},`, races), ",")
		f, err := ReadStandings("s", []byte(`{"entries":["a"],"races":[`+list+`]}`))
		if err != nil {
			t.Fatal(err)
		}
		if f.Series.Discards != want {
			t.Errorf("%d races: %d discards, want %d", races, f.Series.Discards, want)
		}
	}
}

func badSeries() []struct{ name, in, want string } {
	return []struct{ name, in, want string }{
		{"empty", "", `s.json:1:1: nothing there`},
		{"not JSON", "{\n  discards: 1}", "s.json:2:3: not JSON"},
		{"cut off", `{"discards":1`, "s.json:1:14: the JSON ends too early"},
		{"a list", `[]`, "s.json:1:"},
		{"more text", `{"entries":["a"],"races":[]} {}`, "more text"},
		{"unknown key", `{"discard":1,"entries":["a"],"races":[]}`, `unknown field "discard"`},
		{"discards in words", `{"discards":"one","entries":["a"],"races":[]}`, "s.json:1:17: discards: want a whole number"},
		{"nobody entered", `{"discards":0,"entries":[],"races":[]}`, "s.json: entries: nobody"},
		{"no races", `{"discards":0,"entries":["a"]}`, "s.json: races: missing"},
		{"entered twice", `{"entries":["a","b","a"],"races":[]}`, `entries[2]: "a" is entered twice`},
		{"an empty name", `{"entries":["a"," "],"races":[]}`, `entries[1]: an empty name`},
		{"not entered", `{"entries":["a"],"races":[{"date":"2027-02-01","ranks":{"a":1,"z":2}}]}`, `races[0] (2027-02-01): "z" is not among the entries`},
		{"a gap", `{"entries":["a","b"],"races":[{"ranks":{"a":1,"b":3}}]}`, `"b" has rank 3, but 1 rank before it: want 2`},
		{"after a tie", `{"entries":["a","b","c"],"races":[{"ranks":{"a":1,"b":1,"c":2}}]}`, `"c" has rank 2, but 2 rank before it: want 3`},
		{"nobody first", `{"entries":["a"],"races":[{"ranks":{"a":2}}]}`, `want 1`},
		{"rank nought", `{"entries":["a"],"races":[{"ranks":{"a":0}}]}`, `whole number from 1`},
		{"half a rank", `{"entries":["a"],"races":[{"ranks":{"a":1.5}}]}`, `1.5: want a whole number`},
		{"a rank in words", `{"entries":["a"],"races":[{"ranks":{"a":"1"}}]}`, `whole number`},
		{"two ranks", `{"entries":["a"],"races":[{"ranks":{"a":1,"a":1}}]}`, `"a" has two ranks`},
		{"ranks as a list", `{"entries":["a"],"races":[{"ranks":[1]}]}`, `ranks: want an object`},
		{"negative discards", `{"discards":-1,"entries":["a"],"races":[{"ranks":{"a":1}}]}`, `discards: -1`},
		{"nothing left", `{"discards":1,"entries":["a"],"races":[{"ranks":{"a":1}}]}`, `1 of 1 scored races would leave none: want at most 0`},
		{"nothing left of the scored ones", `{"discards":1,"entries":["a"],"races":[{"ranks":{"a":1}},{"ranks":{}}]}`, `1 of 1 scored`},
		{"a date that does not exist", `{"entries":["a"],"races":[{"date":"2027-02-30","ranks":{}}]}`, `races[0].date`},
		{"ranked and paused", `{"entries":["a"],"races":[{"ranks":{"a":1},"paused":["a"]}]}`, `has a rank and`},
	}
}

func TestReadStandingsRefuses(t *testing.T) {
	for _, tt := range badSeries() {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadStandings("s.json", []byte(tt.in))
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v\nwant %s", err, tt.want)
			}
		})
	}
}

func TestReadStandingsTellsEverythingAtOnce(t *testing.T) {
	_, err := ReadStandings("s", []byte(`{"discards":-1,"entries":["a","a"],"races":[{"ranks":{"b":2}}]}`))
	if err == nil || strings.Count(err.Error(), "\n") != 3 {
		t.Errorf("want four lines, got %v", err)
	}
}

func FuzzReadStandings(f *testing.F) {
	f.Add([]byte(`{"discards":1,"entries":["a","b"],"races":[{"date":"2027-02-02","ranks":{"a":1,"b":1}},{"ranks":{"b":1},"paused":["a"]}]}`))
	for _, tt := range badSeries() {
		f.Add([]byte(tt.in))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		file, err := ReadStandings("s", b)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "s:") {
				t.Fatalf("an error without its place: %v", err)
			}
			return
		}
		rows := file.Standings()
		if len(rows) != len(file.Series.Entries) {
			t.Fatalf("%d rows for %d entries", len(rows), len(file.Series.Entries))
		}
		if _, err := json.Marshal(rows); err != nil {
			t.Fatal(err)
		}
	})
}
