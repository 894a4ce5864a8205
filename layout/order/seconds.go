package order

import "github.com/vinylgeom/vinyl/layout/cutpath"

// Speeds of a small roll cutter on ordinary film, and the time to lift and
// lower the knife: common practice, no source.
const (
	cutSpeed    = 200.0 // mm/s
	travelSpeed = 400.0 // mm/s
	liftSeconds = 0.15
)

// seconds estimates the machine's time for a job.
func seconds(j cutpath.Job) float64 {
	return float64(j.CutLength())/cutSpeed + float64(j.Travel())/travelSpeed + float64(j.Lifts())*liftSeconds
}
