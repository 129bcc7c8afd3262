package bot

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"testing"

	"github.com/rs/zerolog"

	"tallybell/bot/roster"
	"tallybell/leaderboard/store"
)

// fresh is a club that nobody has used, as a server makes it on an empty store.
func fresh(t testing.TB) *Bot { return newClub(t).bot }

// A club with a bit of everything comes out and in again, and goes on where it was.
func TestAClubGoesOnAfterItsImport(t *testing.T) {
	c := newMonday(t, "Ada", "Bo")
	for _, text := range []string{"D 14:32", "my knee hurts", "kit: backpack", "what is a bridge?", "level easier", "pause until friday", "resume"} {
		c.say("Ada", text)
	}
	c.say("Bo", "B 21/18/15/24 as written")
	whole := exportOf(t, c)
	b := fresh(t)
	if err := b.Import(context.Background(), strings.NewReader(whole)); err != nil {
		t.Fatal(err)
	}
	var again bytes.Buffer
	if err := b.Export(context.Background(), &again); err != nil || again.String() != whole {
		t.Fatalf("exported again it differs: %v", err)
	}
	if err := b.Import(context.Background(), strings.NewReader(whole)); problemCode(err) != "conflict" {
		t.Errorf("over a club: %v", err)
	}
	people, err := roster.New(context.Background(), b.club, b.Club())
	if err != nil {
		t.Fatal(err)
	}
	there, err := New(context.Background(), Options{Club: b.club, Roster: people, Clock: c.clock, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = there.Close() })
	for _, x := range []struct{ name, text string }{{"Ada", "as written"}, {"Bo", "fix B 21/18/15/25"}, {"Ada", "board B"}, {"Ada", "me"}} {
		m := Message{From: c.ids[x.name], ID: "later " + x.text, Text: x.text}
		h, err := c.bot.Hear(context.Background(), m)
		if err != nil {
			t.Fatal(err)
		}
		h2, err := there.Hear(context.Background(), m)
		if err != nil || h.Post.Text != h2.Post.Text {
			t.Errorf("%s: %q answers\n%s\nand after the import\n%s (%v)", x.name, x.text, h.Post.Text, h2.Post.Text, err)
		}
	}
	if found, err := there.Rebuild(context.Background()); err != nil || len(found) > 0 {
		t.Errorf("ledger and boards differ: %v %v", found, err)
	}
}

// A record that could not be read later is refused with its line, and nothing of what anybody wrote is in the message.
func TestADamagedRecordIsToldByItsLine(t *testing.T) {
	c := newMonday(t, "Ada")
	c.say("Ada", "D 14:32 as written, it was quiet")
	whole := exportOf(t, c)
	for name, damage := range map[string]struct{ find, put, says string }{
		"a profile":        {`\\"role\\":\\"member\\"`, `\"role\":\"guest\"`, "a profile of neither"},
		"a zone":           {`\\"zone\\":\\"UTC\\"`, `\"zone\":\"Moon/Base\"`, "a time zone that is not known"},
		"a ledger entry":   {`\\"kind\\":\\"result\\"`, `\"kind\":\"wish\"`, "a ledger entry that makes no sense"},
		"a result":         {`"D:time:` + c.ids["Ada"], `"E:time:` + c.ids["Ada"], "a result of another date"},
		"a message":        {`"fact","\{`, `"fact","`, "a message that is no JSON"},
		"a post":           {`"date","2027-02-01","bucket"`, `"date","soon","bucket"`, "a post that cannot be read"},
		"results, no date": {`"results:2027-02-01"`, `"results:monday"`, "results of no date"},
	} {
		at := regexp.MustCompile(damage.find).FindStringIndex(whole)
		if at == nil {
			t.Fatalf("%s: %s is not in the export", name, damage.find)
		}
		b := fresh(t)
		before := exportOf(t, &club{t: t, bot: b})
		err := b.Import(context.Background(), strings.NewReader(whole[:at[0]]+damage.put+whole[at[1]:]))
		if problemCode(err) != "invalid" || !strings.Contains(err.Error(), damage.says) || !regexp.MustCompile(`line \d+: `).MatchString(err.Error()) {
			t.Errorf("%s: %v", name, err)
		}
		if err != nil && (strings.Contains(err.Error(), "Ada") || strings.Contains(err.Error(), "quiet")) {
			t.Errorf("%s: the message tells what was written: %v", name, err)
		}
		if exportOf(t, &club{t: t, bot: b}) != before {
			t.Errorf("%s: something stayed", name)
		}
	}
	if err := CheckRecord(store.ExportRecord{Key: "somethingnew", Field: "a", Value: "b"}); err != nil {
		t.Errorf("a key that this version only carries along: %v", err)
	}
}
