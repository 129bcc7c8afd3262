package roster

import (
	"slices"
	"strings"
	"testing"
	"time"

	"tallybell/content"
)

const hallFile = "\ufeff# the invented club\r\nclub: lantern-hall\r\nName: Lantern Hall Strength Club\ncoach: Maren Oduya\n\n" +
	"zone: Europe/London\nsend at: 06:15\nEvening_limit: 19:30\nreport at: 07:05\nremind at: 17:45\nSummary on: fri\n  divisions: women, men,  open class\n" +
	"age bands: 40 - 49, 50 +\nlate days: 3\njoint ranks: Yes\ndiscards: one in 5\nmissed: came+1\nstandings boards: all\n"

func TestParseClub(t *testing.T) {
	got, problems := ParseClub("clubs/x.txt", []byte(hallFile))
	want := Club{ID: "lantern-hall", Name: "Lantern Hall Strength Club", Coach: "Maren Oduya", Zone: "Europe/London",
		SendAt: content.Clock{Hour: 6, Minute: 15}, EveningLimit: content.Clock{Hour: 19, Minute: 30},
		ReportAt: content.Clock{Hour: 7, Minute: 5}, RemindAt: content.Clock{Hour: 17, Minute: 45}, SummaryOn: time.Friday,
		Divisions: []string{"women", "men", "open class"}, AgeBands: []string{"40-49", "50+"}, LateDays: 3,
		JointRanks: true, Discards: Discards{OneIn: 5}, MissedCame: true, JointBoards: true, Attention: DefaultAttention(),
		HealthDays: defaultHealthDays}
	if len(problems) > 0 || !got.Equal(want) {
		t.Errorf("got %+v, %v", got, problems)
	}
	got, problems = ParseClub("clubs/night-owls.club", []byte("zone: UTC"))
	want = DefaultClub("night-owls")
	if len(problems) > 0 || !got.Equal(want) {
		t.Errorf("defaults: %+v, %v", got, problems)
	}
}

func TestSummaryDay(t *testing.T) {
	for value, want := range map[string]Club{"Sunday": {SummaryOn: time.Sunday}, "WED": {SummaryOn: time.Wednesday}, "never": {NoSummary: true}} {
		got, problems := ParseClub("hall.txt", []byte("zone: UTC\nsummary on: "+value))
		if len(problems) > 0 || got.SummaryOn != want.SummaryOn || got.NoSummary != want.NoSummary {
			t.Errorf("%s: %v %v %v", value, got.SummaryOn, got.NoSummary, problems)
		}
	}
	late := DefaultClub("x")
	late.RemindAt = content.Clock{Hour: 23, Minute: 30}
	if got := late.SummaryAt(); got.String() != "23:59" {
		t.Errorf("after a reminder at 23:30 the summary is at %s", got)
	}
}

func TestParseClubProblems(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string // LINE:COLUMN: part of the message
	}{
		{"", []string{"1:1: zone: is missing", "1:1: club: is missing"}},
		{"zone: Europe/Lundon\nclub: hall", []string{"1:7: did you mean Europe/London?"}},
		{"zone: UTC\nclub: Lantern Hall", []string{"2:7: is not an id"}},
		{"zone: UTC\nclub: hall\nsendat: 06:30", []string{`3:1: did you mean "send at"?`}},
		{"zone: UTC\nclub: hall\nfavourite colour: red", []string{"3:1: known are club,"}},
		{"zone: UTC\nclub: hall\n  ünique words", []string{"3:3: is no `key: value` line"}},
		{"zone: UTC\nclub: hall\nzone: UTC", []string{"3:1: twice, first in line 1"}},
		{"zone: UTC\nclub: hall\nname:", []string{"3:6: says nothing"}},
		{"zone: UTC\nclub: hall\nsend at: 25:00\nlate days: -1\nlate days: 2", []string{"3:10: is not a time of day", "4:12: is not a number of days", "5:1: twice"}},
		{"zone: UTC\nclub: hall\nsummary on: weekends", []string{"3:13: is not a day of the week"}},
		{"zone: UTC\nclub: hall\ndivisions: a:b", []string{"3:12: holds no ':'"}},
		{"zone: UTC\nclub: hall\ndivisions: {x}", []string{"3:12: no braces"}},
		{"zone: UTC\nclub: hall\ndivisions: women, Women", []string{"3:19: listed twice"}},
		{"zone: UTC\nclub: hall\ndivisions: women,", []string{"3:18: 1 to 80"}},
		{"zone: UTC\nclub: hall\ndivisions: women, 50+", []string{"3:19: age band"}},
		{"zone: UTC\nclub: hall\nage bands: 50+, 050 +", []string{"3:17: 50+ is listed twice"}},
		{"zone: UTC\nclub: hall\nage bands: 40-49, 45-54, x, 49-40", []string{"3:19: clash: who is 45", "3:26: is not an age band", "3:29: write 40-49"}},
		{"zone: UTC\nclub: hall\nage bands: 50+, 40+", []string{"3:17: from the youngest on"}},
		{"zone: UTC\nclub: hall\nage bands: 40-49, 40+, 50+", nil},
		{"zone: UTC\nclub: hall\ndivisions: été, a:b, {c}, b\ndivision: x", []string{"3:17: holds no ':'", "3:22: no braces", `4:1: did you mean "divisions"?`}},
		{"zone: UTC\nclub: hall\ndiscards: one in 1\nmissed: entries\nmised: x", []string{"3:11: write one in 4", `5:1: did you mean "missed"?`}},
		{"zone: UTC\nclub: hall\ndiscards: none\nmissed: half\njoint ranks: maybe\nstandings boards: own", []string{"4:9: A5.2", "5:14: write no or yes", "6:19: write own version or all"}},
		{"zone: UTC\nclub: hall\nage bands: 50", []string{"3:12: is not an age band"}},
		{"zone: UTC\nclub: hall\nage bands: 200+", []string{"3:12: is not an age band"}},
		{"zone: UTC\nclub: hall\nname: Hall \x07", []string{"3:12: a control character"}},
		{"zone: UTC\nclub: hall\nname: Ä\xff", []string{"3:8: a control character, or a byte that is not UTF-8"}},
		{strings.Repeat("#", mostClubFile+1), []string{"1:1: at most"}},
	} {
		_, problems := ParseClub("a b.txt", []byte(c.text))
		var got []string
		for _, p := range problems {
			got = append(got, p.In("f"))
		}
		ok := len(got) == len(c.want)
		for i := 0; ok && i < len(got); i++ {
			position, part, _ := strings.Cut(c.want[i], ": ")
			ok = strings.HasPrefix(got[i], "f:"+position+": ") && strings.Contains(got[i], part)
		}
		if !ok {
			t.Errorf("%q\ngot  %q\nwant %q", c.text[:min(60, len(c.text))], got, c.want)
		}
	}
}

func FuzzParseClub(f *testing.F) {
	f.Add(hallFile)
	for _, s := range []string{"", "zone: UTC", "zone UTC", "divisions: a:b, {c}", "age bands: 50+, 50+", "name:\x00", ":", ": :", "club: x\nzone: Local"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, problems := ParseClub("hall.txt", []byte(s))
		for _, p := range problems {
			if p.Line < 1 || p.Column < 1 || p.Message == "" || strings.ContainsAny(p.Message, "\n\r") {
				t.Errorf("%q: %+v", s, p)
			}
		}
		if len(problems) > 0 {
			return
		}
		if !validClubID(c.ID) || c.Name == "" || len(c.Divisions) == 0 || c.LateDays < 0 {
			t.Errorf("%q is read as %+v", s, c)
		}
		if _, err := content.LoadZone(c.Zone); err != nil {
			t.Error(err)
		}
		if slices.ContainsFunc(c.Divisions, func(d string) bool { return d == "" || strings.ContainsAny(d, ":{}") }) || c.Discards.Of(4) > 3 {
			t.Errorf("%q: %q %v", s, c.Divisions, c.AgeBands)
		}
	})
}
