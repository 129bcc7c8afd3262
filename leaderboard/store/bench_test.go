package store

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/redis/go-redis/v9"

	"tallybell/leaderboard/store/embedded"
)

// benchMembers stand on the board that the benchmarks write to.
const benchMembers = 500

// benchCall is the benchmark's message i of a member, with one result and two divisions.
func benchCall(c *Club, m int, top int64, i int) Utterance {
	u := logged(fmt.Sprintf("m%d", m), fmt.Sprintf("%d-%d", m, i), top, int64((m*7919+i)%100000), noon)
	women := boardA
	women.Division = "women"
	u.Moves.In = append(u.Moves.In, Place{women, u.Moves.In[0].SetMember, u.Moves.In[0].Score})
	u.Moves.Ranks = append(u.Moves.Ranks, Span{women, u.Moves.In[0].Score, 0, 1 << 50})
	u.Ledger = u.Ledger[:1]
	return u
}

// BenchmarkSay measures messages a second with 500 members at once, beside the same script in bare pipelines of a
// go-redis client on a server of its own: "ratio" is ours over the bare one's, in alternating rounds.
func BenchmarkSay(b *testing.B) {
	b.Run("embedded", func(b *testing.B) {
		s := open(b, Options{Data: b.TempDir()})
		bare, err := embedded.Open(embedded.Options{})
		if err != nil {
			b.Fatal(err)
		}
		client := redis.NewClient(&redis.Options{Dialer: bare.Dial, Protocol: 2, DisableIdentity: true, ReadTimeout: -1, WriteTimeout: -1})
		b.Cleanup(func() { client.Close(); bare.Close() })
		compare(b, clubOf(b, s), client, bare.Write, embeddedPipeline)
	})
	b.Run("redis", func(b *testing.B) {
		c := clubOf(b, open(b, Options{Redis: []string{startRedis(b).url}}))
		compare(b, c, startRedis(b).client(b), func(f func() error) error { return f() }, maxPipeline)
	})
}

func compare(b *testing.B, c *Club, bare *redis.Client, guard func(func() error) error, size int) {
	const rounds = 4
	tops := make([]int64, benchMembers)
	bareTops := make([]int64, benchMembers)
	for i := range 2 { // every member stands on the boards
		oursRound(b, c, tops, benchMembers, -1-i)
		bareRound(b, c, bare, guard, bareTops, benchMembers, -1-i, size)
	}
	var ours, floor time.Duration
	b.ReportAllocs()
	b.ResetTimer()
	part := max(b.N/rounds, 1)
	for r := range rounds {
		b.StopTimer()
		floor += bareRound(b, c, bare, guard, bareTops, part, r, size)
		b.StartTimer()
		ours += oursRound(b, c, tops, part, r)
	}
	b.StopTimer()
	n := float64(part * rounds)
	b.ReportMetric(n/ours.Seconds(), "msg/s")
	b.ReportMetric(n/floor.Seconds(), "bare/s")
	b.ReportMetric(floor.Seconds()/ours.Seconds(), "ratio")
}

func oursRound(b *testing.B, c *Club, tops []int64, messages, round int) time.Duration {
	var next atomic.Int64
	var wg sync.WaitGroup
	start := time.Now()
	for m := range benchMembers {
		wg.Go(func() {
			for i := next.Add(1); i <= int64(messages); i = next.Add(1) {
				said, err := c.Say(context.Background(), noon, benchCall(c, m, tops[m], round*1_000_000+int(i)))
				if err != nil || said.Outcome != Done {
					b.Errorf("%+v %v", said, err)
					return
				}
				tops[m] = said.N
			}
		})
	}
	wg.Wait()
	return time.Since(start)
}

// bareRound makes the same calls in pipelines of a given size, their arguments prepared beforehand.
func bareRound(b *testing.B, c *Club, client *redis.Client, guard func(func() error) error, tops []int64, messages, round, size int) time.Duration {
	ctx := context.Background()
	if err := client.ScriptLoad(ctx, sayText).Err(); err != nil {
		b.Fatal(err)
	}
	var spent time.Duration
	for at := 0; at < messages; {
		count := min(size, benchMembers, messages-at)
		calls := make([]*call, count)
		for k := range calls {
			m := (at + k) % benchMembers
			var err error
			if calls[k], err = c.sayCall(noon, benchCall(c, m, tops[m], round*1_000_000+at+k), true); err != nil {
				b.Fatal(err)
			}
		}
		start := time.Now()
		cmds := make([]*redis.Cmd, count)
		err := guard(func() error {
			p := client.Pipeline()
			for k, c := range calls {
				cmds[k] = p.Do(ctx, c.args...)
			}
			_, err := p.Exec(ctx)
			return err
		})
		spent += time.Since(start)
		if err != nil {
			b.Fatal(err)
		}
		for k, cmd := range cmds {
			said, err := readSaid(cmd.Val().([]any))
			if err != nil || said.Outcome != Done {
				b.Fatal(said, err)
			}
			tops[(at+k)%benchMembers] = said.N
		}
		at += count
	}
	return spent
}
