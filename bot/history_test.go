package bot

import (
	"context"
	"testing"

	"tallybell/content"
)

func TestHistoryFindsWhatCameAgain(t *testing.T) {
	c := newClub(t, "Ada")
	c.on(monday)
	c.say("Ada", "D 14:30 as written")
	c.say("Ada", "A 3x8 60 kg")
	c.on(monday.AddDays(7))
	c.say("Ada", "D 13:00 scaled")
	c.on(monday.AddDays(14))
	c.say("Ada", "capped 2+14 as written")
	c.on(monday.AddDays(21))
	c.say("Ada", "D 14:08 as written")
	c.say("Ada", "C 5+3 as written")
	c.say("Ada", "A 12/10/9 50 kg")
	h, err := c.bot.History(context.Background(), c.ids["Ada"], true)
	if err != nil {
		t.Fatal(err)
	}
	if len(h.Results) != 7 || h.Results[0].Date != monday.AddDays(21) || h.Results[0].Part != "A" || h.Results[6].Part != "D" {
		t.Errorf("%d results: %+v", len(h.Results), h.Results)
	}
	if len(h.Pieces) != 2 {
		t.Fatalf("%d pieces came again: %+v", len(h.Pieces), h.Pieces)
	}
	for _, p := range h.Pieces {
		if p.Kind != content.KindTime {
			if p.Name != "push-up" || len(p.Results) != 2 || p.Results[1].Change != "10 kg less" {
				t.Errorf("%+v", p)
			}
			continue
		}
		if p.Name != "5 rounds for time: 16 squat, 12 push-up" || len(p.Results) != 4 {
			t.Errorf("%q with %d results", p.Name, len(p.Results))
		}
		for i, want := range []struct {
			show, change string
			best         bool
		}{{"14:30", "", false}, {"13:00", "", false}, {"cap at 70 reps", "", false}, {"14:08", "", true}} {
			if r := p.Results[i]; r.Show != want.show || r.Change != want.change || r.Best != want.best {
				t.Errorf("%s, %q, best %v; want %+v", r.Show, r.Change, r.Best, want)
			}
		}
	}
	// The heaviest set, by load: 60 kg for 8; three sets at 50 kg are lighter.
	if len(h.Heaviest) != 1 || h.Heaviest[0].LoadG != 60_000 || h.Heaviest[0].Reps != 8 || h.Heaviest[0].EpleyG != 76_000 || h.Heaviest[0].BrzyckiG != 74_483 {
		t.Errorf("%+v", h.Heaviest)
	}
	own, err := c.bot.History(context.Background(), c.ids["Ada"], false)
	if err != nil || own.Heaviest != nil {
		t.Errorf("their own page holds estimates: %v %+v", err, own.Heaviest)
	}
	if _, err := c.bot.History(context.Background(), "nobody", true); asProblem(err) == nil {
		t.Errorf("nobody's history: %v", err)
	}
}
