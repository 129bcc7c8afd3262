//go:build race

package leaderboard

// raced says that the race detector makes everything several times slower.
const raced = true
