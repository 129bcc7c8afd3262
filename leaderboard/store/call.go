package store

import (
	"context"
	"errors"
	"fmt"
	"net"
	"strconv"

	"github.com/redis/go-redis/v9"
)

// call is one script call on its way; its maker waits for done.
type call struct {
	sc     script
	key    string // its first key, by which a cluster finds the server
	args   []any  // the whole command: EVALSHA, digest, number of keys, keys, arguments
	resend bool   // safe to send again when the outcome is unknown
	reply  []any
	err    error
	done   chan struct{}
}

func newCall(sc script, resend bool, keys []string, words int) *call {
	args := make([]any, 0, 3+len(keys)+words)
	args = append(args, "EVALSHA", sc.sha, len(keys))
	c := &call{sc: sc, key: keys[0], args: args, resend: resend, done: make(chan struct{})}
	c.add(keys...)
	return c
}

func (c *call) add(words ...string) {
	for _, w := range words {
		c.args = append(c.args, w)
	}
}

func (c *call) addBytes(b []byte) { c.args = append(c.args, b) }

func (c *call) addInt(n int) { c.args = append(c.args, strconv.Itoa(n)) }

func (c *call) notSaved(err error) error {
	if redis.HasErrorPrefix(err, "NEWERFORMAT") {
		err = ErrNewerFormat
	}
	return fmt.Errorf("store: %s: %w: %w", c.sc.name, ErrNotSaved, err)
}

// fault says what a failed call allows.
type fault int

const (
	none     fault = iota
	noScript       // the server does not know the script: load it and send again
	passing        // not made, and may well be made in a moment
	unknown        // perhaps made: only what is safe to repeat is sent again
	lasting        // sending again would not help
)

// errUnguarded marks a pipeline that the embedded store could not make durable.
var errUnguarded = errors.New("not written to disk")

// errReplicas marks a pipeline that no replica confirmed in time.
var errReplicas = errors.New("no replica confirmed the write in time")

func (c *call) fault() fault {
	err := c.err
	switch {
	case err == nil:
		return none
	case errors.Is(err, errUnguarded), errors.Is(err, errReplicas):
		return lasting
	case redis.HasErrorPrefix(err, "NOSCRIPT"):
		return noScript
	}
	for _, p := range []string{"MOVED", "ASK", "CLUSTERDOWN", "TRYAGAIN", "READONLY", "LOADING", "MASTERDOWN"} {
		if redis.HasErrorPrefix(err, p) {
			return passing
		}
	}
	var reply redis.Error
	var op *net.OpError
	switch {
	case errors.As(err, &reply):
		return lasting
	case errors.As(err, &op) && op.Op == "dial":
		return passing
	}
	return unknown
}

// group is the calls that one server answers.
type group struct {
	client   *redis.Client
	calls    []*call
	replicas *replicas // nil where there can be none
}

// replicaWait is how long one replica may take to confirm, in milliseconds.
const replicaWait = 1000

// exec sends the calls as one pipeline. It returns an error only when the connection failed; each call
// has its own.
func (g group) exec(ctx context.Context) error {
	pipe := g.client.Pipeline()
	cmds := make([]*redis.Cmd, len(g.calls))
	for i, c := range g.calls {
		cmds[i] = redis.NewCmd(ctx, c.args...)
		_ = pipe.Process(ctx, cmds[i])
	}
	var confirmed *redis.Cmd
	if g.replicas != nil && g.replicas.of(ctx, g.client) {
		// a write of this connection: WAIT is promised to cover those only (Redis 7 covers more), and a repeat,
		// which writes nothing, may be answered only when the first answer is on a replica
		pipe.Do(ctx, "HSET", g.calls[0].key, "format", strconv.Itoa(format))
		confirmed = pipe.Do(ctx, "WAIT", 1, replicaWait)
	}
	_, err := pipe.Exec(ctx)
	for i, c := range g.calls {
		c.reply, c.err = cmds[i].Slice()
	}
	if confirmed != nil && !g.isConfirmed(ctx, confirmed) {
		for _, c := range g.calls {
			if c.err == nil {
				c.reply, c.err = nil, errReplicas
			}
		}
	}
	var reply redis.Error
	if err == nil || errors.As(err, &reply) {
		return nil
	}
	return err
}

// isConfirmed says whether a replica has the pipeline, or there is no longer any that could.
func (g group) isConfirmed(ctx context.Context, wait *redis.Cmd) bool {
	if n, err := wait.Int(); err == nil && n > 0 {
		return true
	}
	has, err := g.replicas.ask(ctx, g.client)
	return err == nil && !has
}

func (g group) loadScripts(ctx context.Context, load []script) {
	pipe := g.client.Pipeline()
	for _, s := range load {
		pipe.ScriptLoad(ctx, s.text)
	}
	_, _ = pipe.Exec(ctx) // a failure shows when the calls are sent again
}
