package bot

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// sheetBars wants a bar: some have none, and some another way.
const sheetBars = `session: Bars and towels
date: 2027-02-01

A. 3 sets, rest 1:30
5 pull-up

B. AMRAP 9:00
5 pull-up
10 push-up
  easier: 8 incline push-up

C. AMRAP 6:00
5 pull-up
  if rings: 5 ring row
12 air squat

D. heaviest 5
5 deadlift
`

// barsOn is the same sheet for so many days after Monday.
func barsOn(days int) (content.Date, string) {
	d := monday.AddDays(days)
	return d, strings.Replace(sheetBars, "2027-02-01", d.String(), 1)
}

// enrol adds a member of those settings who joins at once.
func (c *club) enrol(n roster.NewMember) {
	c.t.Helper()
	n.Division, n.OnBoards = "women", true
	in, err := c.bot.roster.Add(context.Background(), c.clock.Now(), []roster.NewMember{n}, "")
	if err != nil {
		c.t.Fatal(err)
	}
	if _, _, err := c.bot.roster.Join(context.Background(), c.clock.Now(), in[0].Invite, ""); err != nil {
		c.t.Fatal(err)
	}
	c.ids[n.Name] = in[0].ID
}

func (c *club) member(name string) roster.Member {
	m, _ := c.bot.roster.Get(c.ids[name])
	return m
}

func (c *club) alter(name string, p roster.Patch) {
	c.t.Helper()
	if _, err := c.bot.roster.Update(context.Background(), c.clock.Now(), c.ids[name], p); err != nil {
		c.t.Fatal(err)
	}
}

// reads returns a member's conversation.
func (c *club) reads(name string) []Post {
	c.t.Helper()
	log, err := c.bot.After(context.Background(), c.ids[name], -1)
	if err != nil {
		c.t.Fatal(err)
	}
	return log.Posts
}

// session returns a date's session as a member reads it now.
func (c *club) session(name string, d content.Date) string {
	c.t.Helper()
	for _, p := range c.reads(name) {
		if p.Kind == SessionPost && p.Date == d {
			return p.Text
		}
	}
	c.t.Fatalf("%s has no session of %s", name, d)
	return ""
}

// morningOf sets the clock to 7:00 of so many days after Monday and sends the bars.
func (c *club) morningOf(days int) {
	c.t.Helper()
	c.clock.set(time.Date(2027, 2, 1+days, 7, 0, 0, 0, time.UTC))
	d, sheet := barsOn(days)
	c.send(d, sheet)
}

func newBars(t testing.TB, members ...roster.NewMember) *club {
	t.Helper()
	c := newClub(t)
	for _, m := range members {
		c.enrol(m)
	}
	c.morningOf(0)
	return c
}

var (
	nina = roster.NewMember{Name: "Nina", Level: "as written", Kit: []string{}}
	bram = roster.NewMember{Name: "Bram", Level: "as written", Kit: []string{"pull-up bar"}}
	ros  = roster.NewMember{Name: "Ros", Level: "as written", Kit: []string{"rings"}}
	olga = roster.NewMember{Name: "Olga", Level: "as written"} // kit never told
)

func firstLine(s string) string { line, _, _ := strings.Cut(s, "\n"); return line }

func TestKitDecidesWhatIsSentAndHowItCounts(t *testing.T) {
	c := newBars(t, nina, bram, ros, olga)
	for name, want := range map[string]string{"Nina": "towel pull-down instead of pull-up", "Bram": "5 pull-ups", "Ros": "low-bar row instead of pull-up", "Olga": "5 pull-ups"} {
		text := c.session(name, monday)
		if !strings.Contains(text, want) || strings.Contains(text, "instead of pull-up") != (name == "Nina" || name == "Ros") {
			t.Errorf("%s is not sent %q:\n%s", name, want, text)
		}
	}
	for _, tt := range []struct{ name, said, want string }{
		{"Nina", "C 5+3", "C: 5 rounds + 3 (103 reps), scaled."}, // nothing to ask: it came eased, 8 for 5
		{"Ros", "C 6+2 as written", "C: 6 rounds + 2 (104 reps), as written (low-bar row)."},
		{"Bram", "C 6+2", "C: 6 rounds + 2 (104 reps)."}, // asked: as written or scaled
		{"Bram", "as written", "C: 6 rounds + 2 (104 reps), as written."},
	} {
		if got := firstLine(c.say(tt.name, tt.said).Text); got != tt.want {
			t.Errorf("%s: %q is answered %q, want %q", tt.name, tt.said, got, tt.want)
		}
	}
	page, err := c.bot.Board(context.Background(), monday, "C", boardQuery)
	if err != nil {
		t.Fatal(err)
	}
	ways := map[string]string{}
	for _, block := range page.Boards {
		for _, l := range block.Entries {
			ways[l.Name] = string(l.Version) + " " + l.Way
		}
	}
	for name, want := range map[string]string{"Nina": "scaled ", "Ros": "as_written low-bar row", "Bram": "as_written "} {
		if ways[name] != want {
			t.Errorf("on the board %s stands %q, want %q", name, ways[name], want)
		}
	}
	var csv bytes.Buffer
	if err := leaderboard.WriteCSV(&csv, page); err != nil || strings.Count(csv.String(), "low-bar row") != 1 {
		t.Errorf("the table: %v\n%s", err, csv.String())
	}
	if chat := c.say("Nina", "board C").Text; !strings.Contains(chat, "Ros, 6 rounds + 2 (104 reps) (low-bar row)") {
		t.Errorf("the board in chat:\n%s", chat)
	}
}

func TestAsWrittenIsAskedWhereAPartCameEased(t *testing.T) {
	for _, said := range [][]string{{"C 5+3 as written"}, {"C 5+3", "as written"}, {"C 5+3", "that was as written"}} {
		c := newBars(t, nina)
		var got Post
		for _, s := range said {
			got = c.say("Nina", s)
		}
		for _, want := range []string{"C: you were sent towel pull-downs for pull-ups", "1 towel pull-downs (scaled), 2 pull-ups (as written)"} {
			if !strings.Contains(got.Text, want) {
				t.Errorf("%q: the answer lacks %q:\n%s", said, want, got.Text)
			}
		}
		if b := c.board("C"); b != "" {
			t.Errorf("%q: it stands before it is settled: %s", said, b)
		}
		if got := firstLine(c.say("Nina", "2").Text); got != "C: 5 rounds + 3 (103 reps), as written." {
			t.Errorf("%q: settled to %q", said, got)
		}
		if got := c.say("Nina", "as written"); strings.Contains(got.Text, "you were sent") {
			t.Errorf("%q: it is asked again:\n%s", said, got.Text)
		}
	}
}

func TestTheCoachIsNotAskedAboutEasedParts(t *testing.T) {
	c := newBars(t, nina)
	for _, tt := range []struct {
		typed string
		want  content.Version
	}{{"5+3", content.Scaled}, {"5+4 as written", content.AsWritten}, {"5+5", content.AsWritten}, {"5+6 scaled", content.Scaled}} {
		row, err := c.bot.Correct(context.Background(), "coach", tt.typed, monday, "C", c.ids["Nina"], tt.typed, "seen")
		if err != nil || row.Result.Version != tt.want {
			t.Errorf("%q: %q %v, want %q", tt.typed, row.Result.Version, err, tt.want)
		}
	}
}

func TestTheMorningTellsHowPartsWereSent(t *testing.T) {
	c := newBars(t, nina, bram, ros)
	c.say("Nina", "C 5+3")
	c.say("Nina", "A done")
	c.say("Ros", "C 6+2 as written")
	c.say("Bram", "C 6+2 as written")
	r, err := c.bot.Report(context.Background(), monday)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, a := range r.Answered {
		for _, row := range a.Results {
			got = append(got, fmt.Sprintf("%s %s eased=%t way=%q", row.Name, row.Part, row.Eased, row.Way))
		}
	}
	want := []string{`Bram C eased=false way=""`, `Nina A eased=true way=""`, `Nina C eased=true way=""`, `Ros C eased=false way="low-bar row"`}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

// 8 incline push-ups stand for 10 push-ups: the member types their own reps, the board counts the sheet's.
func TestRepsOfAnotherAmountAreCredited(t *testing.T) {
	c := newBars(t, roster.NewMember{Name: "Ease", Level: "easier"})
	c.say("Ease", "B 2+9") // two rounds, 5 pull-ups and 4 of 8: half of the 10
	if got := c.board("B"); got != "women scaled: 1 Ease 2 rounds + 10 (40 reps)\n" {
		t.Errorf("board: %q", got)
	}
}

func TestANewcomersThreeSessions(t *testing.T) {
	c := newClub(t, "Ada")
	eased := func(d content.Date) bool {
		return strings.Contains(c.session("Ada", d), "incline push-up instead of push-up")
	}
	told := 0
	for i := range 4 {
		c.morningOf(i)
		if want := i < 3; eased(monday.AddDays(i)) != want {
			t.Errorf("session %d comes eased: %t, want %t", i+1, !want, want)
		}
		talk := []string{"A done", "B 3+2", "B 3+3"} // several results of a day are one session
		if i == 1 {
			talk = []string{"B 3+2", "scrap B", "thanks", "B 3+4"}
		}
		for _, s := range talk {
			if p := c.say("Ada", s); strings.Contains(p.Text, textAsWritten) {
				if told++; i != 2 || s != "A done" {
					t.Errorf("told at session %d, after %q", i+1, s)
				}
			}
		}
		if i != 2 {
			continue
		}
		if !eased(monday.AddDays(2)) {
			t.Error("the session of the day changed when it was logged")
		}
		c.say("Ada", "scrap A")
		c.say("Ada", "scrap B")
		if p := c.say("Ada", "B 4+1"); strings.Contains(p.Text, textAsWritten) || !strings.Contains(p.Text, "scaled") {
			t.Errorf("logged anew: %s", p.Text)
		}
	}
	if told != 1 {
		t.Errorf("told %d times", told)
	}
	if m := c.member("Ada"); m.Newcomer || !eased(monday.AddDays(2)) || eased(monday.AddDays(3)) {
		t.Errorf("afterwards: %+v", m)
	}
}

// A day whose only result is taken away is no session; one that the coach logs is.
func TestANewcomersSessionsAreThoseThatStand(t *testing.T) {
	c := newClub(t, "Ada")
	for i := range 3 {
		c.morningOf(i)
		c.say("Ada", "B 3+2")
		if i == 0 {
			c.say("Ada", "scrap B")
		}
	}
	if !c.member("Ada").Newcomer {
		t.Error("two sessions stand, and they are no newcomer any more")
	}
	if _, err := c.bot.Correct(context.Background(), "coach", "k", monday, "B", c.ids["Ada"], "3+2", "was there"); err != nil {
		t.Fatal(err)
	}
	if m := c.member("Ada"); m.Newcomer || m.NewUntil != monday.AddDays(2) {
		t.Errorf("the coach logged the third: %+v", m)
	}
	posts := c.reads("Ada")
	if last := posts[len(posts)-1]; last.Kind != NoticePost || strings.Count(last.Text, textAsWritten) != 1 {
		t.Errorf("told: %q", last.Text)
	}
}

// Everything stopped between the answer that told of the third session and the change of the profile.
func TestANewcomersThirdSessionSurvivesAStop(t *testing.T) {
	c := newClub(t, "Ada")
	for i := range 3 {
		c.morningOf(i)
		if _, err := c.hear("Ada", fmt.Sprint("session ", i), "B 3+2"); err != nil {
			t.Fatal(err)
		}
	}
	yes := true
	c.alter("Ada", roster.Patch{Newcomer: &yes}) // as it was before
	h, err := c.hear("Ada", "session 2", "B 3+2")
	if err != nil || !h.Again || !strings.Contains(h.Post.Text, textAsWritten) {
		t.Fatalf("again: %+v %v", h, err)
	}
	if c.member("Ada").Newcomer {
		t.Error("the message sent again left them a newcomer")
	}
}

func TestKitChangedTodayHoldsFromTodaysSession(t *testing.T) {
	c := newBars(t, nina)
	tuesday := monday.AddDays(1)
	c.morningOf(1)
	if got := firstLine(c.say("Nina", "B 3+2").Text); got != "B: 3 rounds + 2 (56 reps), scaled." {
		t.Errorf("before: %q", got)
	}
	c.alter("Nina", roster.Patch{Kit: &[]string{"pull-up bar"}})
	if text := c.session("Nina", tuesday); strings.Contains(text, "towel pull-down") {
		t.Errorf("today's session is not rendered anew:\n%s", text)
	}
	if text := c.session("Nina", monday); !strings.Contains(text, "towel pull-down") {
		t.Errorf("yesterday's session changed:\n%s", text)
	}
	for said, want := range map[string]string{
		"C 5+3 as written": "C: 5 rounds + 3 (88 reps), as written.",
		"yesterday C 5+3":  "C: 5 rounds + 3 (103 reps), scaled, for Monday 1 February. Counted, marked late.",
	} {
		if got := firstLine(c.say("Nina", said).Text); got != want {
			t.Errorf("%q is answered %q, want %q", said, got, want)
		}
	}
	rows, err := c.bot.Results(context.Background(), tuesday)
	if err != nil || len(rows) != 2 {
		t.Fatalf("%+v %v", rows, err)
	}
	if b := rows[0]; b.Part != "B" || !b.Eased || b.Result.Version != content.Scaled {
		t.Errorf("what was logged before the change: %+v", b)
	}
	if found, err := c.bot.Rebuild(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("ledger and boards differ: %v %v", found, err)
	}
}

func TestASwapForTheDayIsForTheDay(t *testing.T) {
	c := newBars(t, bram)
	c.alter("Bram", roster.Patch{Swaps: &[]roster.Swap{{Movement: "push-up", Way: "incline push-up", On: monday}}})
	c.morningOf(1)
	for i, want := range []bool{true, false} {
		if text := c.session("Bram", monday.AddDays(i)); strings.Contains(text, "your choice: incline push-up") != want {
			t.Errorf("on day %d the swap holds: %t\n%s", i, !want, text)
		}
	}
}

func TestLimitsStayWithTheirMember(t *testing.T) {
	lim := roster.NewMember{Name: "Lim", Level: "as written", Limits: []string{"no overhead", "quiet"}}
	c := newBars(t, lim, olga, ros)
	if text := c.session("Lim", monday); !strings.Contains(text, "no overhead") {
		t.Fatalf("the limit changes nothing:\n%s", text)
	}
	c.say("Lim", "C 5+3")
	c.say("Lim", "A done")
	c.say("Olga", "C 6+3 as written")
	c.say("Olga", "board")
	c.say("Ros", "board C")
	for _, name := range []string{"Olga", "Ros"} {
		for _, p := range c.reads(name) {
			if all := p.Text + string(p.Card); strings.Contains(all, "no overhead") {
				t.Errorf("%s reads of a limit:\n%s", name, all)
			}
		}
	}
	page, err := c.bot.Board(context.Background(), monday, "C", boardQuery)
	if err != nil || strings.Contains(fmt.Sprintf("%+v", page), "overhead") {
		t.Errorf("the board: %+v %v", page, err)
	}
}

func TestASheetTellsWhatFitsNobody(t *testing.T) {
	c := newBars(t, nina, bram, ros, olga)
	ctx := context.Background()
	if _, err := c.bot.roster.Add(ctx, c.clock.Now(), []roster.NewMember{{Name: "Ivy", Kit: []string{}}}, ""); err != nil {
		t.Fatal(err) // invited, not joined yet
	}
	want := []string{"D deadlift: Bram Ivy Nina Ros"} // Olga's kit is not known: she has what the coach asks for
	for _, o := range []PutOptions{{}, {Draft: true}} {
		d, sheet := barsOn(1)
		res, err := c.bot.PutSheet(ctx, d, []byte(sheet), o)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range res.NoFit {
			s := f.Part + " " + f.Movement + ":"
			for _, id := range f.Members {
				s += " " + c.bot.roster.Name(id)
			}
			got = append(got, s)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%+v: %q, want %q", o, got, want)
		}
	}
	fitsAll := strings.Replace(sheetA, "2027-02-01", "2027-02-03", 1)
	if res, err := c.bot.PutSheet(ctx, monday.AddDays(2), []byte(fitsAll), PutOptions{}); err != nil || res.NoFit == nil || len(res.NoFit) > 0 {
		t.Errorf("a sheet that fits all: %#v %v", res.NoFit, err)
	}
}

func TestFitsForIsLargestFirst(t *testing.T) {
	c := newBars(t, nina, bram, ros, olga, roster.NewMember{Name: "Oto", Level: "as written"})
	s, err := c.bot.Session(context.Background(), monday)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range c.bot.FitsFor(s, monday) {
		got = append(got, fmt.Sprintf("%d %s", len(f.Members), f.Fit.Fit.Key()))
	}
	if want := []string{"2 |||||", "1 none|||||", "1 pull-up bar|||||", "1 rings|||||"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// crowd are members of so many distinct fits.
func crowd(members, distinct int) []roster.Member {
	kits := content.Builtin().Kits()
	out := make([]roster.Member, members)
	for i := range out {
		k := i % distinct
		out[i] = roster.Member{Kit: []string{kits[k%len(kits)].Name}, Level: []string{"", "easier", "harder"}[k/len(kits)%3]}
		if k/len(kits) >= 3 {
			out[i].Units = "lb"
		}
	}
	return out
}

// 10,000 members are sent as many renderings as they have fits, however often somebody asks.
func TestASessionIsRenderedOnceAFit(t *testing.T) {
	for _, distinct := range []int{40, 150} {
		c := newBars(t, olga)
		facts, _, err := c.bot.PostsAfter(context.Background(), 0)
		if err != nil || len(facts) == 0 {
			t.Fatalf("no post: %v", err)
		}
		texts, keys := map[string]bool{}, map[string]bool{}
		for _, m := range crowd(10_000, distinct) {
			fit := m.FitOn(monday)
			keys[fit.Key()] = true
			p, err := c.bot.Render(context.Background(), facts[0], fit)
			if err != nil {
				t.Fatal(err)
			}
			texts[p.Text] = true
		}
		if n := len(c.bot.sheets.fits); n != distinct || len(keys) != distinct {
			t.Errorf("%d fits (%d keys) are rendered %d times", distinct, len(keys), n)
		}
		if len(texts) < 3 {
			t.Errorf("only %d texts differ", len(texts))
		}
	}
}
