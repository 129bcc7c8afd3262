package roster

import (
	"errors"
	"strings"
	"testing"
)

func FuzzReadSecret(f *testing.F) {
	for _, s := range []string{"lantern-hall.abc", "https://hall.example/#join=lantern-hall.abc", "other.abc", ".", "a.", "#join=", " lantern-hall.x\n", "lantern-hall.x.y"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := readSecret("lantern-hall", s)
		switch {
		case err == nil:
			if !strings.HasPrefix(got, "lantern-hall.") || !strings.Contains(s, got) || ClubOf(s) != "lantern-hall" {
				t.Errorf("%q is read as %q, of club %q", s, got, ClubOf(s))
			}
		case errors.Is(err, ErrOtherClub):
			if of := ClubOf(s); of == "" || of == "lantern-hall" {
				t.Errorf("%q is of another club, but of %q", s, of)
			}
		case !errors.Is(err, errMalformed):
			t.Errorf("%q: %v", s, err)
		}
	})
}

func FuzzDecode(f *testing.F) {
	for _, s := range []string{
		`{"id":"abc","name":"Ada","role":"member","zone":"UTC","send_at":"06:30","on_boards":false}`,
		`{"id":"abc","zone":"UTC","send_at":"06:30","buckets":[{"from":"2026-11-25","bucket":"UTC@06:30"},{"from":"2026-11-26","bucket":""}]}`,
		`{"id":"abc","send_at":"6:30"}`, `{"id":"other"}`, `{`, `null`, `[]`,
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		rec, err := decode("abc", []byte(s))
		if err != nil {
			return
		}
		raw, err := rec.encode()
		if err != nil {
			t.Fatalf("%q is read but not written: %v", s, err)
		}
		again, err := decode("abc", []byte(raw))
		if err != nil {
			t.Fatalf("%q is written as %q: %v", s, raw, err)
		}
		if twice, _ := again.encode(); twice != raw {
			t.Errorf("written %q, read and written again %q", raw, twice)
		}
	})
}
