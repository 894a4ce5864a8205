package search

import (
	"context"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/vinylgeom/vinyl/layout/artwork"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

var copiesFlag = flag.Duration("copies", 0, "processor time of both workers to spend on each run of TestCopiesRepeat; 0 for a few passes on one design")

// decal is the outside of a design of the demo order, 5.25 in high, grown by
// half a gap of 1/8 in, its curves as chords that keep to chord.
func decal(t testing.TB, name string, chord units.Length) orb.MultiPolygon {
	f, err := os.Open(filepath.Join("..", "..", "..", "layout", "order", "demo", name+".svg"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	design, err := artwork.Read(f, name)
	if err != nil {
		t.Fatal(err)
	}
	box := design.Art.Bounds()
	scale := 5.25 * 25.4 / (box.Max.Y - box.Min.Y)
	grown, err := outline.Offset(design.Art.Transform(outline.Scale(scale, scale)), 3.175/2, outline.OffsetOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var outside orb.MultiPolygon
	for _, polygon := range grown.MultiPolygon(chord) {
		outside = append(outside, orb.Polygon{polygon[0]})
	}
	return outside
}

// With 200 copies of one decal on 12 in film a unit that repeats beats the
// search of all copies as one layout, which cannot repeat what it finds. By
// hand, with the figures of five designs:
//
//	go test -run TestCopiesRepeat -copies 10s -v ./nest/internal/search
func TestCopiesRepeat(t *testing.T) {
	chord := 0.3 * units.Millimetre
	names, options := []string{"gear"}, Options{Seed: 1, Workers: 2, Iterations: 4}
	if *copiesFlag > 0 {
		names, options.Iterations = []string{"telescope", "rocket", "gear", "leaf", "magnet"}, 0
		chord = 0.05
	}
	turns := map[string][]float64{"none": {0}, "half": {0, math.Pi}}
	for _, name := range names {
		shape := decal(t, name, chord)
		for _, turn := range []string{"none", "half"} {
			p := Problem{Width: 12*25.4 - 2*10 + 3.175, Shapes: []orb.MultiPolygon{shape}}
			for range 200 {
				p.Pieces = append(p.Pieces, Piece{Angles: turns[turn]})
			}
			solve := func(improve func(*run, context.Context)) float64 {
				w, err := newWorld(p)
				if err != nil {
					t.Fatal(err)
				}
				ctx, cancel := context.WithCancel(context.Background())
				defer cancel()
				r := &run{world: w, ctx: ctx, options: options, start: time.Now()}
				r.first(p)
				limited := ctx
				if *copiesFlag > 0 {
					var stop context.CancelFunc
					limited, stop = context.WithTimeout(ctx, *copiesFlag)
					defer stop()
				}
				improve(r, limited)
				if _, ok := r.exact(r.best.Poses); !ok {
					t.Fatalf("%s: the layout is not valid", name)
				}
				return r.best.Length
			}
			repeated := solve(func(r *run, ctx context.Context) { r.improve(ctx, p) })
			general := solve(func(r *run, ctx context.Context) { r.explore(ctx, false) })
			if repeated > general {
				t.Errorf("%s, turns %s: repeated units take %.0f mm, the general search %.0f mm", name, turn, repeated, general)
			}
			density := 200 * outsideArea(shape) / p.Width
			t.Logf("%-9s turns %-4s  repeated %6.0f mm (%.1f %%)  general %6.0f mm (%.1f %%)  saved %.1f %%",
				name, turn, repeated, 100*density/repeated, general, 100*density/general, 100*(1-repeated/general))
		}
	}
}

func outsideArea(m orb.MultiPolygon) float64 {
	return Problem{Shapes: []orb.MultiPolygon{m}, Pieces: []Piece{{}}}.areaOfPieces()
}
