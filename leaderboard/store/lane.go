package store

import (
	"context"

	"github.com/redis/go-redis/v9"

	"tallybell/leaderboard/store/embedded"
)

// lane is where pipelines go: the server in this process, one server, or the nodes of a cluster.
type lane interface {
	// split groups calls by the server that owns their keys; a call whose server is not found gets its
	// error and is in no group.
	split(ctx context.Context, calls []*call) []group
	// moved is told that a group met a server that is away or no longer the owner.
	moved(ctx context.Context)
	// guard runs a pipeline and returns when its effects are as durable as they will be.
	guard(run func() error) error
}

// embeddedLane writes to the server in this process, one pipeline at a time.
type embeddedLane struct {
	server *embedded.Server
	client *redis.Client
}

func (l *embeddedLane) split(_ context.Context, calls []*call) []group {
	return []group{{client: l.client, calls: calls}}
}
func (l *embeddedLane) moved(context.Context)        {}
func (l *embeddedLane) guard(run func() error) error { return l.server.Write(run) }

// serverLane writes to one Redis.
type serverLane struct {
	client   *redis.Client
	replicas *replicas
}

func (l *serverLane) split(_ context.Context, calls []*call) []group {
	return []group{{client: l.client, calls: calls, replicas: l.replicas}}
}
func (l *serverLane) moved(context.Context) {}
func (l *serverLane) guard(run func() error) error {
	_ = run() // the calls carry their own errors
	return nil
}

// clusterLane writes to the node that owns a club's slot.
type clusterLane struct {
	cluster  *redis.ClusterClient
	replicas *replicas
}

func (l *clusterLane) split(ctx context.Context, calls []*call) []group {
	var groups []group
	at := map[*redis.Client]int{}
	for _, c := range calls {
		node, err := l.cluster.MasterForKey(ctx, c.key)
		if err != nil {
			c.reply, c.err = nil, err
			continue
		}
		i, ok := at[node]
		if !ok {
			i = len(groups)
			at[node] = i
			groups = append(groups, group{client: node, replicas: l.replicas})
		}
		groups[i].calls = append(groups[i].calls, c)
	}
	return groups
}

func (l *clusterLane) moved(ctx context.Context) { l.cluster.ReloadState(ctx) }

func (l *clusterLane) guard(run func() error) error {
	_ = run()
	return nil
}
