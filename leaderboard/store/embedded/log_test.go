package embedded

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/redis/go-redis/v9"
	"go.uber.org/goleak"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// put is a script with effects of every kind, among them some that change nothing.
const put = `
redis.call('HSET', '{c}:club', 'n', ARGV[1], 'format', '1')
redis.call('HDEL', '{c}:club', 'never there')
redis.call('ZADD', '{c}:board', ARGV[1], 'm' .. ARGV[1])
redis.call('ZREM', '{c}:board', 'm' .. (ARGV[1] - 3))
redis.call('SADD', '{c}:set', ARGV[2])
redis.call('XADD', '{c}:mail', 'MAXLEN', '=', '5', ARGV[1] .. '-0', 'fact', ARGV[2])
return redis.call('HGET', '{c}:club', 'n')`

// awkward is text that a careless log would trip over.
const awkward = "*1\r\n$4\r\nEXEX\r\n\x00\xff é\r\n"

type client struct {
	*redis.Client
	s *Server
}

func start(t testing.TB, o Options) client {
	t.Helper()
	s, err := Open(o)
	if err != nil {
		t.Fatal(err)
	}
	c := client{redis.NewClient(&redis.Options{Dialer: s.Dial, Protocol: 2, DisableIdentity: true, MaxRetries: -1}), s}
	t.Cleanup(func() { c.stop() })
	return c
}

func (c client) stop() {
	c.Client.Close()
	c.s.Close()
}

func (c client) put(n int) error {
	return c.s.Write(func() error {
		return c.Eval(context.Background(), put, nil, n, fmt.Sprint(awkward, n%7)).Err()
	})
}

// dump is everything that the server holds, as a snapshot writes it.
func (c client) dump(t testing.TB) string {
	t.Helper()
	var b []byte
	if err := c.s.commands(func(words ...string) error { b = appendCommand(b, words...); return nil }); err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func mustPut(t testing.TB, c client, from, to int) {
	t.Helper()
	for n := from; n <= to; n++ {
		if err := c.put(n); err != nil {
			t.Fatal(err)
		}
	}
}

// filled returns a log with messages in it, without the compaction that a start makes, and what it holds.
func filled(t testing.TB, messages int) (log []byte, dump string) {
	t.Helper()
	dir := t.TempDir()
	c := start(t, Options{Dir: dir})
	mustPut(t, c, 1, messages)
	dump = c.dump(t)
	c.stop()
	b, err := os.ReadFile(filepath.Join(dir, Name))
	if err != nil {
		t.Fatal(err)
	}
	return b, dump
}

func folderWith(t testing.TB, log []byte) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, Name), log, 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestReopenKeepsEverything(t *testing.T) {
	log, want := filled(t, 40)
	dir := folderWith(t, log)
	for range 3 { // a start replays and compacts
		c := start(t, Options{Dir: dir, Warn: func(m string) { t.Error("warned: ", m) }})
		if got := c.dump(t); got != want {
			t.Fatalf("reopened:\n%q\nwant\n%q", got, want)
		}
		if err := c.s.Compact(); err != nil {
			t.Fatal(err)
		}
		if got := c.dump(t); got != want {
			t.Fatal("changed by compaction")
		}
		c.stop()
	}
	small, err := os.Stat(filepath.Join(dir, Name))
	if err != nil || small.Size() >= int64(len(log)) {
		t.Errorf("compacted to %d bytes from %d, %v", small.Size(), len(log), err)
	}
}

func TestLogHoldsEffectsNotScripts(t *testing.T) {
	log, _ := filled(t, 3)
	text := string(log)
	for _, no := range []string{"EVAL", "HGET", "never there"} {
		if strings.Contains(text, no) {
			t.Errorf("the log holds %q", no)
		}
	}
	if got := strings.Count(text, "MULTI\r\n"); got != 3 || strings.Count(text, "\r\nEXEC\r\n") != 3 || strings.Count(text, "ECHO\r\n") != 3 {
		t.Errorf("%d groups, want 3", got)
	}
}

// A command that the server refuses inside a script changes nothing and must not be in the log, which a start would
// refuse.
func TestRefusedCommandIsNotLogged(t *testing.T) {
	dir := t.TempDir()
	c := start(t, Options{Dir: dir})
	mustPut(t, c, 1, 1)
	err := c.s.Write(func() error {
		return c.Eval(context.Background(), "redis.pcall('ZADD', '{c}:club', '1', 'm') return redis.call('HSET', '{c}:club', 'n', '2')", nil).Err()
	})
	if err != nil {
		t.Fatal(err)
	}
	want := c.dump(t)
	log := mustRead(t, filepath.Join(dir, Name))
	if got := start(t, Options{Dir: folderWith(t, log)}).dump(t); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestTornTailAtEveryByte(t *testing.T) {
	log, _ := filled(t, 4)
	_, want := filled(t, 3)
	last := bytes.LastIndex(log, []byte(multi))
	for end := last + 1; end < len(log); end++ {
		for _, zeros := range []int{0, 300} { // what a file system may leave after a power cut
			torn := append(bytes.Clone(log[:end]), make([]byte, zeros)...)
			got, err := replay("log", torn, func([]string) error { return nil })
			if err != nil || got.good != int64(last) || got.torn != int64(len(torn)-last) {
				t.Fatalf("cut at %d of %d with %d zeros: %+v %v", end, len(log), zeros, got, err)
			}
			if (end-last)%23 == 1 {
				startTorn(t, torn, want)
			}
		}
	}
}

// startTorn starts with a torn log, writes on, and starts again.
func startTorn(t *testing.T, torn []byte, want string) {
	t.Helper()
	warned := 0
	dir := folderWith(t, torn)
	c := start(t, Options{Dir: dir, Warn: func(string) { warned++ }})
	if got := c.dump(t); got != want || warned != 1 {
		t.Fatalf("%d bytes: warned %d times; holds what came before: %v", len(torn), warned, got == want)
	}
	mustPut(t, c, 4, 4)
	whole := c.dump(t)
	c.stop()
	c = start(t, Options{Dir: dir, Warn: func(m string) { t.Error(m) }})
	if c.dump(t) != whole {
		t.Fatalf("%d bytes: what was written after is lost", len(torn))
	}
	c.stop()
}

func TestEveryFlippedBitIsRefused(t *testing.T) {
	log, _ := filled(t, 3)
	for i := range log {
		for bit := range 8 {
			bad := bytes.Clone(log)
			bad[i] ^= 1 << bit
			got, err := replay("log", bad, func([]string) error { return nil })
			var damage DamageError
			if !errors.As(err, &damage) {
				t.Fatalf("byte %d bit %d (%q to %q): taken as %+v, %v", i, bit, log[i], bad[i], got, err)
			}
			if damage.Group > int64(i) || damage.Offset < damage.Group {
				t.Fatalf("byte %d: damage reported at %d in the group at %d", i, damage.Offset, damage.Group)
			}
		}
	}
}

func TestDamageRefusesTheStart(t *testing.T) {
	log, _ := filled(t, 5)
	groups := bytes.Count(log, []byte(multi))
	second := len(multi) + bytes.Index(log[len(multi):], []byte(multi))
	flipped := bytes.Clone(log)
	flipped[second+60] ^= 4
	for name, bad := range map[string][]byte{
		"a flipped bit":        flipped,
		"a lost group":         append(bytes.Clone(log[:second]), log[second+bytes.Index(log[second+1:], []byte(multi))+1:]...),
		"a doubled group":      append(bytes.Clone(log[:second]), log...),
		"garbage at the end":   append(bytes.Clone(log), "garbage"...),
		"garbage at the start": append([]byte("garbage"), log...),
		"damage and a torn end": func() []byte {
			b := bytes.Clone(log[:len(log)-30])
			at := second + bytes.Index(b[second:], []byte("$4\r\nHSET"))
			b[at+1] = '9' // a length that runs far on
			return append(b[:at+2], append([]byte("99999"), b[at+2:]...)...)
		}(),
	} {
		dir := folderWith(t, bad)
		_, err := Open(Options{Dir: dir})
		var damage DamageError
		if !errors.As(err, &damage) || !strings.Contains(err.Error(), fmt.Sprintf("at byte %d", damage.Offset)) {
			t.Errorf("%s in %d groups: %v, want a damage with its offset", name, groups, err)
		}
		if kept, _ := os.ReadFile(filepath.Join(dir, Name)); !bytes.Equal(kept, bad) {
			t.Errorf("%s: the damaged file was changed", name)
		}
	}
}

func TestNewerLogIsRefused(t *testing.T) {
	log, _ := filled(t, 1)
	newer := bytes.Replace(log, []byte(logName+" 1 "), []byte(logName+" 2 "), 1)
	if _, err := Open(Options{Dir: folderWith(t, newer)}); err == nil || !strings.Contains(err.Error(), "newer tallybell") {
		t.Errorf("%v", err)
	}
}

func TestSecondProcessIsRefused(t *testing.T) {
	dir := t.TempDir()
	c := start(t, Options{Dir: dir})
	_, err := Open(Options{Dir: dir})
	want := "another tallybell is using " + dir + "; stop it or choose another --data"
	if err == nil || err.Error() != want || !errors.As(err, new(LockedError)) {
		t.Errorf("%v, want %s", err, want)
	}
	c.stop()
	start(t, Options{Dir: dir}).stop()
}

func TestModes(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	c := start(t, Options{Dir: dir})
	mustPut(t, c, 1, 2)
	if err := c.s.Compact(); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]os.FileMode{dir: 0o700, filepath.Dir(dir): 0o700, filepath.Join(dir, Name): 0o600, filepath.Join(dir, "lock"): 0o600} {
		if st, err := os.Stat(path); err != nil || st.Mode().Perm() != want {
			t.Errorf("%s: %v %v, want %v", path, st.Mode(), err, want)
		}
	}
}

func TestFolderThatWasThere(t *testing.T) {
	empty := t.TempDir()
	start(t, Options{Dir: empty, Warn: func(m string) { t.Error(m) }}).stop()
	if st, _ := os.Stat(empty); st.Mode().Perm() != 0o700 {
		t.Errorf("an empty folder stays %v", st.Mode())
	}
	shared, warned := t.TempDir(), 0
	if err := os.WriteFile(filepath.Join(shared, "sheet.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	start(t, Options{Dir: shared, Warn: func(string) { warned++ }}).stop()
	if st, _ := os.Stat(shared); st.Mode().Perm() == 0o700 || warned != 1 {
		t.Errorf("a folder with other things is %v, warned %d times", st.Mode(), warned)
	}
}

func TestWritesOutsideAreRefused(t *testing.T) {
	c := start(t, Options{Dir: t.TempDir()})
	ctx := context.Background()
	for _, cmd := range [][]any{{"HSET", "k", "f", "v"}, {"SET", "k", "v"}, {"MULTI"}, {"FLUSHALL"}, {"EVAL", "return redis.call('SET', 'k', 'v')", 0}} {
		if err := c.Do(ctx, cmd...).Err(); err == nil {
			t.Errorf("%v was made", cmd)
		}
	}
	err := c.s.Write(func() error { return c.Do(ctx, "SET", "k", "v").Err() })
	if err == nil || len(c.s.Keys()) != 0 {
		t.Errorf("a write that the log does not keep: %v, keys %v", err, c.s.Keys())
	}
}

func TestLongPipeline(t *testing.T) {
	c := start(t, Options{Dir: t.TempDir()})
	const calls = 2000
	err := c.s.Write(func() error {
		p := c.Pipeline()
		for i := range calls {
			p.Eval(context.Background(), "return redis.call('HSET', '{c}:club', ARGV[1], ARGV[2])", nil, i, strings.Repeat("x", 1000))
		}
		_, err := p.Exec(context.Background())
		return err
	})
	if n := c.HLen(context.Background(), "{c}:club").Val(); err != nil || n != calls {
		t.Errorf("%d fields, %v", n, err)
	}
	p := c.Pipeline() // requests and replies of megabytes
	for range 50 {
		p.HGetAll(context.Background(), "{c}:club")
		p.HGet(context.Background(), "{c}:club", strings.Repeat("y", 50000))
	}
	if _, err := p.Exec(context.Background()); err != nil && !errors.Is(err, redis.Nil) {
		t.Error(err)
	}
}

func FuzzReplay(f *testing.F) {
	log, _ := filled(f, 3)
	f.Add(log)
	f.Add(log[:len(log)-9])
	f.Add([]byte{})
	f.Add([]byte(multi))
	small, _ := chain{}.appendGroup(nil, appendCommand(nil, "HSET", "k", "f", "v"))
	f.Add(small)
	f.Add(append(bytes.Clone(small), make([]byte, 12)...))
	odd, _ := chain{}.appendGroup(nil, appendCommand(nil, "XADD", "k", "MAXLEN"))
	f.Add(odd)
	f.Fuzz(func(t *testing.T, b []byte) {
		s, err := Open(Options{})
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		apply := s.applier()
		var back []byte
		r := &respReader{b: b}
		got, err := replay("log", b, apply)
		if err != nil {
			var damage DamageError
			if !errors.As(err, &damage) || damage.Group > damage.Offset || damage.Offset > int64(len(b)) {
				t.Fatalf("%v", err)
			}
			return
		}
		// what was accepted is exactly what would be written
		for c := (chain{}); c.seq < got.end.seq; {
			commands, next, err := c.readGroup(r)
			if err != nil {
				t.Fatal(err)
			}
			var body []byte
			for _, words := range commands {
				body = appendCommand(body, words...)
			}
			back, _ = c.appendGroup(back, body)
			c = next
		}
		if !bytes.Equal(back, b[:got.good]) {
			t.Fatalf("accepted %q, would write %q", b[:got.good], back)
		}
		// and a file whose checksums are right never panics either
		forged, _ := chain{}.appendGroup(nil, b)
		_, _ = replay("log", forged, apply)
	})
}

func TestReadWaitsForTheWrite(t *testing.T) {
	held := make(chan struct{})
	disk := &badDisk{inSync: func() { <-held }}
	c := start(t, Options{Dir: t.TempDir(), Disk: disk})
	disk.arm()
	wrote := make(chan error)
	go func() { wrote <- c.put(1) }()
	<-disk.syncing // the write is under way, its effects in memory, its sync not back
	read := make(chan string)
	go func() {
		_ = c.s.Read(func() error { read <- c.HGet(context.Background(), "{c}:club", "n").Val(); return nil })
	}()
	select {
	case v := <-read:
		t.Fatalf("read %q before it was on disk", v)
	case <-time.After(50 * time.Millisecond): // nothing came: the only way to see a wait
	}
	close(held)
	if err := <-wrote; err != nil {
		t.Fatal(err)
	}
	if v := <-read; v != "1" {
		t.Errorf("read %q", v)
	}
}
