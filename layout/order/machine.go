package order

import (
	"context"
	"fmt"
	"time"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/units"
)

// Machine is the cutter that an order is cut on. The zero value is a small
// roll cutter whose own driver sees to the blade.
type Machine struct {
	KnifeOffset units.Length `json:"knife_offset,omitzero"` // by which the tip trails the knife's axis; absent: not compensated
	Overcut     units.Length `json:"overcut,omitzero"`      // past the start of closed contours
	CutSpeed    units.Speed  `json:"cut_speed,omitzero"`    // absent: 200 mm/s
	TravelSpeed units.Speed  `json:"travel_speed,omitzero"` // absent: 400 mm/s
	// LiftSeconds is the time for knife up or knife down; absent: 0.1.
	LiftSeconds float64 `json:"lift_seconds,omitempty"`
	// TestPiece, above zero, cuts a square of that side with a triangle in it
	// before anything else of each load.
	TestPiece units.Length `json:"test_piece,omitzero"`
}

// blade says how the files treat the knife.
func (m Machine) blade() string {
	if m.KnifeOffset > 0 {
		return fmt.Sprintf("offset %.2f mm, seen to in the files, so set the machine's own to zero", float64(m.KnifeOffset))
	}
	return "its offset is left to the machine"
}

func (m Machine) limits() cutpath.Limits {
	lift := time.Duration(m.LiftSeconds * float64(time.Second))
	return cutpath.Limits{CutSpeed: m.CutSpeed, TravelSpeed: m.TravelSpeed, Lift: lift, Plunge: lift}
}

func (m Machine) device() cutpath.Device {
	return cutpath.Device{Knife: cutpath.Knife{Offset: m.KnifeOffset, Overcut: m.Overcut}}
}

// plan orders the cut of a sheet, turns it into the way of the machine's knife
// and times it.
func (m Machine) plan(ctx context.Context, sheet layout.Sheet, seed uint64) (cutpath.Job, cutpath.Timing, error) {
	opt := cutpath.Options{Seed: seed}
	opt.TestPiece.Size = m.TestPiece
	job, err := cutpath.Plan(ctx, sheet, opt)
	if err != nil {
		return job, cutpath.Timing{}, err
	}
	if m.KnifeOffset > 0 || m.Overcut > 0 {
		if job, err = job.For(m.device()); err != nil {
			return job, cutpath.Timing{}, err
		}
	}
	timing, err := job.Time(m.limits())
	return job, timing, err
}
