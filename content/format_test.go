package content

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// plain drops what parsing a formatted sheet may change: line numbers, and nil against empty lists.
func plain(s Session) Session {
	parts := append([]Part{}, s.Parts...)
	for i := range parts {
		parts[i].Line = 0
		parts[i].Movements = plainMoves(parts[i].Movements)
	}
	s.Parts = parts
	s.WarmUp, s.CoolDown = plainMoves(s.WarmUp), plainMoves(s.CoolDown)
	return s
}

func plainMoves(ms []Movement) []Movement {
	out := []Movement{}
	for _, m := range ms {
		m.Line = 0
		ways := []Way{}
		for _, w := range m.Ways {
			w.Movement.Line = 0
			ways = append(ways, w)
		}
		m.Ways = ways
		out = append(out, m)
	}
	return out
}

// mustParse parses a sheet that has no errors.
func mustParse(t testing.TB, text string) Session {
	t.Helper()
	s, ps := Parse("s.txt", []byte(text))
	if len(ps) > 0 {
		t.Fatalf("problems in:\n%s\n%v", text, ps)
	}
	return s
}

// sameAgain formats a session, parses that, and wants the same session and the same text.
func sameAgain(t testing.TB, s Session) {
	t.Helper()
	text := string(Format(s))
	again, ps := Parse("s.txt", []byte(text))
	if len(ps) > 0 {
		t.Fatalf("the formatted sheet has problems: %v\n%s", ps, text)
	}
	if got, want := plain(again), plain(s); !reflect.DeepEqual(got, want) {
		t.Fatalf("the formatted sheet gives another session\n%s\ngot  %+v\nwant %+v", text, got, want)
	}
	if twice := string(Format(again)); twice != text {
		t.Fatalf("formatting twice changes the text:\n%s\nthen\n%s", text, twice)
	}
}

// TestFormatsOfSheets compares each testdata/sheets/NAME.txt that has a NAME.formatted.txt beside it.
func TestFormatsOfSheets(t *testing.T) {
	files, err := filepath.Glob("testdata/sheets/*.formatted.txt")
	if err != nil || len(files) < 2 {
		t.Fatalf("found %d golden files: %v", len(files), err)
	}
	for _, want := range files {
		name := strings.TrimSuffix(filepath.Base(want), ".formatted.txt")
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile(filepath.Join("testdata/sheets", name+".txt"))
			if err != nil {
				t.Fatal(err)
			}
			s := mustParse(t, string(text))
			golden(t, filepath.Join("sheets", filepath.Base(want)), string(Format(s)))
			sameAgain(t, s)
		})
	}
}

// TestSameReading holds pairs of spellings: the plain form and others that are read alike.
func TestSameReading(t *testing.T) {
	body := func(part string) string { return "session: T\ndate: 2027-02-01\n" + part }
	tests := []struct {
		name, plain string
		others      []string
	}{
		{"letters", "A. 3 sets\n10 push-up", []string{
			"A) 3 sets\n10 push-up", "A: 3 sets\n10 push-up", "Part A. 3 sets\n10 push-up", "part a: 3 SETS\n10 PUSH-UP",
			"a. 3 sets\n10 push-up", "A.3 sets\n10 push-up", "PART A 3 sets\n10 push ups", "Part A - 3 sets\n10 pushup",
		}},
		{"bullets and blanks", "A. 3 sets\n10 push-up\n  cue: slow", []string{
			"\n\nA. 3 sets  \n\n- 10 push-up\t\n* cue: slow", "• A. 3 sets\r\n   •10 push-up\r\ncue:slow", "-A. 3 sets\n-10 push-up\nCUE : slow",
		}},
		{"AMRAP", "A. AMRAP 8:00\n10 push-up", []string{
			"A. 8 min AMRAP\n10 push-up", "A. amrap 8 min\n10 push-up", "A. AMRAP in 8 minutes\n10 push-up", "A. 8:00 AMRAP\n10 push-up", "A. AMRAP 480 s\n10 push-up",
		}},
		{"rounds for time", "A. 4 rounds for time, cap 18:00\n10 push-up", []string{
			"A. 4 rds for time, cap 18 min\n10 push-up", "A. 4 Rounds For Time, time cap 18:00\n10 push-up",
			"A. 4 rounds for time, 18 min cap\n10 push-up", "A. 4 round for time cap 18:00\n10 push-up",
		}},
		{"one round", "A. for time\n10 push-up", []string{"A. 1 round for time\n10 push-up", "A. For Time\n10 push-ups"}},
		{"ladder", "A. 16-12-8-4 for time\npush-up", []string{
			"A. 16–12–8–4 for time\npush-up", "A. 16 - 12 - 8 - 4 For Time\npush-up", "A. 16-12-8-4 reps for time\npush-up",
		}},
		{"stations", "A. 2 stations of 1:00, max reps, 2 times through, rest 0:15\npush-up\nsquat", []string{
			"A. 2 stations of 60s, rest 15 s, twice through\npush-up\nsquat", "A. 2 Stations of 1 min, Max Reps, 2 times through, rest 15 seconds\npush-up\nsquat",
		}},
		{"EMOM", "A. EMOM 10:00, in turn\n8 squat\n8 push-up", []string{
			"A. every 1:00 for 10:00, in turn\n8 squat\n8 push-up", "A. 10 min EMOM in turn\n8 squat\n8 push-up",
			"A. every minute for 10 min, in turn\n8 squat\n8 push-up", "A. every 60s for 10:00, in turn\n8 squat\n8 push-up",
		}},
		{"sets and rests", "A. 4 sets in turn, own pace, rest 0:20 between, 1:30 after\n8 squat\n8 push-up", []string{
			"A. 4 sets, in turn, at your own pace, rest 20 s between, 90 s after\n8 squat\n8 push-up",
			"A. 4 sets in turn own pace, rest 0:20 between and 1:30 after\n8 squat\n8 push-up",
			"A. 4 sets in turn, own pace, rest 0:20 between, rest 1:30 after\n8 squat\n8 push-up",
		}},
		{"heaviest and farthest", "A. heaviest 5\nsquat\n\nB. farthest in 12:00\nrun", []string{
			"A. heaviest set of 5\nsquat\nB. furthest in 12 min\nrun", "A. Heaviest 5 reps\nsquat\nB. farthest 12:00\nrun",
		}},
		{"sides", "A. 3 sets\n20 step-up, 10 each side", []string{
			"A. 3 sets\n10 step-up each side", "A. 3 sets\n20 step-ups, 10 per leg", "A. 3 sets\n10 step up, each side", "A. 3 sets\nstep-up, 10 each leg",
		}},
		{"sides of a time", "A. 3 sets\n1:00 side plank, 0:30 each side", []string{
			"A. 3 sets\n30 s side plank each side", "A. 3 sets\n60s side plank, 30 s each side",
		}},
		{"ranges", "A. 3 sets\n8-12 push-up\n20-30 s plank\n1:00-1:30 plank\n16-24 step-up, 8-12 each side", []string{
			"A. 3 sets\n8–12 push-up\n20 to 30 s plank\n60-90 s plank\n8-12 step-up each side", "A. 3 sets\n8 - 12 push-up\n20s-30s plank\n1 min - 90 s plank\n8 to 12 step-up, each side",
		}},
		{"measures", "A. 3 sets\n200 m run\n1.5 km run\n1 mi run\n15 cal run\n8:30 run", []string{
			"A. 3 sets\n200m run\n1.5km run\n1 mile run\n15 cals run\n8 min 30 s run", "A. 3 sets\n200 metres run\n1.5 kilometers run\n1 mi run\n15 calories run\n8 min 30 run",
		}},
		{"load, tempo, reserve", "A. 3 sets\n8 squat, backpack 12.5 kg, tempo 3-1-X-0, 2 in reserve, slow, as last week", []string{
			"A. 3 sets\n8 squat, 12.5kg backpack, tempo 31x0, 2 reps in reserve, slow, as last week",
			"A. 3 sets\n8 squat, slow, Tempo: 3-1-x-0, as last week, 2 RIR, rucksack 12.50 kilos",
		}},
		{"percentages", "A. most reps\npush-up\n\nB. heaviest 3\nsquat\n\nC. 3 sets\n60% of A push-up\n5 squat, 80% of B", []string{
			"A. most reps\npush-up\nB. heaviest 3\nsquat\nC. 3 sets\n60 % of a push-ups\n5 squat, 80% of part B",
		}},
		{"settings", "A. for time, cap 9:00, not scored, optional\n10 push-up", []string{
			"A. for time, optional, unscored, cap 9 min\n10 push-up", "A. for time, Optional, Not Scored, 9:00 cap\n10 push-up",
		}},
		{"aims", "A. for time\naim: 11:00-14:00\n10 push-up", []string{"A. for time\n10 push-up\naim: 11-14 min", "A. for time\naim: 11:00 – 14:00\n10 push-up"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := mustParse(t, body(tt.plain))
			sameAgain(t, s)
			want := "session: T\ndate: 2027-02-01\n\n" + tt.plain + "\n"
			if got := string(Format(s)); got != want {
				t.Errorf("plain form\n%s\nis formatted as\n%s", want, got)
			}
			for _, o := range tt.others {
				other := mustParse(t, body(o))
				if got, want := plain(other), plain(s); !reflect.DeepEqual(got, want) {
					t.Errorf("%q\nis read as\n%s\nwant\n%s", o, Format(other), Format(s))
				}
			}
		})
	}
}

func TestHeadSpellings(t *testing.T) {
	a := mustParse(t, "\ufeffSession: T\r\nDATE: 2027-02-01\r\nKit: rucksack, chair and broom\nlength: 45 minutes\neffort: HARD\nChoose: b / c\nshort: A, B\n"+
		"A. 3 sets\n10 push-up\nB. for quality\n10 push-up\nC. for quality\n10 push-up\n")
	want := "session: T\ndate: 2027-02-01\nkit: backpack, sturdy chair, broom handle\nlength: 45 min\neffort: hard\nchoose: B or C\nshort: A and B\n\n" +
		"A. 3 sets\n10 push-up\n\nB. for quality\n10 push-up\n\nC. for quality\n10 push-up\n"
	if got := string(Format(a)); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	sameAgain(t, a)
	none := mustParse(t, "session: T\ndate: 2027-02-01\nkit: none\nA. 3 sets\n10 push-up\n")
	if !none.HasKit || none.Kit != nil {
		t.Errorf("kit: none gives %v, %v", none.HasKit, none.Kit)
	}
	sameAgain(t, none)
}

func TestDateOfTheFileName(t *testing.T) {
	for _, name := range []string{"2027-02-01.txt", "sheets/2027-02-01.txt", `C:\club\2027-02-01.TXT`, "2027-02-01"} {
		s, ps := Parse(name, []byte("session: T\nA. 3 sets\n10 push-up\n"))
		if len(ps) > 0 || s.Date.String() != "2027-02-01" {
			t.Errorf("%s: date %s, problems %v", name, s.Date, ps)
		}
	}
}

func TestCommentsStayInPlace(t *testing.T) {
	text := "# first\n## second\nsession: T\n#\ndate: 2027-02-01\n\n# above A\nA. 3 sets\n# above the movement\n10 push-up\n# above the cue\n  cue: slow\n\n" +
		"# above B\nB. for quality\n10 squat\n# last\n"
	s := mustParse(t, text)
	if got := string(Format(s)); got != text {
		t.Errorf("got\n%s\nwant\n%s", got, text)
	}
	moved := mustParse(t, "# of the date\ndate: 2027-02-01\n# of the title\nsession: T\nA. 3 sets\n10 push-up\n# care\n  care: mind\n# cue\n  cue: slow\n")
	want := "# of the title\nsession: T\n# of the date\ndate: 2027-02-01\n\nA. 3 sets\n10 push-up\n# cue\n  cue: slow\n# care\n  care: mind\n"
	if got := string(Format(moved)); got != want {
		t.Errorf("comments of moved lines: got\n%s\nwant\n%s", got, want)
	}
	sameAgain(t, moved)
}

func TestSidesAddUp(t *testing.T) {
	s := mustParse(t, "session: T\ndate: 2027-02-01\nA. 3 sets\n10 step-up each side\n15 dead bug\nCool-down:\npigeon stretch, 1:00 each side\n")
	if m := s.Parts[0].Movements[0]; m.Amount.Low != 20 || m.PerSide != 10 {
		t.Errorf("10 step-up each side is %d in all, %d a side", m.Amount.Low, m.PerSide)
	}
	if m := s.CoolDown[0]; m.Amount != (Amount{Kind: AmountTime, Low: 120_000, High: 120_000}) || m.PerSide != 60_000 {
		t.Errorf("1:00 each side is %+v, %d a side", m.Amount, m.PerSide)
	}
}

func TestExactMeasures(t *testing.T) {
	// One pound is 0.45359237 kg, one yard 0.9144 m, one mile 1609.344 m, all exactly (international yard and pound).
	s := mustParse(t, "session: T\ndate: 2027-02-01\nA. 3 sets\n8 squat, 45 lb\n800 yd run\n1.5 mi run\n8 squat, 42.5 kg\n")
	m := s.Parts[0].Movements
	if m[0].Load.Grams != 20412 || m[1].Amount.Low != 731_520 || m[2].Amount.Low != 2_414_016 || m[3].Load.Grams != 42_500 {
		t.Errorf("got %d g, %d mm, %d mm, %d g", m[0].Load.Grams, m[1].Amount.Low, m[2].Amount.Low, m[3].Load.Grams)
	}
	sameAgain(t, s)
}

// asText is a session as comparable text, line numbers and the difference of nil and empty apart.
func asText(s Session) string {
	text, err := json.Marshal(plain(s))
	if err != nil {
		return err.Error()
	}
	return strings.ReplaceAll(string(text), "null", "[]")
}
