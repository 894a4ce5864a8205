package nest

import (
	"encoding/json"
	"math"
	"time"

	"github.com/vinylgeom/vinyl/units"
)

// anglePrecision is the step, in degrees, to which rotations are rounded before they are used, so that text in degrees
// gives back the same bits. On a piece of 300 mm it is 5e-12 mm.
const anglePrecision = 1e-12

// roundedDegrees returns a in degrees, a multiple of anglePrecision.
func roundedDegrees(a units.Angle) float64 {
	return math.Round(a.Degrees()/anglePrecision) * anglePrecision
}

// fromDegrees is the angle that JSON text of deg degrees stands for.
func fromDegrees(deg float64) units.Angle { return units.Angle(deg) * units.Degree }

// canonical returns the angle next to a that survives the way through JSON.
func canonical(a units.Angle) units.Angle {
	deg := roundedDegrees(a)
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	return fromDegrees(tidyDegrees(deg))
}

// tidyDegrees drops the noise that a product with anglePrecision leaves in the last digits.
func tidyDegrees(deg float64) float64 {
	if r := math.Round(deg*1e6) / 1e6; math.Abs(r-deg) < anglePrecision {
		return r
	}
	return deg
}

type resultJSON struct {
	Loads    []Load     `json:"loads"`
	Unplaced []Unplaced `json:"unplaced,omitempty"`
	LengthMM float64    `json:"length_mm"`
	Density  float64    `json:"density"`
	Seed     uint64     `json:"seed"`
}

// MarshalJSON writes the layout with lengths in millimetres and rotations in degrees; see the fields of Result.
func (r Result) MarshalJSON() ([]byte, error) {
	loads := r.Loads
	if loads == nil {
		loads = []Load{}
	}
	return json.Marshal(resultJSON{Loads: loads, Unplaced: r.Unplaced, LengthMM: float64(r.Length), Density: r.Density, Seed: r.Seed})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (r *Result) UnmarshalJSON(data []byte) error {
	var v resultJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*r = Result{Loads: v.Loads, Unplaced: v.Unplaced, Length: units.Length(v.LengthMM), Density: v.Density, Seed: v.Seed}
	return nil
}

type loadJSON struct {
	LengthMM             float64     `json:"length_mm"`
	Density              float64     `json:"density"`
	SmallestGap          *float64    `json:"smallest_gap_mm,omitempty"`
	SmallestEdgeDistance float64     `json:"smallest_edge_distance_mm"`
	Placements           []Placement `json:"placements"`
	Cuts                 []Cut       `json:"cuts,omitempty"`
}

// MarshalJSON writes the load; smallest_gap_mm is absent when it is infinite.
func (l Load) MarshalJSON() ([]byte, error) {
	v := loadJSON{LengthMM: float64(l.Length), Density: l.Density, SmallestEdgeDistance: float64(l.SmallestEdgeDistance),
		Placements: l.Placements, Cuts: l.Cuts}
	if v.Placements == nil {
		v.Placements = []Placement{}
	}
	if g := float64(l.SmallestGap); !math.IsInf(g, 1) {
		v.SmallestGap = &g
	}
	return json.Marshal(v)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (l *Load) UnmarshalJSON(data []byte) error {
	var v loadJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*l = Load{Placements: v.Placements, Length: units.Length(v.LengthMM), Density: v.Density,
		SmallestGap: units.Length(math.Inf(1)), SmallestEdgeDistance: units.Length(v.SmallestEdgeDistance), Cuts: v.Cuts}
	if v.SmallestGap != nil {
		l.SmallestGap = units.Length(*v.SmallestGap)
	}
	return nil
}

type placementJSON struct {
	Piece    string  `json:"piece"`
	Copy     int     `json:"copy"`
	Load     int     `json:"load"`
	Rotation float64 `json:"rotation_deg"`
	Mirrored bool    `json:"mirrored"`
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
}

// MarshalJSON writes the placement in millimetres and degrees.
func (p Placement) MarshalJSON() ([]byte, error) {
	return json.Marshal(placementJSON{p.Piece, p.Copy, p.Load, tidyDegrees(roundedDegrees(p.Rotation)), p.Mirrored, float64(p.X), float64(p.Y)})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (p *Placement) UnmarshalJSON(data []byte) error {
	var v placementJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*p = Placement{v.Piece, v.Copy, v.Load, fromDegrees(v.Rotation), v.Mirrored, units.Length(v.X), units.Length(v.Y)}
	return nil
}

type cutJSON struct {
	X1 float64 `json:"x1_mm"`
	Y1 float64 `json:"y1_mm"`
	X2 float64 `json:"x2_mm"`
	Y2 float64 `json:"y2_mm"`
}

// MarshalJSON writes the cut in millimetres.
func (c Cut) MarshalJSON() ([]byte, error) {
	return json.Marshal(cutJSON{float64(c.X1), float64(c.Y1), float64(c.X2), float64(c.Y2)})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (c *Cut) UnmarshalJSON(data []byte) error {
	var v cutJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*c = Cut{units.Length(v.X1), units.Length(v.Y1), units.Length(v.X2), units.Length(v.Y2)}
	return nil
}

type progressJSON struct {
	Loads      int     `json:"loads"`
	LengthMM   float64 `json:"length_mm"`
	Density    float64 `json:"density"`
	ElapsedS   float64 `json:"elapsed_s"`
	Iterations int     `json:"iterations"`
}

// MarshalJSON writes the progress in millimetres and seconds.
func (p Progress) MarshalJSON() ([]byte, error) {
	return json.Marshal(progressJSON{p.Loads, float64(p.Length), p.Density, p.Elapsed.Seconds(), p.Iterations})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (p *Progress) UnmarshalJSON(data []byte) error {
	var v progressJSON
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	elapsed := time.Duration(math.Round(v.ElapsedS * float64(time.Second)))
	*p = Progress{v.Loads, units.Length(v.LengthMM), v.Density, elapsed, v.Iterations}
	return nil
}

type loadVerificationJSON struct {
	SmallestGap *float64 `json:"smallest_gap_mm,omitempty"`
	Bottom      float64  `json:"bottom_mm"`
	Top         float64  `json:"top_mm"`
	Start       float64  `json:"start_mm"`
	End         float64  `json:"end_mm"`
	LengthMM    float64  `json:"length_mm"`
}

// MarshalJSON writes the distances in millimetres; smallest_gap_mm is absent when it is infinite.
func (v LoadVerification) MarshalJSON() ([]byte, error) {
	out := loadVerificationJSON{Bottom: float64(v.Edges.Bottom), Top: float64(v.Edges.Top), Start: float64(v.Edges.Start),
		End: float64(v.Edges.End), LengthMM: float64(v.Length)}
	if g := float64(v.SmallestGap); !math.IsInf(g, 1) {
		out.SmallestGap = &g
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (v *LoadVerification) UnmarshalJSON(data []byte) error {
	var in loadVerificationJSON
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	*v = LoadVerification{SmallestGap: units.Length(math.Inf(1)), Length: units.Length(in.LengthMM),
		Edges: Margins{Bottom: units.Length(in.Bottom), Top: units.Length(in.Top), Start: units.Length(in.Start), End: units.Length(in.End)}}
	if in.SmallestGap != nil {
		v.SmallestGap = units.Length(*in.SmallestGap)
	}
	return nil
}
