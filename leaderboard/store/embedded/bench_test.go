package embedded

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestReplayIsFast replays the effects of 100,000 logged results of 2,000 members; the goal is under 10 s.
func TestReplayIsFast(t *testing.T) {
	if testing.Short() {
		t.Skip("writes a log of 100,000 results")
	}
	const results, members = 100_000, 2000
	fact := strings.Repeat("x", 400)
	var log bytes.Buffer
	var end chain
	var body, group []byte
	for i := range results {
		m, date := fmt.Sprintf("m%d", i%members), fmt.Sprintf("day%d", i/members)
		n := fmt.Sprint(1764072000000000 + i)
		body = appendCommand(body[:0], "HSET", "{c}:results:"+date, "A:time:"+m, fact)
		body = appendCommand(body, "ZADD", "{c}:board:"+date+":A:time:open", fmt.Sprint(i), "1764072000000."+m)
		body = appendCommand(body, "XADD", "{c}:ledger:"+m, n+"-0", "entry", fact)
		body = appendCommand(body, "XADD", "{c}:mail:"+m, n+"-0", "id", n, "fact", fact, "ranks", "1 2")
		body = appendCommand(body, "HSET", "{c}:said:"+m, n, n+" "+fact[:64])
		body = appendCommand(body, "HSET", "{c}:tops", m, n)
		body = appendCommand(body, "HSET", "{c}:club", "n", n, "format", "1")
		group, end = end.appendGroup(group[:0], body)
		log.Write(group)
	}
	dir := folderWith(t, log.Bytes())
	start := time.Now()
	s, err := Open(Options{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	took := time.Since(start)
	t.Logf("%d logged results (%d MB) replayed and compacted in %v", results, log.Len()>>20, took)
	if took > 10*time.Second && !raceDetector {
		t.Errorf("took %v", took)
	}
	if got := s.Field("{c}:tops", "m1999"); got != "1764072000099999" {
		t.Errorf("the last top is %s", got)
	}
	s.Close()
}

// BenchmarkAppend is one group of a typical message, appended and synced.
func BenchmarkAppend(b *testing.B) {
	log := &logFile{disk: osDisk{}, dir: b.TempDir()}
	if _, err := log.open(); err != nil {
		b.Fatal(err)
	}
	body := appendCommand(nil, "XADD", "{c}:mail:m", "1764072000000000-0", "fact", strings.Repeat("x", 1000))
	b.ReportAllocs()
	for b.Loop() {
		if err := log.append(body); err != nil {
			b.Fatal(err)
		}
	}
	log.file.Close()
}
