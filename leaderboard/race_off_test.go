//go:build !race

package leaderboard

const raced = false
