package content

import "testing"

func TestFingerprintTellsPiecesApart(t *testing.T) {
	part := func(lines string) Part {
		s, problems := Parse("x.txt", []byte("session: x\ndate: 2027-02-01\n"+lines))
		if errs := Errors(problems); len(errs) > 0 {
			t.Fatalf("%s: %s", lines, errs[0].In("x"))
		}
		return s.Parts[len(s.Parts)-1]
	}
	marker := part("A. 5 rounds for time, cap 16:00\n16 squat\n12 push-up\n")
	for _, c := range []struct {
		name, sheet string
		same        bool
	}{
		{"another letter", "A. 3 sets\n8 push-up\nB. 5 rounds for time, cap 16:00\n16 squat\n12 push-up\n", true},
		{"what is said about it", "A. 5 rounds for time, cap 16:00\naim: 11:00-14:00\nnote: as in week 1\n16 squat, slow down\ncue: heels\n12 push-up\neasier: 12 incline push-up\ncare: hands flat\n", true},
		{"optional", "A. 5 rounds for time, cap 16:00, optional\n16 squat\n12 push-up\n", true},
		{"another way of writing it", "A) 5 rds for time, cap 16 min\n16 air squats\n12 push ups\n", true},
		{"another cap", "A. 5 rounds for time, cap 15:00\n16 squat\n12 push-up\n", false},
		{"no cap", "A. 5 rounds for time\n16 squat\n12 push-up\n", false},
		{"other rounds", "A. 4 rounds for time, cap 16:00\n16 squat\n12 push-up\n", false},
		{"another amount", "A. 5 rounds for time, cap 16:00\n15 squat\n12 push-up\n", false},
		{"another movement", "A. 5 rounds for time, cap 16:00\n16 squat\n12 pike push-up\n", false},
		{"another order", "A. 5 rounds for time, cap 16:00\n12 push-up\n16 squat\n", false},
		{"a load", "A. 5 rounds for time, cap 16:00\n16 squat, backpack 8 kg\n12 push-up\n", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := part(c.sheet).Fingerprint() == marker.Fingerprint(); got != c.same {
				t.Errorf("the same piece: %v, want %v", got, c.same)
			}
		})
	}
	if part("A. 3 sets\n8 push-up\n").Fingerprint() != part("A. 5 sets, rest 1:00\n10-12 push-up, 2 in reserve\n").Fingerprint() {
		t.Error("sets of one movement are to grow, and are not the same piece any more")
	}
	if part("A. 3 sets\n8 push-up\n").Fingerprint() == part("A. 3 sets\n8 squat\n").Fingerprint() {
		t.Error("sets of another movement are the same piece")
	}
}
