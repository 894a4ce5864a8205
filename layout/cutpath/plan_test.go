package cutpath

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

func square(x, y, side float64) outline.Contour {
	return outline.Polygon(outline.Pt(x, y), outline.Pt(x+side, y), outline.Pt(x+side, y+side), outline.Pt(x, y+side))
}

// circle is four cubics, the usual construction; within 0.03 % of round.
func circle(x, y, r float64) outline.Contour {
	const k = 0.5522847498307936
	at := func(u, v float64) outline.Point { return outline.Pt(x+u*r, y+v*r) }
	return outline.Contour{Start: at(1, 0), Segments: []outline.Segment{
		outline.CubicTo(at(1, k), at(k, 1), at(0, 1)), outline.CubicTo(at(-k, 1), at(-1, k), at(-1, 0)),
		outline.CubicTo(at(-1, -k), at(-k, -1), at(0, -1)), outline.CubicTo(at(k, -1), at(1, -k), at(1, 0)),
	}}
}

// badge is a decal with a hole that holds an island with a hole, and a second
// hole: five contours, three levels inside one another.
func badge(x, y float64) outline.Path {
	return outline.Path{square(x, y, 40), square(x+4, y+4, 24).Reversed(), circle(x+16, y+16, 9),
		circle(x+16, y+16, 4).Reversed(), square(x+31, y+31, 6).Reversed()}
}

func badges(cols, rows int) layout.Sheet {
	s := layout.Sheet{Name: "load-01", Film: layout.Film{Name: "blue", Colour: "#1d4ed8", Width: units.Length(20 + 50*rows)}, Length: units.Length(40 + 50*cols)}
	for c := range cols {
		for r := range rows {
			s.Decals = append(s.Decals, layout.PlacedDecal{ID: string(rune('A'+c%26)) + string(rune('a'+r)), Path: badge(25+50*float64(c), 15+50*float64(r))})
		}
	}
	w, h := float64(s.Length), float64(s.Film.Width)
	s.WeedBorder = outline.Path{outline.Polygon(outline.Pt(20, 10), outline.Pt(w-20, 10), outline.Pt(w-20, h-10), outline.Pt(20, h-10))}
	for c := 1; c < cols; c++ {
		x := 20 + 50*float64(c)
		s.WeedLines = append(s.WeedLines, outline.Polyline(outline.Pt(x, 10), outline.Pt(x, h-10)))
	}
	s.TrimLines = []outline.Curve{outline.Polyline(outline.Pt(w-5, 0), outline.Pt(w-5, h)), outline.Polyline(outline.Pt(10, 0), outline.Pt(10, h))}
	s.Marks = []outline.Curve{outline.Polyline(outline.Pt(12, 5), outline.Pt(18, 5)), outline.Polyline(outline.Pt(15, 2), outline.Pt(15, 8))}
	return s
}

// lawful checks everything an order must keep, in its own plain way.
func lawful(t *testing.T, sheet layout.Sheet, job Job, opt Options) {
	t.Helper()
	want := 0
	for _, d := range sheet.Decals {
		want += len(d.Path)
	}
	want += len(sheet.WeedBorder) + len(sheet.WeedLines) + len(sheet.TrimLines) + len(sheet.Marks)
	if opt.TestPiece.Size > 0 {
		want += 2
	}
	require.Len(t, job.Strokes, want)
	rank := map[Role]int{TestPiece: 0, Decal: 1, Mark: 2, WeedLine: 3, WeedBorder: 4, TrimLine: 5}
	seen := map[[3]int]bool{}
	flat := make([][]outline.Point, len(job.Strokes))
	boxes := make([]outline.Box, len(job.Strokes))
	for i, s := range job.Strokes {
		flat[i], boxes[i] = outline.Contour(s.Curve).Flatten(nil, 0), s.Curve.Bounds()
	}
	for i, s := range job.Strokes {
		key := [3]int{int(s.Role), s.Decal, s.Contour}
		require.False(t, seen[key], "cut twice: %v", key)
		seen[key] = true
		if i > 0 {
			require.GreaterOrEqual(t, rank[s.Role], rank[job.Strokes[i-1].Role], "stroke %d", i)
		}
		if s.Closed {
			require.Equal(t, s.Curve.Start, s.Curve.End(), "stroke %d is not closed", i)
		}
		for k := i + 1; k < len(job.Strokes); k++ {
			later := job.Strokes[k]
			if s.Role != later.Role || !s.Closed || !later.Closed {
				continue
			}
			// What is cut later must not lie inside s.
			if boxes[i].Contains(boxes[k].Min) && boxes[i].Contains(boxes[k].Max) {
				require.False(t, holds(flat[i], flat[k]), "stroke %d encloses a later one", i)
			}
		}
		if opt.Grouping == ByDecal && s.Role == Decal && i > 0 && job.Strokes[i-1].Decal != s.Decal {
			for _, earlier := range job.Strokes[:i-1] {
				require.False(t, earlier.Role == Decal && earlier.Decal == s.Decal, "decal %s is begun twice", s.ID)
			}
		}
	}
	if n := len(sheet.TrimLines); n > 0 {
		last := job.Strokes[len(job.Strokes)-1]
		for _, c := range sheet.TrimLines {
			assert.LessOrEqual(t, c.Bounds().Max.X, last.Curve.Bounds().Max.X, "the cut-off line comes last")
		}
	}
}

func TestPlanKeepsTheRules(t *testing.T) {
	sheet := badges(3, 2)
	for _, grouping := range []Grouping{ByDecal, Free} {
		for _, start := range []StartPoints{StartQuiet, StartNearest, StartAsDrawn} {
			for _, ret := range []bool{false, true} {
				opt := Options{Grouping: grouping, Start: start, Return: ret, Seed: 4, TestPiece: TestPieceOptions{Size: 10, At: outline.Pt(1, 1)}}
				job, err := Plan(context.Background(), sheet, opt)
				require.NoError(t, err)
				lawful(t, sheet, job, opt)
				// Cutting changes no length: what is cut is the artwork.
				var art float64
				for _, d := range sheet.Decals {
					for _, c := range d.Path {
						art += curveLength(c.Curve())
					}
				}
				for _, s := range job.Strokes {
					if s.Role == Decal {
						art -= curveLength(s.Curve)
					}
				}
				assert.InDelta(t, 0, art, 1e-5)
				first, err := Plan(context.Background(), sheet, Options{Grouping: grouping, Start: start, Return: ret, Iterations: -1, TestPiece: opt.TestPiece})
				require.NoError(t, err)
				lawful(t, sheet, first, opt)
				bound := job.LowerBound()
				t.Logf("%v, %v, return %v: travel %.0f mm, at first %.0f, bound %.0f", grouping, start, ret, float64(job.Travel()), float64(first.Travel()), float64(bound))
				assert.LessOrEqual(t, bound, job.Travel())
			}
		}
	}
}

func TestPlanIsTheSameForTheSameSeed(t *testing.T) {
	sheet := badges(3, 3)
	a, err := Plan(context.Background(), sheet, Options{Seed: 3})
	require.NoError(t, err)
	b, err := Plan(context.Background(), sheet, Options{Seed: 3})
	require.NoError(t, err)
	assert.Equal(t, a, b)
}

func TestWindowKeepsTheFilmFromRunningBack(t *testing.T) {
	sheet := badges(12, 1)
	for _, grouping := range []Grouping{ByDecal, Free} {
		opt := Options{Grouping: grouping, Window: 60, Home: outline.Pt(300, 0), AllowOutside: true}
		job, err := Plan(context.Background(), sheet, opt)
		require.NoError(t, err)
		lawful(t, sheet, job, opt)
		far := math.Inf(-1)
		for _, s := range job.Strokes {
			if s.Role != Decal {
				continue
			}
			b := s.Curve.Bounds()
			assert.GreaterOrEqual(t, b.Max.X+60, far)
			far = max(far, b.Min.X)
		}
	}
}

func TestDirection(t *testing.T) {
	for _, d := range []Direction{CounterClockwise, Clockwise} {
		job, err := Plan(context.Background(), badges(1, 1), Options{Direction: d})
		require.NoError(t, err)
		for _, s := range job.Strokes {
			if s.Closed && s.Role != TestPiece {
				assert.Equal(t, d == CounterClockwise, outline.Contour(s.Curve).Area() > 0, "%v", s.Role)
			}
		}
	}
}

// TestQuietStart: a decal like a long drop, round at one end and pointed at
// the other, starts on neither.
func TestQuietStart(t *testing.T) {
	drop := outline.Contour{Start: outline.Pt(10, 30), Segments: []outline.Segment{
		outline.LineTo(outline.Pt(60, 20)), outline.CubicTo(outline.Pt(72, 20), outline.Pt(72, 40), outline.Pt(60, 40)), outline.LineTo(outline.Pt(10, 30))}}
	sheet := layout.Sheet{Film: layout.Film{Width: 60}, Length: 100, Decals: []layout.PlacedDecal{{Path: outline.Path{drop}}}}
	job, err := Plan(context.Background(), sheet, Options{Home: outline.Pt(0, 30)})
	require.NoError(t, err)
	at := job.Strokes[0].Curve.Start
	// Film is 2 mm wide where x = 15; beyond that it is neither tip nor thin.
	assert.Greater(t, at.X, 15.0)
	assert.Less(t, at.X, 60.0, "on a straight, not on the round end")
	nearest, err := Plan(context.Background(), sheet, Options{Home: outline.Pt(0, 30), Start: StartNearest})
	require.NoError(t, err)
	assert.Equal(t, outline.Pt(10, 30), nearest.Strokes[0].Curve.Start, "the tip is nearest to the knife")
}

func TestCornersAreNoQuietStart(t *testing.T) {
	job, err := Plan(context.Background(), badges(2, 2), Options{})
	require.NoError(t, err)
	closed := 0
	for _, s := range job.Strokes {
		if !s.Closed {
			continue
		}
		closed++
		c := s.Curve
		leave := tangentAt(c.Start, c.Segments[0], 0)
		arrive := lastTangent(c)
		assert.InDelta(t, 0, math.Atan2(arrive.Cross(leave), arrive.Dot(leave)), 1e-6, "%v starts at a corner", s.Role)
	}
	assert.Positive(t, closed)
}

func TestPlanRefuses(t *testing.T) {
	film := layout.Film{Width: 100}
	with := func(p ...outline.Contour) layout.Sheet {
		return layout.Sheet{Name: "load-01", Film: film, Length: 200, Decals: []layout.PlacedDecal{{ID: "B-07", Path: p}}}
	}
	nan := math.NaN()
	open := square(10, 10, 10)
	open.Segments = open.Segments[:3]
	for _, c := range []struct {
		name  string
		sheet layout.Sheet
		opt   Options
		cause error
		text  string
	}{
		{"empty", layout.Sheet{Film: film}, Options{}, ErrEmpty, "put a decal"},
		{"open contour", with(open), Options{}, ErrNotClosed, "decal B-07, contour 0, at (10.000, 20.000)"},
		{"NaN", with(square(nan, 10, 10)), Options{}, ErrNotFinite, "finite"},
		{"infinite", with(square(10, math.Inf(1), 10)), Options{}, ErrNotFinite, "finite"},
		{"one point", with(outline.Contour{Start: outline.Pt(5, 5)}), Options{}, ErrNoLength, "leave the point out"},
		{"same points", with(outline.Polygon(outline.Pt(5, 5), outline.Pt(5, 5), outline.Pt(5, 5))), Options{}, ErrNoLength, ""},
		{"across the film", with(square(10, 95, 10)), Options{}, ErrOutsideFilm, "wider film"},
		{"along the film", with(square(195, 10, 10)), Options{}, ErrOutsideFilm, "longer"},
		{"before the film", with(square(-3, 10, 10)), Options{}, ErrOutsideFilm, "move it"},
		{"window", with(square(10, 10, 10)), Options{Window: -1}, ErrInvalidOption, "Window"},
		{"grouping", with(square(10, 10, 10)), Options{Grouping: 9}, ErrInvalidOption, "Grouping"},
		{"start", with(square(10, 10, 10)), Options{Start: 9}, ErrInvalidOption, "Start"},
		{"direction", with(square(10, 10, 10)), Options{Direction: 9}, ErrInvalidOption, "Direction"},
		{"budget", with(square(10, 10, 10)), Options{Budget: -1}, ErrInvalidOption, "Budget"},
		{"home", with(square(10, 10, 10)), Options{Home: outline.Pt(nan, 0)}, ErrInvalidOption, "Home"},
		{"test piece", with(square(10, 10, 10)), Options{TestPiece: TestPieceOptions{Size: -1}}, ErrInvalidOption, "test piece"},
	} {
		_, err := Plan(context.Background(), c.sheet, c.opt)
		require.ErrorIs(t, err, c.cause, c.name)
		var e *Error
		require.ErrorAs(t, err, &e, c.name)
		assert.ErrorContains(t, err, c.text, c.name)
	}
	_, err := Plan(context.Background(), with(square(95, 95, 10)), Options{AllowOutside: true})
	assert.NoError(t, err)
}

func TestCancelledPlanIsStillWhole(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	sheet := badges(3, 2)
	job, err := Plan(ctx, sheet, Options{})
	require.ErrorIs(t, err, context.Canceled)
	lawful(t, sheet, job, Options{})
	assert.LessOrEqual(t, job.LowerBound(), job.Travel())
}

func TestProgressAndBudget(t *testing.T) {
	var shares []float64
	start := time.Now()
	_, err := Plan(context.Background(), badges(3, 3), Options{Budget: 100 * time.Millisecond, Grouping: Free, Progress: func(p Progress) { shares = append(shares, p.Share) }})
	require.NoError(t, err)
	assert.Less(t, time.Since(start), 30*time.Second, "the budget ends the search, however busy the machine")
	require.NotEmpty(t, shares)
	assert.IsNonDecreasing(t, shares)
	assert.InDelta(t, 1, shares[len(shares)-1], 1e-9)
}

// TestContainmentAgainstAllPairs judges the sweep by asking every pair.
func TestContainmentAgainstAllPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	var contours []outline.Contour
	var nest func(x, y, side float64, depth int)
	nest = func(x, y, side float64, depth int) {
		contours = append(contours, square(x, y, side))
		if depth == 0 {
			return
		}
		for i := range 2 {
			for j := range 2 {
				if rng.IntN(3) > 0 {
					nest(x+side*(0.1+0.45*float64(i)), y+side*(0.1+0.45*float64(j)), side*0.35, depth-1)
				}
			}
		}
	}
	nest(0, 0, 100, 4)
	nest(200, 0, 80, 4)
	rng.Shuffle(len(contours), func(i, j int) { contours[i], contours[j] = contours[j], contours[i] })
	got := enclosing(contours)
	for i, c := range contours {
		want, area := -1, math.Inf(1)
		for j, e := range contours {
			b, h := c.Bounds(), e.Bounds()
			if i != j && h.Min.X < b.Min.X && h.Min.Y < b.Min.Y && h.Max.X > b.Max.X && h.Max.Y > b.Max.Y && float64(e.Area()) < area {
				want, area = j, float64(e.Area())
			}
		}
		require.Equal(t, want, got[i])
	}
	require.Greater(t, len(contours), 50)
}

// BenchmarkPlan orders n decals of five contours.
func BenchmarkPlan(b *testing.B) {
	for _, c := range []struct {
		name     string
		grouping Grouping
	}{{"by decal", ByDecal}, {"free", Free}} {
		b.Run(c.name+"/n=60", func(b *testing.B) {
			sheet := badges(10, 6)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Plan(context.Background(), sheet, Options{Grouping: c.grouping}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
