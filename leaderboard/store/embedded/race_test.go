//go:build race

package embedded

// raceDetector says that everything is several times slower than usual.
const raceDetector = true
