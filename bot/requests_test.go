package bot

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/rs/zerolog"
	"pgregory.net/rapid"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
)

// The commands of a reading, as the contract lists them: each has an answer.
func TestEveryCommandHasAnAnswer(t *testing.T) {
	for _, name := range []string{"today", "show", "board", "me", "kit", "level", "limits", "swap", "short", "hide", "away", "pause", "resume",
		"stop", "help", "scrap", "data", "forget"} {
		if requests[name] == nil {
			t.Errorf("nothing answers %q", name)
		}
	}
}

// What the bot never says, as the contract lists it.
func TestWordsThatAreNeverSaid(t *testing.T) {
	never := regexp.MustCompile(`(?i)push through|no excuses?|probably fine|failed|\bonly\b|you missed|\bshape\b|will answer (soon|today|tomorrow|by)`)
	for _, file := range []string{"texts.go", "texts_requests.go"} {
		source, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(source), "\n") {
			if code, _, _ := strings.Cut(line, "// "); never.MatchString(code) {
				t.Errorf("%s:%d: %s", file, i+1, strings.TrimSpace(code))
			}
		}
	}
}

func TestHelpFitsOnAPhone(t *testing.T) {
	const first = "Unwell? Stop and call your local emergency number."
	lines := strings.Split(textHelp, "\n")
	if lines[0] != first {
		t.Errorf("help begins %q", lines[0])
	}
	shown := 1 // the first sentence breaks once
	for i, l := range lines {
		shown++
		if n := utf8.RuneCountInString(l); i > 0 && n > 40 {
			t.Errorf("%q has %d characters", l, n)
		}
	}
	if shown > 14 {
		t.Errorf("%d lines on a phone", shown)
	}
}

// Whatever a member types is answered with some text, in any order, and never with another member's name but on a board.
func TestAnyTextIsAnswered(t *testing.T) {
	c := newMonday(t, "Ada", "Zebedee")
	c.say("Zebedee", "B 21/18/15/24 scaled")
	words := strings.Fields("swap push-up push-ups for incline kneeling squat climbers always back kit: kit + - no add backpack chair towel none level " +
		"easier harder as written push row core limits: limits quiet jumping not stop 1 2 3 7 yes no pain unwell pause until monday tomorrow " +
		"2027-02-09 resume away ill can't today me data forget board D B Z short help hide show ranks scores 14:32 14 5+12 scaled fix scrap ? , ; . 👍 ✅ \n")
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		var text string
		if rapid.IntRange(0, 4).Draw(rt, "kind") == 0 {
			text = rapid.StringN(0, 60, 200).Draw(rt, "text")
		} else {
			text = strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 1, 6).Draw(rt, "words"), " ")
		}
		if !utf8.ValidString(text) {
			return
		}
		n++
		c.clock.forward(time.Second)
		h, err := c.hear("Ada", fmt.Sprintf("any%d", n), text)
		if err != nil || strings.TrimSpace(h.Post.Text) == "" {
			rt.Fatalf("%q: answered %q, %v", text, h.Post.Text, err)
		}
		if strings.Contains(h.Post.Text, "Zebedee") && !strings.Contains(text, "board") {
			rt.Fatalf("%q names somebody else: %q", text, h.Post.Text)
		}
	})
}

func TestTheSameChangeTwiceIsOneChange(t *testing.T) {
	c := newMonday(t, "Ada")
	c.say("Ada", "level as written")
	for _, m := range [][2]string{{"k", "kit: add kettlebell"}, {"e", "easier push-up"}} {
		first, err := c.hear("Ada", m[0], m[1])
		if err != nil {
			t.Fatal(err)
		}
		before, _ := c.bot.roster.Get(c.ids["Ada"])
		again, err := c.hear("Ada", m[0], m[1])
		after, _ := c.bot.roster.Get(c.ids["Ada"])
		if err != nil || !again.Again || again.Post.Text != first.Post.Text || fmt.Sprint(before) != fmt.Sprint(after) {
			t.Errorf("%q again: %v, %q after %q; the profile was %v and is %v", m[1], err, again.Post.Text, first.Post.Text, before, after)
		}
	}
	if m, _ := c.bot.roster.Get(c.ids["Ada"]); len(m.Swaps) != 1 || m.Swaps[0].Way != "incline push-up" {
		t.Errorf("one step down is %v", m.Swaps)
	}
}

// A step whose answer could not be written is not taken again when the message is sent again.
func TestAStepIsTakenOnceThoughItsAnswerWasLost(t *testing.T) {
	c := newMonday(t, "Ada")
	c.say("Ada", "level as written")
	taken := []roster.Swap{{Movement: "push-up", Way: "incline push-up", On: monday, By: "lost"}}
	if _, err := c.bot.roster.Update(context.Background(), c.clock.Now(), c.ids["Ada"], roster.Patch{Swaps: &taken}); err != nil {
		t.Fatal(err)
	}
	h, err := c.hear("Ada", "lost", "easier push-up")
	if err != nil || firstLine(h.Post.Text) != "Today, instead of push-ups: incline push-ups." {
		t.Errorf("sent again: %q %v", h.Post.Text, err)
	}
	if got := firstLine(c.say("Ada", "easier push-up").Text); got != "Today, instead of push-ups: knee push-ups." {
		t.Errorf("the next step: %q", got)
	}
}

// Two devices that answer one question at the same moment: one choice is made, and the other device is told so.
func TestTwoDevicesAnswerOneQuestion(t *testing.T) {
	for range 10 {
		c := newMonday(t, "Ada")
		c.say("Ada", "level as written")
		c.say("Ada", "swap push-up")
		var wg sync.WaitGroup
		texts := make([]string, 2)
		for i := range texts {
			wg.Go(func() {
				h, err := c.hear("Ada", fmt.Sprintf("device%d", i), fmt.Sprint(i+1))
				if err != nil {
					t.Error(err)
				}
				texts[i] = h.Post.Text
			})
		}
		wg.Wait()
		m, _ := c.bot.roster.Get(c.ids["Ada"])
		late := 0
		for _, text := range texts {
			if text == textSettled {
				late++
			}
		}
		if len(m.Swaps) != 1 || late != 1 {
			t.Fatalf("%d choices after %q", len(m.Swaps), texts)
		}
	}
}

func TestAQuestionSurvivesARestart(t *testing.T) {
	c := newMonday(t, "Ada")
	c.say("Ada", "level as written")
	c.say("Ada", "swap push-up")
	c.say("Ada", "thanks!")
	if err := c.bot.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := New(context.Background(), Options{Club: c.bot.club, Roster: c.bot.roster, Clock: c.clock, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	c.bot = again // closed when the test ends
	if got := firstLine(c.say("Ada", "1").Text); got != "Today, instead of push-ups: incline push-ups." {
		t.Errorf("after a restart: %q", got)
	}
	if got := firstLine(c.say("Ada", "always").Text); got != "From now on, instead of push-ups: incline push-ups." {
		t.Errorf("always: %q", got)
	}
}

// A choice for good holds for the next session too; one for today does not.
func TestAChoiceHoldsAsLongAsItWasMade(t *testing.T) {
	c := newMonday(t, "Ada", "Bo")
	for _, n := range []string{"Ada", "Bo"} {
		c.say(n, "level as written")
		c.say(n, "swap push-up for incline push-up")
	}
	c.say("Bo", "always")
	c.clock.set(time.Date(2027, 2, 2, 7, 0, 0, 0, time.UTC))
	c.send(monday.AddDays(1), strings.Replace(sheetA, "2027-02-01", "2027-02-02", 1))
	for name, want := range map[string]bool{"Ada": false, "Bo": true} {
		if got := strings.Contains(c.say(name, "today").Text, "your choice: incline push-up"); got != want {
			t.Errorf("%s's next session has the choice: %t, want %t", name, got, want)
		}
	}
}

func TestTheCardShowsLabels(t *testing.T) {
	c := newMonday(t, "Ada")
	c.say("Ada", "level as written")
	var card answerCard
	if err := json.Unmarshal(c.say("Ada", "swap push-up").Card, &card); err != nil || card.Ask == nil {
		t.Fatalf("no question on the card: %v", err)
	}
	if len(card.Ask.Labels) == 0 || len(card.Ask.Labels) != len(card.Ask.Options) || card.Ask.Labels[0] != "incline push-ups (scaled)" ||
		card.Ask.Options[0] != "swap push-up for incline push-up" {
		t.Errorf("the card asks %+v", card.Ask)
	}
	for _, o := range card.Ask.Options {
		if got := c.say("Ada", o).Text; !strings.HasPrefix(got, "Today, instead of push-ups: ") {
			t.Errorf("%q, typed out, is answered %q", o, got)
		}
	}
	if got := c.say("Ada", "thanks").Card; got != nil {
		t.Errorf("an offer is shown again: %s", got)
	}
}

// Every way that the library or a sheet can offer is a text that reads back as that choice.
func TestEveryOfferedWayReadsBack(t *testing.T) {
	lib := content.Builtin()
	offered := 0
	for _, e := range lib.Entries() {
		s := content.Session{Date: monday, Parts: []content.Part{{Letter: "A", Scheme: content.Sets, Sets: 3,
			Movements: []content.Movement{{Name: e.Name, Amount: content.Amount{Kind: content.AmountReps, Low: 8, High: 8}}}}}}
		fs := content.Fitted(s, content.Fit{}, lib)
		in := reply.Input{Session: fs, Library: lib, Today: monday}
		for _, ch := range content.Choices(s, fs.Fit, "A", 0, lib) {
			offered++
			for _, tail := range []string{"", " always"} {
				text := "swap " + e.Name + " for " + ch.Name + tail
				r := reply.Read(text, in)
				if r.Command != "swap" {
					t.Errorf("%q reads as %q, note %q", text, r.Command, r.Note)
					continue
				}
				w := readSwap(r.Argument, fs, lib)
				if len(w.found) != 1 || w.found[0] != e.Name || w.way != strings.ToLower(ch.Name) || w.always != (tail != "") {
					t.Errorf("%q reads as %+v", text, w)
				}
			}
		}
		if text := "swap " + e.Name + " back"; !readSwap(strings.TrimPrefix(text, "swap "), fs, lib).back {
			t.Errorf("%q does not read as taking it back", text)
		}
	}
	if offered < 100 {
		t.Errorf("%d ways, want the library's", offered)
	}
}

// After forgetting nothing of the member's is left in what the club exports: no name, no words, no key.
func TestForgettingLeavesNothingBehind(t *testing.T) {
	c := newMonday(t, "Ada", "Zebedee")
	for _, text := range []string{"B 21/18/15/24 as written", "my left knee twinged quietly", "can I use the wobbly kettle?", "kit: sandbag", "limits: quiet", "no pain"} {
		c.say("Zebedee", text)
	}
	c.ids["coach"] = "coach"
	c.say("coach", "questions")
	c.say("Ada", "board B")
	if got := c.say("Zebedee", "forget me").Text; got != textForgetAsk {
		t.Errorf("asked: %q", got)
	}
	if _, ok := c.bot.roster.Get(c.ids["Zebedee"]); !ok {
		t.Fatal("forgotten without being sure")
	}
	h, err := c.hear("Zebedee", "bye", "Forget me for good.")
	if err != nil || h.Post.Text != textForgotten || h.Post.Re != "bye" {
		t.Fatalf("answered %+v %v", h.Post, err)
	}
	var all bytes.Buffer
	if err := c.bot.club.Export(context.Background(), &all); err != nil {
		t.Fatal(err)
	}
	for _, trace := range []string{"Zebedee", "twinged", "wobbly", "sandbag", "mail:" + c.ids["Zebedee"], "ledger:" + c.ids["Zebedee"], "said:" + c.ids["Zebedee"]} {
		if strings.Contains(all.String(), trace) {
			t.Errorf("the club still holds %q", trace)
		}
	}
	if _, err := c.hear("Zebedee", "bye", "Forget me for good."); problemCode(err) != "not_found" {
		t.Errorf("afterwards: %v", err)
	}
	if log, err := c.bot.After(context.Background(), "coach", -1); err != nil || strings.Contains(fmt.Sprint(log.Posts), "wobbly") {
		t.Errorf("the coach's conversation: %v", err)
	}
	if found, err := c.bot.Rebuild(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("ledger and boards differ: %v %v", found, err)
	}
}

func TestLongDataTellsHowMuchMoreThereIs(t *testing.T) {
	c := newMonday(t, "Ada")
	for i := range dataNotes + 7 {
		c.say("Ada", fmt.Sprintf("a thought, number %d", i))
	}
	got := c.say("Ada", "data").Text
	for _, want := range []string{"Notes for your coach (17)", "… and 7 more. All of it, as a file: ", "number 16", "Name: Ada"} {
		if !strings.Contains(got, want) {
			t.Errorf("data lacks %q:\n%s", want, got)
		}
	}
	if strings.Contains(got, "number 6\n") {
		t.Errorf("an old note is among the latest:\n%s", got)
	}
}

// Who pauses until a day gets that day's session, and none before; the report calls them excused.
func TestAPauseUntilADayEndsByItself(t *testing.T) {
	c := newMonday(t, "Ada", "Bo")
	c.say("Ada", "away till thursday")
	for day, want := range map[int]bool{1: false, 2: false, 3: true} {
		d := monday.AddDays(day)
		c.clock.set(time.Date(2027, 2, 1+day, 7, 0, 0, 0, time.UTC))
		c.send(d, strings.Replace(sheetA, "2027-02-01", d.String(), 1))
		log, err := c.bot.After(context.Background(), c.ids["Ada"], -1)
		if err != nil {
			t.Fatal(err)
		}
		got := false
		for _, p := range log.Posts {
			got = got || p.Kind == SessionPost && p.Date == d
		}
		if got != want {
			t.Errorf("the session of %s came: %t, want %t", d, got, want)
		}
		r, err := c.bot.Report(context.Background(), d)
		if err != nil {
			t.Fatal(err)
		}
		if excused := len(r.Paused) == 1 && r.Paused[0].Name == "Ada"; excused == want {
			t.Errorf("%s: excused %t of %+v, missing %+v", d, excused, r.Paused, r.Missing)
		}
	}
}

func TestListsOfThings(t *testing.T) {
	known := content.Builtin().FindKit
	old := []string{"backpack", "towel"}
	for text, want := range map[string]string{
		"kettlebell": "kettlebell", "kettlebell, mat": "kettlebell mat", "add kettlebell": "backpack kettlebell towel",
		"+ kettlebell": "backpack kettlebell towel", "plus a mat and kettlebell": "backpack kettlebell mat towel", "no towel": "backpack",
		"without towel, backpack": "", "none": "", "nothing": "", "mat, no mat": "", "a mat + kettlebell": "kettlebell mat",
		"towel, add mat, no towel": "mat", "barbell and plates": "barbell", "no backpack; add door": "door towel", "TOWEL": "towel",
	} {
		l := readList(text, known)
		if got := strings.Join(l.on(old), " "); len(l.unknown) > 0 || got != want {
			t.Errorf("%q makes %q of %v (unknown %q), want %q", text, got, old, l.unknown, want)
		}
	}
	for text, want := range map[string]string{"zeppelin": "zeppelin", "towel, zeppelin and mat": "zeppelin", "add zeppelin, no anvil": "zeppelin anvil"} {
		if got := strings.Join(readList(text, known).unknown, " "); got != want {
			t.Errorf("%q: unknown %q, want %q", text, got, want)
		}
	}
}

func TestEveryLimitHasItsSpellingsAndSuggestions(t *testing.T) {
	for typed, l := range limitSpellings {
		if got, ok := findLimit(strings.ToUpper(typed)); !ok || got != l {
			t.Errorf("%q is %q", typed, got)
		}
	}
	for _, l := range content.Limits() {
		if got := readList(l, findLimit); len(got.names) != 1 || got.names[0] != l {
			t.Errorf("%q reads as %+v", l, got)
		}
		if got := readList("remove "+l, findLimit); len(got.drop) != 1 || got.drop[0] != l {
			t.Errorf("remove %q reads as %+v", l, got)
		}
		if got := suggestLimits(l + "x"); len(got) == 0 || got[0] != l {
			t.Errorf("%qx suggests %q", l, got)
		}
	}
}

func TestEveryPatternHasAnEverydayName(t *testing.T) {
	named := map[content.Pattern]bool{}
	for _, p := range everydayPatterns {
		named[p.pattern] = true
		for _, w := range append(p.words, string(p.pattern)) {
			for _, text := range []string{w + ": easier", "easier " + w} {
				level, patterns, unknown := readLevel(strings.ToLower(text))
				if level != content.LevelEasier || unknown != "" || len(patterns) == 0 || patterns[len(patterns)-1] != p.pattern {
					t.Errorf("%q reads as %q %q, unknown %q", text, level, patterns, unknown)
				}
			}
		}
	}
	for _, p := range content.Patterns() {
		if !named[p] {
			t.Errorf("%q has no everyday name", p)
		}
	}
}
