package store

import (
	"context"
	"net"
	"strconv"
	"testing"

	"github.com/redis/go-redis/v9"
)

func listen(port int) (net.Listener, error) {
	return net.Listen("tcp", "127.0.0.1:"+strconv.Itoa(port))
}

func TestHints(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		ctx, cancel := context.WithCancel(t.Context())
		hints := c.Subscribe(ctx)
		if h := <-hints; !h.Look {
			t.Fatalf("the first hint: %+v, want to look at everything", h)
		}
		for _, want := range []Hint{{Member: "mo", N: 5}, {Member: "*", N: 6}} {
			if err := c.Publish(t.Context(), want); err != nil {
				t.Fatal(err)
			}
			if h := <-hints; h != want {
				t.Errorf("%+v, want %+v", h, want)
			}
		}
		if err := c.Publish(t.Context(), Hint{N: 7}); err != nil {
			t.Fatal(err)
		}
		if h := <-hints; h != (Hint{Member: "*", N: 7}) {
			t.Errorf("%+v", h)
		}
		cancel()
		for range hints { // until it is closed
		}
	})
}

func TestHintsAfterALostConnection(t *testing.T) {
	server := startRedis(t)
	c := clubOf(t, openRedis(t, server.url))
	hints := c.Subscribe(t.Context())
	<-hints
	if err := server.client(t).ClientKillByFilter(t.Context(), "TYPE", "pubsub").Err(); err != nil {
		t.Fatal(err)
	}
	if h := <-hints; !h.Look {
		t.Errorf("%+v, want to look after the subscription was renewed", h)
	}
}

func TestSlowReaderIsToldToLook(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	events, out := make(chan any), make(chan Hint, 2)
	done := make(chan struct{})
	go func() { relay(ctx, nil, events, out); close(done) }()
	for range 5 { // three of them find no room
		events <- &redis.Message{Payload: "mo 1"}
	}
	for i, want := range []Hint{{Member: "mo", N: 1}, {Member: "mo", N: 1}, {Look: true}} {
		if h := <-out; h != want {
			t.Errorf("hint %d: %+v, want %+v", i, h, want)
		}
	}
	events <- &redis.Message{Payload: "kim 2"}
	if h := <-out; h != (Hint{Member: "kim", N: 2}) {
		t.Errorf("afterwards: %+v", h)
	}
	cancel()
	<-done
}

func TestParseHint(t *testing.T) {
	for s, want := range map[string]bool{"mo 5": true, "* 5": true, "mo": false, " 5": false, "mo x": false, "mo -5": false, "": false} {
		if _, ok := parseHint(s); ok != want {
			t.Errorf("%q: %v", s, ok)
		}
	}
}
