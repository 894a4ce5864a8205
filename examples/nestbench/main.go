// Command nestbench nests a published instance and prints what came of it as JSON.
//
//	nestbench -in FILE -budget 20s [-seed 1] [-workers 2] [-gap 0] [-margin 0] [-png OUT] [-svg OUT]
//	nestbench -table DIR -budget 10s [-seeds 5]
//
// FILE holds polygons or rectangles in JSON, or is the XML form in which the sets are published. Lengths are in the unit of
// the file. A placement turns the outline counter-clockwise by rotation_deg about the outline's own origin (0, 0), then
// shifts it by (x, y); the strip is 0 ≤ y ≤ strip_width, x ≥ 0.
package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"time"

	"github.com/vinylgeom/vinyl/examples/internal/command"
	"github.com/vinylgeom/vinyl/examples/internal/output"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/units"
)

func main() {
	command.Main("nestbench", func(_ context.Context, args []string, stdout, _ io.Writer) error { return run(args, stdout) })
}

// settings are the flags.
type settings struct {
	in, table, png, svg string
	method              string
	budget              time.Duration
	iterations          int
	seed                uint64
	seeds               int
	workers             int
	gap, margin         float64
}

// run does what the arguments ask and writes to out.
func run(args []string, out io.Writer) error {
	var s settings
	flags := command.Flags("nestbench", "nests a published instance and prints how densely", os.Stderr)
	flags.StringVar(&s.in, "in", "", "instance `file` (JSON or XML)")
	flags.StringVar(&s.table, "table", "", "run every instance of a `folder` and print the ratios to the published means")
	flags.StringVar(&s.method, "method", "nest", "nest, or gang for straight-trim gangs")
	flags.DurationVar(&s.budget, "budget", 20*time.Second, "time for one layout; 0 for the first layout only")
	flags.IntVar(&s.iterations, "iterations", 0, "passes of the search instead of a time, for a layout that can be repeated")
	flags.Uint64Var(&s.seed, "seed", 1, "seed of the random numbers")
	flags.IntVar(&s.seeds, "seeds", 5, "with -table, how many seeds from -seed on")
	flags.IntVar(&s.workers, "workers", 0, "greatest number of goroutines; 0 for all processors")
	flags.Float64Var(&s.gap, "gap", 0, "least distance between pieces")
	flags.Float64Var(&s.margin, "margin", 0, "least distance from pieces to the edges")
	flags.StringVar(&s.png, "png", "", "write a picture of the layout to a PNG `file`")
	flags.StringVar(&s.svg, "svg", "", "write the layout to an SVG `file`")
	if err := command.Parse(flags, args); err != nil {
		return err
	}
	switch {
	case (s.in == "") == (s.table == ""):
		return fmt.Errorf("give either -in FILE or -table DIR")
	case s.method != "nest" && s.method != "gang":
		return fmt.Errorf("-method %q; give nest or gang", s.method)
	case s.budget < 0:
		return fmt.Errorf("-budget %v; give zero or more", s.budget)
	case s.table != "":
		return table(s, out)
	}
	in, err := read(s.in)
	if err != nil {
		return err
	}
	r, err := solve(in, s)
	if err != nil {
		return err
	}
	if err := output.Write(
		output.File{Name: s.svg, Write: func(w io.Writer) error { return writeSVG(w, in, r.result) }},
		output.File{Name: s.png, Write: func(w io.Writer) error { return writePNG(w, in, r.result) }},
	); err != nil {
		return err
	}
	encoder := json.NewEncoder(out)
	encoder.SetIndent("", " ")
	return encoder.Encode(r)
}

// report is what is printed.
type report struct {
	Name         string      `json:"name"`
	StripWidth   float64     `json:"strip_width"`
	Length       float64     `json:"length"`
	Density      float64     `json:"density_percent"`
	SmallestGap  *float64    `json:"smallest_gap"` // null if there is but one piece
	Seconds      float64     `json:"seconds"`
	FirstSeconds float64     `json:"first_seconds"`
	FirstDensity float64     `json:"first_density_percent"`
	Seed         uint64      `json:"seed"`
	Iterations   int         `json:"iterations"`
	Placements   []placement `json:"placements"`

	result nest.Result
}

type placement struct {
	ID       string  `json:"id"`
	Copy     int     `json:"copy"` // from 1
	Rotation float64 `json:"rotation_deg"`
	X        float64 `json:"x"`
	Y        float64 `json:"y"`
}

// solve nests an instance and verifies the layout once more.
func solve(in instance, s settings) (report, error) {
	strip := nest.Strip{Width: units.Length(in.stripWidth), Gap: units.Length(s.gap), Margins: nest.EqualMargins(units.Length(s.margin))}
	o := nest.Options{Budget: s.budget, Iterations: s.iterations, Seed: s.seed, Workers: s.workers}
	switch {
	case s.iterations > 0:
		o.Budget = 0
	case s.budget == 0:
		o.Budget = nest.FirstLayoutOnly
	}
	start := time.Now()
	method := nest.Nest
	if s.method == "gang" {
		method = nest.Gang
	}
	result, err := method(context.Background(), strip, in.pieces, o)
	if err != nil {
		return report{}, err
	}
	r := report{Name: in.name, StripWidth: in.stripWidth, Length: float64(result.Length), Density: 100 * result.Density,
		FirstSeconds: result.Stats.First.Seconds(), FirstDensity: 100 * result.Stats.FirstDensity, Seed: s.seed,
		Iterations: result.Stats.Iterations, result: result}
	if _, err := result.Verify(strip, in.pieces); err != nil {
		return report{}, err
	}
	r.Seconds = time.Since(start).Seconds()
	for _, load := range result.Loads {
		if g := float64(load.SmallestGap); !math.IsInf(g, 1) {
			r.SmallestGap = &g
		}
		for _, p := range load.Placements {
			degrees := math.Round(p.Rotation.Degrees()*1e12) / 1e12
			r.Placements = append(r.Placements, placement{p.Piece, p.Copy, degrees, float64(p.X), float64(p.Y)})
		}
	}
	return r, nil
}
