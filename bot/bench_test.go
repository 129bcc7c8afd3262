package bot

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// benchMembers log at once; benchSpeakers is how many messages are under way together.
const (
	benchMembers  = 192 // a multiple of benchSpeakers: a member's messages come from one goroutine, in order
	benchSpeakers = 32
)

// BenchmarkLoggedResult is a result from message to rank: read, decided, written by the script, answered. The floor,
// measured in the same run, is the product's own script through the same pipelines with nothing around it; "floor/op"
// is the share of it that is left: 1 would be free.
func BenchmarkLoggedResult(b *testing.B) {
	names := make([]string, benchMembers)
	for i := range names {
		names[i] = fmt.Sprintf("member %d", i)
	}
	c := newMonday(b, names...)
	c.clock.forward(time.Second)
	b.ReportAllocs()
	b.ResetTimer()
	start := time.Now()
	spread(b.N, func(i int) {
		text := fmt.Sprintf("D %d:%02d scaled", 10+i%5, i%60)
		if _, err := c.hear(names[i%benchMembers], fmt.Sprintf("b%d", i), text); err != nil {
			b.Error(err)
		}
	})
	ours := time.Since(start)
	b.StopTimer()
	floor := bareSay(b, c, names)
	b.ReportMetric(float64(floor)/float64(ours), "floor/op")
}

// spread runs f for 0 to n-1 from many goroutines, those of one member from one of them.
func spread(n int, f func(i int)) {
	var wg sync.WaitGroup
	for s := range benchSpeakers {
		wg.Go(func() {
			for i := s; i < n; i += benchSpeakers {
				f(i)
			}
		})
	}
	wg.Wait()
}

// bareSay writes as many results by the script alone and returns the time that it took.
func bareSay(b *testing.B, c *club, names []string) time.Duration {
	ctx := context.Background()
	tops := make([]atomic.Int64, benchMembers)
	ids := make([]string, benchMembers)
	for i, n := range names {
		ids[i] = c.ids[n]
	}
	now, err := c.bot.Tops(ctx, ids)
	if err != nil {
		b.Fatal(err)
	}
	for i := range now {
		tops[i].Store(now[i])
	}
	sheet, _ := content.Parse("2027-02-01.txt", []byte(sheetA))
	part, _ := sheet.Part("D")
	utterances := make([]store.Utterance, b.N)
	for i := range utterances {
		yes := true
		r := content.Result{Kind: content.KindTime, Finished: &yes, TimeMS: int64(600_000 + i%60_000), Version: content.Scaled}
		rec := leaderboard.NewRecord(ids[i%benchMembers], monday, *part, *part, r, 1_800_000_000_000, c.clock.Now(), []string{"women"})
		w, err := leaderboard.Writes(nil, &rec)
		if err != nil {
			b.Fatal(err)
		}
		entry, err := leaderboard.LedgerEntry{Kind: leaderboard.Logged, Who: rec.Member, At: rec.At, New: &rec}.Encode()
		if err != nil {
			b.Fatal(err)
		}
		utterances[i] = store.Utterance{Member: rec.Member, ID: fmt.Sprintf("f%d", i), Digest: "x", Results: w,
			Moves: leaderboard.Change(nil, &rec, false), Ledger: [][]byte{entry}, Fact: answer{Kind: AnswerPost, Said: "D 14:32 scaled"}.bytes()}
	}
	start := time.Now()
	spread(b.N, func(i int) {
		u := utterances[i]
		top := &tops[i%benchMembers]
		u.Top = top.Load()
		said, err := c.bot.club.Say(ctx, c.clock.Now(), u)
		if err != nil || said.Outcome != store.Done {
			b.Errorf("the floor's script: %v %v", said.Outcome, err)
		}
		top.Store(said.N)
	})
	return time.Since(start)
}

// BenchmarkRender is one delivery of a session to 10,000 members of 40 fits: a rendering a fit.
func BenchmarkRender(b *testing.B) {
	c := newMonday(b, "Ada")
	facts, _, err := c.bot.PostsAfter(context.Background(), 0)
	if err != nil || len(facts) == 0 {
		b.Fatalf("no post: %v", err)
	}
	f := facts[0]
	fits := make([]content.Fit, 40)
	for i := range fits {
		fits[i] = content.Fit{Kit: []string{fmt.Sprintf("kit %d", i)}}
	}
	b.ReportAllocs()
	for b.Loop() {
		for i := range 10_000 {
			if _, err := c.bot.Render(context.Background(), f, fits[i%len(fits)]); err != nil {
				b.Fatal(err)
			}
		}
	}
}
