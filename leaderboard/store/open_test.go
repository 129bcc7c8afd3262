package store

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tallybell/leaderboard/store/embedded"
)

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	openData(t, dir)
	for name, tt := range map[string]struct {
		o    Options
		want string
	}{
		"nothing that lasts": {Options{}, "--allow-volatile"},
		"a folder in use":    {Options{Data: dir}, "another tallybell is using " + dir + "; stop it or choose another --data"},
		"no URL":             {Options{Redis: []string{"localhost:6379"}}, "Redis URL number 1"},
		"nobody there":       {Options{Redis: []string{"unix://" + filepath.Join(dir, "no")}}, "does not answer"},
	} {
		s, err := Open(t.Context(), tt.o)
		if err == nil {
			s.Close()
		}
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q", name, err, tt.want)
		}
	}
	_, err := Open(t.Context(), Options{Redis: []string{"redis://:secret@bad host:1"}})
	if err == nil || strings.Contains(err.Error(), "secret") {
		t.Errorf("the error gives the password away: %v", err)
	}
}

// RD6 and RD7 (Redis documentation, persistence): only appendfsync always syncs before it replies, and only
// noeviction never throws a key out.
func TestVolatileRedis(t *testing.T) {
	for setting, want := range map[string]string{
		"--appendonly no": `appendonly is "no"`, "--appendfsync everysec": `appendfsync is "everysec"`,
		"--maxmemory-policy allkeys-lru": `maxmemory-policy is "allkeys-lru"`,
	} {
		url := startRedis(t, strings.Fields(setting)...).url
		s, err := Open(t.Context(), Options{Redis: []string{url}})
		if err == nil {
			s.Close()
		}
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "--allow-volatile") {
			t.Errorf("%s: %v, want %s", setting, err, want)
		}
		h := open(t, Options{Redis: []string{url}, AllowVolatile: true}).Health(t.Context())
		if !h.OK || h.Persistent || !strings.Contains(h.Warning, want) {
			t.Errorf("%s, allowed: %+v", setting, h)
		}
	}
}

func TestHealth(t *testing.T) {
	redis := startRedis(t)
	s := openRedis(t, redis.url)
	if h := s.Health(t.Context()); h != (Health{OK: true, Persistent: true}) {
		t.Errorf("redis: %+v", h)
	}
	if err := redis.client(t).ConfigSet(t.Context(), "appendfsync", "no").Err(); err != nil {
		t.Fatal(err)
	}
	s.sample(t.Context())
	if h := s.Health(t.Context()); h.Persistent || !strings.Contains(h.Warning, "appendfsync") {
		t.Errorf("set to forget while it runs: %+v", h)
	}
	redis.cmd.Process.Kill()
	redis.cmd.Wait()
	if h := s.Health(t.Context()); h.OK || h.Err == "" {
		t.Errorf("killed: %+v", h)
	}
	if h := openData(t, t.TempDir()).Health(t.Context()); h != (Health{OK: true, Persistent: true, Embedded: true}) {
		t.Errorf("embedded: %+v", h)
	}
	if h := open(t, Options{AllowVolatile: true}).Health(t.Context()); !h.OK || h.Persistent || h.Warning == "" {
		t.Errorf("in memory: %+v", h)
	}
}

func TestNewerFormatIsRefused(t *testing.T) {
	redis := startRedis(t)
	s := openRedis(t, redis.url)
	c := clubOf(t, s)
	say(t, c, noon, logged("mo", "a", 0, 1, noon))
	if err := redis.client(t).HSet(t.Context(), c.KeyClub(), "format", "2").Err(); err != nil {
		t.Fatal(err)
	}
	if _, err := c.Say(t.Context(), noon, logged("mo", "b", 0, 1, noon)); !errors.Is(err, ErrNewerFormat) || !errors.Is(err, ErrNotSaved) {
		t.Errorf("say: %v", err)
	}
	if _, _, err := c.Post(t.Context(), noon, Post{Date: day, OnceID: "x", Bucket: "b"}); !errors.Is(err, ErrNewerFormat) {
		t.Errorf("post: %v", err)
	}
	if _, err := c.Change(t.Context(), noon, nil, nil); !errors.Is(err, ErrNewerFormat) {
		t.Errorf("change: %v", err)
	}
	if _, err := openRedis(t, redis.url).Club(c.ID()); !errors.Is(err, ErrNewerFormat) {
		t.Errorf("club: %v", err)
	}
	if _, err := s.Club("another"); err != nil {
		t.Errorf("another club: %v", err)
	}
}

func TestNewerFolderIsRefused(t *testing.T) {
	dir := t.TempDir()
	e, err := embedded.Open(embedded.Options{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	conn, err := e.Dial(t.Context(), "", "")
	if err != nil {
		t.Fatal(err)
	}
	if err := e.Write(func() error {
		_, err := conn.Write([]byte("*4\r\n$4\r\nHSET\r\n$8\r\n{a}:club\r\n$6\r\nformat\r\n$1\r\n9\r\n"))
		if err == nil {
			_, err = conn.Read(make([]byte, 16))
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	conn.Close()
	e.Close()
	if _, err := Open(t.Context(), Options{Data: dir}); !errors.Is(err, ErrNewerFormat) || !strings.Contains(err.Error(), "format 9") {
		t.Errorf("%v", err)
	}
}

func TestClubID(t *testing.T) {
	s := open(t, Options{AllowVolatile: true})
	for id, ok := range map[string]bool{
		"a": true, "lantern-hall": true, "0123456789abcdef0123456789abcdef": true,
		"": false, "A": false, "a b": false, "a}b": false, "é": false, "0123456789abcdef0123456789abcdef0": false, "a\n": false,
	} {
		c, err := s.Club(id)
		if (err == nil) != ok || ok && c.ID() != id {
			t.Errorf("%q: %v", id, err)
		}
	}
}

func TestStoreClock(t *testing.T) {
	var k storeClock
	local := time.Now()
	server := time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC)
	k.set(server, local)
	if got, slept := k.at(local.Add(42 * time.Second)); slept || !got.Equal(server.Add(42*time.Second)) {
		t.Errorf("carried to %v, slept %v", got, slept)
	}
	s := openRedis(t, startRedis(t).url)
	if d := time.Since(s.Now()).Abs(); d > time.Second {
		t.Errorf("a server on this machine is %v off", d)
	}
	fixed := open(t, Options{AllowVolatile: true, Now: func() time.Time { return noon }})
	var c Clock = fixed
	if !c.Now().Equal(noon) {
		t.Errorf("given time: %v", c.Now())
	}
}

func TestNightly(t *testing.T) {
	at := func(d, h, m int) time.Time { return time.Date(2026, 11, d, h, m, 0, 0, time.Local) }
	for _, tt := range []struct {
		last, now time.Time
		want      bool
	}{
		{at(24, 3, 0), at(25, 2, 59), false}, {at(24, 3, 0), at(25, 3, 0), true}, {at(25, 3, 0), at(25, 3, 1), false},
		{at(25, 3, 0), at(25, 12, 0), false}, {at(25, 3, 59), at(26, 3, 0), true},
	} {
		if got := nightly(tt.last, tt.now); got != tt.want {
			t.Errorf("last %v, now %v: %v", tt.last, tt.now, got)
		}
	}
}

func FuzzSetMember(f *testing.F) {
	f.Add("1764072000000.mo")
	f.Add("0000000000000.a.b")
	f.Add("12.x")
	f.Add("17640720000000000000000.x")
	f.Fuzz(func(t *testing.T, s string) {
		ms, member, err := ParseSetMember(s)
		if err == nil && SetMemberMS(ms, member) != s {
			t.Errorf("%q read as %d %q", s, ms, member)
		}
	})
}

func TestSetMember(t *testing.T) {
	if got := SetMember(time.UnixMilli(1764072000123), "mo"); got != "1764072000123.mo" {
		t.Error(got)
	}
	if got := SetMemberMS(5, "mo"); got != "0000000000005.mo" {
		t.Error(got)
	}
	for _, bad := range []string{"", "mo", ".mo", "1764072000123", "1764072000123.", "176407200012.mo", "17640720001x3.mo", "+764072000123.mo"} {
		if _, _, err := ParseSetMember(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

// TestPipeIntoRedis moves an embedded club to a real Redis with redis-cli --pipe and compares everything.
func TestPipeIntoRedis(t *testing.T) {
	cli, err := exec.LookPath("redis-cli")
	if err != nil {
		if os.Getenv("TALLYBELL_TEST_ALL") != "" {
			t.Fatal("no redis-cli here; install it with: apt-get install -y --no-install-recommends redis-tools")
		}
		t.Skip("no redis-cli here; install it with: apt-get install -y --no-install-recommends redis-tools")
	}
	redis := startRedis(t)
	for _, compact := range []bool{false, true} {
		dir := t.TempDir()
		s := openData(t, dir)
		c, err := s.Club(map[bool]string{false: "appended", true: "compacted"}[compact])
		if err != nil {
			t.Fatal(err)
		}
		furnish(t, c)
		if compact {
			if err := s.local.Compact(); err != nil {
				t.Fatal(err)
			}
		}
		log := openLog(t, filepath.Join(dir, embedded.Name))
		cmd := exec.Command(cli, "-s", redis.socket, "--pipe")
		cmd.Stdin = log
		out, err := cmd.CombinedOutput()
		if err != nil || !strings.Contains(string(out), "errors: 0,") {
			t.Fatalf("redis-cli --pipe: %v\n%s", err, out)
		}
		moved, err := openRedis(t, redis.url).Club(c.ID())
		if err != nil {
			t.Fatal(err)
		}
		if a, b := dumpOf(t, c), dumpOf(t, moved); a != b {
			t.Errorf("compacted %v: embedded\n%s\nredis\n%s", compact, a, b)
		}
	}
}
