//go:build race

package outline

// raceDetector tells tests of sheer size that everything takes ten times as long.
const raceDetector = true
