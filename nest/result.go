package nest

import (
	"math"
	"time"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/units"
)

// Result is a layout of all pieces. It marshals to JSON with the names given beside the fields (millimetres, degrees) and
// back; Stats are left out, so that equal layouts are equal bytes.
type Result struct {
	Loads    []Load       // "loads"
	Unplaced []Unplaced   // "unplaced": what MaxLoads or a leftover had no room for; then a *RoomError comes with the Result
	Length   units.Length // "length_mm": film of all loads together
	Density  float64      // "density": area of the pieces by Strip.Width × Length (or by the area of the leftover), 0 to 1
	Seed     uint64       // "seed"
	Stats    Stats        // not in JSON
}

// Stats tell how the work went.
type Stats struct {
	Elapsed      time.Duration // whole time
	First        time.Duration // until the first complete layout had been verified
	FirstDensity float64       // of the first layout, as Result.Density
	Iterations   int           // passes of the search
}

// Load is what is cut in one go. x starts at 0 in every load.
type Load struct {
	Placements []Placement  // "placements"
	Length     units.Length // "length_mm": film used, from x = 0, lead and tail included
	Density    float64      // "density", as in Result
	// SmallestGap is the least distance between two pieces, +Inf when there is but one piece: "smallest_gap_mm", then absent.
	SmallestGap units.Length
	// SmallestEdgeDistance is the least distance from any piece to the bottom and top edge and to the two ends of the load
	// (or to the boundary of the leftover): "smallest_edge_distance_mm".
	SmallestEdgeDistance units.Length
	// Cuts are straight trims in the order they are made, by Gang only: "cuts".
	Cuts []Cut
}

// Cut is a straight trim from (X1, Y1) to (X2, Y2), parallel to an edge of the film.
type Cut struct {
	X1, Y1, X2, Y2 units.Length // "x1_mm", "y1_mm", "x2_mm", "y2_mm"
}

// Length is the length of the trim.
func (c Cut) Length() units.Length {
	return units.Length(math.Hypot(float64(c.X2-c.X1), float64(c.Y2-c.Y1)))
}

// Placement is where one copy of a piece lies: the outline, mirrored if so, is turned counter-clockwise by Rotation about its
// own origin and then shifted by (X, Y).
type Placement struct {
	Piece    string       // "piece": Piece.ID
	Copy     int          // "copy": 1 to Piece.Count
	Load     int          // "load": 1 to the number of loads
	Rotation units.Angle  // "rotation_deg"
	Mirrored bool         // "mirrored": x becomes -x before turning
	X, Y     units.Length // "x_mm", "y_mm"
}

// Unplaced is a number of copies that found no room.
type Unplaced struct {
	Piece string `json:"piece"` // its ID
	Count int    `json:"count"` // copies, at least one
}

// Placements returns the placements of all loads, in the order of loads: what Options.Start and Options.Fixed take.
func (r Result) Placements() []Placement {
	var all []Placement
	for _, l := range r.Loads {
		all = append(all, l.Placements...)
	}
	return all
}

// Matrix returns the placement as the affine map x' = m[0]x + m[1]y + m[2], y' = m[3]x + m[4]y + m[5], in millimetres.
// Quarter turns are exact.
func (p Placement) Matrix() [6]float64 {
	sin, cos := sinCos(float64(p.Rotation))
	m := [6]float64{cos, -sin, float64(p.X), sin, cos, float64(p.Y)}
	if p.Mirrored {
		m[0], m[3] = -m[0], -m[3]
	}
	return m
}

// Apply returns the outline of the placed piece in the coordinates of the load. It does not modify outline.
func (p Placement) Apply(outline orb.MultiPolygon) orb.MultiPolygon {
	m := p.Matrix()
	placed := make(orb.MultiPolygon, len(outline))
	for i, polygon := range outline {
		placed[i] = make(orb.Polygon, len(polygon))
		for j, ring := range polygon {
			r := make(orb.Ring, len(ring))
			for k, v := range ring {
				// The conversions keep processors from fusing the products, so that every machine gives the same bits.
				r[k] = orb.Point{
					float64(float64(m[0]*v[0])+float64(m[1]*v[1])) + m[2],
					float64(float64(m[3]*v[0])+float64(m[4]*v[1])) + m[5],
				}
			}
			placed[i][j] = r
		}
	}
	return placed
}

// quarterTurnTolerance is the distance in radians within which an angle counts as a quarter turn: some hundred roundings of
// an angle near 2π.
const quarterTurnTolerance = 1e-13

// sinCos is math.Sincos with exact quarter turns.
func sinCos(angle float64) (sin, cos float64) {
	if turns := math.Round(angle / (math.Pi / 2)); math.Abs(angle-turns*(math.Pi/2)) < quarterTurnTolerance {
		switch int(math.Mod(math.Mod(turns, 4)+4, 4)) {
		case 0:
			return 0, 1
		case 1:
			return 1, 0
		case 2:
			return 0, -1
		case 3:
			return -1, 0
		}
	}
	return math.Sincos(angle)
}
