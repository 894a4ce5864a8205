package cutpath

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// refused sees that the error says how to mend it.
func refused(t *testing.T, err, cause error) {
	t.Helper()
	require.ErrorIs(t, err, cause)
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.NotEmpty(t, e.Fix)
}

// A sheet that memory could not hold is refused by its counts: many decals that
// share one path cost the caller nothing, and must not cost the planner.
func TestPlanIsBounded(t *testing.T) {
	path := make(outline.Path, 1<<10)
	for i := range path {
		path[i] = square(10, 10, 5)
	}
	sheet := layout.Sheet{Film: layout.Film{Width: 100}, Length: 100}
	for range MaxStrokes/len(path) + 1 {
		sheet.Decals = append(sheet.Decals, layout.PlacedDecal{Path: path})
	}
	began := time.Now()
	_, err := Plan(context.Background(), sheet, Options{})
	refused(t, err, ErrTooLarge)

	long := make([]outline.Segment, 1<<18)
	for i := range long {
		long[i] = outline.LineTo(outline.Pt(float64(i%90), float64(i%70)))
	}
	for name, curves := range map[string]func(*layout.Sheet) *[]outline.Curve{
		"weed lines": func(s *layout.Sheet) *[]outline.Curve { return &s.WeedLines },
		"trim lines": func(s *layout.Sheet) *[]outline.Curve { return &s.TrimLines },
		"marks":      func(s *layout.Sheet) *[]outline.Curve { return &s.Marks },
	} {
		s := layout.Sheet{Film: layout.Film{Width: 100}, Length: 100}
		for range MaxNodes/len(long) + 1 {
			*curves(&s) = append(*curves(&s), outline.Curve{Segments: long})
		}
		_, err := Plan(context.Background(), s, Options{})
		require.ErrorIs(t, err, ErrTooLarge, name)
	}
	assert.Less(t, time.Since(began), time.Second, "early")
}

// Coordinates from which no distance can be worked out kept the search for an
// order going for ever.
func TestPlanOfFarCoordinates(t *testing.T) {
	far := []float64{1e300, -1e300, 1e200, MaxCoordinate + 1}
	for _, v := range far {
		for _, opt := range []Options{{}, {AllowOutside: true}} {
			sheet := layout.Sheet{Decals: []layout.PlacedDecal{{Path: outline.Path{square(0, 0, 5), outline.Polygon(outline.Pt(1, 1), outline.Pt(v, 1), outline.Pt(1, v))}}}}
			_, err := Plan(context.Background(), sheet, opt)
			refused(t, err, ErrRange)
		}
		_, err := Plan(context.Background(), layout.Sheet{Decals: []layout.PlacedDecal{{Path: outline.Path{square(0, 0, 5)}}}}, Options{Home: outline.Pt(0, v), Return: true})
		refused(t, err, ErrInvalidOption)
	}
	_, err := Plan(context.Background(), layout.Sheet{TrimLines: []outline.Curve{outline.Polyline(outline.Pt(0, 0), outline.Pt(MaxCoordinate, 1))}}, Options{})
	assert.NoError(t, err)
}

func TestJobsAreBounded(t *testing.T) {
	line := outline.Polyline(outline.Pt(0, 0), outline.Pt(1000, 0))
	job := jobOf(line)
	for len(job.Strokes) <= MaxStrokes/MaxCopies {
		job.Strokes = append(job.Strokes, job.Strokes[0])
	}
	_, err := job.Repeat(MaxCopies, 10)
	refused(t, err, ErrTooLarge)
	_, err = job.Repeat(2, 1e300)
	refused(t, err, ErrInvalidOption)

	// Each of ten lines crosses 9,090 borders.
	zigzag := outline.Curve{}
	for i := range 10 {
		zigzag.Segments = append(zigzag.Segments, outline.LineTo(outline.Pt(1000*float64(1-i%2), 1)))
	}
	pieces, ok := piecesAt(Stroke{Curve: zigzag}, 0.11, 1000)
	assert.False(t, ok)
	assert.LessOrEqual(t, len(pieces), 501)
	_, ok = piecesAt(Stroke{Curve: zigzag}, 0.11, MaxNodes)
	assert.True(t, ok)

	// A tolerance no machine has, and a blade no holder takes.
	for _, d := range []Device{
		{Tolerance: 1e-20, Knife: Knife{Offset: 0.5}}, {Tolerance: units.Length(math.NaN())}, {Tolerance: -1},
		{Knife: Knife{Offset: 1e9}}, {Knife: Knife{Offset: units.Length(math.NaN())}},
	} {
		_, err := jobOf(line).For(d)
		refused(t, err, ErrInvalidOption)
	}
}

// Speeds near zero gave minus 292 years.
func TestTimeIsBounded(t *testing.T) {
	job := jobOf(square(0, 0, 10).Curve())
	for _, l := range []Limits{{CutSpeed: 1e-300}, {Acceleration: 1e-300}, {Lift: math.MaxInt64}, {Plunge: math.MaxInt64}} {
		_, err := job.Time(l)
		refused(t, err, ErrInvalidOption)
	}
}
