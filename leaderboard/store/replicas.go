package store

import (
	"context"
	"strconv"
	"strings"
	"sync"

	"github.com/redis/go-redis/v9"
)

// replicas remembers which servers have a replica. Where there is one, an answer leaves only when it has confirmed
// the write; a server that lost its last replica, or was one itself until a moment ago, answers alone.
type replicas struct {
	mu  sync.Mutex
	has map[string]bool // by the server's address; absent when it was never asked
}

func newReplicas() *replicas { return &replicas{has: map[string]bool{}} }

func (r *replicas) set(addr string, has bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.has[addr] = has
}

// of says whether a server has a replica, and asks it when that is not known.
func (r *replicas) of(ctx context.Context, node *redis.Client) bool {
	r.mu.Lock()
	has, known := r.has[node.Options().Addr]
	r.mu.Unlock()
	if known {
		return has
	}
	has, err := r.ask(ctx, node)
	return has && err == nil
}

// ask looks at the server itself and remembers what it says.
func (r *replicas) ask(ctx context.Context, node *redis.Client) (bool, error) {
	n, err := connectedReplicas(ctx, node)
	if err != nil {
		return false, err
	}
	r.set(node.Options().Addr, n > 0)
	return n > 0, nil
}

func connectedReplicas(ctx context.Context, node *redis.Client) (int, error) {
	info, err := node.Info(ctx, "replication").Result()
	if err != nil {
		return 0, err
	}
	for line := range strings.SplitSeq(info, "\n") {
		if v, ok := strings.CutPrefix(strings.TrimSpace(line), "connected_slaves:"); ok {
			return strconv.Atoi(v)
		}
	}
	return 0, nil
}
