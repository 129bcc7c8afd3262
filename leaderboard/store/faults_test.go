package store

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"tallybell/leaderboard/store/embedded"
)

func TestScriptsComeBackAfterAFlush(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		top := int64(0)
		for i := range 3 {
			if err := c.s.client.ScriptFlush(t.Context()).Err(); err != nil {
				t.Fatal(err)
			}
			said := say(t, c, noon, logged("mo", fmt.Sprint(i), top, 1, noon))
			top = said.N
			if said.Outcome != Done {
				t.Fatalf("%+v", said)
			}
			if _, first, err := c.Post(t.Context(), noon, Post{Date: day, OnceID: fmt.Sprint(i), Bucket: "b"}); err != nil || !first {
				t.Fatal(first, err)
			}
			if _, err := c.Change(t.Context(), noon, nil, []Do{{"HSET", c.KeyMembers(), "mo", "{}"}}); err != nil {
				t.Fatal(err)
			}
		}
		if l, _ := c.Ledger(t.Context(), "mo"); len(l) != 6 {
			t.Errorf("%d ledger entries, want 6", len(l))
		}
	})
}

func TestManyAtOnce(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		var wg sync.WaitGroup
		for i := range 200 {
			wg.Go(func() {
				m := fmt.Sprintf("m%d", i)
				top := int64(0)
				for k := range 3 {
					said, err := c.Say(t.Context(), noon, logged(m, fmt.Sprint(k), top, int64(i), noon))
					if err != nil || said.Outcome != Done {
						t.Errorf("%+v %v", said, err)
						return
					}
					top = said.N
				}
			})
		}
		wg.Wait()
		if _, of, err := c.BoardRange(t.Context(), boardA, 0, 1000, 1); err != nil || of != 200 {
			t.Errorf("%d on the board, %v", of, err)
		}
		if n, _, _ := c.Number(t.Context()); n != noon.UnixMicro()+599 {
			t.Errorf("number %d, want %d: one a message", n, noon.UnixMicro()+599)
		}
	})
}

func TestRedisIsKilledAndComesBack(t *testing.T) {
	redis := startRedis(t)
	c := clubOf(t, openRedis(t, redis.url))
	first := say(t, c, noon, logged("mo", "a", 0, 1, noon))
	redis.cmd.Process.Kill()
	redis.cmd.Wait()
	u := logged("mo", "b", first.N, 1, noon)
	if _, err := c.Say(t.Context(), noon, u); !errors.Is(err, ErrNotSaved) {
		t.Fatalf("with no server: %v", err)
	}
	if _, err := c.Change(t.Context(), noon, nil, []Do{c.DoTop("kim")}); !errors.Is(err, ErrNotSaved) {
		t.Fatalf("with no server: %v", err)
	}
	again := exec.Command(redis.cmd.Path, redis.cmd.Args[1:]...)
	again.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL, Setpgid: true}
	if err := again.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { again.Process.Kill(); again.Wait() })
	redis.await(t)
	if got := say(t, c, noon, logged("mo", "a", 0, 1, noon)); got.Outcome != Again || got.N != first.N {
		t.Errorf("the first message after a kill: %+v", got)
	}
	if got := say(t, c, noon, u); got.Outcome != Done {
		t.Errorf("the message that was not saved: %+v", got)
	}
}

// TestLostReply cuts the connection after the server has the pipeline: the message is sent again and comes out once.
func TestLostReply(t *testing.T) {
	redis := startRedis(t)
	c := clubOf(t, openRedis(t, redis.url))
	top := say(t, c, noon, logged("mo", "a", 0, 1, noon)).N
	admin := redis.client(t)
	if err := admin.ClientPause(t.Context(), 200*time.Millisecond).Err(); err != nil {
		t.Fatal(err)
	}
	said := make(chan Said)
	go func() {
		s, err := c.Say(t.Context(), noon, logged("mo", "b", top, 2, noon))
		if err != nil {
			t.Error(err)
		}
		said <- s
	}()
	if err := admin.ClientKillByFilter(t.Context(), "TYPE", "normal", "SKIPME", "yes").Err(); err != nil {
		t.Fatal(err)
	}
	if s := <-said; s.Outcome != Done && s.Outcome != Again {
		t.Errorf("%+v", s)
	}
	if l, _ := c.Ledger(t.Context(), "mo"); len(l) != 4 {
		t.Errorf("%d ledger entries, want 4", len(l))
	}
}

func TestReplicaConfirms(t *testing.T) {
	master := startRedis(t, "--port", freePort(t), "--repl-diskless-sync-delay", "0")
	c := clubOf(t, openRedis(t, master.url))
	port := master.client(t).ConfigGet(t.Context(), "port").Val()["port"]
	replica := startRedis(t, "--replicaof", "127.0.0.1 "+port)
	for linked := false; !linked; {
		linked = master.client(t).Wait(t.Context(), 1, 100*time.Millisecond).Val() == 1
		if t.Context().Err() != nil {
			t.Fatal("the replica never joined")
		}
	}
	c.s.sample(t.Context())
	said := say(t, c, noon, logged("mo", "a", 0, 1, noon))
	if n := replica.client(t).HGet(t.Context(), c.KeyTops(), "mo").Val(); n != itoa(said.N) {
		t.Errorf("the replica has top %q when the answer leaves, want %d", n, said.N)
	}
	if err := replica.cmd.Process.Signal(syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	u := logged("mo", "b", said.N, 1, noon)
	if _, err := c.Say(t.Context(), noon, u); !errors.Is(err, ErrNotSaved) {
		t.Errorf("no replica confirmed: %v, want not saved", err)
	}
	elsewhere := clubOf(t, openRedis(t, master.url)) // connections that have written nothing yet
	if got, err := elsewhere.Say(t.Context(), noon, u); !errors.Is(err, ErrNotSaved) {
		t.Errorf("the repeat, still on no replica: %+v %v, want not saved", got, err)
	}
	if err := replica.cmd.Process.Signal(syscall.SIGCONT); err != nil {
		t.Fatal(err)
	}
	var got Said
	for err := error(ErrNotSaved); errors.Is(err, ErrNotSaved) && t.Context().Err() == nil; {
		got, err = c.Say(t.Context(), noon, u)
	}
	if got.Outcome != Again {
		t.Errorf("the repeat: %+v", got)
	}
}

func freePort(t *testing.T) string {
	t.Helper()
	for p := 21000 + os.Getpid()%8000; p < 32000; p++ {
		l, err := listen(p)
		if err == nil {
			l.Close()
			return strconv.Itoa(p)
		}
	}
	t.Fatal("no free port")
	return ""
}

// fullDisk is the real disk until it is full.
type fullDisk struct {
	embedded.Disk
	full atomic.Bool
}

type fullFile struct {
	embedded.File
	d *fullDisk
}

var errFull = errors.New("the test's disk is full")

func (d *fullDisk) Append(path string) (embedded.File, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o600)
	return fullFile{f, d}, err
}

func (d *fullDisk) Create(path string) (embedded.File, error) {
	if d.full.Load() {
		return nil, errFull
	}
	f, err := os.Create(path)
	return fullFile{f, d}, err
}
func (d *fullDisk) Rename(a, b string) error { return os.Rename(a, b) }
func (d *fullDisk) Remove(p string) error    { return os.Remove(p) }
func (d *fullDisk) SyncDir(string) error     { return nil }

func (f fullFile) Write(b []byte) (int, error) {
	if f.d.full.Load() {
		return 0, errFull
	}
	return f.File.Write(b)
}

func TestFullDisk(t *testing.T) {
	dir, disk := t.TempDir(), &fullDisk{}
	s := open(t, Options{Data: dir, Disk: disk, RetryEvery: time.Nanosecond})
	c := clubOf(t, s)
	first := say(t, c, noon, logged("mo", "a", 0, 1, noon))
	disk.full.Store(true)
	u := logged("mo", "b", first.N, 2, noon)
	for range 2 {
		if _, err := c.Say(t.Context(), noon, u); !errors.Is(err, ErrNotSaved) || !errors.Is(err, errFull) {
			t.Fatalf("full: %v", err)
		}
	}
	if got, err := c.Say(t.Context(), noon, logged("mo", "a", 0, 1, noon)); !errors.Is(err, ErrNotSaved) {
		t.Errorf("a repeat while full: %+v %v", got, err)
	}
	if entries, _, err := c.After(t.Context(), "mo", 0); err == nil {
		t.Errorf("%d entries shown that may be lost", len(entries))
	}
	if h := s.Health(t.Context()); h.OK || h.Err == "" {
		t.Errorf("health %+v", h)
	}
	disk.full.Store(false)
	if got := say(t, c, noon, u); got.Outcome != Again && got.Outcome != Done {
		t.Errorf("sent again: %+v", got)
	}
	if h := s.Health(t.Context()); !h.OK {
		t.Errorf("health %+v", h)
	}
	want := dumpOf(t, c)
	s.Close()
	c = clubOf(t, openData(t, dir))
	if got := dumpOf(t, c); got != want {
		t.Errorf("reopened:\n%s\nwant\n%s", got, want)
	}
	if l, _ := c.Ledger(t.Context(), "mo"); len(l) != 4 {
		t.Errorf("%d ledger entries, want 4", len(l))
	}
}

func TestClosedAndCancelled(t *testing.T) {
	s := open(t, Options{AllowVolatile: true})
	c := clubOf(t, s)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	// the call may have been made all the same: only the error is certain, if there is one
	if _, err := c.Say(ctx, noon, logged("mo", "a", 0, 1, noon)); err != nil && !errors.Is(err, ErrNotSaved) {
		t.Errorf("cancelled: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := c.Say(t.Context(), noon, logged("mo", "b", 0, 1, noon)); !errors.Is(err, ErrNotSaved) || !errors.Is(err, ErrClosed) {
		t.Errorf("closed: %v", err)
	}
	if _, ok := <-c.Subscribe(t.Context()); ok {
		t.Error("a hint from a closed store")
	}
}

// speaker is the environment variable that turns this test binary into a process that speaks until killed.
const speaker = "STORE_TEST_SPEAKER"

// TestKill9 kills a process in the midst of writing, again and again: whatever it was told is saved must be
// there, once.
func TestKill9(t *testing.T) {
	if dir := os.Getenv(speaker); dir != "" {
		speakUntilKilled(t, dir)
		return
	}
	dir := t.TempDir()
	acked := map[string]int64{}
	for round := range 6 {
		for id, n := range killed(t, dir, round) {
			acked[id] = n
		}
		s := openData(t, dir)
		c := clubOf(t, s)
		kept := map[string]int64{}
		for w := range speakers {
			m := fmt.Sprintf("m%d", w)
			entries, _, err := c.After(t.Context(), m, 0)
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range entries {
				id := m + " " + e.Mail.ID
				if _, twice := kept[id]; twice {
					t.Errorf("round %d: %s is there twice", round, id)
				}
				kept[id] = e.N
			}
			if l, _ := c.Ledger(t.Context(), m); len(l) != 2*len(entries) {
				t.Errorf("round %d: %s has %d ledger entries for %d answers", round, m, len(l), len(entries))
			}
		}
		for id, n := range acked {
			if kept[id] != n {
				t.Errorf("round %d: %s was confirmed as %d and is kept as %d", round, id, n, kept[id])
			}
		}
		s.Close()
	}
	if len(acked) < 100 {
		t.Errorf("only %d messages were confirmed in all", len(acked))
	}
}

const speakers = 8

// killed runs a speaking process, kills it after some confirmations, and returns what it was told is saved.
func killed(t *testing.T, dir string, round int) map[string]int64 {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestKill9$")
	cmd.Env = append(os.Environ(), speaker+"="+dir, "STORE_TEST_ROUND="+strconv.Itoa(round))
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	acked := map[string]int64{}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		f := strings.Fields(lines.Text())
		if len(f) != 4 || f[0] != "saved" {
			continue
		}
		n, err := strconv.ParseInt(f[3], 10, 64)
		if err != nil {
			continue // a line cut short by the kill
		}
		acked[f[1]+" "+f[2]] = n
		if len(acked) == 40+17*round {
			cmd.Process.Kill()
		}
	}
	cmd.Wait()
	return acked
}

func speakUntilKilled(t *testing.T, dir string) {
	c := clubOf(t, openData(t, dir))
	var wg sync.WaitGroup
	for w := range speakers {
		wg.Go(func() {
			m := fmt.Sprintf("m%d", w)
			st, err := c.State(t.Context(), m)
			if err != nil {
				t.Error(err)
				return
			}
			for i := 0; i < 5000; i++ {
				id := os.Getenv("STORE_TEST_ROUND") + "-" + strconv.Itoa(i)
				said, err := c.Say(t.Context(), noon, logged(m, id, st.Top, int64(i), noon))
				if err != nil || said.Outcome != Done {
					t.Errorf("%+v %v", said, err)
					return
				}
				st.Top = said.N
				// one write a line, so that a kill cuts at most the last
				os.Stdout.WriteString(fmt.Sprintf("saved %s %s %d\n", m, id, said.N))
			}
		})
	}
	wg.Wait()
}
