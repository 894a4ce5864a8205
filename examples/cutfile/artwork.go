package main

import (
	"fmt"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/vinylgeom/vinyl/layout"
	"github.com/vinylgeom/vinyl/layout/cutpath"
	"github.com/vinylgeom/vinyl/layout/dxf"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/outline/svg"
	"github.com/vinylgeom/vinyl/units"
)

// artwork is what is cut, on its page.
type artwork struct {
	name          string
	width, height units.Length // the page
	path          outline.Path // welded, millimetres, y up
	colour        string
}

// readArt reads the file and welds what it fills. What cannot be cut goes to
// stderr, and whatever will surprise.
func readArt(name string, stderr io.Writer) (artwork, error) {
	f, err := os.Open(name)
	if err != nil {
		return artwork{}, err
	}
	defer f.Close()
	drawing, err := svg.Read(f, svg.Options{})
	if err != nil {
		return artwork{}, fmt.Errorf("%s: %w", name, err)
	}
	warn := func(format string, a ...any) {
		fmt.Fprintf(stderr, "%s: warning: "+format+"\n", append([]any{name}, a...)...)
	}
	for _, w := range drawing.Warnings {
		warn("%s", w)
	}
	var colours []string
	for _, s := range drawing.Shapes {
		if len(s.Path) > 0 && !slices.Contains(colours, s.Fill) {
			colours = append(colours, s.Fill)
		}
	}
	if len(colours) == 0 {
		return artwork{}, fmt.Errorf("%s: nothing is filled, so there is nothing to cut; fill a closed shape, or give a line a stroke", name)
	}
	if len(colours) > 1 {
		warn("%d colours (%s) are welded into one outline for one film", len(colours), strings.Join(colours, ", "))
	}
	path, err := drawing.Path(outline.BooleanOptions{})
	if err != nil {
		return artwork{}, fmt.Errorf("%s: %w", name, err)
	}
	if len(path) == 0 {
		return artwork{}, fmt.Errorf("%s: what is filled is too small to cut; make a shape larger", name)
	}
	base := filepath.Base(name)
	a := artwork{name: strings.TrimSuffix(base, filepath.Ext(base)), width: drawing.Width, height: drawing.Height, path: path, colour: colours[0]}
	if b := path.Bounds(); b.Min.X < -onPage || b.Min.Y < -onPage || b.Max.X > float64(a.width)+onPage || b.Max.Y > float64(a.height)+onPage {
		warn("the artwork leaves its page of %v by %v: it reaches from (%.1f, %.1f) to (%.1f, %.1f) mm", a.width, a.height, b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)
	}
	return a, nil
}

// onPage is how far artwork may leave its page, in millimetres, without a
// warning: rounding of a drawing's coordinates.
const onPage = 0.01

// sheet returns the artwork as one decal on a film of the page's height.
func (a artwork) sheet() layout.Sheet {
	return layout.Sheet{Name: a.name, Film: layout.Film{Name: "artwork", Colour: a.colour, Width: a.height}, Length: a.width,
		Decals: []layout.PlacedDecal{{Design: a.name, Copy: 1, Path: a.path}}}
}

func (a artwork) writeSVG(w io.Writer) error {
	return svg.Write(w, a.path, svg.WriteOptions{Width: a.width, Height: a.height, Fill: a.colour, Title: a.name})
}

// The picture's longer side in pixels, and its greatest resolution.
const (
	pictureSide  = 1600
	picturePerMM = 20
)

func (a artwork) writePNG(w io.Writer) error {
	page := outline.Box{Max: outline.Pt(float64(a.width), float64(a.height))}
	canvas, err := proof.NewCanvas(page, math.Min(picturePerMM, pictureSide/math.Max(page.Width(), page.Height())))
	if err != nil {
		return err
	}
	colour, err := proof.Colour(a.colour)
	if err != nil {
		return err
	}
	canvas.Fill(a.path, colour)
	return png.Encode(w, canvas.Image())
}

// writeHPGL writes the cut for the classic range of numbers where it fits.
func writeHPGL(w io.Writer, cut cutpath.Job, speed units.Speed, stderr io.Writer) error {
	opt := hpgl.Options{Speed: speed}
	b := cut.Bounds()
	reach := math.Max(math.Max(math.Abs(b.Min.X), math.Abs(b.Max.X)), math.Max(math.Abs(b.Min.Y), math.Abs(b.Max.Y)))
	if reach > hpgl.ClassicLimit*float64(hpgl.Unit) {
		opt.Range = hpgl.Wide
		fmt.Fprintf(stderr, "warning: the cut reaches %.1f mm, beyond the ±%d units of classic HP-GL; check that the machine takes larger numbers\n", reach, hpgl.ClassicLimit)
	}
	if b.Min.X < 0 || b.Min.Y < 0 {
		fmt.Fprintf(stderr, "warning: the cut reaches to (%.2f, %.2f) mm, left of or below the page's corner; some machines do not take negative coordinates\n", b.Min.X, b.Min.Y)
	}
	return cut.Write(hpgl.NewWriter(w, opt))
}

func writeDXF(w io.Writer, job cutpath.Job) error { return job.Write(dxf.NewWriter(w, dxf.Options{})) }
