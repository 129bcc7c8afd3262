//go:build !race

package reply

const raceFactor = 1
