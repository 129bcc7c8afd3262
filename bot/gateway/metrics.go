package gateway

import (
	"net/http"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// metrics count what the gateway does, on a registry of its own.
type metrics struct {
	registry    *prometheus.Registry
	connections prometheus.Gauge
	messages    *prometheus.CounterVec // by outcome
	answer      prometheus.Histogram   // seconds from a frame read to its answer handed to the socket
	posts       prometheus.Counter
	fanOut      prometheus.Histogram // seconds from a post read to its last connection
	catchUps    prometheus.Counter
	slow        prometheus.Counter
	problems    *prometheus.CounterVec // by code
	requests    *prometheus.CounterVec // by route and status
	storeAway   prometheus.Gauge
}

func newMetrics() *metrics {
	m := &metrics{
		registry:    prometheus.NewRegistry(),
		connections: prometheus.NewGauge(prometheus.GaugeOpts{Name: "tallybell_connections", Help: "Open chat connections."}),
		messages:    counters("tallybell_messages_total", "Messages heard, by outcome.", "outcome"),
		answer: prometheus.NewHistogram(prometheus.HistogramOpts{Name: "tallybell_answer_seconds",
			Help: "Time from a message read to its answer written.", Buckets: prometheus.ExponentialBuckets(0.0005, 2, 15)}),
		posts: prometheus.NewCounter(prometheus.CounterOpts{Name: "tallybell_posts_total", Help: "Posts handed out to connections."}),
		fanOut: prometheus.NewHistogram(prometheus.HistogramOpts{Name: "tallybell_fanout_seconds",
			Help: "Time to hand one post to all its connections.", Buckets: prometheus.ExponentialBuckets(0.001, 2, 14)}),
		catchUps:  prometheus.NewCounter(prometheus.CounterOpts{Name: "tallybell_catchups_total", Help: "Backlogs read for connections."}),
		slow:      prometheus.NewCounter(prometheus.CounterOpts{Name: "tallybell_queue_overflows_total", Help: "Connections dropped because they read too slowly."}),
		problems:  counters("tallybell_problems_total", "Problem frames sent, by code.", "code"),
		requests:  counters("tallybell_http_requests_total", "HTTP requests, by route and status.", "route", "status"),
		storeAway: prometheus.NewGauge(prometheus.GaugeOpts{Name: "tallybell_stores_away", Help: "Clubs whose store could not be reached at the last look."}),
	}
	m.registry.MustRegister(m.connections, m.messages, m.answer, m.posts, m.fanOut, m.catchUps, m.slow, m.problems,
		m.requests, m.storeAway, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

func counters(name, help string, labels ...string) *prometheus.CounterVec {
	return prometheus.NewCounterVec(prometheus.CounterOpts{Name: name, Help: help}, labels)
}

func (m *metrics) handler() http.Handler {
	return promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{})
}
