package cutpath

import (
	"fmt"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// TestPieceOptions place the test piece: a square with a triangle in it. If
// both come off the liner clean and the corners are sharp, depth, force and
// blade offset are right. It is cut after a change of film or blade, in the
// lead of a load or in its waste.
type TestPieceOptions struct {
	Size units.Length // side of the square; zero: no test piece. 10 mm is usual (common practice, no source)
	// At is the lower left corner of the square, in the sheet's millimetres:
	// somewhere in the waste. Zero: in the middle of the lead, level with the
	// lowest cut.
	At outline.Point
}

// testClear is the least room round a test piece in the lead, in millimetres.
const testClear = 2.0

// placed returns o with its place in the lead where none is given.
func (o TestPieceOptions) placed(sheet layout.Sheet) (TestPieceOptions, error) {
	b := sheet.Bounds()
	if !(o.Size > 0) || o.At != (outline.Point{}) || b.IsEmpty() {
		return o, nil
	}
	room := b.Min.X - float64(o.Size)
	if room < 2*testClear {
		return o, &Error{Op: "test piece", Sheet: sheet.Name, Contour: -1, Cause: ErrOutsideFilm,
			Detail: fmt.Sprintf("the lead of %.1f mm has no room for %v and %v mm on either side", b.Min.X, o.Size, testClear),
			Fix:    "make the lead longer, the test piece smaller, or place it in the waste with At"}
	}
	o.At = outline.Pt(room/2, b.Min.Y)
	return o, nil
}

// strokes returns the triangle, then the square.
func (o TestPieceOptions) strokes() ([]Stroke, error) {
	if o.Size == 0 {
		return nil, nil
	}
	if !(o.Size > 0) || !o.Size.IsFinite() || !o.At.IsFinite() {
		return nil, optionError("test piece", fmt.Sprintf("size %v at (%g, %g)", o.Size, o.At.X, o.At.Y), "give it a size above zero, 10 mm is usual")
	}
	s := float64(o.Size)
	at := func(x, y float64) outline.Point { return o.At.Add(outline.Pt(x*s, y*s)) }
	// Both begin in the middle of a side; the triangle stands clear of the
	// square by a quarter of the side.
	triangle := outline.Polygon(at(0.5, 0.25), at(0.75, 0.25), at(0.5, 0.7), at(0.25, 0.25))
	square := outline.Polygon(at(0.5, 0), at(1, 0), at(1, 1), at(0, 1), at(0, 0))
	return []Stroke{
		{Role: TestPiece, Decal: NoDecal, Contour: 0, Curve: triangle.Curve(), Closed: true},
		{Role: TestPiece, Decal: NoDecal, Contour: 1, Curve: square.Curve(), Closed: true},
	}, nil
}
