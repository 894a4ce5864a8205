package weedability_test

import (
	"context"
	"fmt"
	"strings"

	"github.com/vinylgeom/vinyl/outline"
	"github.com/vinylgeom/vinyl/weedability"
)

// A plate with a hole, and beside it a dot too small to hold.
func Example() {
	p := outline.Path{rect(0, 0, 40, 20), rect(10, 5, 30, 15).Reversed(), rect(45, 0, 46.5, 1.5)}
	report, err := weedability.Inspect(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d counter, %d pieces of film\n", len(report.Counters), len(report.Islands))
	for _, f := range report.Findings {
		if f.Kind == weedability.IslandArea {
			fmt.Printf("%v: %v, %.2f %s where %.0f is asked: %s\n", f.Severity, f.Kind, f.Value, f.Unit, f.Limit, f.Remedy)
		}
	}
	// Output:
	// 1 counter, 2 pieces of film
	// caution: island-area, 2.25 mm2 where 4 is asked: drop it, join it to its neighbour by a bridge, or cut larger
}

// Thicken a bar of 0.8 mm between two blocks.
func ExampleThicken() {
	m, err := weedability.Thicken(context.Background(), dumbbell(0.8), weedability.LimitsFor(weedability.Cast), weedability.RemedyOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range m.Changes {
		fmt.Printf("%s from %.1f to %.1f %s\n", c.Done, c.Before, c.After, c.Unit)
	}
	fmt.Println(len(m.New), "new findings")
	// Output:
	// thickened from 0.8 to 2.0 mm
	// 0 new findings
}

// The least size at which a design passes, and why not less.
func ExampleSmallestSafeSize() {
	s, err := weedability.SmallestSafeSize(context.Background(), dumbbell(0.8), weedability.LimitsFor(weedability.Cast), weedability.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f times as large, for a %v of %.1f %s\n", s.Scale, s.Limiting.Kind, s.Limiting.Value, s.Limiting.Unit)
	// Output:
	// 2.50 times as large, for a stroke-thin of 0.8 mm
}

// What one call tells: pieces, what to pick, the waste, the order of work.
func ExampleInspect() {
	letter := outline.Ring(outline.Pt(10, 10), 10, 6)             // an O
	bay := jar(30, 0.8)                                           // its bay hangs on a neck of 0.8 mm
	p := append(outline.Path{bay, rect(60, 0, 61, 1)}, letter...) // and a speck
	report, err := weedability.Inspect(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range report.Counters {
		fmt.Printf("pick %s, %.1f mm wide, at (%.0f, %.0f)\n", c.Label(), c.Width, c.At.X, c.At.Y)
	}
	for _, i := range report.Islands {
		fmt.Printf("%s: %.0f mm2, lifting %v\n", i.Label(), i.Area, i.Lift)
	}
	for _, n := range report.Waste.Necks {
		fmt.Printf("the waste tears at %.1f mm and leaves %.0f mm2\n", n.Width, n.Loose)
	}
	fmt.Printf("pull at %.0f degrees, about %.1f min\n", report.Pull.Degrees, report.WeedMinutes)
	// Output:
	// pick C1, 12.0 mm wide, at (10, 10)
	// I1: 258 mm2, lifting unlikely
	// I2: 1 mm2, lifting possible
	// I3: 201 mm2, lifting unlikely
	// the waste tears at 0.8 mm and leaves 102 mm2
	// pull at -45 degrees, about 0.6 min
}

// Everything at once, and what is left to say.
func ExampleMend() {
	p := outline.Path{rect(0, 0, 30, 0.8), rect(0, 10, 20, 30), rect(5, 15, 5.4, 25).Reversed(), rect(22, 12, 23, 13)}
	m, err := weedability.Mend(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.RemedyOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range m.Changes {
		fmt.Printf("%v %s (was %.1f %s)\n", c.Kind, c.Done, c.Before, c.Unit)
	}
	fmt.Println(len(m.New), "new,", len(m.Left), "left")
	// Output:
	// counter-small filled (was 0.4 mm)
	// stroke-thin thickened (was 0.8 mm)
	// island-area joined by a bridge (was 1.0 mm2)
	// 0 new, 0 left
}

// Two rows of tiles: the sheet round them is parted between the rows.
func ExampleWeedLines() {
	var p outline.Path
	for i := range 6 {
		x := 12 * float64(i)
		p = append(p, rect(x, 0, x+10, 10), rect(x, 15, x+10, 25))
	}
	lines, err := weedability.WeedLines(context.Background(), p, weedability.LimitsFor(weedability.Cast), weedability.WeedLineOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range lines {
		fmt.Printf("at y = %.1f mm, %.1f mm clear: %s\n", l.Curve.Start.Y, l.Clearance, l.Benefit())
	}
	// Output:
	// at y = 12.5 mm, 2.5 mm clear: the sheet round 12 pieces of film comes off in two parts, round 6 and 6, which drag at less film each
}

// A shop's own film: what its file leaves out has the default of the class.
func ExampleReadLimits() {
	limits, err := weedability.ReadLimits(strings.NewReader(`{"name": "matt black", "class": "cast", "gap": {"refuse": "0.4 mm", "warn": "0.6 mm", "caution": "1/32 in"}}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(limits.Name, limits.Gap.Caution, limits.Gap.Source)
	fmt.Println(limits.Stroke.Caution)
	_, err = weedability.ReadLimits(strings.NewReader(`{"stroke": {"refuse": "0 mm"}}`))
	fmt.Println(err)
	// Output:
	// matt black 0.79375 mm shop's own
	// 2 mm
	// weedability: stroke.refuse = 0 mm: a limit has no sensible value; give every limit a value above zero; start from the defaults of the film's class
}

// The model of minutes fitted to what a shop has logged: report.Work of each job, and the clock.
func ExampleFitEffort() {
	log := []weedability.Timing{
		{Work: weedability.Work{PerimeterMM: 400, Picks: 3}, Minutes: 0.6},
		{Work: weedability.Work{PerimeterMM: 900, Picks: 12, SmallIslands: 2}, Minutes: 1.5},
		{Work: weedability.Work{PerimeterMM: 1500, Picks: 2, Necks: 3}, Minutes: 1.4},
		{Work: weedability.Work{PerimeterMM: 2200, Picks: 20, SmallIslands: 5, Necks: 1}, Minutes: 2.8},
		{Work: weedability.Work{PerimeterMM: 300, SmallIslands: 4}, Minutes: 0.5},
		{Work: weedability.Work{PerimeterMM: 3000, Picks: 7, Necks: 2}, Minutes: 2.2},
	}
	effort, _, err := weedability.FitEffort(log)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f s a pick\n", effort.SecondsPerPick)
	fmt.Printf("%.1f min for the next\n", effort.Minutes(weedability.Work{PerimeterMM: 1200, Picks: 8, Necks: 1}))
	// Output:
	// 4.1 s a pick
	// 1.4 min for the next
}

// A proof draws these, and the job sheet has the same table.
func ExampleReport_Markers() {
	report, err := weedability.Inspect(context.Background(), dumbbell(0.8), weedability.LimitsFor(weedability.Cast), weedability.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range report.Markers(report.WeedLines) {
		fmt.Printf("%v %s %s\n", m.Shape, m.Label, m.Text)
	}
	// Output:
	// square I1 piece of film, 10.0 mm wide, 216.0 mm2, lifting unlikely
	// triangle S1 stroke-thin, 0.80 mm where 1.00 mm is asked: warn; thicken the stroke, or cut larger
}

// A point too sharp is cut back and rounded; a speck is dropped.
func ExampleBluntTips() {
	p := outline.Path{outline.Polygon(outline.Pt(-5, 0), outline.Pt(5, 0), outline.Pt(0, 30)), rect(10, 0, 11, 1)}
	limits := weedability.LimitsFor(weedability.Cast)
	blunt, err := weedability.BluntTips(context.Background(), p, limits, weedability.RemedyOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm high instead of %.1f\n", blunt.Path.Bounds().Height(), p.Bounds().Height())
	rest, err := weedability.DropSpecks(context.Background(), blunt.Path, limits, weedability.RemedyOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(rest.Path), "piece")
	// Output:
	// 24.9 mm high instead of 30.0
	// 1 piece
}
