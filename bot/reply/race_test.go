//go:build race

package reply

// raceFactor is how much longer a reading may take when the race detector watches it.
const raceFactor = 20
