package order

import (
	"bytes"
	"context"
	"io"
	"testing"

	"github.com/vinylgeom/vinyl/layout/dxf"
	"github.com/vinylgeom/vinyl/layout/hpgl"
	"github.com/vinylgeom/vinyl/layout/jobsheet"
	"github.com/vinylgeom/vinyl/layout/proof"
	"github.com/vinylgeom/vinyl/layout/svgsheet"
	"github.com/vinylgeom/vinyl/nest"
	"github.com/vinylgeom/vinyl/weedability"
)

// BenchmarkStage times every stage of the demo order by itself: 12 designs, 96
// decals. The README's table comes from it:
//
//	go test -run '^$' -bench Stage ./layout/order
func BenchmarkStage(b *testing.B) {
	ctx := context.Background()
	o, err := Demo()
	if err != nil {
		b.Fatal(err)
	}
	opt := Options{Budget: nest.FirstLayoutOnly}
	filled, err := designs(ctx, o, opt)
	if err != nil {
		b.Fatal(err)
	}
	result, err := Run(ctx, o, opt)
	if err != nil {
		b.Fatal(err)
	}
	inspected := &runner{order: o, opt: opt, designs: result.Designs}
	load := result.Loads[0]
	page, err := result.page(make([][][]byte, len(result.Loads)))
	if err != nil {
		b.Fatal(err)
	}
	for _, stage := range []struct {
		name string
		run  func() error
	}{
		{"fill=12designs", func() error { _, err := designs(ctx, o, opt); return err }},
		{"inspect=12designs", func() error {
			for _, d := range filled {
				if _, err := weedability.Inspect(ctx, d.Path, limits(d.Film), weedability.Options{}); err != nil {
					return err
				}
			}
			return nil
		}},
		{"nest=96decals", func() error {
			r := *inspected
			r.used = make([]int, len(r.designs))
			r.loads = nil
			return r.cutFrom(ctx, r.films()[0])
		}},
		{"cut=1load", func() error { _, _, err := o.Machine.plan(ctx, load.Sheet, 1); return err }},
		{"hpgl=1load", func() error { return load.Job.Write(hpgl.NewWriter(io.Discard, hpgl.Options{})) }},
		{"dxf=1load", func() error { return load.Job.Write(dxf.NewWriter(io.Discard, dxf.Options{})) }},
		{"svg=1load", func() error { return load.Job.Write(svgsheet.NewWriter(io.Discard, svgsheet.Options{})) }},
		{"proof=1load", func() error { return proof.WritePNG(io.Discard, load.Sheet, proof.Options{}) }},
		{"jobsheet=html", func() error { return jobsheet.Write(io.Discard, page) }},
		{"jobsheet=pdf", func() error { return jobsheet.WritePDF(io.Discard, page, jobsheet.PDFOptions{}) }},
		{"timetable", func() error { _, err := result.Plan(ctx); return err }},
		{"layout=json", func() error {
			var kept bytes.Buffer
			if err := writeJSON(&kept, result.Layout()); err != nil {
				return err
			}
			_, err := ReadLayout(&kept)
			return err
		}},
		{"whole=first", func() error { _, err := Run(ctx, o, opt); return err }},
	} {
		b.Run(stage.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := stage.run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
