package outline

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/vinylgeom/vinyl/units"
)

func TestModesHaveNames(t *testing.T) {
	assert.Equal(t, "clockwise counterclockwise unknown reading", fmt.Sprint(ReadClockwise, " ", ReadCounterclockwise, " ", Reading(9)))
	assert.Equal(t, "turned upright unknown stance", fmt.Sprint(Turned, " ", Upright, " ", Stance(9)))
}

func TestCircularBaseline(t *testing.T) {
	// 30π mm on a circle of radius 60 is a quarter turn.
	width := units.Length(30 * math.Pi)
	over, err := CircularBaseline(Pt(0, 0), 60, units.Turn/4, width, 10, ReadClockwise)
	require.NoError(t, err)
	d := 60 / math.Sqrt2
	assertNear(t, Pt(-d, d), over.Map(0, 0), 1e-12, "the words start upper left")
	assertNear(t, Pt(0, 60), over.Map(0.5, 0), 1e-12)
	assertNear(t, Pt(0, 70), over.Map(0.5, 1), 1e-12, "tops outwards")
	under, err := CircularBaseline(Pt(0, 0), 60, -units.Turn/4, width, 10, ReadCounterclockwise)
	require.NoError(t, err)
	assertNear(t, Pt(-d, -d), under.Map(0, 0), 1e-12, "the words start lower left")
	assertNear(t, Pt(0, -50), under.Map(0.5, 1), 1e-12, "tops towards the centre")
}

// A bar as wide as a full turn makes a ring of known area.
func TestCircularBaselineArea(t *testing.T) {
	box := Box{Pt(0, 0), Pt(100, 10)}
	w, err := CircularBaseline(Pt(5, 5), 40, 0, 100, 10, ReadClockwise)
	require.NoError(t, err)
	bent, err := Bend(Path{Rectangle(box)}, box, w, BendOptions{})
	require.NoError(t, err)
	// A sector of a ring: sweep/2 (R² - r²), sweep 100/40.
	assertLength(t, 100.0/40/2*(50*50-40*40), float64(bent.Area()), float64(DefaultTolerance)*float64(bent.Length(0)))
}

func TestAlongBaselineAgreesWithCircularBaseline(t *testing.T) {
	circle := Arc(Pt(0, 0), 60, units.Turn/2, -units.Turn/2)
	along, err := AlongBaseline(circle, 10)
	require.NoError(t, err)
	want, err := CircularBaseline(Pt(0, 0), 60, units.Turn/4, units.Length(60*math.Pi), 10, ReadClockwise)
	require.NoError(t, err)
	for k := range 101 {
		for _, v := range []float64{-0.3, 0, 1} {
			assertNear(t, want.Map(float64(k)/100, v), along.Map(float64(k)/100, v), 0.002)
		}
	}
}

func TestAlongCurve(t *testing.T) {
	letters := []Path{
		{Rectangle(Box{Pt(0, 0), Pt(6, 10)})},
		nil, // a space
		{Rectangle(Box{Pt(57, -2), Pt(63, 10)})},
	}
	baseline := Arc(Pt(0, 0), units.Length(60/math.Pi*2), units.Turn/2, -units.Turn/2) // 120 mm, over the top
	turned, err := AlongCurve(letters, baseline, AlongOptions{})
	require.NoError(t, err)
	require.Len(t, turned, 3)
	assert.Nil(t, turned[1])
	r := 120 / math.Pi
	// The third letter's middle is at 60 mm: the very top, unturned.
	assertNear(t, Pt(-3, r-2), turned[2][0].Start, 1e-3)
	// The first letter's middle is 3 mm from the left end, nearly turned on its back.
	a := math.Pi - 3/r
	assertNear(t, Pt(r*math.Cos(a), r*math.Sin(a)), turned[0][0].Start.Lerp(turned[0][0].Segments[0].End, 0.5), 1e-3)
	for i := range letters {
		assertLength(t, letters[i].Area(), turned[i].Area(), 1e-9, "letters keep their shape")
		assertLength(t, letters[i].Length(0), turned[i].Length(0), 1e-9)
	}
	up, err := AlongCurve(letters, baseline, AlongOptions{Stance: Upright})
	require.NoError(t, err)
	for i := range letters {
		assert.InDelta(t, letters[i].Bounds().Height(), up[i].Bounds().Height(), 1e-9)
	}
	assertNear(t, Pt(r*math.Cos(a), r*math.Sin(a)), up[0][0].Start.Lerp(up[0][0].Segments[0].End, 0.5), 1e-3)
	shifted, err := AlongCurve(letters, Polyline(Pt(0, 5), Pt(10, 5)), AlongOptions{Start: 20})
	require.NoError(t, err)
	assertNear(t, Pt(77, 3), shifted[2][0].Start, 1e-9, "beyond its end the baseline runs on straight")
}

func TestAlongCurveErrors(t *testing.T) {
	letters := []Path{{Rectangle(field)}}
	line := Polyline(Pt(0, 0), Pt(10, 0))
	var curveErr *CurveError
	_, err := AlongCurve(letters, Curve{}, AlongOptions{})
	assert.ErrorAs(t, err, &curveErr)
	var optionErr *OptionError
	_, err = AlongCurve(letters, line, AlongOptions{Start: units.Length(math.NaN())})
	assert.ErrorAs(t, err, &optionErr)
	_, err = AlongCurve(letters, line, AlongOptions{Stance: 5})
	assert.ErrorAs(t, err, &optionErr)
	var pathErr *PathError
	_, err = AlongCurve([]Path{{Polygon(Pt(0, 0), Pt(math.Inf(1), 0), Pt(1, 1))}}, line, AlongOptions{})
	assert.ErrorAs(t, err, &pathErr)
	out, err := AlongCurve(nil, line, AlongOptions{})
	assert.NoError(t, err)
	assert.Empty(t, out)
}

func TestByOrigin(t *testing.T) {
	var p Path
	for i, origin := range []int32{4, 2, 4, 0, 2, 0} {
		p = append(p, Path{Circle(Pt(float64(i), 0), 1)}.WithOrigin(origin)...)
	}
	parts := p.ByOrigin()
	require.Len(t, parts, 3)
	assert.Equal(t, Path{p[0], p[2]}, parts[0])
	assert.Equal(t, Path{p[1], p[4]}, parts[1])
	assert.Equal(t, Path{p[3], p[5]}, parts[2])
	assert.Empty(t, Path(nil).ByOrigin())
}
