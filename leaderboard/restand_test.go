package leaderboard

import (
	"strings"
	"testing"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

func TestRestand(t *testing.T) {
	p := forTime()
	rec := recordOf("m1", p, finished(872000, content.AsWritten), 1, "women", "50+")
	text, err := rec.Encode()
	if err != nil {
		t.Fatal(err)
	}
	right := map[store.Field][]byte{rec.Field(): text}
	places := rec.Places()
	moved := places[1]
	moved.Score++
	stranger := places[0]
	stranger.Board.Division = "men"
	gone := rec.Field()
	gone.Part = "A"
	notes := rec.Field()
	notes.Part, notes.Kind = "-", "notes"
	tests := []struct {
		name    string
		results map[store.Field][]byte
		places  []store.Place
		want    []string // parts of what is told, in order
		writes  int
	}{
		{"all is right", right, places, nil, 0},
		{"a place is missing", right, places[:1], []string{"board 2027-02-01 D time 50+: 1801000000001.m1 is missing"}, 0},
		{"a score is wrong", right, []store.Place{places[0], moved}, []string{"has score 872001, want 872000"}, 0},
		{"a place too many", right, append([]store.Place{stranger}, places...), []string{"time men: 1801000000001.m1 stands there and should not"}, 0},
		{"the result is lost", nil, places, []string{"the ledger's result is not stored"}, 1},
		{"the result is another", map[store.Field][]byte{rec.Field(): []byte("{}")}, places, []string{"is not the ledger's"}, 1},
		{"a result too many", map[store.Field][]byte{rec.Field(): text, gone: text}, places, []string{"2027-02-01 A (time) of m1: a result is stored that the ledger does not have"}, 1},
		{"notes of the day are no result", map[store.Field][]byte{rec.Field(): text, notes: []byte("{}")}, places, nil, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rep, err := Restand([]Record{rec}, tt.results, tt.places)
			if err != nil {
				t.Fatal(err)
			}
			if len(rep.Found) != len(tt.want) || len(rep.Results) != tt.writes {
				t.Fatalf("found %q, writes %d results", rep.Found, len(rep.Results))
			}
			for i, want := range tt.want {
				if !strings.Contains(rep.Found[i], want) {
					t.Errorf("found %q, want %q", rep.Found[i], want)
				}
			}
			after := sets{}
			after.apply(store.Moves{In: tt.places})
			after.apply(rep.Moves)
			want := sets{}
			want.apply(store.Moves{In: places})
			if !after.equal(want) {
				t.Errorf("after the repair: %v", after)
			}
		})
	}
}
