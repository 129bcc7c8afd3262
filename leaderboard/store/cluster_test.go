package store

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/redis/go-redis/v9"
)

// startCluster starts three masters with one replica each and returns their URLs, masters first.
func startCluster(t *testing.T) (urls []string, nodes []*exec.Cmd) {
	t.Helper()
	server, err := exec.LookPath("redis-server")
	cli, err2 := exec.LookPath("redis-cli")
	if err != nil || err2 != nil {
		if os.Getenv("TALLYBELL_TEST_ALL") != "" {
			t.Fatal("no redis-server here; install it with: apt-get install -y --no-install-recommends redis-server redis-tools")
		}
		t.Skip("no redis-server here; install it with: apt-get install -y --no-install-recommends redis-server redis-tools")
	}
	args := []string{"--cluster", "create"}
	for _, port := range clusterPorts(t, 6) {
		dir := t.TempDir()
		cmd := exec.Command(server, "--port", strconv.Itoa(port), "--bind", "127.0.0.1", "--dir", dir, "--save", "", "--appendonly", "yes",
			"--appendfsync", "always", "--cluster-enabled", "yes", "--cluster-node-timeout", "1000", "--repl-diskless-sync-delay", "0")
		cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL, Setpgid: true}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
		addr := fmt.Sprintf("127.0.0.1:%d", port)
		urls, nodes, args = append(urls, "redis://"+addr), append(nodes, cmd), append(args, addr)
		await(t, func(ctx context.Context) bool { return clusterInfo(ctx, addr) != "" })
	}
	args = append(args, "--cluster-replicas", "1", "--cluster-yes")
	if out, err := exec.Command(cli, args...).CombinedOutput(); err != nil {
		t.Fatalf("redis-cli --cluster create: %v\n%s", err, out)
	}
	for _, addr := range args[2:8] { // the command returns before every node takes writes
		await(t, func(ctx context.Context) bool {
			info := clusterInfo(ctx, addr)
			return strings.Contains(info, "cluster_state:ok") && strings.Contains(info, "cluster_slots_ok:16384")
		})
	}
	return urls, nodes
}

func clusterInfo(ctx context.Context, addr string) string {
	c := redis.NewClient(&redis.Options{Addr: addr, Protocol: 2, DisableIdentity: true, MaxRetries: -1, DialerRetries: 1})
	defer c.Close()
	info, _ := c.ClusterInfo(ctx).Result()
	return info
}

// await asks until the answer is yes.
func await(t *testing.T, yes func(ctx context.Context) bool) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for !yes(ctx) {
		select {
		case <-tick.C:
		case <-ctx.Done():
			t.Fatal("it did not come about within 30 s")
		}
	}
}

// clusterPorts finds free ports below the range of outgoing connections, whose bus ports are free too.
func clusterPorts(t *testing.T, n int) (ports []int) {
	t.Helper()
	for p := 10100 + os.Getpid()%5000; p < 22000 && len(ports) < n; p++ {
		a, err := listen(p)
		if err != nil {
			continue
		}
		b, err := listen(p + 10000)
		a.Close()
		if err != nil {
			continue
		}
		b.Close()
		ports = append(ports, p)
	}
	if len(ports) < n {
		t.Fatal("too few free ports")
	}
	return ports
}

// TestCluster writes to clubs on all nodes, and goes on after a node is killed and its replica takes over.
func TestCluster(t *testing.T) {
	if testing.Short() {
		t.Skip("starts six servers")
	}
	urls, nodes := startCluster(t)
	s := openRedis(t, urls...)
	if h := s.Health(t.Context()); !h.OK || !h.Persistent {
		t.Errorf("%+v", h)
	}
	await(t, func(ctx context.Context) bool {
		for _, url := range urls[:3] { // every master has its replica
			node := redis.NewClient(&redis.Options{Addr: strings.TrimPrefix(url, "redis://"), Protocol: 2, DisableIdentity: true})
			has, _ := s.replicas.ask(ctx, node)
			node.Close()
			if !has {
				return false
			}
		}
		return true
	})
	var clubs []*Club
	tops := map[string]int64{}
	for i := range 12 {
		c, err := s.Club(fmt.Sprintf("club-%d", i))
		if err != nil {
			t.Fatal(err)
		}
		clubs = append(clubs, c)
		said := say(t, c, noon, logged("mo", "a", 0, int64(i), noon))
		if said.Outcome != Done {
			t.Fatalf("%s: %+v", c.ID(), said)
		}
		tops[c.ID()] = said.N
		if _, _, err := c.Post(t.Context(), noon, Post{Date: day, OnceID: "b", Bucket: "b"}); err != nil {
			t.Fatal(err)
		}
		if entries, _, err := c.After(t.Context(), "mo", 0); err != nil || len(entries) != 2 {
			t.Fatalf("%s: %d entries, %v", c.ID(), len(entries), err)
		}
	}
	if err := nodes[0].Process.Kill(); err != nil {
		t.Fatal(err)
	}
	for _, c := range clubs {
		u := logged("mo", "b", tops[c.ID()], 7, noon)
		await(t, func(ctx context.Context) bool {
			said, err := c.Say(ctx, noon, u)
			return err == nil && (said.Outcome == Done || said.Outcome == Again)
		})
		if l, err := c.Ledger(t.Context(), "mo"); err != nil || len(l) != 4 {
			t.Errorf("%s: %d ledger entries, want 4: the first confirmed before the kill, the second once; %v", c.ID(), len(l), err)
		}
	}
	if _, err := clubs[0].Forget(t.Context(), noon, "mo"); err != nil && !strings.Contains(err.Error(), "BGREWRITEAOF") {
		t.Errorf("forget: %v", err)
	}
}
