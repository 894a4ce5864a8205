//go:build !race

package outline

const raceDetector = false
