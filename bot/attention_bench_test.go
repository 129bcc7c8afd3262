package bot

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// fullClub is a club of many members with results for many days, written as the bot writes them. What each of them did
// is invented by arithmetic.
func fullClub(t testing.TB, members, days int) *club {
	c := newClub(t)
	ctx := context.Background()
	list := make([]roster.NewMember, members)
	for i := range list {
		list[i] = roster.NewMember{Name: fmt.Sprintf("Invented %d", i), Division: "women", OnBoards: true}
	}
	c.clock.set(time.Date(2026, 12, 1, 7, 0, 0, 0, time.UTC))
	var in []roster.Invited
	for some := range slices.Chunk(list, 500) {
		added, err := c.bot.roster.Add(ctx, c.clock.Now(), some, "")
		if err != nil {
			t.Fatal(err)
		}
		in = append(in, added...)
	}
	for i := range in {
		if _, _, err := c.bot.roster.Join(ctx, c.clock.Now(), in[i].Invite, ""); err != nil {
			t.Fatal(err)
		}
	}
	for day := days - 1; day >= 0; day-- {
		d := monday.AddDays(-day)
		c.clock.set(time.Date(d.Year, d.Month, d.Day, 6, 30, 0, 0, time.UTC))
		c.send(d, strings.Replace(sheetA, "2027-02-01", d.String(), 1))
		c.fill(in, d, day)
	}
	c.clock.forward(24 * time.Hour)
	return c
}

// fill writes three results for seven members in ten.
func (c *club) fill(in []roster.Invited, d content.Date, day int) {
	s, err := c.bot.Session(context.Background(), d)
	if err != nil {
		c.t.Fatal(err)
	}
	tops, err := c.bot.Tops(context.Background(), idsOf(in))
	if err != nil {
		c.t.Fatal(err)
	}
	spread(len(in), func(i int) {
		if (i+day)%10 >= 7 {
			return
		}
		u := store.Utterance{Member: in[i].ID, Top: tops[i], ID: "fill" + d.String(), Digest: "x", Fact: answer{Kind: AnswerPost}.bytes()}
		yes, reps, effort := true, int64(100+i%60), 5+float64((i+day)%9)/2
		for _, r := range []content.Result{
			{Kind: content.KindDone, SetReps: []int64{8, 8, 8}},
			{Kind: content.KindReps, Reps: &reps, Counts: []int64{30, 20, 30, 20 + int64(i%60)}, Version: content.AsWritten},
			{Kind: content.KindTime, Finished: &yes, TimeMS: int64(700_000 + (i*7919+day*104729)%200_000), Version: content.AsWritten, Effort: &effort},
		} {
			p, _ := s.Part(map[content.Kind]string{content.KindDone: "A", content.KindReps: "B", content.KindTime: "D"}[r.Kind])
			rec := leaderboard.NewRecord(in[i].ID, d, *p, *p, r, 0, c.clock.Now(), []string{"women"})
			w, err := leaderboard.Writes(nil, &rec)
			if err != nil {
				c.t.Error(err)
			}
			e, err := leaderboard.LedgerEntry{Kind: leaderboard.Logged, Who: rec.Member, At: rec.At, New: &rec}.Encode()
			if err != nil {
				c.t.Error(err)
			}
			m := leaderboard.Change(nil, &rec, false)
			u.Results, u.Moves.In, u.Ledger = append(u.Results, w...), append(u.Moves.In, m.In...), append(u.Ledger, e)
		}
		if said, err := c.bot.club.Say(context.Background(), c.clock.Now(), u); err != nil || said.Outcome != store.Done {
			c.t.Errorf("filling: %v %v", said.Outcome, err)
		}
	})
}

func idsOf(in []roster.Invited) []string {
	out := make([]string, len(in))
	for i := range in {
		out[i] = in[i].ID
	}
	return out
}

// BenchmarkReport is the morning report of 2,000 members after 30 days: it is to take less than a second.
func BenchmarkReport(b *testing.B) {
	c := fullClub(b, 2000, 30)
	b.ReportAllocs()
	for b.Loop() {
		r, err := c.bot.Report(context.Background(), monday)
		if err != nil || len(r.Answered) != 1400 {
			b.Fatalf("%d answered: %v", len(r.Answered), err)
		}
	}
}
