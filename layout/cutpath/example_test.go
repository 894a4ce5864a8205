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

// A drag knife trails its axis: the job is led past corners and past the start,
// and corrected by a bar that was cut and measured.
func ExampleJob_For() {
	scale, err := cutpath.MeasuredScale(200*units.Millimetre, 199.5*units.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	job := cutpath.Job{Strokes: []cutpath.Stroke{{Closed: true, Curve: outline.Rectangle(outline.Box{Max: outline.Pt(40, 40)}).Curve()}}}
	machine := cutpath.Device{Name: "the small one", Knife: cutpath.Knife{Offset: 0.25, Overcut: 0.5}, ScaleX: scale}
	cut, err := job.For(machine)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f mm of artwork, %.2f mm for the knife's axis\n", job.CutLength().Millimetres(), cut.CutLength().Millimetres())
	// Output:
	// 160.00 mm of artwork, 162.27 mm for the knife's axis
}

// How long a job takes on a machine of 300 mm/s.
func ExampleJob_Time() {
	job := cutpath.Job{Strokes: []cutpath.Stroke{{Curve: outline.Polyline(outline.Pt(0, 0), outline.Pt(300, 0))}}}
	t, err := job.Time(cutpath.Limits{CutSpeed: 300, Acceleration: cutpath.Gravity / 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f s cutting, %.2f s knife up and down\n", t.Cut.Seconds(), t.Lift.Seconds())
	// Output:
	// 1.06 s cutting, 0.20 s knife up and down
}

// A long load is parted for a machine whose coordinates end at 800 mm, and a
// short one is cut three times.
func ExampleJob_Split() {
	long := cutpath.Job{Name: "load-01", Strokes: []cutpath.Stroke{{Curve: outline.Polyline(outline.Pt(100, 10), outline.Pt(1500, 10))}}}
	parts, err := long.Split(800 * units.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range parts {
		fmt.Println(p.Name, p.CutLength())
	}
	short := cutpath.Job{Length: 100, Strokes: []cutpath.Stroke{{Curve: outline.Polyline(outline.Pt(10, 10), outline.Pt(90, 10))}}}
	three, err := short.Repeat(3, 100*units.Millimetre)
	fmt.Println(len(three.Strokes), three.Length, err)
	// Output:
	// load-01-1 700 mm
	// load-01-2 700 mm
	// 3 300 mm <nil>
}

// A bar of 200 mm came out as 199.5 mm along the film, so everything along it is
// sent a little longer.
func ExampleMeasuredScale() {
	k, err := cutpath.MeasuredScale(200*units.Millimetre, 199.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	bar := cutpath.Job{Strokes: []cutpath.Stroke{{Role: cutpath.TrimLine, Curve: outline.Polyline(outline.Pt(0, 0), outline.Pt(200, 0))}}}
	sent, err := bar.For(cutpath.Device{ScaleX: k})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("factor %.4f: 200 mm are sent as %.2f mm\n", k, sent.Bounds().Width())
	// Output: factor 1.0025: 200 mm are sent as 200.50 mm
}
