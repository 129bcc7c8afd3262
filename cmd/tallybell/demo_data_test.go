package main

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rs/zerolog"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

// demoDate is the day 0 of these tests: the date that today's sheet is named by.
var demoDate = content.Date{Year: 2027, Month: 1, Day: 25}

func demo(t *testing.T) demoClub {
	t.Helper()
	d, err := loadDemo()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestDemoClubFile(t *testing.T) {
	c, problems := roster.ParseClub("club.txt", demo(t).ClubFile)
	for _, p := range problems {
		t.Error(p.In("club.txt"))
	}
	if c.ID != "lantern-hall" || c.Name != "Lantern Hall Strength Club" || c.Coach != "Maren Oduya" {
		t.Errorf("got %q, %q, coach %q", c.ID, c.Name, c.Coach)
	}
}

// demoSessions reads every sheet, by day; any message, error or warning, fails the test.
func demoSessions(t *testing.T, d demoClub) map[int]content.Session {
	t.Helper()
	sessions := map[int]content.Session{}
	for i, text := range d.Sheets {
		day := i - demoToday
		date := demoDate.AddDays(day)
		s, problems := content.Read(content.Builtin(), date.String()+".txt", text)
		for _, p := range problems {
			t.Error(p.In("demodata/sheets/" + date.String() + ".txt"))
		}
		sessions[day] = s
	}
	return sessions
}

func TestDemoMembers(t *testing.T) {
	d := demo(t)
	club, _ := roster.ParseClub("club.txt", d.ClubFile)
	zones, names := map[string]bool{}, map[string]bool{}
	shown, pounds, fifty := 0, 0, 0
	var list []roster.NewMember
	for _, m := range d.Members {
		list = append(list, m.NewMember)
		zones[m.Zone] = true
		if names[m.Name] {
			t.Errorf("two are called %s", m.Name)
		}
		names[m.Name] = true
		if m.OnBoards {
			shown++
		}
		if m.Units == "lb" {
			pounds++
		}
		if demoDate.Year-m.BirthYear > 50 {
			fifty++
		}
	}
	if len(list) != 24 || len(zones) != 3 || shown < 19 || shown > 20 || pounds == 0 || fifty < 3 {
		t.Errorf("%d members in %d zones, %d on boards, %d in pounds, %d over 50", len(list), len(zones), shown, pounds, fifty)
	}
	demoAdd(t, club, list)
}

// demoAdd adds the members as POST /api/members does, and returns them as the roster has them.
func demoAdd(t *testing.T, club roster.Club, list []roster.NewMember) []roster.Member {
	t.Helper()
	ctx := context.Background()
	st, err := store.Open(ctx, store.Options{Data: t.TempDir(), Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	})
	kept, err := st.Club(club.ID)
	if err != nil {
		t.Fatal(err)
	}
	r, err := roster.New(ctx, kept, club)
	if err != nil {
		t.Fatal(err)
	}
	invited, err := r.Add(ctx, st.Now(), list, "")
	if err != nil {
		t.Fatal(err)
	}
	var out []roster.Member
	for _, in := range invited {
		m, ok := r.Get(in.ID)
		if !ok {
			t.Fatalf("%s was added and is not there", in.ID)
		}
		out = append(out, m)
	}
	return out
}

// demoFits returns what fits each member on day 0, by nick.
func demoFits(t *testing.T, d demoClub) map[string]content.Fit {
	t.Helper()
	club, _ := roster.ParseClub("club.txt", d.ClubFile)
	list := make([]roster.NewMember, len(d.Members))
	for i, m := range d.Members {
		list[i] = m.NewMember
	}
	fits := map[string]content.Fit{}
	for i, m := range demoAdd(t, club, list) {
		fits[d.Members[i].Nick] = m.FitOn(demoDate)
	}
	return fits
}

// said is a demo reply with what it was read as.
type said struct {
	demoReply
	line    int
	in      reply.Input
	reading reply.Reading
}

// demoReadings reads every reply against the session as its member had it.
func demoReadings(t *testing.T) []said {
	t.Helper()
	d := demo(t)
	sessions := demoSessions(t, d)
	units := map[string]string{}
	for _, m := range d.Members {
		units[m.Nick] = m.Units
	}
	fits := demoFits(t, d)
	var out []said
	for i, r := range d.Replies {
		fitted := func(day int) content.FittedSession {
			return content.Fitted(sessions[day], fits[r.Nick], content.Builtin())
		}
		in := reply.Input{Session: fitted(r.Day), Library: content.Builtin(), Units: units[r.Nick],
			Today: demoDate.AddDays(r.Day),
			Sheet: func(on content.Date) (content.FittedSession, bool) {
				_, ok := sessions[on.DaysSince(demoDate)]
				return fitted(on.DaysSince(demoDate)), ok
			}}
		out = append(out, said{r, i + 1, in, reply.Read(r.Text, in)})
	}
	return out
}

// hasResult reports whether a reading logs something for a part.
func hasResult(r reply.Reading, part string) bool {
	return slices.ContainsFunc(r.Results, func(p reply.PartResult) bool {
		return p.Kind != "" && (part == "" || p.Part == part)
	})
}

// Nearly all replies log something; the others are each of a kind that a club's day has.
func TestDemoRepliesAreRead(t *testing.T) {
	all := demoReadings(t)
	logged := 0
	seen := map[string]int{}
	for _, s := range all {
		r := s.reading
		if hasResult(r, "") {
			logged++
		}
		for _, p := range r.Results {
			if p.Kind == "" {
				seen["version told later"]++
				continue
			}
			seen[string(p.Kind)]++
			if p.Correction {
				seen["correction"]++
			}
			if p.Day != "" {
				seen["another day"]++
			}
			if p.Kind == content.KindTime && !p.IsFinished() {
				seen["unfinished"]++
			}
			if len(p.SplitsMS) > 0 {
				seen["splits"]++
			}
		}
		for _, a := range r.Asks {
			seen["ask "+a.About]++
		}
		if r.Command != "" {
			seen["command "+r.Command]++
		}
		if r.Question {
			seen["question"]++
		}
		seen["care "+string(r.Care)]++
		if len(r.Results)+len(r.Asks) == 0 && r.Command == "" && !r.Question {
			seen["talk"]++
		}
	}
	t.Logf("%d of %d replies log a part; %v", logged, len(all), seen)
	if logged*100 < 85*len(all) {
		t.Errorf("%d of %d replies log a part, want 85 in a hundred", logged, len(all))
	}
	if len(all) < 200 {
		t.Errorf("%d replies, want 200", len(all))
	}
	for _, want := range []string{"done", "time", "reps", "load", "hold", "unfinished", "splits", "correction", "another day",
		"version told later", "ask version", "ask value", "ask part", "ask progress", "question", "talk", "command pause",
		"command board", "command away"} {
		if seen[want] == 0 {
			t.Errorf("no reply is a sample of: %s", want)
		}
	}
	if seen["care check"] != 1 || seen["care stop"] != 0 {
		t.Errorf("%d mentions of pain and %d warning signs, want 1 and 0", seen["care check"], seen["care stop"])
	}
}

// Whoever is asked something answers it with their next message of that day.
func TestDemoQuestionsAreAnswered(t *testing.T) {
	all := demoReadings(t)
	for i, s := range all {
		for _, a := range s.reading.Asks {
			next := slices.IndexFunc(all[i+1:], func(o said) bool { return o.Nick == s.Nick && o.Day == s.Day })
			if demoChoice(s.Text) {
				continue // a choice is no reply on its own
			}
			if next < 0 {
				t.Errorf("replies.tsv:%d: %q is asked about %s and never answers", s.line, s.Text, a.About)
				continue
			}
			if o := all[i+1+next]; !answersAsk(o, a) {
				t.Errorf("replies.tsv:%d: %q is asked about %s of %q; line %d, %q, does not answer", s.line, s.Text, a.About, a.Part, o.line, o.Text)
			}
		}
	}
}

func demoChoice(text string) bool {
	n, err := strconv.Atoi(text)
	return err == nil && n >= 1 && n <= 2
}

// answersAsk reports whether a message can be the answer to a: the number of an option, a version word, the end of an
// option, its label, or a value for the part.
func answersAsk(o said, a reply.Ask) bool {
	word := strings.ToLower(o.Text)
	if n, err := strconv.Atoi(word); err == nil && n >= 1 && n <= len(a.Suggest) {
		return true
	}
	versionOnly := slices.ContainsFunc(o.reading.Results, func(p reply.PartResult) bool { return p.Kind == "" && p.Version != "" })
	if a.About == reply.AboutVersion {
		return versionOnly
	}
	if slices.ContainsFunc(a.Suggest, func(s string) bool {
		s = strings.ToLower(s)
		return strings.HasSuffix(s, " "+word) || a.About == reply.AboutPart && strings.HasPrefix(s, word+" ")
	}) {
		return true
	}
	if a.Part == "" {
		return hasResult(o.reading, "")
	}
	for _, text := range []string{o.Text, a.Part + " " + o.Text, a.Part + " capped " + o.Text} {
		if hasResult(reply.Read(text, o.in), a.Part) {
			return true
		}
	}
	return a.About == reply.AboutValue && versionOnly // the value stood in the message before, as its own answer
}

// A member's scores stay within what the week's pieces take: nobody finishes after a cap, and whoever is out of time
// has reps left.
func TestDemoResultsArePlausible(t *testing.T) {
	sessions := demoSessions(t, demo(t))
	for _, s := range demoReadings(t) {
		for _, p := range s.reading.Results {
			day := s.Day
			if p.Day != "" {
				date, err := content.ParseDate(p.Day)
				if err != nil {
					t.Fatal(err)
				}
				day = date.DaysSince(demoDate)
			}
			session := sessions[day]
			part, ok := session.Part(p.Part)
			if !ok || !part.ForTime() {
				continue
			}
			switch {
			case p.Kind == content.KindTime && p.IsFinished() && p.TimeMS > part.Cap.Milliseconds():
				t.Errorf("replies.tsv:%d: %q is above the cap of %s", s.line, s.Text, part.Cap)
			case p.Kind == content.KindTime && !p.IsFinished() && (p.RepCount() < part.TotalReps()/2 || p.RepCount() >= part.TotalReps()):
				t.Errorf("replies.tsv:%d: %q leaves %d of %d reps", s.line, s.Text, part.TotalReps()-p.RepCount(), part.TotalReps())
			}
		}
	}
}

// After `pause` a member is not heard of again, and every day somebody is missing.
func TestDemoAbsence(t *testing.T) {
	d := demo(t)
	paused := map[string]int{} // nick -> the day
	typed := map[int]map[string]bool{}
	for i, r := range d.Replies {
		if _, ok := paused[r.Nick]; ok {
			t.Errorf("replies.tsv:%d: %s has paused", i+1, r.Nick)
		}
		if r.Text == "pause" {
			paused[r.Nick] = r.Day
		}
		if typed[r.Day] == nil {
			typed[r.Day] = map[string]bool{}
		}
		typed[r.Day][r.Nick] = true
	}
	if len(paused) != 1 {
		t.Errorf("%d members pause, want 1", len(paused))
	}
	for day := -demoDays; day < 0; day++ {
		missing := 0
		for _, m := range d.Members {
			if on, ok := paused[m.Nick]; !typed[day][m.Nick] && (!ok || day <= on) {
				missing++
			}
		}
		if missing == 0 {
			t.Errorf("day %d: nobody is missing", day)
		}
	}
}

func TestDemoDataProblemsNameTheLine(t *testing.T) {
	const member = `{"nick":"ana","name":"Ana"}`
	tests := []struct{ name, members, replies, want string }{
		{"no JSON", "x", "", "members.jsonl:1: want one JSON object a line"},
		{"two objects", member + member, "", "members.jsonl:1: want one JSON object a line, and nothing after it"},
		{"unknown field", `{"nick":"ana","nme":"Ana"}`, "", `members.jsonl:1: want one JSON object a line: json: unknown field "nme"`},
		{"no nick", member + "\n" + `{"name":"Bo"}`, "", "members.jsonl:2: the member has no nick"},
		{"a nick twice", member + "\n" + member, "", `members.jsonl:2: the nick "ana" is taken`},
		{"too few fields", member, "-1\t07:00\tana", "replies.tsv:1: want day, time, nick and text"},
		{"a day ahead", member, "1\t07:00\tana\tA done", `replies.tsv:1: "1" is not a day`},
		{"no time", member, "-1\t7 am\tana\tA done", "replies.tsv:1: "},
		{"nobody", member, "-1\t07:00\tbo\tA done", `replies.tsv:1: nobody in members.jsonl has the nick "bo"`},
		{"nothing said", member, "-1\t07:00\tana\t ", "replies.tsv:1: the reply says nothing"},
		{"not sorted", member, "-1\t07:00\tana\tA done\n-1\t06:59\tana\tB done", "replies.tsv:2: day -1 at 06:59 comes after a later line"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := fstest.MapFS{"club.txt": {Data: []byte("zone: UTC")}, "members.jsonl": {Data: []byte(tt.members + "\n")}, "replies.tsv": {Data: []byte(tt.replies + "\n")}}
			for i := range demoToday + 1 {
				files[demoSheetName(i)] = &fstest.MapFile{Data: []byte("session: x")}
			}
			_, err := readDemo(files)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want %q", err, tt.want)
			}
		})
	}
	for name, sheets := range map[string][]string{
		"sheets: 2 days are too few, as today is day 15":                    {demoSheetName(0), demoSheetName(1)},
		"sheets/2027-01-13.txt: the sheet of 2027-01-12 is missing":         {demoSheetName(0), demoSheetName(2)},
		"sheets/day-0.txt: a sheet is named by its date":                    {demoSheetName(0), "sheets/day-0.txt"},
		"sheets/2027-01-11.md: a sheet is named by its date, for example 2": {"sheets/2027-01-11.md"},
		"open sheets": nil,
	} {
		t.Run(name, func(t *testing.T) {
			files := fstest.MapFS{"club.txt": {Data: []byte("zone: UTC")}}
			for _, s := range sheets {
				files[s] = &fstest.MapFile{Data: []byte("session: x")}
			}
			if _, err := readDemo(files); err == nil || !strings.Contains(err.Error(), name) {
				t.Errorf("got %v", err)
			}
		})
	}
}

// demoSheetName is the file of the programme's day of index i.
func demoSheetName(i int) string {
	return "sheets/" + demoDate.AddDays(i-demoToday).String() + ".txt"
}
