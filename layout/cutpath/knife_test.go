package cutpath

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// tipWay integrates the trailing tip (a tractrix) over an axis's way: in every
// step of a micrometre the tip is pulled straight towards the axis. It returns
// the tip's points every 0.01 mm or so, and the heading at the end.
func tipWay(axis outline.Curve, d float64, heading outline.Point) ([]outline.Point, outline.Point) {
	const step = 0.001
	points := axis.Flatten(nil, 0.0005)
	tip := points[0].Sub(heading.Mul(d))
	way := []outline.Point{tip}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		n := int(math.Ceil(a.Distance(b) / step))
		for k := 1; k <= n; k++ {
			p := a.Lerp(b, float64(k)/float64(n))
			v := p.Sub(tip)
			if l := v.Norm(); l > 0 {
				tip = p.Sub(v.Mul(d / l))
			}
			if k%10 == 0 || k == n {
				way = append(way, tip)
			}
		}
	}
	last := points[len(points)-1].Sub(tip)
	return way, last.Mul(1 / last.Norm())
}

// farthest returns the greatest distance from one of the points to the
// polyline; whatever is more than a millimetre off counts as one.
func farthest(points, polyline []outline.Point) float64 {
	type cell [2]int
	at := func(p outline.Point) cell { return cell{int(math.Floor(p.X)), int(math.Floor(p.Y))} }
	chords := map[cell][][2]outline.Point{}
	for i := 1; i < len(polyline); i++ {
		a, b := polyline[i-1], polyline[i]
		n := int(a.Distance(b)) + 1
		for k := range n {
			piece := [2]outline.Point{a.Lerp(b, float64(k)/float64(n)), a.Lerp(b, float64(k+1)/float64(n))}
			chords[at(piece[0])] = append(chords[at(piece[0])], piece)
			if at(piece[1]) != at(piece[0]) {
				chords[at(piece[1])] = append(chords[at(piece[1])], piece)
			}
		}
	}
	worst := 0.0
	for _, p := range points {
		best := 1.0
		c := at(p)
		for x := c[0] - 1; x <= c[0]+1; x++ {
			for y := c[1] - 1; y <= c[1]+1; y++ {
				for _, q := range chords[cell{x, y}] {
					best = min(best, p.DistanceToLine(q[0], q[1]))
				}
			}
		}
		worst = max(worst, best)
	}
	return worst
}

// dense returns points of the curve less than 0.05 mm apart.
func dense(c outline.Curve) []outline.Point {
	flat := c.Flatten(nil, 0.0005)
	out := flat[:1:1]
	for i := 1; i < len(flat); i++ {
		n := int(flat[i-1].Distance(flat[i])/0.05) + 1
		for k := 1; k <= n; k++ {
			out = append(out, flat[i-1].Lerp(flat[i], float64(k)/float64(n)))
		}
	}
	return out
}

// turnedTo returns the direction in which a machine puts its knife down at
// axis: that of the artwork's segment whose start is then under the tip.
func turnedTo(c outline.Curve, axis outline.Point, d float64) outline.Point {
	best, heading := math.Inf(1), outline.Point{}
	at := c.Start
	for _, g := range c.Segments {
		v := tangentAt(at, g, 0)
		if off := at.Add(v.Mul(d)).Distance(axis); off < best {
			best, heading = off, v
		}
		at = g.End
	}
	return heading
}

func star(x, y, r float64) outline.Contour {
	var ps []outline.Point
	for i := range 10 {
		k := r
		if i%2 == 1 {
			k = 0.4 * r
		}
		sin, cos := math.Sincos(math.Pi/2 + math.Pi*float64(i)/5)
		ps = append(ps, outline.Pt(x+k*cos, y+k*sin))
	}
	return outline.Polygon(ps...)
}

// lobes has tight curves both ways and a cusp.
func lobes(x, y float64) outline.Contour {
	at := func(u, v float64) outline.Point { return outline.Pt(x+u, y+v) }
	return outline.Contour{Start: at(0, 0), Segments: []outline.Segment{
		outline.CubicTo(at(4, -3), at(5, 3), at(9, 0)),
		outline.QuadTo(at(9.5, 1.5), at(8, 2)),
		outline.CubicTo(at(2, 4), at(12, 4), at(5, 6)),
		outline.CubicTo(at(3, 4), at(3, 4), at(1, 6)),
		outline.QuadTo(at(-1, 3), at(0, 0)),
	}}
}

func sampleSheet() layout.Sheet {
	return layout.Sheet{Name: "load-01", Film: layout.Film{Width: 60}, Length: 120, Decals: []layout.PlacedDecal{
		{ID: "A-01", Path: outline.Path{square(5, 5, 20), circle(15, 15, 4).Reversed(), circle(15, 15, 1)}},
		{ID: "A-02", Path: outline.Path{star(45, 20, 14)}},
		{ID: "A-03", Path: outline.Path{lobes(70, 10)}},
	}, TrimLines: []outline.Curve{outline.Polyline(outline.Pt(110, 0), outline.Pt(110, 60))}}
}

// TestTipFollowsTheArtwork drives every compensated stroke through the
// integrator, heading carried from stroke to stroke as a real blade's is: the
// tip must stay within 0.02 mm of the artwork and pass all of it.
func TestTipFollowsTheArtwork(t *testing.T) {
	job, err := Plan(context.Background(), sampleSheet(), Options{TestPiece: TestPieceOptions{Size: 10, At: outline.Pt(30, 45)}})
	require.NoError(t, err)
	for _, d := range []float64{0.175, 0.25, 0.5, 0.9} {
		for _, sharp := range []SharpCorners{Swivel, LiftAndTurn} {
			device := Device{Knife: Knife{Offset: units.Length(d), Overcut: 0.5, Sharp: sharp}}
			cut, err := job.For(device)
			require.NoError(t, err)
			heading := outline.Pt(1, 0)
			worst, missed := 0.0, 0.0
			k := 0
			for _, s := range job.Strokes {
				var tips []outline.Point
				for ; k < len(cut.Strokes) && cut.Strokes[k].Role == s.Role && cut.Strokes[k].Decal == s.Decal && cut.Strokes[k].Contour == s.Contour; k++ {
					axis := cut.Strokes[k].Curve
					if sharp == LiftAndTurn { // the machine turns the knife
						heading = turnedTo(s.Curve, axis.Start, d)
					}
					var way []outline.Point
					way, heading = tipWay(axis, d, heading)
					tips = append(tips, way...)
				}
				flat := s.Curve.Flatten(nil, 0.0005)
				worst = max(worst, farthest(tips, flat))
				missed = max(missed, farthest(dense(s.Curve), tips))
			}
			assert.Equal(t, len(cut.Strokes), k)
			t.Logf("offset %.3f mm, %v: tip within %.4f mm, artwork passed within %.4f mm, %d strokes", d, sharp, worst, missed, len(cut.Strokes))
			assert.Less(t, worst, 0.02)
			assert.Less(t, missed, 0.02)
		}
	}
}

// TestWithoutCompensation shows what the same integrator says of a knife led
// along the artwork itself: the check above can fail.
func TestWithoutCompensation(t *testing.T) {
	c := square(0, 0, 20).Curve()
	tips, _ := tipWay(c, 0.25, outline.Pt(1, 0))
	flat := c.Flatten(nil, 0)
	missed := farthest(dense(c), tips)
	t.Logf("a 20 mm square, offset 0.25 mm, not compensated: corners missed by %.3f mm", missed)
	assert.Greater(t, missed, 0.08)
	// After a right-angled corner the tip runs the tractrix back to the line.
	assert.Greater(t, farthest(tips, flat), 0.05)
}

// TestCircleRadius: reference/trade.md, check 14: r = 2, d = 0.25 gives an axis
// radius of 2.015564 mm.
func TestCircleRadius(t *testing.T) {
	assert.InDelta(t, 2.015564, math.Hypot(2, 0.25), 1e-6)
	// 720 quadratics that touch the circle at their ends: off it by 1e-11 mm.
	const n = 720
	at := func(k float64, r float64) outline.Point {
		sin, cos := math.Sincos(2 * math.Pi * k / n)
		return outline.Pt(r*cos, r*sin)
	}
	c := outline.Curve{Start: at(0, 2)}
	for i := range n {
		c.Segments = append(c.Segments, outline.QuadTo(at(float64(i)+0.5, 2/math.Cos(math.Pi/n)), at(float64(i+1), 2)))
	}
	cut, err := jobOf(c).For(Device{Knife: Knife{Offset: 0.25, Heading: 90 * units.Degree}, Tolerance: 1e-5})
	require.NoError(t, err)
	for _, p := range cut.Strokes[0].Curve.Flatten(nil, 0) {
		require.InDelta(t, 2.015564, p.Norm(), 1e-6)
	}
}

// TestSwivelArc: reference/trade.md, check 15: 90° at 0.25 mm swings the axis
// by 0.392699 mm. An L of two 10 mm lines: they, and the arc.
func TestSwivelArc(t *testing.T) {
	job := jobOf(outline.Polyline(outline.Pt(0, 0), outline.Pt(10, 0), outline.Pt(10, 10)))
	cut, err := job.For(Device{Knife: Knife{Offset: 0.25}, Tolerance: 1e-7})
	require.NoError(t, err)
	assert.InDelta(t, 0.392699, float64(cut.CutLength())-20, 1e-6)
}

func TestOvercut(t *testing.T) {
	job := jobOf(square(0, 0, 10).Curve(), circle(30, 30, 5).Curve(), outline.Polyline(outline.Pt(0, 0), outline.Pt(0, 10)))
	for _, over := range []float64{0.3, 1, 10, 12} {
		cut, err := job.For(Device{Knife: Knife{Overcut: units.Length(over)}})
		require.NoError(t, err)
		assert.InDelta(t, float64(job.CutLength())+2*over, float64(cut.CutLength()), 1e-6)
		for i, s := range cut.Strokes[:2] {
			// The end lies on the contour, that far past the start.
			flat := dense(job.Strokes[i].Curve)
			assert.InDelta(t, 0, farthest([]outline.Point{s.Curve.End()}, flat), 1e-3)
			assert.Equal(t, job.Strokes[i].Curve.Start, s.Curve.Start)
		}
		assert.Equal(t, outline.Pt(0, 10), cut.Strokes[2].Curve.End(), "an open line has no overcut")
	}
	assert.Equal(t, outline.Pt(0, 0), job.Strokes[0].Curve.End(), "the plan is not modified")
}

func TestLiftAndTurnLiftsAtSharpCorners(t *testing.T) {
	job := jobOf(square(0, 0, 10).Curve())
	cut, err := job.For(Device{Knife: Knife{Offset: 0.25, Sharp: LiftAndTurn}})
	require.NoError(t, err)
	assert.Len(t, cut.Strokes, 4)
	assert.Equal(t, 4, cut.Lifts())
	obtuse, err := job.For(Device{Knife: Knife{Offset: 0.25, Sharp: LiftAndTurn, LiftAngle: 100 * units.Degree}})
	require.NoError(t, err)
	assert.Len(t, obtuse.Strokes, 1)
}

func TestScale(t *testing.T) {
	k, err := MeasuredScale(200, 199.5)
	require.NoError(t, err)
	assert.InDelta(t, 1.0025062656, k, 1e-9)
	cut, err := jobOf(square(0, 0, 100).Curve()).For(Device{ScaleX: k})
	require.NoError(t, err)
	b := cut.Bounds()
	assert.InDelta(t, 100*k, b.Width(), 1e-9)
	assert.InDelta(t, 100, b.Height(), 1e-9)
	away := jobOf(square(0, 0, 100).Curve())
	away.Home = outline.Pt(-20, 30)
	cut, err = away.For(Device{ScaleX: k})
	require.NoError(t, err)
	assert.Equal(t, outline.Pt(-20*k, 30), cut.Home, "the way home is measured by the same machine")
	for _, bad := range [][2]units.Length{{200, 0}, {200, 7.87}, {200, -200}, {units.Length(math.NaN()), 200}} {
		_, err := MeasuredScale(bad[0], bad[1])
		assert.ErrorIs(t, err, ErrInvalidOption)
	}
}

func TestJoin(t *testing.T) {
	// A straight with nodes on it, a corner, then a fine arc of 0.05 mm chords.
	c := outline.Polyline(outline.Pt(0, 0), outline.Pt(1, 0), outline.Pt(1, 0), outline.Pt(4, 0), outline.Pt(10, 0), outline.Pt(10, 5))
	for i := 1; i <= 600; i++ {
		sin, cos := math.Sincos(float64(i) / 200)
		c.Segments = append(c.Segments, outline.LineTo(outline.Pt(10*cos, 5+10*sin)))
	}
	straight := join(c, 0.01, 0)
	assert.Equal(t, outline.Pt(10, 0), straight.Segments[0].End)
	assert.InDelta(t, 602, len(straight.Segments), 1)
	coarse := join(c, 0.01, 0.5)
	assert.Less(t, len(coarse.Segments), 120)
	flat := coarse.Flatten(nil, 0)
	assert.LessOrEqual(t, farthest(c.Flatten(nil, 0), flat), 0.01+1e-9)
	assert.LessOrEqual(t, farthest(dense(coarse), c.Flatten(nil, 0)), 0.01+1e-9)
	assert.Equal(t, c.End(), coarse.End())
	// There and back again is not a straight to be shortened.
	back := outline.Polyline(outline.Pt(0, 0), outline.Pt(10, 0), outline.Pt(4, 0))
	assert.Equal(t, back, join(back, 0.01, 1))
	// Twice the same.
	assert.Equal(t, coarse, join(coarse, 0.01, 0.5))
}

// TestMinSegment: with a least length the way stays within the tolerance of the
// artwork, and no piece between corners is shorter where the tolerance allows
// more.
func TestMinSegment(t *testing.T) {
	job := jobOf(circle(30, 30, 20).Curve())
	fine, err := job.For(Device{})
	require.NoError(t, err)
	assert.Equal(t, job.Strokes[0].Curve, fine.Strokes[0].Curve, "curves stay curves")
	cut, err := job.For(Device{Tolerance: 0.02, MinSegment: 1})
	require.NoError(t, err)
	points := cut.Strokes[0].Curve.Flatten(nil, 0)
	assert.LessOrEqual(t, farthest(dense(job.Strokes[0].Curve), points), 0.02)
	assert.LessOrEqual(t, farthest(points, dense(job.Strokes[0].Curve)), 0.001)
	for i := 1; i < len(points); i++ {
		assert.Greater(t, points[i].Distance(points[i-1]), 0.9)
	}
}

func TestDeviceRefuses(t *testing.T) {
	job := jobOf(square(0, 0, 10).Curve())
	nan := math.NaN()
	for name, d := range map[string]Device{
		"Offset":      {Knife: Knife{Offset: -0.1}},
		"Overcut":     {Knife: Knife{Overcut: units.Length(nan)}},
		"CornerAngle": {Knife: Knife{CornerAngle: 4}},
		"LiftAngle":   {Knife: Knife{LiftAngle: -1}},
		"Sharp":       {Knife: Knife{Sharp: 5}},
		"Heading":     {Knife: Knife{Heading: units.Angle(nan)}},
		"Tolerance":   {Tolerance: -1},
		"MinSegment":  {MinSegment: units.Length(math.Inf(1))},
		"scale":       {ScaleX: 25.4},
	} {
		_, err := job.For(d)
		require.ErrorIs(t, err, ErrInvalidOption, name)
		assert.ErrorContains(t, err, name)
	}
	var e *Error
	_, err := jobOf(square(50, 60, 0.4).Curve()).For(Device{Knife: Knife{Offset: 0.25}})
	require.ErrorAs(t, err, &e)
	assert.ErrorIs(t, err, ErrTooSmall)
	assert.Equal(t, outline.Pt(50, 60), e.At)
	_, err = jobOf(square(0, 0, 1).Curve()).For(Device{Knife: Knife{Overcut: 5}})
	assert.ErrorIs(t, err, ErrTooSmall)
	cut, err := job.For(Device{Knife: Knife{Overcut: 1}})
	require.NoError(t, err)
	_, err = cut.For(Device{})
	assert.ErrorIs(t, err, ErrInvalidOption, "twice")
	_, err = jobOf(outline.Polyline(outline.Pt(1, 1), outline.Pt(1, 1))).For(Device{Knife: Knife{Offset: 0.25}})
	assert.ErrorIs(t, err, ErrNoLength)
}
