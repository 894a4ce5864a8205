package cutpath_test

import (
	"context"
	"fmt"
	"io"
	"os"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/units"
)

// listWriter is a shop's own writer: one line of text for each cut.
type listWriter struct{ w io.Writer }

func (l listWriter) Begin(h cutpath.Header) error {
	_, err := fmt.Fprintf(l.w, "%s, film %s\n", h.Title, h.Film.Name)
	return err
}

func (l listWriter) Stroke(s cutpath.Stroke) error {
	b := s.Curve.Bounds()
	_, err := fmt.Fprintf(l.w, "%v %s %.1f by %.1f mm\n", s.Role, s.ID, b.Width(), b.Height())
	return err
}

func (l listWriter) End() error {
	_, err := fmt.Fprintln(l.w, "done")
	return err
}

func ExampleWriter() {
	sheet := layout.Sheet{Name: "load-01", Film: layout.Film{Name: "white", Width: 100}, Length: 60, Decals: []layout.PlacedDecal{{
		ID:   "A-01",
		Path: outline.Path{outline.Circle(outline.Pt(30, 30), 12), outline.Circle(outline.Pt(30, 30), 5).Reversed()},
	}}}
	job, err := cutpath.Plan(context.Background(), sheet, cutpath.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := job.Write(listWriter{os.Stdout}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// load-01, film white
	// decal A-01 10.0 by 10.0 mm
	// decal A-01 24.0 by 24.0 mm
	// done
}

// A 20 mm square with a 10 mm hole, in a weed border.
func Example() {
	square := func(x, y, side float64) outline.Contour {
		return outline.Polygon(outline.Pt(x, y), outline.Pt(x+side, y), outline.Pt(x+side, y+side), outline.Pt(x, y+side))
	}
	sheet := layout.Sheet{
		Name:       "load-01",
		Film:       layout.Film{Name: "white", Width: 100},
		Length:     60,
		Decals:     []layout.PlacedDecal{{ID: "A-01", Path: outline.Path{square(10, 10, 20), square(15, 15, 10).Reversed()}}},
		WeedBorder: outline.Path{square(5, 5, 30)},
	}
	job, err := cutpath.Plan(context.Background(), sheet, cutpath.Options{Start: cutpath.StartAsDrawn})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range job.Strokes {
		fmt.Println(s.Role, s.ID, s.Curve.Start)
	}
	fmt.Println(job.CutLength(), job.Lifts(), "lifts")
	if err := job.Write(hpgl.NewWriter(os.Stdout, hpgl.Options{Speed: 300 * units.MillimetrePerSecond})); err != nil {
		fmt.Println(err)
	}
	// Output:
	// decal A-01 {15 15}
	// decal A-01 {10 10}
	// weed border  {5 5}
	// 240 mm 3 lifts
	// IN;SP1;VS30;PA;
	// PU600,600;PD600,1000,1000,1000,1000,600,600,600;
	// PU400,400;PD1200,400,1200,1200,400,1200,400,400;
	// PU200,200;PD1400,200,1400,1400,200,1400,200,200;
	// PU;SP0;
}
