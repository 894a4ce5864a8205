package order_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/order"
	"github.com/vinylgeom/vinyl/layout/svgsheet"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
	"github.com/vinylgeom/vinyl/weedability"
)

// bordered is an order with a weed border round every decal.
func bordered(t *testing.T) order.Order {
	o := items(t,
		order.Item{Design: "rocket", Height: 90, Copies: 2, Turn: "any"},
		order.Item{Design: "gear", Height: 70, Copies: 2, Turn: "quarter"},
		order.Item{Design: "bulb", Height: 80, Copies: 1})
	o.WeedBorder, o.BorderClearance = "decal", 4
	o.MaxLoad = 0
	return o
}

func strokes(l order.Load, role cutpath.Role) []cutpath.Stroke {
	var out []cutpath.Stroke
	for _, s := range l.Job.Strokes {
		if s.Role == role {
			out = append(out, s)
		}
	}
	return out
}

// Round every decal lies a box of its own, turned with it, at the clearance from
// it and the gap from other boxes; it is cut, and counted in the length.
func TestBorderRoundEachDecal(t *testing.T) {
	o := bordered(t)
	r := run(t, o, order.Options{Iterations: 10})
	require.Equal(t, 1, len(r.Loads))
	l := r.Loads[0]
	require.Equal(t, len(l.Placed), len(l.Sheet.WeedBorder))
	perimeter := 0.0
	for k, p := range l.Placed {
		back := outline.Translate(outline.Pt(-float64(p.X), -float64(p.Y))).Then(outline.Rotate(-p.Rotation))
		box := outline.Path{l.Sheet.WeedBorder[k]}.Transform(back).Bounds()
		own := r.Designs[p.Design].Path.Bounds()
		for _, d := range []float64{own.Min.X - box.Min.X, own.Min.Y - box.Min.Y, box.Max.X - own.Max.X, box.Max.Y - own.Max.Y} {
			assert.InDelta(t, 4, d, 1e-6)
		}
		perimeter += 2 * (box.Width() + box.Height())
		for j := range k {
			assert.GreaterOrEqual(t, boxGap(l.Sheet.WeedBorder[j], l.Sheet.WeedBorder[k]), float64(o.Gap)-1e-3)
		}
	}
	b := l.Sheet.WeedBorder.Bounds()
	assert.GreaterOrEqual(t, b.Min.Y, float64(o.EdgeMargin)-1e-6)
	assert.GreaterOrEqual(t, b.Min.X, float64(o.Lead)-1e-6)
	assert.Equal(t, len(l.Placed), len(strokes(l, cutpath.WeedBorder)))
	sum := 0.0
	for _, s := range strokes(l, cutpath.WeedBorder) {
		sum += float64(s.Curve.Length(0))
	}
	assert.InDelta(t, perimeter, sum, 1e-3)

	// The same load without its borders takes less time by at least the borders'
	// length at the machine's speed.
	bare := l.Sheet
	bare.WeedBorder, bare.WeedLines = nil, nil
	job, err := cutpath.Plan(context.Background(), bare, cutpath.Options{})
	require.NoError(t, err)
	timing, err := job.Time(cutpath.Limits{})
	require.NoError(t, err)
	assert.Greater(t, l.Cut.Seconds(), timing.Seconds())
	assert.InDelta(t, float64(l.Job.CutLength()-job.CutLength()), perimeter+lengthOf(strokes(l, cutpath.WeedLine)), 1e-3)
}

func lengthOf(list []cutpath.Stroke) float64 {
	sum := 0.0
	for _, s := range list {
		sum += float64(s.Curve.Length(0))
	}
	return sum
}

// boxGap is the distance of two convex contours, corner to side.
func boxGap(a, b outline.Contour) float64 {
	least := math.Inf(1)
	for _, pair := range [][2]outline.Contour{{a, b}, {b, a}} {
		for _, s := range pair[0].Segments {
			least = math.Min(least, float64(pair[1].Nearest(s.End).Distance))
		}
	}
	return least
}

// With a border round each decal its weed lines lie within that border and
// touch no film; they are cut, and stand in the file.
func TestWeedLinesWithinEachBorder(t *testing.T) {
	o := items(t, order.Item{Design: "rocket", Height: 140, Copies: 2}, order.Item{Design: "bulb", Height: 140, Copies: 1})
	o.WeedBorder, o.WeedLines, o.BorderClearance = "decal", true, 8
	r := run(t, o, quick)
	lines, in := 0, 0
	for _, l := range r.Loads {
		lines += len(l.Sheet.WeedLines)
		in += len(strokes(l, cutpath.WeedLine))
		for _, c := range l.Sheet.WeedLines {
			inside := 0
			for k := range l.Placed {
				if b := l.Sheet.WeedBorder[k].Bounds().Grow(1e-6); b.Contains(c.Start) && b.Contains(c.End()) {
					inside++
				}
			}
			assert.Equal(t, 1, inside, "the line lies in one border")
			for _, p := range c.Flatten(nil, 0) {
				for _, d := range l.Sheet.Decals {
					assert.GreaterOrEqual(t, float64(d.Path.Nearest(p).Distance), float64(weedability.LimitsFor(weedability.Calendered).WasteNeck.Caution)-1e-3)
				}
			}
		}
		var file bytes.Buffer
		require.NoError(t, l.Job.Write(svgsheet.NewWriter(&file, svgsheet.Options{})))
		assert.GreaterOrEqual(t, strings.Count(file.String(), "<path")+strings.Count(file.String(), "M"), len(l.Sheet.WeedLines)+len(l.Sheet.WeedBorder))
	}
	assert.Positive(t, lines, "these designs have enough pieces for lines")
	assert.Equal(t, lines, in)
}

// Without weed borders decals reach to the margins, and nothing but decals and
// the cut-off line is cut.
func TestNoBorder(t *testing.T) {
	o := bordered(t)
	o.WeedBorder, o.WeedLines = "none", false
	r := run(t, o, quick)
	for _, l := range r.Loads {
		assert.Empty(t, l.Sheet.WeedBorder)
		assert.Empty(t, strokes(l, cutpath.WeedBorder))
		b := outline.EmptyBox()
		for _, d := range l.Sheet.Decals {
			b = b.Union(d.Path.Bounds())
		}
		assert.InDelta(t, float64(o.EdgeMargin), b.Min.Y, 0.1)
		assert.InDelta(t, b.Max.X+4, l.Sheet.TrimLines[0].Start.X, 1e-6)
		assert.GreaterOrEqual(t, float64(l.Edge), float64(o.EdgeMargin)-1e-6)
	}
}

// After a jam only the borders of the decals that are left are cut.
func TestResumeKeepsItsBorders(t *testing.T) {
	r := run(t, bordered(t), quick)
	layout := r.Layout()
	load := layout.Loads[0]
	rest, err := layout.Resume(context.Background(), load.Name, load.Decals[2].ID, false, quick)
	require.NoError(t, err)
	assert.Equal(t, len(load.Decals)-2, len(rest.Loads[0].Sheet.WeedBorder))
	again, err := layout.Recut(context.Background(), []string{load.Decals[0].ID}, quick)
	require.NoError(t, err)
	assert.Equal(t, 1, len(again.Loads[0].Sheet.WeedBorder))
}

// Lifting the waste is counted once a border.
func TestLiftingIsCountedPerBorder(t *testing.T) {
	t.Parallel()
	minutes := func(border string) float64 {
		o := bordered(t)
		o.WeedBorder, o.WeedLines = border, false
		o.Shop.Times.Lift = 2
		r := run(t, o, quick)
		w, err := r.Work()
		require.NoError(t, err)
		plan, err := r.Plan(context.Background())
		require.NoError(t, err)
		weeding := 0.0
		for _, l := range plan.Loads {
			weeding += l.Minutes[1]
		}
		n := len(r.Loads)
		if border == "decal" {
			n = r.Decals()
		}
		assert.InDelta(t, w.WeedMinutes+2*float64(n), weeding, 1e-6)
		return w.Minutes - w.WeedMinutes
	}
	assert.Greater(t, minutes("decal"), minutes("load"))
}

// A design that should not be cut is named with the size from which on it could
// be: at that size nothing is refused any more.
func TestRefusedDesigns(t *testing.T) {
	o := items(t, order.Item{Design: "gear", Height: 5.25 * units.Inch, Copies: 1})
	o.Mend = ""
	r := run(t, o, quick)
	require.NotEmpty(t, r.Report.Notes)
	note := r.Report.Notes[0]
	require.Contains(t, note, "DO NOT CUT")
	var width, height float64
	_, err := fmt.Sscanf(note[strings.Index(note, "from ")+5:], "%f in × %f in", &width, &height)
	require.NoError(t, err, note)
	o.Items[0].Height = units.Length(height) * units.Inch
	o.Film.Width, o.MaxLoad = 600, 0
	big := run(t, o, quick)
	for _, f := range big.Report.Findings {
		assert.NotEqual(t, "refuse", f.Severity, "%+v", f)
	}
}

// Mended designs keep the limits of the severity and their size; inside glass
// they are the mirror image of what is mended for outside.
func TestMend(t *testing.T) {
	t.Parallel()
	for _, severity := range []string{"refuse", "warn"} {
		o := items(t, order.Item{Design: "gear", Height: 5.25 * units.Inch, Copies: 1}, order.Item{Design: "rocket", Width: 110, Copies: 1}, order.Item{Design: "gear", Height: 5.25 * units.Inch, Copies: 1, InsideGlass: true})
		o.Mend = severity
		r := run(t, o, quick)
		for i, d := range r.Designs {
			assert.NotEmpty(t, d.Changes)
			assert.Equal(t, len(d.Changes), len(r.Report.Designs[i].Changes))
			assert.NoError(t, d.Path.CheckWelded(outline.DefaultTolerance))
			for _, f := range d.Report.Findings {
				assert.NotEqual(t, weedability.Refuse, f.Severity)
				if severity == "warn" && f.Kind != weedability.WasteNeck { // waste is cut off by neighbours, not by a change of the film
					assert.NotEqual(t, weedability.Warn, f.Severity, "%v", f.Kind)
				}
			}
		}
		assert.InDelta(t, 133.35, r.Designs[0].Path.Bounds().Height(), 1e-9)
		assert.InDelta(t, 110, r.Designs[1].Path.Bounds().Width(), 1e-9)
		outside, inside := r.Designs[0], r.Designs[2]
		back := inside.Path.Transform(outline.MirrorX())
		back = back.Transform(outline.Translate(back.Bounds().Min.Mul(-1)))
		assert.InDelta(t, float64(outside.Path.Area()), float64(back.Area()), 1e-6)
		both, err := outline.Subtract(outside.Path, []outline.Path{back}, outline.BooleanOptions{})
		require.NoError(t, err)
		assert.Less(t, float64(both.Area()), 1e-3)
		assert.InDelta(t, inside.Path.Bounds().Width(), outside.Changes[0].At.X+inside.Changes[0].At.X, 0.5, "places are mirrored too")
	}
}
