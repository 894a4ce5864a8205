package weedability_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// raster is the slow second opinion: film as pixels of the given size, with the exact
// distance of every pixel's middle from the nearest pixel of the other sort.
type raster struct {
	origin     outline.Point
	pixel      float64
	cols, rows int
	film       []bool
	in, out    []float64 // distance of film from waste, and of waste from film, in mm
}

func newRaster(p outline.Path, pixel, margin float64) *raster {
	b := p.Bounds().Grow(margin)
	r := &raster{origin: b.Min, pixel: pixel, cols: int(b.Width()/pixel) + 1, rows: int(b.Height()/pixel) + 1}
	r.film = make([]bool, r.cols*r.rows)
	var rings [][]outline.Point
	for _, c := range p {
		rings = append(rings, c.Flatten(nil, 0.001))
	}
	for j := range r.rows {
		// Even-odd along a row: holes of a welded path take out what they enclose.
		y := r.at(0, j).Y
		var xs []float64
		for _, ring := range rings {
			for i, a := range ring {
				b := ring[(i+1)%len(ring)]
				if (a.Y > y) != (b.Y > y) {
					xs = append(xs, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
				}
			}
		}
		slices.Sort(xs)
		k := 0
		for i := range r.cols {
			for k < len(xs) && xs[k] <= r.at(i, j).X {
				k++
			}
			r.film[j*r.cols+i] = k%2 == 1
		}
	}
	r.in, r.out = r.distances(false), r.distances(true)
	return r
}

func (r *raster) at(i, j int) outline.Point {
	return outline.Pt(r.origin.X+(float64(i)+0.5)*r.pixel, r.origin.Y+(float64(j)+0.5)*r.pixel)
}

// distances is the exact Euclidean distance transform to the pixels that are
// film or are not, by lower envelopes of parabolas along columns, then rows
// (Felzenszwalb and Huttenlocher, Theory of Computing 8, 2012). Half a pixel
// is taken off, the border running between pixels.
func (r *raster) distances(to bool) []float64 {
	const far = 1e12
	f := make([]float64, len(r.film))
	for k, film := range r.film {
		if film != to {
			f[k] = far
		}
	}
	line := func(start, step, n int) {
		at := func(i int) float64 { return f[start+i*step] }
		v, z := make([]int, n), make([]float64, n+1)
		k := 0
		z[0], z[1] = math.Inf(-1), math.Inf(1)
		for q := 1; q < n; q++ {
			for {
				s := ((at(q) + float64(q*q)) - (at(v[k]) + float64(v[k]*v[k]))) / float64(2*q-2*v[k])
				if s > z[k] {
					k++
					v[k], z[k], z[k+1] = q, s, math.Inf(1)
					break
				}
				k--
			}
		}
		out := make([]float64, n)
		k = 0
		for q := range n {
			for z[k+1] < float64(q) {
				k++
			}
			out[q] = float64((q-v[k])*(q-v[k])) + at(v[k])
		}
		for q := range n {
			f[start+q*step] = out[q]
		}
	}
	for i := range r.cols {
		line(i, r.cols, r.rows)
	}
	for j := range r.rows {
		line(j*r.cols, 1, r.cols)
	}
	for k := range f {
		f[k] = max(0, math.Sqrt(f[k])-0.5) * r.pixel
	}
	return f
}

// value returns a distance map's value at a point.
func (r *raster) value(m []float64, q outline.Point) float64 {
	i, j := int((q.X-r.origin.X)/r.pixel), int((q.Y-r.origin.Y)/r.pixel)
	if i < 0 || j < 0 || i >= r.cols || j >= r.rows {
		return 0
	}
	return m[j*r.cols+i]
}

// residue returns the connected areas of film that no disc of the given radius inside
// film covers: what an opening removes. Each is a list of points.
func (r *raster) residue(radius float64) [][]outline.Point {
	// Film covered: within radius of a pixel whose own distance is at least that.
	seeds := &raster{origin: r.origin, pixel: r.pixel, cols: r.cols, rows: r.rows, film: make([]bool, len(r.film))}
	for k := range r.film {
		seeds.film[k] = r.in[k] >= radius-r.pixel/2
	}
	reach := seeds.distances(true)
	left := make([]bool, len(r.film))
	for k := range r.film {
		left[k] = r.film[k] && reach[k] > radius+r.pixel
	}
	var out [][]outline.Point
	for k := range left {
		if !left[k] {
			continue
		}
		var area []outline.Point
		left[k] = false
		for open := []int{k}; len(open) > 0; {
			m := open[len(open)-1]
			open = open[:len(open)-1]
			i, j := m%r.cols, m/r.cols
			area = append(area, r.at(i, j))
			for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				a, b := i+d[0], j+d[1]
				if a >= 0 && b >= 0 && a < r.cols && b < r.rows && left[b*r.cols+a] {
					left[b*r.cols+a] = false
					open = append(open, b*r.cols+a)
				}
			}
		}
		out = append(out, area)
	}
	return out
}

// discs is a welded chain of discs: film whose only corners point inwards, with
// necks where two discs meet.
func discs(t testing.TB, rng *rand.Rand, n int) outline.Path {
	var parts []outline.Path
	at, last := outline.Pt(0, 0), 0.0
	for i := range n {
		radius := 1.6 + 2.5*rng.Float64()
		if i > 0 {
			sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
			at = at.Add(outline.Pt(cos, sin).Mul(0.6*(last+radius) + 0.38*(last+radius)*rng.Float64()))
		}
		parts = append(parts, outline.Path{outline.Circle(at, units.Length(radius))})
		last = radius
	}
	p, err := outline.Weld(parts, outline.BooleanOptions{})
	require.NoError(t, err)
	return p
}

// TestAgainstRaster lets the raster judge widths, thin stretches and gaps on random shapes.
func TestAgainstRaster(t *testing.T) {
	const pixel = 0.05
	for seed := range uint64(8) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(seed, 3))
			p := discs(t, rng, 9)
			limits := weedability.LimitsFor(weedability.Cast)
			r, err := inspectLimits(p, limits)
			require.NoError(t, err)
			slow := newRaster(p, pixel, 3)
			// The widest circle of all film.
			widest := 0.0
			for _, i := range r.Islands {
				widest = math.Max(widest, i.Width)
				assert.InDelta(t, i.Width/2, slow.value(slow.in, i.At), 1.5*pixel)
			}
			assert.InDelta(t, slices.Max(slow.in), widest/2, pixel)
			for _, c := range r.Counters {
				assert.InDelta(t, c.Width/2, slow.value(slow.out, c.At), 1.5*pixel)
			}
			// Every thin stretch and narrow gap is as thin as the raster says, and every
			// place that no disc of 2 mm reaches belongs to one.
			check := func(f weedability.Finding, distance []float64) {
				// A stretch that narrows towards a square end is a little thinner there
				// than where its smallest ball is.
				d := slow.value(distance, f.At)
				assert.Greater(t, d, f.Value/2-1.5*pixel)
				assert.Less(t, d, f.Value/2*1.3+1.5*pixel)
			}
			for _, f := range r.Findings {
				switch f.Kind {
				case weedability.StrokeThin:
					check(f, slow.in)
				case weedability.GapNarrow:
					check(f, slow.out)
				}
			}
			thin := of(r, weedability.StrokeThin)
			for _, area := range slow.residue(float64(limits.Stroke.Caution) / 2 * 0.97) {
				if len(area) < 6 {
					continue
				}
				near := math.Inf(1)
				for _, f := range thin {
					for _, q := range area {
						near = math.Min(near, q.Distance(f.At))
						for _, c := range f.Outline {
							near = math.Min(near, float64(c.Nearest(q).Distance))
						}
					}
				}
				assert.Less(t, near, 1.0, "uncovered film at %v without a finding", area[0])
			}
		})
	}
}

// TestStrokesAgainstRaster draws random strokes of random widths and compares
// the thinnest place found with the raster's.
func TestStrokesAgainstRaster(t *testing.T) {
	const pixel = 0.04
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 17))
		// A stroke whose width goes smoothly from one random value to the next.
		var left, right []outline.Point
		w0, w1 := 0.6+0.8*rng.Float64(), 1.2+1.5*rng.Float64()
		phase := 6 * rng.Float64()
		least := math.Inf(1)
		for k := range 201 {
			u := float64(k) / 200
			c := outline.Pt(40*u, 4*math.Sin(3*u+phase))
			d := outline.Pt(40, 12*math.Cos(3*u+phase))
			n := d.Perp().Mul(1 / d.Norm())
			w := w0 + (w1-w0)*(0.5-0.5*math.Cos(2*math.Pi*(u-0.5)))
			left = append(left, c.Add(n.Mul(w/2)))
			right = append(right, c.Sub(n.Mul(w/2)))
			least = math.Min(least, w)
		}
		slices.Reverse(left)
		p := outline.Path{outline.Polygon(append(right, left...)...)}
		f := of(inspect(t, p, weedability.Cast), weedability.StrokeThin)
		require.Len(t, f, 1, seed)
		assert.InDelta(t, least, f[0].Value, thicknessTolerance(least), seed)
		slow := newRaster(p, pixel, 1)
		assert.InDelta(t, f[0].Value/2, slow.value(slow.in, f[0].At), 1.5*pixel, seed)
	}
}
