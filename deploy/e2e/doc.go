// Package e2e holds the tests that start the built binary and use it as a coach, a member and an operator would: over
// HTTP, a WebSocket, a browser and signals. It has no code of its own.
package e2e
