package store

import (
	"context"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/redis/go-redis/v9"
	"go.uber.org/goleak"
)

func TestMain(m *testing.M) {
	// A client that lost its server sleeps up to a second in the library before it sees that it was closed.
	goleak.VerifyTestMain(m, goleak.IgnoreAnyFunction("github.com/redis/go-redis/v9/internal/pool.(*ConnPool).tryDial"))
}

// noon is a fixed store-clock time for tests.
var noon = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// onBoth runs a test on the embedded server and on a real Redis, each with a fresh club.
func onBoth(t *testing.T, test func(t *testing.T, c *Club)) {
	t.Helper()
	t.Run("embedded", func(t *testing.T) { test(t, clubOf(t, openData(t, t.TempDir()))) })
	t.Run("redis", func(t *testing.T) { test(t, clubOf(t, openRedis(t, startRedis(t).url))) })
}

func clubOf(t testing.TB, s *Store) *Club {
	t.Helper()
	c, err := s.Club("lantern-hall")
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func openData(t testing.TB, dir string) *Store {
	t.Helper()
	return open(t, Options{Data: dir})
}

func openRedis(t testing.TB, urls ...string) *Store {
	t.Helper()
	return open(t, Options{Redis: urls})
}

func open(t testing.TB, o Options) *Store {
	t.Helper()
	s, err := Open(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// realRedis is a server that a test started.
type realRedis struct {
	url, socket string
	cmd         *exec.Cmd
}

// startRedis starts a server with the settings that the store asks for, unless others are given after them.
func startRedis(t testing.TB, settings ...string) realRedis {
	t.Helper()
	path, err := exec.LookPath("redis-server")
	if err != nil {
		if os.Getenv("TALLYBELL_TEST_ALL") != "" {
			t.Fatal("no redis-server here; install it with: apt-get install -y --no-install-recommends redis-server redis-tools")
		}
		t.Skip("no redis-server here; install it with: apt-get install -y --no-install-recommends redis-server redis-tools")
	}
	dir, err := os.MkdirTemp("", "r") // short: the path of a socket has at most 108 bytes
	if err != nil {
		t.Fatal(err)
	}
	socket := filepath.Join(dir, "s")
	args := []string{"--port", "0", "--unixsocket", socket, "--dir", dir, "--save", "", "--appendonly", "yes",
		"--appendfsync", "always", "--maxmemory-policy", "noeviction"}
	cmd := exec.Command(path, append(args, settings...)...)
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL, Setpgid: true}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		cmd.Process.Kill()
		cmd.Wait()
		os.RemoveAll(dir)
	})
	r := realRedis{url: "unix://" + socket, socket: socket, cmd: cmd}
	r.await(t)
	return r
}

// await waits until the server answers.
func (r realRedis) await(t testing.TB) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	tick := time.NewTicker(time.Millisecond)
	defer tick.Stop()
	for {
		if conn, err := net.Dial("unix", r.socket); err == nil {
			reply := make([]byte, 5)
			conn.Write([]byte("PING\r\n"))
			_, err = conn.Read(reply)
			conn.Close()
			if err == nil && string(reply) == "+PONG" {
				return
			}
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			t.Fatal("redis-server did not answer within 10 s")
		}
	}
}

// client speaks to the server past the store.
func (r realRedis) client(t testing.TB) *redis.Client {
	c := redis.NewClient(&redis.Options{Network: "unix", Addr: r.socket, Protocol: 2, DisableIdentity: true})
	t.Cleanup(func() { c.Close() })
	return c
}
